"""What the original was: requirements, each with where it is known from, and the joint it sits in."""

import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from server.domain.instruments import INSTRUMENTS
from server.domain.quantities import Quantity


class Use(StrEnum):
    """What the aeroplane will be."""

    DISPLAY = "static display"
    PERMIT = "flying under a permit or experimental certificate"
    CERTIFIED = "flying under a type certificate"

    @property
    def flies(self) -> bool:
        """True for anything that leaves the ground."""
        return self is not Use.DISPLAY


class Role(StrEnum):
    """What the part does on the aeroplane; not said yet is held as strictly as primary structure."""

    PRIMARY = "primary structure"
    SECONDARY = "secondary structure"
    CONTROL = "flight or engine control"
    SYSTEMS = "systems"
    FURNISHING = "furnishing"
    APPEARANCE = "appearance"
    UNKNOWN = "not said yet"


class Layer(StrEnum):
    """Three different things that are never mixed: what was drawn, found, and is fitted now."""

    DESIGNED = "as designed"
    FOUND = "as found"
    FITTED = "as fitted now"


class Form(StrEnum):
    """How a requirement binds."""

    LIMITS = "limits"
    AT_LEAST = "at least"
    AT_MOST = "at most"
    ONE_OF = "one of"
    EXACTLY = "exactly"
    AS_SAMPLE = "as the sample"


class Weight(StrEnum):
    """How a row counts in the whole. Ordered: governs binds most."""

    GOVERNS = "governs"
    CONTRIBUTES = "contributes"
    APPEARANCE = "appearance only"

    @property
    def rank(self) -> int:
        """0 binds most."""
        return _RANKS[self]


_RANKS = {one: place for place, one in enumerate(Weight)}


class KnownFrom(StrEnum):
    """Where a figure of the original is known from, the firmest first."""

    DRAWING = "drawing"
    MANUAL = "manual"
    ON_ORIGINAL = "measured on the original"
    OTHER_AIRFRAME = "measured on another airframe"
    CATALOGUE = "catalogue"
    ESTIMATE = "estimate"


@dataclass(frozen=True, slots=True)
class Known:
    """Where it is known from: kind, document or piece, and with what it was measured."""

    how: KnownFrom
    reference: str = ""
    instrument: str = ""

    def __str__(self) -> str:
        used = INSTRUMENTS.get(self.instrument)
        instrument = used.said if used else self.instrument
        return ", ".join([part for part in (str(self.how), self.reference, instrument) if part])


@dataclass(frozen=True, slots=True)
class Requirement:
    """One demand on one characteristic, as one source gives it.

    `quantity` carries value and limits of a size (limits written in it, a
    nominal without limits, or one side for at least / at most); `words` the
    accepted words of a characteristic that is no size; `one_of` a wanted set of
    sizes. `expanded` is U
    (k = 2) where the requirement itself was measured. `decided` holds the
    reason why this one stands where sources disagree.
    """

    characteristic: str
    form: Form
    text: str
    quantity: Quantity | None = None
    words: tuple[str, ...] = ()
    one_of: tuple[Quantity, ...] = ()
    layer: Layer = Layer.DESIGNED
    known: Known = Known(KnownFrom.ESTIMATE)
    weight: Weight | None = None
    expanded: Fraction | None = None
    serials: str = ""
    side: str = ""
    decided: str = ""
    id: str = ""


class Access(StrEnum):
    """From where the joint can be reached."""

    BOTH = "both sides"
    ONE = "one side only"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class Ply:
    """One sheet of a stack, from the made head inwards."""

    name: str
    material: str
    thickness: Quantity | None
    expanded: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """What a rivet or bolt clamps, as far as it is known; lengths in mm inside the quantities."""

    plies: tuple[Ply, ...] = ()
    hole: Quantity | None = None
    hole_expanded: Fraction | None = None
    edge_distance: Quantity | None = None
    pitch: Quantity | None = None
    seat_angle: Quantity | None = None
    access: Access = Access.UNKNOWN
    known: Known = Known(KnownFrom.ESTIMATE)

    @property
    def grip(self) -> Fraction | None:
        """Everything clamped, in mm; None while one thickness is missing."""
        total: Fraction | None = None
        for ply in self.plies:
            if ply.thickness is None or ply.thickness.value is None:
                return None
            total = ply.thickness.value if total is None else total + ply.thickness.value
        return total

    @property
    def thickest(self) -> Fraction | None:
        """The thickest sheet in mm; None while one is missing."""
        if self.grip is None:
            return None
        return max(ply.thickness.value for ply in self.plies if ply.thickness and ply.thickness.value)


@dataclass(frozen=True, slots=True)
class Wanted:
    """All that is asked of a stand-in at one place of one aeroplane."""

    part_class: str
    requirements: tuple[Requirement, ...] = ()
    joint: Joint | None = None
    role: Role = Role.SECONDARY
    use: Use = Use.DISPLAY
    touches: tuple[str, ...] = ()
    serial: str = ""
    side: str = ""
    name: str = ""
    arm: str = ""
    """How far from the datum it sits, as written: "1.85 m aft of datum"; see `weight.read_arm`."""


def holds_for(requirement: Requirement, serial: str, side: str) -> bool | None:
    """Does this requirement hold for our serial and side? None where that can't be told.

    Serials are written as one number, a list, or a range ("12-40", "from 15", "to 30").
    """
    if not _sides_meet(requirement.side, side):
        return False
    if not requirement.serials.strip():
        return True
    ours = re.sub(r"\D", "", serial)
    ranges = _ranges(requirement.serials)
    if not ours or ranges is None:
        return None
    number = int(ours)
    return any(first <= number and (last is None or number <= last) for first, last in ranges)


def may_both_hold(one: Requirement, other: Requirement) -> bool:
    """Can the two hold for one serial and side? True too where serials can't be read: they may be any."""
    if not _sides_meet(one.side, other.side):
        return False
    ours, theirs = _ranges(one.serials), _ranges(other.serials)
    if not ours or not theirs:
        return True
    return any(
        (b_last is None or a_first <= b_last) and (a_last is None or b_first <= a_last)
        for a_first, a_last in ours
        for b_first, b_last in theirs
    )


def _sides_meet(one: str, other: str) -> bool:
    return not one or not other or one.casefold() == other.casefold()


def _ranges(serials: str) -> list[tuple[int, int | None]] | None:
    """Serials as first and last of each range, open ones without a last; [] for all of them, None if unreadable."""
    text = serials.strip().casefold()
    ranges: list[tuple[int, int | None]] = []
    for part in re.split(r"[,;]| and ", text) if text else ():
        found = re.fullmatch(r"\s*(?:(from|to|up to)\s*)?(\d+)(?:\s*(?:-|–|to|bis)\s*(\d+))?\s*", part)
        if not found:
            return None
        word, first, last = found.group(1), int(found.group(2)), found.group(3)
        if word == "from":
            ranges.append((first, None))
        elif word:
            ranges.append((0, first))
        else:
            ranges.append((first, int(last or first)))
    return ranges
