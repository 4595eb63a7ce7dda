"""What part classes share for computing: sizes known of the place and of the find, one-sided and computed rows."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from server.domain.conformity import combined
from server.domain.demand import Demand, demand_for, standing_requirements
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Statement
from server.domain.parts._kit import Case, Characteristic, in_sentence
from server.domain.quantities import BASE_UNIT, Kind, Quantity, write_value
from server.domain.rows import (
    characteristic_row,
    judge_size,
    missing_offer,
    missing_original,
    offered_text,
    size_row,
    with_demand,
    write_span,
)
from server.domain.sources import Source, common_practice
from server.domain.specification import Form, KnownFrom, Requirement, Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

FAMILY = "Electrical"

AC_EDITION = "Change 1, 27 Sep 2001"

Span = tuple[Fraction | None, Fraction | None]


def ac(place: str) -> Source:
    """A place in chapter 11 of AC 43.13-1B, read there."""
    return Source("AC 43.13-1B", place, AC_EDITION)


def between(low: str, high: str) -> tuple[Fraction, Fraction]:
    """A plausible range, in the kind's own unit."""
    return Fraction(low), Fraction(high)


@dataclass(frozen=True, slots=True)
class Given:
    """A size known of the place or of the original, read at its widest.

    `least` and `most` are the ends of everything that stands, in the kind's
    unit; None on a side that no source closes. `doubt` is U (k = 2) where it
    was measured. `note` says what had to be assumed.
    """

    text: str
    least: Fraction | None
    most: Fraction | None
    doubt: Fraction = Fraction(0)
    known_from: str = ""
    note: str = ""


def given(case: Case, key: str) -> Given | None:
    """What is known of this size of the place; None while nothing is."""
    standing, _ = standing_requirements(case, key)
    sizes = [(row, row.quantity) for row in standing if row.quantity is not None]
    if not sizes:
        return None
    lows = [_low(row, quantity) for row, quantity in sizes]
    highs = [_high(row, quantity) for row, quantity in sizes]
    notes = []
    if any(row.known.how is KnownFrom.ESTIMATE for row, _ in sizes):
        notes.append(f"“{sizes[0][0].text}” is only estimated")
    elif any(quantity.is_approximate for _, quantity in sizes):
        notes.append(f"“{sizes[0][0].text}” is only approximate")
    if len({row.text for row, _ in sizes}) > 1:
        notes.append("several sources; the widest reading of all of them was taken")
    return Given(
        " · ".join(dict.fromkeys(row.text for row, _ in sizes)),
        None if None in lows else min(low for low in lows if low is not None),
        None if None in highs else max(high for high in highs if high is not None),
        max(_doubt(row, quantity) for row, quantity in sizes),
        "; ".join(dict.fromkeys(str(row.known) for row, _ in sizes)),
        "; ".join(notes),
    )


def _low(row: Requirement, quantity: Quantity) -> Fraction | None:
    if row.form is Form.AT_MOST:
        return quantity.low
    return quantity.low if quantity.low is not None else quantity.value


def _high(row: Requirement, quantity: Quantity) -> Fraction | None:
    if row.form is Form.AT_LEAST:
        return quantity.high
    return quantity.high if quantity.high is not None else quantity.value


def _doubt(row: Requirement, quantity: Quantity) -> Fraction:
    if row.expanded is not None:
        return row.expanded
    instrument = INSTRUMENTS.get(row.known.instrument)
    if instrument is None or instrument.kind is not quantity.kind or quantity.value is None:
        return Fraction(0)
    return instrument.doubt_at(quantity.value)


@dataclass(frozen=True, slots=True)
class Found:
    """A size of the find, or one computed from it: its value, its doubt, and whether somebody measured it.

    `low` and `high` are the extent of a claim. A measured size without a
    known doubt keeps `doubt` None and proves nothing.
    """

    value: Fraction
    low: Fraction
    high: Fraction
    doubt: Fraction | None
    is_measured: bool
    text: str

    def times(self, factor: Fraction, share: float = 0.0) -> "Found":
        """The size multiplied; `share` is the relative doubt (k = 2) of the factor itself."""
        doubt = self.doubt
        if doubt is not None:
            doubt = combined(doubt * factor, Fraction(share).limit_denominator(10**9) * self.value * factor)
        spread = Fraction(share).limit_denominator(10**9)
        low, high = self.low * factor * (1 - spread), self.high * factor * (1 + spread)
        return replace(self, value=self.value * factor, low=low, high=high, doubt=doubt)


