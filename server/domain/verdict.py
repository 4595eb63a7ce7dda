"""Verdicts: a row for each characteristic, and what they make together."""

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from server.domain.sources import Source
from server.domain.specification import Weight


class Verdict(StrEnum):
    """The answer of one row."""

    PROVEN = "proven to conform"
    AGAINST = "proven not to conform"
    OPEN = "not proven"
    JUDGED = "judged by a person"


class Outcome(StrEnum):
    """The answer to "will it work there", for the whole."""

    LIKE_FOR_LIKE = "like for like"
    WITH_REASONS = "equivalent with reasons"
    NOT_PROVEN = "not proven"
    NOT_EQUIVALENT = "not equivalent"


class Concern(StrEnum):
    """What a row is about; strictness is set by concern, role and use."""

    STRENGTH = "strength"
    FIT = "fit"
    FUNCTION = "function"
    HAZARD = "hazard"
    APPEARANCE = "appearance"


@dataclass(frozen=True, slots=True)
class MeasureNext:
    """What would settle a row: what to do, with what, and how dear that is (1 pocket … 5 sent out)."""

    characteristic: str
    what: str
    instrument: str
    effort: int
    about_original: bool = False


@dataclass(frozen=True, slots=True)
class Band:
    """Numbers of a tolerance band drawn to scale, all in one unit."""

    low: Fraction | None
    high: Fraction | None
    value: Fraction
    doubt: Fraction
    unit: str


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the comparison sheet.

    `departs` is True where the offered differs from the original in a way
    that a person must answer for, whatever the verdict; `assumption` names
    what was assumed, `caution` what can hurt somebody.
    """

    key: str
    label: str
    concern: Concern
    weight: Weight
    wanted: str
    offered: str
    verdict: Verdict
    sentence: str
    sources: tuple[Source, ...] = ()
    margin: str = ""
    probability: float | None = None
    known_from: str = ""
    offered_from: str = ""
    assumption: str = ""
    caution: str = ""
    departs: bool = False
    measure: MeasureNext | None = None
    band: Band | None = None

    @property
    def shaky_sources(self) -> tuple[Source, ...]:
        """Sources of its figures that may inform but prove nothing by themselves."""
        return tuple(source for source in self.sources if source.is_shaky and not source.is_method)

    @property
    def is_reserved(self) -> bool:
        """True where it keeps the whole from being like for like, whatever governs."""
        return (
            self.verdict in {Verdict.AGAINST, Verdict.OPEN}
            or self.departs
            or bool(self.assumption)
            or bool(self.caution)
            or (self.weight is Weight.GOVERNS and bool(self.shaky_sources))
        )

    @property
    def needs_answer(self) -> bool:
        """True where the signer gives a reason first: not proven, apart, assumed, cautioned, or on a shaky source."""
        return self.is_reserved or self.verdict is not Verdict.PROVEN or bool(self.shaky_sources)


@dataclass(frozen=True, slots=True)
class Sheet:
    """The whole comparison: rows, the outcome, and the row that decided it."""

    part_class: str
    offered_class: str
    rows: tuple[Row, ...]
    outcome: Outcome
    decided_by: str
    measure_next: tuple[MeasureNext, ...] = ()
    cautions: tuple[str, ...] = ()
    probability_wanted: float = 0.95
    engine: str = ""
    handbook: str = ""
    notes: tuple[str, ...] = field(default=())

    @property
    def deciding_row(self) -> Row | None:
        """The row that decided the outcome, if one did."""
        return next((row for row in self.rows if row.key == self.decided_by), None)

    @property
    def cited(self) -> list[Source]:
        """Every source of every row once, in order of first use."""
        return list(dict.fromkeys(source for row in self.rows for source in row.sources))

    @property
    def to_answer(self) -> tuple[Row, ...]:
        """Rows that need a reason before a signature."""
        return tuple(row for row in self.rows if row.needs_answer)
