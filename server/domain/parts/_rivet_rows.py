"""Rows that rivet checks compute: figures with their doubt in, a row by the usual decision rule out."""

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from server.domain.conformity import combined, expanded_from_bound
from server.domain.demand import Demand, Span
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Statement
from server.domain.parts._kit import Case, Characteristic
from server.domain.parts._rivets import SOLID
from server.domain.quantities import BASE_UNIT, INCH, Kind, Quantity, write_value
from server.domain.rows import offered_text, size_row
from server.domain.sources import Source
from server.domain.specification import Joint, KnownFrom, Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict


class Figure(NamedTuple):
    """One size with its doubt: U (k = 2) in the kind's unit, None where it isn't known.

    `claimed` marks somebody's word; its doubt is then half the last step written.
    """

    value: Fraction
    doubt: Fraction | None
    claimed: bool
    text: str

    def times(self, slope: Fraction) -> "Figure":
        """The same figure as it enters a sum with this slope; only the doubt is scaled."""
        scaled = None if self.doubt is None else self.doubt * abs(slope)
        return Figure(self.value, scaled, self.claimed, self.text)


def offered_figure(case: Case, key: str) -> Figure | None:
    """What was said of the find's size; None if nothing or no single value."""
    return figure_of(case.statement(key))


def figure_of(statement: Statement | None) -> Figure | None:
    """A statement's size with its doubt; None where it says no size."""
    if statement is None or statement.quantity is None:
        return None
    quantity = statement.quantity
    claimed = statement.basis is Basis.CLAIMED
    value, half = _middle(quantity)
    if value is None:
        return None
    doubt: Fraction | None = half if claimed else statement.doubt
    if doubt is not None and not claimed and quantity.value is None:
        doubt += half  # both ends of what was read have to suit, so the middle is as doubtful as the range is wide
    if quantity.is_approximate:
        doubt = None
    return Figure(value, doubt, claimed, offered_text(statement))


def _middle(quantity: Quantity) -> tuple[Fraction | None, Fraction]:
    """The value, and half of what the text leaves open round it."""
    low, high = quantity.low, quantity.high
    if low is not None and high is not None:
        middle = quantity.value if quantity.value is not None else (low + high) / 2
        return middle, max(high - middle, middle - low)
    return quantity.value, quantity.half_step


def joint_figure(joint: Joint, quantity: Quantity | None, expanded: Fraction | None = None) -> Figure | None:
    """A size of the joint with its doubt; None where it isn't known.

    The doubt is the typed one, else the instrument's usual one, else none for
    a size taken from a drawing or manual. An estimate has no known doubt.
    """
    if quantity is None:
        return None
    value, half = _middle(quantity)
    if value is None:
        return None
    doubt = expanded
    instrument = INSTRUMENTS.get(joint.known.instrument)
    if doubt is None and instrument is not None and instrument.kind is quantity.kind:
        doubt = instrument.doubt_at(value)
    if doubt is None and joint.known.how in {KnownFrom.DRAWING, KnownFrom.MANUAL}:
        doubt = expanded_from_bound(half) if quantity.low is not None else Fraction(0)
    if quantity.is_approximate and expanded is None:
        doubt = None
    return Figure(value, doubt, False, quantity.text)


def grip_figure(joint: Joint | None) -> Figure | None:
    """Everything clamped, with the doubt of all sheets together; None while a thickness is missing."""
    if joint is None or joint.grip is None:
        return None
    sheets = [joint_figure(joint, ply.thickness, ply.expanded) for ply in joint.plies]
    doubts = [one.doubt for one in sheets if one is not None]
    known = [doubt for doubt in doubts if doubt is not None]
    doubt = combined(*known) if len(known) == len(joint.plies) else None
    text = " + ".join(one.text for one in sheets if one is not None)
    return Figure(joint.grip, doubt, False, text)


def contributing(case: Case, concern: Concern) -> Weight:
    """The weight of a row that informs: never governing."""
    weight = case.weight(concern)
    return Weight.CONTRIBUTES if weight is Weight.GOVERNS else weight


