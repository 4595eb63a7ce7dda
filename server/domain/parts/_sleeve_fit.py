"""Does the sleeve go over, grip, and reach: bores, expandable range, length."""

from dataclasses import replace
from fractions import Fraction

from server.domain.demand import Demand
from server.domain.drawing import Drawing
from server.domain.offer import Basis, Statement
from server.domain.parts._bundle import BUNDLE_RULE, bundle_in_hole, given_bundle
from server.domain.parts._computed import (
    Given,
    Span,
    computed_row,
    demand_of,
    found,
    found_in,
    given,
    join_notes,
    label_row,
    offered_words,
    one_sided_row,
    statement_row,
    warning_weight,
)
from server.domain.parts._kit import Case
from server.domain.parts._sleeve_names import NamedSleeve, read_sleeve_name
from server.domain.parts._sleeving import EXPANDABLE, HEAT_SHRINK
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.rows import characteristic_row, judge_size, missing_offer, with_demand
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Form
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

SLIP_ON_RULE = common_practice("bore over the greatest diameter to cover; 1.1 to 1.3 times it to slide over a bundle")
SHRINK_RULE = Source("heat-shrink makers' sheets", "expanded bore over, recovered bore under", standing=Standing.SEEN)
SHRINK_LENGTH_RULE = Source("heat-shrink makers' pages", "length shrinks 5 to 15 %", standing=Standing.QUOTED)
EXPANDABLE_RULE = Source("maker's article on PET braid", "0.6 to 1.8 times nominal", standing=Standing.QUOTED)

_MEASURE_BORE = MeasureNext("bore", "Measure: bore as supplied", "Pin gauges, 0.01 mm steps", 3)
_MEASURE_RECOVERED = MeasureNext("recovered_bore", "Shrink a piece on nothing and measure its bore", "Pin gauges", 3)


def sleeve_name(case: Case) -> NamedSleeve | None:
    """The table row that the find's name stands for."""
    statement = case.statement("size_name")
    if statement is None:
        return None
    return read_sleeve_name(statement.text, is_heat_shrink=case.word("construction") == HEAT_SHRINK)


def bore_statement(case: Case) -> Statement | None:
    """The bore as stated, else the table's for the name (a claim)."""
    said = case.statement("bore")
    named = sleeve_name(case)
    if said is not None or named is None:
        return said
    return _claim("bore", f"{named.label}: {_extent(named.low, named.high)}", named.low, named.high)


def recovered_statement(case: Case) -> Statement | None:
    """The recovered bore as stated, else the table's for the name (a claim)."""
    said = case.statement("recovered_bore")
    named = sleeve_name(case)
    if said is not None or named is None or named.recovered is None:
        return said
    greatest = named.recovered
    return _claim("recovered_bore", f"{named.label}: at most {_mm(greatest)}", greatest, greatest)


def covered(case: Case) -> Given | None:
    """The diameter to be covered."""
    return given_bundle(case, "covers_diameter", "covered_wires", "covered_wire_diameter")


def shrinks(case: Case) -> bool:
    """True for heat-shrink: said so, or a recovered bore is known."""
    return case.word("construction") == HEAT_SHRINK or recovered_statement(case) is not None


def bore_rows(case: Case) -> list[Row]:
    """The bore against the original's bore where limits are known, and against what it has to cover."""
    over = covered(case)
    rows = [_original_bore(case, over)]
    if over is None or over.most is None:
        return [row for row in rows if row is not None]
    if case.word("construction") == EXPANDABLE:
        rows.append(_expandable_row(case, over))
    else:
        rows.append(_goes_over(case, over))
        if shrinks(case):
            rows.append(_grips(case, over))
        else:
            rows.append(_looseness(case, over))
    return [row for row in rows if row is not None]


def _original_bore(case: Case, over: Given | None) -> Row | None:
    one = case.part_class.characteristic("bore")
    assert one is not None
    demand = demand_of(case, "bore") or _named_demand(case)
    statement = bore_statement(case)
    if demand is None:
        return _nothing_to_cover(case) if over is None else None
    if not demand.spans and not demand.is_sample and not demand.contradiction and over is not None:
        return None  # a nominal alone decides nothing; the bundle does
    if statement is None:
        return with_demand(missing_offer(case, one, demand), demand)
    return with_demand(judge_size(case, one, demand, statement), demand)


def _nothing_to_cover(case: Case) -> Row | None:
    """Neither the original's bore nor the bundle is known: the bundle is the easier one to measure."""
    one = case.part_class.characteristic("bore")
    assert one is not None
    row = characteristic_row(case, one)
    if row is None:
        return None
    said = "Nobody knows yet how thick the bundle is that goes inside, nor what bore the original had."
    measure = MeasureNext(
        "covers_diameter", "Measure the bundle where it is thickest", "Digital calliper", 1, about_original=True
    )
    return replace(row, sentence=said, measure=measure)


