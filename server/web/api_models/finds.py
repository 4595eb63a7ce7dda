"""Finds as the API answers them, with all that is claimed and measured."""

from datetime import datetime

from pydantic import Field

from server.web.api_models.base import Answer
from server.web.api_models.needs import AttachmentOut
from server.web.api_models.sheets import QuantityOut
from server.web.api_models.yard import SupplierOut


class StatementOut(Answer):
    """One characteristic of a find, claimed or measured."""

    id: str
    characteristic: str
    basis: str
    text: str
    quantity: QuantityOut | None
    words: list[str]
    expanded: str | None = Field(
        description="U (k = 2), exact, as typed; null where the instrument's usual doubt holds."
    )
    instrument: str
    stage: str
    by: str
    on: str


class ProofOut(Answer):
    """One piece of provenance."""

    id: int
    kind: str
    note: str


class FindOut(Answer):
    """A find with all that is claimed and measured."""

    id: int
    number: str = Field(description="As written on tags: “F 0312”.")
    text: str
    part_class: str
    origin: str | None
    supplier: SupplierOut | None
    condition: str
    quantity_text: str
    quantity: int | None
    smallest_lot: str
    price_text: str
    lead_time: str
    bin: str
    finish_to_come: bool
    note: str
    ref: str
    logged_by: str
    logged_at: datetime
    changed_at: datetime
    version: int
    withdrawn_reason: str
    statements: list[StatementOut]
    proofs: list[ProofOut]
    attachments: list[AttachmentOut]


class FindLineOut(Answer):
    """A find as one line of a list."""

    id: int
    number: str
    text: str
    part_class: str
    origin: str
    supplier: str
    bin: str
    quantity_text: str
    logged_by: str
    logged_at: datetime
    proposed: int
    photo_id: int | None
    state: str
