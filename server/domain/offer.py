"""What was found: statements about the piece in hand, each claimed or measured."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from server.domain.conformity import expanded_from_bound
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
        """U (k = 2): typed, else the larger of what is written behind the reading and the instrument's usual one.

        None where nothing of it is known. A reading that is only approximate has none but a typed one; one over a
        range that of its larger end.
        """
        if self.expanded is not None:
            return self.expanded
        written, usual = self._written_doubt, self._usual_doubt
        if written is None or usual is None:
            return usual if written is None else written
        return max(written, usual)

    @property
    def _written_doubt(self) -> Fraction | None:
        """U of a reading with a spread behind it, "6.35 ± 0.05 mm": no error is larger, says who wrote it."""
        size = self.quantity
        if size is None or size.value is None or size.low is None or size.high is None:
            return None
        return expanded_from_bound(max(size.high - size.value, size.value - size.low))

    @property
    def _usual_doubt(self) -> Fraction | None:
        instrument, quantity = INSTRUMENTS.get(self.instrument), self.quantity
        if instrument is None or quantity is None or quantity.is_approximate:
            return None
        reading = quantity.value if quantity.value is not None else quantity.high
        if reading is None or not measures(instrument, quantity.kind):
            return None
        return instrument.doubt_at(reading)

    @property
    def doubt_is_assumed(self) -> bool:
        """True where the doubt is the instrument's usual one, not a typed figure."""
        if self.expanded is not None:
            return False
        written, usual = self._written_doubt, self._usual_doubt
        return usual is not None and (written is None or usual > written)


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
