"""What a bolt is asked: number, thread, shank, grip against the stack, and what it carries."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from server.domain.an_bolts import (
    GRIP_TABLE,
    GRIP_TOLERANCE,
    LENGTH_OVER,
    LENGTH_UNDER,
    NUMBER_RULE,
    AnBolt,
    nas_grip,
    read_an_bolt,
)
from server.domain.demand import demand_for, standing_requirements
from server.domain.errors import Unreadable
from server.domain.offer import Basis, Statement
from server.domain.parts._bolt_loads import strength_rows
from server.domain.parts._bolt_stack import stack_row
from server.domain.parts._computed import computed_row, found, label_row, statement_row
from server.domain.parts._kit import Case
from server.domain.parts._threads import thread_row
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.rows import characteristic_row
from server.domain.sources import method
from server.domain.specification import Form, Requirement
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

COVERED = frozenset(
    {"thread", "shank_diameter", "grip", "length_under_head", "strength_class", "tensile_strength", "standard_number"}
)


def bolt_rows(case: Case) -> Iterable[Row]:
    """All rows of a bolt that the general ones don't cover."""
    yield from _number_faults(case)
    stated = case
    case = with_numbers_read(case)
    for key in ("thread", "shank_diameter", "grip", "length_under_head"):
        one = case.part_class.characteristic(key)
        assert one is not None
        row = thread_row(case, one) if key == "thread" else characteristic_row(case, one)
        if row is not None:
            yield row if _is_stated(stated, case, key) else replace(row, sources=(*row.sources, GRIP_TABLE))
    for extra in (_enters(case), stack_row(case)):
        if extra is not None:
            yield extra
    yield from strength_rows(case)


def _is_stated(stated: Case, case: Case, key: str) -> bool:
    """False where a number had to say this for the original or the find."""
    wanted = {one.characteristic for one in stated.wanted.requirements}
    added = key not in wanted and any(one.characteristic == key for one in case.wanted.requirements)
    return not added and stated.statement(key) is case.statement(key)


def _number_faults(case: Case) -> Iterable[Row]:
    for text, is_wanted in ((_wanted_number(case), True), (_offered_number(case), False)):
        try:
            read_an_bolt(text)
        except Unreadable as fault:
            yield statement_row(
                case,
                label_row("number_fault", "Bolt number", Concern.FIT),
                Verdict.OPEN,
                str(fault),
                wanted=text if is_wanted else "—",
                offered="—" if is_wanted else text,
                sources=(NUMBER_RULE,),
                measure=MeasureNext(
                    "standard_number", "Read the number again", "the part, packet or list", 1, is_wanted
                ),
            )


def _wanted_number(case: Case) -> str:
    standing, _ = standing_requirements(case, "standard_number")
    return standing[0].text if standing else ""


def _offered_number(case: Case) -> str:
    statement = case.statement("standard_number")
    return statement.text if statement is not None else ""


def _bolt(text: str) -> AnBolt | None:
    try:
        return read_an_bolt(text)
    except Unreadable:
        return None


def with_numbers_read(case: Case) -> Case:
    """The case with what AN numbers on either side say, where nothing else was said of it."""
    wanted, offered = case.wanted, case.offered
    standing, _ = standing_requirements(case, "standard_number")
    ours, theirs = _said_by(_wanted_number(case)), _said_by(_offered_number(case))
    if ours:
        known = {one.characteristic for one in wanted.requirements}
        number = standing[0]
        added = [
            Requirement(key, Form.LIMITS if quantity else Form.EXACTLY, text, quantity, words=words, layer=number.layer,
                        known=number.known)
            for key, text, quantity, words in ours
            if key not in known
        ]  # fmt: skip
        wanted = replace(wanted, requirements=(*wanted.requirements, *added))
    if theirs:
        known = {one.characteristic for one in offered.statements}
        # the number names the nominal shank; what the piece has is for the micrometer
        claims = [
            Statement(key, Basis.CLAIMED, text, quantity, words)
            for key, text, quantity, words in theirs
            if key not in known and key != "shank_diameter"
        ]
        offered = replace(offered, statements=(*offered.statements, *claims))
    return replace(case, wanted=wanted, offered=offered)


Said = tuple[str, str, Quantity | None, tuple[str, ...]]
"""Characteristic, text, size and words."""


def _said_by(number: str) -> list[Said]:
    bolt = _bolt(number)
    if bolt is None:
        grip = nas_grip(number)
        return [] if grip is None else [("grip", *_length(number, grip, None, None), ())]
    said: list[Said] = [
        ("thread", f"{bolt.thread} by {bolt.number}", None, (bolt.thread.designation,)),
        ("shank_diameter", *_length(bolt.number, bolt.diameter, None, None), ()),
    ]
    if bolt.material == "steel":
        said.append(("strength_class", f"AN steel by {bolt.number}", None, ("AN steel",)))
    if bolt.grip is not None:
        said.append(("grip", *_length(bolt.number, bolt.grip, GRIP_TOLERANCE, GRIP_TOLERANCE), ()))
    if bolt.length_under_head is not None:
        said.append(("length_under_head", *_length(bolt.number, bolt.length_under_head, LENGTH_UNDER, LENGTH_OVER), ()))
    return said


def _length(number: str, value: Fraction, under: Fraction | None, over: Fraction | None) -> tuple[str, Quantity]:
    text = f"{write_value(value, Kind.LENGTH, 4, unit='in')} by {number}"
    low = value - under if under is not None else None
    high = value + over if over is not None else None
    return text, Quantity(Kind.LENGTH, value, "in", text, low, high)


def _enters(case: Case) -> Row | None:
    """A shank that is thicker than the measured hole does not go in; said only then, or where it is in doubt."""
    joint, size = case.wanted.joint, found(case, "shank_diameter")
    asked = case.part_class.characteristic("clearance")
    if joint is None or joint.hole is None or joint.hole.value is None or size is None:
        return None
    if asked is not None and (demand_for(case, asked) or standing_requirements(case, "fit")[0]):
        return None
    hole, doubt = joint.hole.value, joint.hole_expanded or Fraction(0)
    gap = replace(size, value=hole - size.value, low=hole - size.high, high=hole - size.low)
    row = computed_row(
        case,
        label_row("enters", "Goes into the hole", Concern.FIT, Kind.LENGTH),
        gap,
        (Fraction(0), None),
        wanted=f"hole {joint.hole.text}",
        rests_on="shank diameter",
        sources=(method("a shank goes into a hole no smaller than itself"),),
        extra_doubt=doubt,
    )
    return row if row.verdict is Verdict.AGAINST else None
