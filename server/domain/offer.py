"""What was found: statements about the piece in hand, each claimed or measured."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from server.domain.instruments import INSTRUMENTS, measures
from server.domain.quantities import Quantity


class Basis(StrEnum):
    """Somebody's word, or our own measurement."""

    CLAIMED = "claimed"
    MEASURED = "measured"


class Stage(StrEnum):
    """Plating and paint change a fit: when was it measured?"""

    BARE = "bare, will stay so"
    BEFORE = "before plating"
    AFTER = "after plating"
    UNKNOWN = "not said"


class Origin(StrEnum):
    """The kind of source a find comes from."""

    REPAIRED = "original repaired"
    SALVAGED = "salvaged"
    OLD_STOCK = "old stock"
    AVIATION = "aviation supply"
    CAR_TRADE = "car-restoration trade"
    INDUSTRIAL = "industrial supply"
    SHOP_MADE = "made in the shop"


class Evidence(StrEnum):
    """One piece of provenance; "none" is an answer."""

    TAG = "tag"
    DONOR = "donor"
    LETTER = "letter"
    TEST = "test"
    PHOTOGRAPH = "photograph"
    INVOICE = "invoice"
    CERTIFICATE = "certificate"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Statement:
    """One characteristic of the find, as claimed or as measured.

    `expanded` is U (k = 2) in the kind's own unit as typed; left out, the
    instrument's usual doubt is assumed and said so.
    """

    characteristic: str
    basis: Basis
    text: str
    quantity: Quantity | None = None
    words: tuple[str, ...] = ()
    expanded: Fraction | None = None
    instrument: str = ""
    stage: Stage = Stage.UNKNOWN
    by: str = ""
    on: str = ""
    id: str = ""

    @property
    def doubt(self) -> Fraction | None:
        """U (k = 2): typed, or the instrument's usual one; None where neither is known."""
        if self.expanded is not None:
            return self.expanded
        instrument = INSTRUMENTS.get(self.instrument)
        if instrument is None or self.quantity is None or self.quantity.value is None:
            return None
        if not measures(instrument, self.quantity.kind):
            return None
        return instrument.doubt_at(self.quantity.value)

    @property
    def doubt_is_assumed(self) -> bool:
        """True where the doubt is the instrument's usual one, not a typed figure."""
        return self.expanded is None and self.doubt is not None


@dataclass(frozen=True, slots=True)
class Offered:
    """The find as the check sees it."""

    part_class: str
    statements: tuple[Statement, ...] = ()
    origin: Origin | None = None
    evidence: tuple[Evidence, ...] = ()
    finish_to_come: bool = False
    name: str = ""

    def said(self, characteristic: str) -> tuple[Statement, ...]:
        """All statements about one characteristic."""
        return tuple(one for one in self.statements if one.characteristic == characteristic)

    def best(self, characteristic: str) -> Statement | None:
        """The statement to judge by: measured before claimed, after plating before the rest, the latest."""
        said = self.said(characteristic)
        return best_of(said) if said else None


def best_of(said: Sequence[Statement]) -> Statement:
    """The one of these statements about one characteristic to judge by; at least one must be given."""
    if len(said) == 1:
        return said[0]
    return max(
        enumerate(said),
        key=lambda pair: (
            pair[1].basis is Basis.MEASURED,
            pair[1].stage in {Stage.AFTER, Stage.BARE},
            pair[1].on,
            pair[0],
        ),
    )[1]
