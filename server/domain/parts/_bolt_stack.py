"""The grip of a bolt against the stack it clamps, and the washers that take up the rest."""

from dataclasses import dataclass
from fractions import Fraction

from server.domain.an_bolts import AN_THREADS, shortest_for
from server.domain.conformity import Finding, combined, judge
from server.domain.parts._computed import found, label_row, statement_row
from server.domain.parts._kit import Case, Characteristic
from server.domain.parts._threads import offered_thread
from server.domain.quantities import INCH, Kind, as_decimal_text, write_both, write_value
from server.domain.sources import Source, Standing
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

GRIP_RULE = Source("AC 43.13-1B", "chapter 7, bolts: no thread in the bearing length", "8 Sep 1998", Standing.MEMORY)
WASHER_RULE = Source(
    "a home-builders' association sheet: at most 1½ threads in the material, at most three washers",
    standing=Standing.QUOTED,
)
WASHERS = (INCH / 16, INCH / 32)
"""Thickness of the plain AN960 washer and of its light version (public page, quoted)."""
MOST_WASHERS = 3
MOST_THREADS = Fraction(3, 2)


@dataclass(frozen=True, slots=True)
class TakeUp:
    """Washers that take up a grip longer than the stack: how many of which thickness (mm)."""

    full: int
    light: int

    @property
    def thickness(self) -> Fraction:
        """All of them together, mm."""
        return self.full * WASHERS[0] + self.light * WASHERS[1]

    def __str__(self) -> str:
        parts = [f"{self.full} × 1/16 in"] * bool(self.full) + [f"{self.light} × 1/32 in (light)"] * bool(self.light)
        return " and ".join(parts) or "none"


_WAYS = tuple(
    sorted(
        (TakeUp(full, light) for full in range(MOST_WASHERS + 1) for light in range(MOST_WASHERS + 1 - full)),
        key=lambda way: (way.full + way.light, way.thickness),
    )
)
"""Every way to stack washers, the fewest first and of those the thinnest."""


def take_up(over: Fraction) -> TakeUp | None:
    """Fewest washers at least as thick as this length (mm); None if more than three would be needed."""
    return next((way for way in _WAYS if way.thickness >= over), None)


def stack_row(case: Case) -> Row | None:
    """Grip of the find against everything it clamps; None while either is not known."""
    joint, size = case.wanted.joint, found(case, "grip")
    if joint is None or joint.grip is None or size is None:
        return None
    stack = joint.grip
    plies = [ply.expanded for ply in joint.plies if ply.expanded]
    doubt = combined(*plies) if plies else Fraction(0)
    over = size.value - stack
    one = label_row("grip_in_joint", "Grip against the stack", Concern.FIT, Kind.LENGTH)
    wanted = f"stack {write_both(stack)}"
    offered = f"grip {size.text}"
    sources = (GRIP_RULE, WASHER_RULE)
    if size.doubt is None and size.is_measured:
        return None
    spread = combined(doubt, size.doubt) if size.doubt else doubt
    if not size.is_measured:
        spread = doubt + (size.high - size.low) / 2
    finding = judge(over, spread, Fraction(0), None, case.probability).finding
    better = _better(case, stack)
    if finding is Finding.DOES_NOT:
        return _too_short(case, one, -over, wanted, offered, sources, better)
    way = take_up(over)
    if way is None:
        least = as_decimal_text(over, 2)
        said = f"Grip is {least}\u202fmm longer than the stack, more than three washers take up.{better}"
        return statement_row(
            case, one, Verdict.AGAINST, said, wanted=wanted, offered=offered, sources=sources, departs=True
        )
    if finding is not Finding.CONFORMS or not size.is_measured:
        said = (
            f"Grip is {as_decimal_text(over, 2)}\u202fmm longer than the stack"
            if over >= 0
            else f"Grip is {as_decimal_text(-over, 2)}\u202fmm shorter than the stack"
        )
        return statement_row(
            case,
            one,
            Verdict.OPEN,
            f"{said}{'' if size.is_measured else ' by its claim'}, with ±{as_decimal_text(spread, 2)}\u202fmm of doubt."
            f" Washers to take it up: {way}. Measure the grip and the stack, or try it in place.",
            wanted=wanted,
            offered=offered,
            sources=sources,
            measure=MeasureNext("grip", "Measure: grip, and the stack in place", "calliper and depth gauge", 2),
        )
    if way.full + way.light <= 1:
        said = f"Grip covers the stack and is {as_decimal_text(over, 2)}\u202fmm longer; washers under the nut: {way}."
        return statement_row(case, one, Verdict.PROVEN, said, wanted=wanted, offered=offered, sources=sources)
    said = (
        f"Grip is {as_decimal_text(over, 2)}\u202fmm longer than the stack and is taken up by washers: {way},"
        f" {as_decimal_text(way.thickness - over, 2)}\u202fmm to spare. A person has to answer for so many washers."
    )
    return statement_row(case, one, Verdict.JUDGED, said, wanted=wanted, offered=offered, sources=sources, departs=True)


def _better(case: Case, stack: Fraction) -> str:
    """Which AN bolt of the find's size covers this stack; "" where the find's thread is none of theirs."""
    thread = offered_thread(case, "thread")
    size = next(
        (number for number, one in AN_THREADS.items() if thread is not None and one == thread.designation), None
    )
    bolt = shortest_for(size, stack) if size is not None else None
    if bolt is None or bolt.grip is None:
        return ""
    return (
        f" The shortest AN{bolt.size} that covers it is dash {bolt.dash}, grip {write_value(bolt.grip, Kind.LENGTH)}."
    )


def _too_short(
    case: Case,
    one: Characteristic,
    short: Fraction,
    wanted: str,
    offered: str,
    sources: tuple[Source, ...],
    better: str,
) -> Row:
    thread = offered_thread(case, "thread")
    said = f"Grip is {as_decimal_text(short, 2)}\u202fmm shorter than the stack: thread bears in the hole.{better}"
    if thread is not None and thread.pitch is not None and short <= MOST_THREADS * thread.pitch:
        turns = as_decimal_text(short / thread.pitch, 1)
        return statement_row(
            case,
            one,
            Verdict.JUDGED,
            f"{said} It is {turns} threads; up to 1½ are let pass by some, in no shear joint; a person answers for it.",
            wanted=wanted,
            offered=offered,
            sources=sources,
            departs=True,
        )
    return statement_row(
        case, one, Verdict.AGAINST, said, wanted=wanted, offered=offered, sources=sources, departs=True
    )