def missing_row(
    case: Case,
    key: str,
    label: str,
    concern: Concern,
    sentence: str,
    measure: MeasureNext,
    *,
    sources: tuple[Source, ...],
    wanted: str = "not known",
    offered: str = "not said",
    weight: Weight | None = None,
) -> Row:
    """An open row: something needed for the computation isn't known."""
    return Row(
        key,
        label,
        concern,
        weight or case.weight(concern),
        wanted,
        offered,
        Verdict.OPEN,
        sentence,
        sources=sources,
        measure=measure,
    )


def computed_row(
    case: Case,
    key: str,
    label: str,
    concern: Concern,
    value: Fraction,
    figures: Sequence[Figure],
    span: Span,
    *,
    wanted: str,
    offered: str,
    sources: tuple[Source, ...],
    measure: MeasureNext,
    kind: Kind = Kind.LENGTH,
    weight: Weight | None = None,
    said: str = "",
    known_from: str = "",
) -> Row:
    """A computed size against limits by the decision rule.

    `figures` are all that went into `value`, their doubts already scaled by
    how strongly they enter. One claimed figure leaves the row unproven; one
    without a known doubt leaves it open. `said` is added to the sentence,
    `measure` tells what would settle an open row, `known_from` where the
    limits are known from.
    """
    one = _named(key, label, concern, kind)
    doubts = [figure.doubt for figure in figures if figure.doubt is not None]
    if len(doubts) < len(figures):
        unsure = " and ".join(dict.fromkeys(figure.text for figure in figures if figure.doubt is None))
        row = missing_row(
            case,
            key,
            label,
            concern,
            f"{label}: {write_value(value, kind)}, but how sure {unsure} is nobody said; so it proves nothing. {said}",
            measure,
            sources=sources,
            wanted=wanted,
            offered=offered,
            weight=weight,
        )
        return replace(row, sentence=row.sentence.strip(), known_from=known_from)
    total = combined(*doubts) if doubts else Fraction(0)
    claimed = any(figure.claimed for figure in figures)
    statement = Statement(
        key,
        Basis.CLAIMED if claimed else Basis.MEASURED,
        offered.replace(" (claimed)", ""),
        quantity=Quantity(kind, value, BASE_UNIT[kind], offered, half_step=total if claimed else Fraction(0)),
        expanded=None if claimed else total,
    )
    judged = size_row(case, one, statement, (span,), wanted=wanted, sources=sources, demand=Demand(wanted, (span,)))
    assert judged is not None
    return replace(
        judged,
        weight=weight or judged.weight,
        sentence=f"{judged.sentence} {said}".strip(),
        measure=measure if judged.verdict is Verdict.OPEN else None,
        known_from=known_from,
        offered_from="computed from a claim" if claimed else "computed from measurements",
    )


@lru_cache(maxsize=256)
def _named(key: str, label: str, concern: Concern, kind: Kind) -> Characteristic:
    """What a computed row is about; the program computes a few dozen different ones."""
    return Characteristic(key, label, concern, kind)


_SLENDER = INCH / 4
_STEP, _THICK_STEP = ((step - INCH / 200, step + INCH / 200) for step in (INCH / 32, INCH / 16))
"""By how much one standard size is larger, up to 1/4 in and beyond it, with 0.005 in to spare; mm."""


def step_up(case: Case) -> bool:
    """Is the offered a solid rivet one standard step larger than the solid original (1/32 in, over 1/4 in 1/16)?"""
    was, now = case.wanted_size("body_diameter"), case.size("body_diameter")
    if was is None or now is None or {case.part_class.key, case.offered_class.key} != {SOLID}:
        return False
    low, high = _STEP if was <= _SLENDER else _THICK_STEP
    return low <= now - was <= high


_THICKER = Fraction(103, 100)


def is_larger(case: Case) -> bool:
    """Is the offered body thicker than the original's, or may it be for all that is known?"""
    was, now = case.wanted_size("body_diameter"), case.size("body_diameter")
    return was is None or now is None or now > was * _THICKER