def found(case: Case, key: str) -> Found | None:
    """The size of the find to go by; None if it was not said."""
    statement = case.statement(key)
    return None if statement is None else found_in(statement)


def found_in(statement: Statement) -> Found | None:
    """The size in one statement; the middle of a bare range; None where it holds no size."""
    quantity = statement.quantity
    if quantity is None:
        return None
    sides = [side for side in (quantity.low, quantity.high) if side is not None]
    value = quantity.value if quantity.value is not None else sum(sides, Fraction(0)) / len(sides) if sides else None
    if value is None:
        return None
    doubt = Fraction(0) if quantity.kind is Kind.COUNT else statement.doubt
    if doubt is not None and quantity.value is None and len(sides) == 2:
        # both ends of what was read have to suit, so the middle is as doubtful as the range is wide
        doubt += (sides[1] - sides[0]) / 2
    return Found(
        value,
        quantity.low if quantity.low is not None else value - quantity.half_step,
        quantity.high if quantity.high is not None else value + quantity.half_step,
        doubt,
        statement.basis is Basis.MEASURED,
        statement.text,
    )


def one_sided_row(case: Case, key: str, form: Form, note: str) -> Row | None:
    """The general row of a size where only one side can be wrong: a longer piece, a hotter class.

    A bare nominal of the original becomes that side's limit, and `note` says so.
    """
    one = case.part_class.characteristic(key)
    assert one is not None
    demand = demand_for(case, one)
    statement = case.statement(key)
    if demand is None:
        return missing_original(case, one, statement) if one.essential else None
    demand = one_sided(demand, form, note)
    if statement is None:
        return with_demand(missing_offer(case, one, demand), demand)
    return with_demand(judge_size(case, one, demand, statement), demand)


def one_sided(demand: Demand, form: Form, note: str) -> Demand:
    """The demand with the harmless side opened."""
    if demand.is_sample or demand.contradiction:
        return demand
    at_least = form is Form.AT_LEAST
    if not demand.spans:
        if demand.nominal is None:
            return demand
        span: Span = (demand.nominal, None) if at_least else (None, demand.nominal)
        assumed = "; ".join(part for part in (demand.assumption, note) if part)
        return demand._replace(spans=(span,), assumption=assumed)
    ends = [span[0] if at_least else span[1] for span in demand.spans]
    known = [end for end in ends if end is not None]
    if not known:
        return demand
    return demand._replace(spans=((min(known), None) if at_least else (None, max(known)),))


def computed_row(
    case: Case,
    one: Characteristic,
    size: Found,
    span: Span,
    *,
    wanted: str,
    rests_on: str,
    sources: tuple[Source, ...],
    measure: MeasureNext | None = None,
    extra_doubt: Fraction = Fraction(0),
    assumption: str = "",
    wished: Weight | None = None,
) -> Row:
    """A row about something worked out from the find, judged like a measured size.

    `one` names the row (it need not be a characteristic of the class);
    `rests_on` is the size of the find it was worked out from. From a claim
    only a refusal follows, never a proof.
    """
    assert one.kind is not None
    text = write_value(size.value, one.kind)
    claimed = None if size.is_measured else size
    statement = Statement(
        one.key,
        Basis.MEASURED if size.is_measured else Basis.CLAIMED,
        text,
        Quantity(
            one.kind,
            size.value,
            BASE_UNIT[one.kind],
            text,
            low=claimed.low if claimed else None,
            high=claimed.high if claimed else None,
        ),
        expanded=size.doubt,
    )
    demand = Demand(wanted, (span,), wished=wished, expanded=extra_doubt)
    row = size_row(
        case, one, statement, (span,), wanted=wanted, sources=sources, extra_doubt=extra_doubt, demand=demand
    )
    assert row is not None
    sentence = row.sentence if size.is_measured else _claimed_sentence(one, text, row.verdict, span, rests_on, size)
    return replace(
        row,
        sentence=sentence,
        offered_from=f"worked out from the {rests_on}: {size.text}",
        measure=measure if row.verdict is Verdict.OPEN else None,
        assumption="; ".join(part for part in (row.assumption, assumption) if part),
    )