def _named_demand(case: Case) -> Demand | None:
    """The original's bore by its own name, where only a name is known."""
    demand = demand_of(case, "size_name")
    if demand is None or demand.is_sample or demand.contradiction:
        return None
    named = read_sleeve_name(demand.text)
    if named is None:
        return None
    note = f"bore of “{demand.text}” taken from a table: {_extent(named.low, named.high)}"
    return Demand(
        demand.text,
        spans=((named.low, named.high),),
        wished=demand.wished,
        known_from=demand.known_from,
        assumption=join_notes((demand.assumption, note)),
        sources=(named.source,),
    )


def _goes_over(case: Case, over: Given) -> Row:
    passing = given(case, "largest_to_pass")
    widest, what, doubt = over.most, f"the bundle, {over.text}", over.doubt
    assert widest is not None
    if passing is not None and passing.most is not None and passing.most > widest:
        widest, what, doubt = passing.most, f"what it must pass, {passing.text}", passing.doubt
    rule = SHRINK_RULE if shrinks(case) else SLIP_ON_RULE
    row = _fit_row(case, "bore_over_bundle", "Bore over what goes inside", (widest, None), what, doubt, rule, over)
    named = sleeve_name(case)
    if named is None or not named.is_gauge:
        return row
    trap = f" “{named.label}” names a bare conductor of that gauge, not an insulated wire."
    return replace(row, sentence=row.sentence + trap, sources=(*row.sources, named.source))


def _grips(case: Case, over: Given) -> Row | None:
    one = label_row("recovered_grip", "Shrunk bore under what it grips", Concern.FIT, Kind.LENGTH)
    statement = recovered_statement(case)
    size = found_in(statement) if statement is not None else None
    wanted = f"under {over.text}, to grip"
    if size is None:
        return statement_row(
            case,
            one,
            Verdict.OPEN,
            "How small the tube shrinks is not known; a loose sleeve wanders.",
            wanted=wanted,
            offered="not said",
            sources=(SHRINK_RULE,),
            measure=_MEASURE_RECOVERED,
        )
    least = over.least if over.least is not None else over.most
    return computed_row(
        case,
        one,
        size,
        (None, least),
        wanted=wanted,
        rests_on="bore after shrinking",
        sources=(SHRINK_RULE,),
        measure=_MEASURE_RECOVERED,
        extra_doubt=over.doubt,
        assumption=over.note,
    )


def _fit_row(
    case: Case, key: str, label: str, span: Span, what: str, doubt: Fraction, rule: Source, over: Given
) -> Row:
    one = label_row(key, label, Concern.FIT, Kind.LENGTH)
    statement = bore_statement(case)
    size = found_in(statement) if statement is not None else None
    wanted = f"over {what}"
    sources = (rule, BUNDLE_RULE) if over.note.startswith("bundle worked out") else (rule,)
    if size is None:
        return statement_row(
            case,
            one,
            Verdict.OPEN,
            "The bore of the find is not known.",
            wanted=wanted,
            offered="not said",
            sources=sources,
            measure=_MEASURE_BORE,
        )
    return computed_row(
        case,
        one,
        size,
        span,
        wanted=wanted,
        rests_on="bore as supplied",
        sources=sources,
        measure=_MEASURE_BORE,
        extra_doubt=doubt,
        assumption=over.note,
    )


def _looseness(case: Case, over: Given) -> Row | None:
    """A bore that goes on but sits tight or loose: a warning by the trade's rule."""
    statement = bore_statement(case)
    size = found_in(statement) if statement is not None else None
    assert over.most is not None
    if size is None or size.value < over.most:
        return None
    ratio = size.value / over.most
    if Fraction(11, 10) <= ratio <= Fraction(13, 10):
        return None
    how = "tight to pull over a bundle" if ratio < Fraction(11, 10) else "loose; it will wander and look big"
    return statement_row(
        case,
        label_row("bore_looseness", "Tight or loose", Concern.FIT),
        Verdict.JUDGED,
        f"The bore is {float(ratio):.2f} times what it covers; usual is 1.1 to 1.3. This is {how}.",
        wanted="1.1 to 1.3 times the bundle",
        offered=f"{float(ratio):.2f} times",
        sources=(SLIP_ON_RULE,),
        weight=warning_weight(case, Concern.FIT),
        departs=True,
    )


