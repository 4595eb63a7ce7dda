"""Sizes and comparison sheets as the API answers them."""

from pydantic import Field

from server.web.api_models.base import Answer


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