def _claimed_sentence(one: Characteristic, text: str, verdict: Verdict, span: Span, rests_on: str, size: Found) -> str:
    assert one.kind is not None
    label, limits = one.label, write_span(span, one.kind)
    if verdict is Verdict.AGAINST:
        return f"{label}: {text} by the claimed {rests_on} ({size.text}), outside {limits}."
    inside = (span[0] is None or size.low >= span[0]) and (span[1] is None or size.high <= span[1])
    said = "which would suit" if inside else "which may be outside"
    return f"{label}: {text} by the claimed {rests_on} ({size.text}), {said} ({limits}); check the {rests_on} first."


def statement_row(
    case: Case,
    one: Characteristic,
    verdict: Verdict,
    sentence: str,
    *,
    wanted: str,
    offered: str,
    sources: tuple[Source, ...],
    weight: Weight | None = None,
    wished: Weight | None = None,
    assumption: str = "",
    caution: str = "",
    departs: bool = False,
    measure: MeasureNext | None = None,
    known_from: str = "",
) -> Row:
    """A row that a check decided by words; its weight from the strictness table unless given."""
    return Row(
        one.key,
        one.label,
        one.concern,
        weight or case.weight(one.concern, wished),
        wanted,
        offered,
        verdict,
        sentence,
        sources=sources,
        assumption=assumption,
        caution=caution,
        departs=departs,
        measure=measure,
        known_from=known_from,
    )


def warning_weight(case: Case, concern: Concern, wished: Weight | None = None) -> Weight:
    """The weight of a second check that warns: contributes, unless the shop or the requirement binds it harder."""
    shop = case.strictness.tightened.get((case.wanted.use, case.wanted.role, concern))
    return min((one for one in (Weight.CONTRIBUTES, shop, wished) if one is not None), key=lambda one: one.rank)


def ask_place(case: Case, *keys: str) -> str:
    """Labels of the place's sizes that are still missing: "current of the circuit, length of the run"."""
    labels = [
        in_sentence(one.label) for key in keys if (one := case.part_class.characteristic(key)) and not given(case, key)
    ]
    return ", ".join(labels)


@lru_cache(maxsize=256)
def label_row(key: str, label: str, concern: Concern, kind: Kind | None = None) -> Characteristic:
    """The name of a computed row; the program has a few dozen of them."""
    return Characteristic(key, label, concern, kind)


def join_notes(notes: Iterable[str]) -> str:
    """Assumptions in one text, each once."""
    return "; ".join(dict.fromkeys(note for note in notes if note))


WORD_PRACTICE = common_practice("same word, same thing, once somebody has looked")


def offered_words(case: Case, key: str) -> str:
    """What was said of this word, as the sheet prints it; "not said" where nothing was."""
    statement = case.statement(key)
    return offered_text(statement) if statement is not None else "not said"


def is_checked(case: Case, key: str) -> bool:
    """True where somebody looked at the word, not just claimed it."""
    statement = case.statement(key)
    return statement is not None and statement.basis is Basis.MEASURED


def demand_of(case: Case, key: str) -> Demand | None:
    """The demand on one characteristic of the class; None where nothing is known of the original."""
    one = case.part_class.characteristic(key)
    return demand_for(case, one) if one is not None else None


def may_differ(case: Case, key: str, why: str, source: Source) -> Row | None:
    """The general row of a word, where another listed word is a person's decision and no refusal."""
    one = case.part_class.characteristic(key)
    assert one is not None
    row = characteristic_row(case, one)
    if row is None or row.verdict is not Verdict.AGAINST:
        return row
    said = f"{one.label}: wanted {row.wanted}, offered {row.offered}. {why}"
    return replace(row, verdict=Verdict.JUDGED, sentence=said, sources=(source,), departs=True, measure=None)


def place_word(case: Case, key: str) -> str:
    """The word known of the place, as its key; "" if not said or if the sources disagree."""
    demand = demand_of(case, key)
    return demand.words[0] if demand is not None and len(demand.words) == 1 else ""


def as_stamped(row: Row) -> Row:
    """A rating is read off the piece, not measured with a meter: the row asks for that."""
    if row.measure is None or row.measure.about_original:
        return row
    read = replace(
        row.measure, what=f"Read off the piece: {in_sentence(row.label)}", instrument="stamp, tag or maker's sheet"
    )
    return replace(row, measure=read)