def _expandable_row(case: Case, over: Given) -> Row:
    one = label_row("bore_over_bundle", "Range of the expandable braid", Concern.FIT, Kind.LENGTH)
    statement = bore_statement(case)
    size = found_in(statement) if statement is not None else None
    wanted = f"its range to hold {over.text}"
    assert over.most is not None
    least = over.least if over.least is not None else over.most
    if size is None:
        said, verdict, low, high = "The size of the braid is not known.", Verdict.OPEN, None, None
    else:
        ranged = statement is not None and statement.quantity is not None and statement.quantity.value is None
        low, high = (size.low, size.high) if ranged else (size.value * Fraction(6, 10), size.value * Fraction(18, 10))
        by = "the stated range" if ranged else "the trade's rule (0.6 to 1.8 times nominal)"
        reach = f"{_extent(low, high)} by {by}"
        if over.most > high:
            verdict, said = Verdict.AGAINST if ranged else Verdict.OPEN, f"Too small: {reach}, to cover {over.text}."
        elif least < low:
            verdict, said = Verdict.AGAINST if ranged else Verdict.OPEN, f"Too loose: {reach}, to cover {over.text}."
        else:
            verdict = Verdict.JUDGED
            near = " Near the end of its range it covers badly." if over.most > high * Fraction(9, 10) else ""
            said = f"{over.text} lies within {reach}; the weave opens as it widens, so look at the cover.{near}"
    return statement_row(
        case,
        one,
        verdict,
        said,
        wanted=wanted,
        offered="not said" if statement is None else statement.text,
        sources=(EXPANDABLE_RULE,),
        departs=verdict is Verdict.JUDGED,
        assumption=over.note,
        measure=MeasureNext("bore", "Pull a piece over the bundle and look", "eye", 1)
        if verdict is Verdict.OPEN
        else None,
    )


def length_rows(case: Case) -> list[Row]:
    """Enough length; heat-shrink loses up to 15 % of it."""
    note = "a longer piece does no harm"
    row = one_sided_row(case, "length_needed", Form.AT_LEAST, note)
    need, size = given(case, "length_needed"), found(case, "length_needed")
    if row is None or not shrinks(case) or need is None or need.least is None or size is None:
        return [row] if row is not None else []
    one = label_row("length_needed", "Length after shrinking", Concern.FIT, Kind.LENGTH)
    after = size.times(Fraction(85, 100))
    return [
        computed_row(
            case,
            one,
            after,
            (need.least, None),
            wanted=f"at least {need.text}",
            rests_on="length in all",
            sources=(SHRINK_LENGTH_RULE,),
            measure=MeasureNext("length_needed", "Measure: length in all", "Tape measure", 1),
            extra_doubt=need.doubt,
        )
    ]


def sleeve_figure(case: Case) -> Drawing | None:
    """The sleeve over its bundle, to scale; None while bore or bundle is not known."""
    over, statement = covered(case), bore_statement(case)
    size = found_in(statement) if statement is not None else None
    if over is None or over.most is None or size is None:
        return None
    wall = found(case, "wall")
    count, each = given(case, "covered_wires"), given(case, "covered_wire_diameter")
    number = int(count.most) if count is not None and count.most is not None else 1
    wire = float(each.most) if each is not None and each.most is not None else 0.0
    bore, bundle = float(size.value), float(over.most)
    outside = bore + 2 * float(wall.value) if wall is not None else 0.0
    gap = bore - bundle
    said = f"clearance {_mm(size.value - over.most)}" if gap >= 0 else f"too tight by {_mm(over.most - size.value)}"
    return Drawing(
        "Sleeve over its bundle",
        f"Section through a sleeve of {_mm(size.value)} bore with a bundle of {_mm(over.most)} inside: {said}.",
        bundle_in_hole(bore, bundle, number, wire, outside=outside, style="outline" if gap >= 0 else "against"),
    )


def size_name_row(case: Case) -> list[Row]:
    """Names compared: a name never proves a size, another name is only worth a look."""
    demand = demand_of(case, "size_name")
    statement = case.statement("size_name")
    if demand is None or statement is None or demand.is_sample:
        return []
    same = case.word("size_name") in demand.words
    one = case.part_class.characteristic("size_name")
    assert one is not None
    return [
        statement_row(
            case,
            one,
            Verdict.JUDGED,
            f"Named {statement.text}, wanted {demand.text}: a name is no measure, the bore decides.",
            wanted=demand.text,
            offered=offered_words(case, "size_name"),
            sources=(common_practice("makers number sizes each in their own way"),),
            weight=warning_weight(case, Concern.FIT, demand.wished),
            departs=not same,
            known_from=demand.known_from,
        )
    ]


def _claim(key: str, text: str, low: Fraction, high: Fraction) -> Statement:
    quantity = Quantity(Kind.LENGTH, (low + high) / 2, "mm", text, low=low, high=high)
    return Statement(key, Basis.CLAIMED, text, quantity)


def _extent(low: Fraction, high: Fraction) -> str:
    return _mm(low) if low == high else f"{_mm(low)} to {_mm(high)}"


def _mm(value: Fraction) -> str:
    return write_value(value, Kind.LENGTH)
