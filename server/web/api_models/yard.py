"""Aeroplanes, steps of assembly and suppliers as the API answers them."""

from datetime import date

from pydantic import Field

from server.web.api_models.base import Answer


class AeroplaneOut(Answer):
    """An aeroplane under restoration."""

    id: int
    type: str
    maker: str
    serial: str
    registration: str
    built: str
    use: str
    authority: str
    drawing_unit: str = Field(description="mm, in, or “” where it is not known: every size must then name its unit.")
    note: str
    version: int
    withdrawn_reason: str


class StepOut(Answer):
    """A step of assembly."""

    id: int
    aeroplane_id: int
    place_in_order: int
    name: str
    closes: str
    due: date | None
    state: str = Field(description="ahead or done.")
    note: str
    after: list[int] = Field(description="Steps that must be done first.")
    version: int
    withdrawn_reason: str


class StepOnBoard(StepOut):
    """A step with what holds it up."""

    open_needs: int = Field(description="How many open needs must be met before it.")
    waits_for: list[int] = Field(description="Steps before it that are not done.")
    days_late: int


class SupplierOut(Answer):
    """A firm or person parts come from."""

    id: int
    name: str
    kind: str
    place: str
    contact: str
    state: str = Field(description="answers, silent, gone.")
    last_confirmed: date | None
    note: str
    version: int
    withdrawn_reason: str
