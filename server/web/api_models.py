"""What the API answers, field by field, for its description. Filled from the plain form of the records.

Exact numbers are fractions written as text ("381/128"), in the kind's own unit
(millimetres for a length); beside them stands the text as it was typed.
Nothing known is null or "", never 0.
"""

from datetime import date, datetime
from typing import Generic, TypeVar

from pydantic import BaseModel, ConfigDict, Field

Item = TypeVar("Item", bound=BaseModel)


class Answer(BaseModel):
    """The base of all answers."""

    model_config = ConfigDict(extra="ignore", frozen=True)


class Page(Answer, Generic[Item]):
    """One page of a list."""

    model_config = ConfigDict(json_schema_extra={"description": "One page of a list."})

    items: list[Item]
    next: int | None = Field(description="Ask again with `after` set to this for the next page; null at the end.")


class Refused(Answer):
    """Why something was not done."""

    refused: str = Field(description="A sentence for a person.")
    reference: str = Field("", description="What to quote when asking for help; only for a fault of the register.")


class Faulty(Answer):
    """Why something was not kept, field by field."""

    refused: str = Field(description="A sentence for a person.")
    faults: dict[str, str] = Field(default_factory=dict, description="For each field what would be right.")


class AlikeOut(Answer):
    """A record that is here already and looks like the one sent."""

    id: int
    number: str = Field(description="As it is said, such as “F 0312”.")
    title: str
    because: list[str] = Field(description="What speaks for its being the same, for a person.")
    quantity_text: str = Field(description="As it is said; “” where nobody counted.")


class AlikeHere(Answer):
    """Nothing was kept: it looks like a record that is here already. The likeliest first, three at most."""

    refused: str = Field(description="A sentence for a person.")
    alike: list[AlikeOut]


class QuantityOut(Answer):
    """A size: exact value and limits in the kind's own unit, and the text as typed."""

    kind: str = Field(description="What is measured, such as “length” (held in mm) or “stress” (in MPa).")
    value: str | None = Field(description="Exact fraction, such as “381/128”; null where only limits were given.")
    unit: str = Field(description="The unit it was written in.")
    text: str
    low: str | None = None
    high: str | None = None
    half_step: str | None = Field(
        None, description="Half of the last digit written: what the writing itself leaves open."
    )
    is_approximate: bool = False
    note: str = ""


class SourceOut(Answer):
    """Where a figure or a rule comes from."""

    document: str
    place: str
    edition: str
    standing: str = Field(
        description="“seen” and “derived” may prove; “quoted”, “common practice”, “from memory” inform."
    )
    is_method: bool = Field(False, description="A way of judging rather than a figure.")


class MeasureOut(Answer):
    """What would settle a row."""

    characteristic: str
    what: str
    instrument: str
    effort: int = Field(description="1 from an apron pocket … 5 sent out.")
    about_original: bool


class BandOut(Answer):
    """A tolerance band with the measured value, exact fractions in one unit."""

    low: str | None
    high: str | None
    value: str
    doubt: str
    unit: str


class RowOut(Answer):
    """One row of the comparison."""

    key: str
    label: str
    concern: str
    weight: str = Field(description="governs, contributes, appearance only.")
    wanted: str
    offered: str
    verdict: str = Field(
        description="proven to conform, proven not to conform, not proven (unknown is never equal), judged by a person."
    )
    sentence: str
    sources: list[SourceOut]
    margin: str
    probability: float | None = Field(description="Chance, 0 to 1, that the true value lies within the limits.")
    known_from: str
    offered_from: str
    assumption: str
    caution: str
    departs: bool
    measure: MeasureOut | None
    band: BandOut | None


class SheetOut(Answer):
    """A comparison sheet. It computes; a person with the right licence decides."""

    part_class: str
    offered_class: str
    outcome: str = Field(description="like for like, equivalent with reasons, not proven, not equivalent.")
    decided_by: str = Field(description="The key of the row that decided; “” where none did.")
    rows: list[RowOut]
    measure_next: list[MeasureOut]
    cautions: list[str]
    probability_wanted: float
    engine: str
    handbook: str
    notes: list[str]


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


class CandidateLineOut(Answer):
    """A proposal as one line of a list."""

    id: int
    need_id: int
    find_id: int
    item: str
    find_text: str
    outcome: str
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime = Field(description="When the outcome was computed; the candidate itself is checked anew.")
    decision: str = Field(description="The decision that stands; “” while none does.")
    step_id: int | None
    authenticity: str
    first_signed_by: str = Field(description="Who gave the first of two signatures, while the second is awaited.")
    first_signed_by_id: int | None


class SignOffOut(Answer):
    """One decision: who, when, and the digest of its frozen record."""

    id: int
    decision: str
    signed_by: str
    signed_by_id: int
    signed_at: datetime
    digest: str = Field(description="SHA-256 of the record in canonical form.")
    previous: str = Field(description="The digest of the record before it.")


class CandidateOut(Answer):
    """A find proposed for a need, with the check as it was then and as it is on what is known now."""

    id: int
    need_id: int
    find_id: int
    note: str
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime
    authenticity: str | None = Field(
        description="A person's answer: right, will do, not right; null while nobody answered."
    )
    authenticity_reason: str
    authenticity_by: str
    authenticity_at: datetime | None
    version: int
    withdrawn_reason: str
    decisions: list[SignOffOut]
    sheet: SheetOut
    sheet_then: SheetOut
