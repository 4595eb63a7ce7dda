"""Needs as the API answers them, with all that stands under them."""

from datetime import date, datetime

from pydantic import Field

from server.web.api_models.base import Answer
from server.web.api_models.sheets import QuantityOut
from server.web.api_models.yard import AeroplaneOut, StepOut


class KnownOut(Answer):
    """Where something of the original is known from."""

    how: str
    reference: str
    instrument: str


class RequirementOut(Answer):
    """One demand on one characteristic, as one source gives it."""

    id: str
    characteristic: str
    form: str
    text: str
    quantity: QuantityOut | None
    words: list[str]
    one_of: list[QuantityOut]
    layer: str = Field(description="as designed, as found, as fitted now: never mixed.")
    known: KnownOut
    weight: str | None
    expanded: str | None = Field(description="U (k = 2), exact, where the requirement itself was measured.")
    serials: str
    side: str
    decided: str


class PlyOut(Answer):
    """One sheet of a stack."""

    name: str
    material: str
    thickness: QuantityOut | None
    expanded: str | None


class JointOut(Answer):
    """What a rivet or bolt clamps."""

    plies: list[PlyOut] = Field(description="From the made head inwards.")
    hole: QuantityOut | None
    hole_expanded: str | None
    edge_distance: QuantityOut | None
    pitch: QuantityOut | None
    seat_angle: QuantityOut | None
    access: str
    known: KnownOut


class DesignationOut(Answer):
    """A number or name the part goes by."""

    id: int
    text: str
    kind: str
    reading: str
    note: str


class EnquiryOut(Answer):
    """What was tried, or who was asked."""

    id: int
    kind: str
    supplier: str
    supplier_id: int | None
    text: str
    answer: str
    on: date | None
    by: str


class AttachmentOut(Answer):
    """A photograph or paper: its SHA-256, size and caption."""

    id: int
    kind: str
    digest: str
    media_type: str
    name: str
    caption: str
    size: int
    width: int | None
    height: int | None
    by: str


class NeedOut(Answer):
    """A need with all that is known of its original."""

    id: int
    number: str = Field(description="As written on tickets: “N 0147”.")
    item: str
    part_class: str
    aeroplane: AeroplaneOut
    zone: str
    side: str
    station: str
    arm: str = Field("", description="How far from the datum, as written: “1.85 m aft of datum”.")
    chapter: str
    quantity_text: str
    quantity: int | None
    still_wanted: int | None
    wrong: list[str]
    role: str
    step: StepOut | None
    touches: list[str]
    joint: JointOut | None
    note: str
    text: str
    ref: str
    owner: str
    owner_id: int | None
    version: int
    created_at: datetime
    changed_at: datetime
    is_met: bool
    withdrawn_reason: str
    designations: list[DesignationOut]
    requirements: list[RequirementOut]
    enquiries: list[EnquiryOut]
    attachments: list[AttachmentOut]


class NeedLineOut(Answer):
    """A need as one line of a list."""

    id: int
    number: str
    item: str
    part_class: str
    aeroplane: str
    place: str
    role: str
    step: str
    due: date | None
    still_wanted: int | None
    quantity_text: str
    state: str
    candidates: int
    designations: str
