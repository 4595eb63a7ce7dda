"""Is the conductor as good as the original's: resistance first, area as a warning, metal, strands.

The order (resistance, then area, then class, diameter, terminals) is common
practice; the reason is that names and areas mislead and resistance does not.
"""

from dataclasses import replace
from fractions import Fraction

from server.domain.demand import Demand
from server.domain.offer import Basis, Statement
from server.domain.parts._computed import (
    ac,
    demand_of,
    found,
    found_in,
    is_checked,
    join_notes,
    may_differ,
    offered_words,
    one_sided,
    statement_row,
    warning_weight,
)
from server.domain.parts._kit import Case
from server.domain.parts._wire_names import (
    ALUMINIUM,
    BY_OUTSIDE,
    COPPER,
    IACS,
    METRIC,
    METRIC_7,
    METRIC_SMALL,
    WireSize,
    read_wire_name,
)
from server.domain.parts._wires import SOLID, STRANDINGS
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.rows import judge_size, missing_offer, missing_original, with_demand, write_span
from server.domain.sources import common_practice, from_memory
from server.domain.specification import Form
from server.domain.verdict import MeasureNext, Row, Verdict

RESISTANCE_FIRST = common_practice("greatest resistance at 20 °C decides, the area warns")
NAME_RULE = common_practice("a wire's name is no area")
ALUMINIUM_RULE = ac("p. 11-23, note on aluminium")
STRAND_RULE = common_practice("solid wire breaks where it shakes; finer strands bend better")
PLATING_RULE = from_memory("tin to 150 °C, silver to 200 °C, nickel above; crimps and solder go by the plating")
INSULATION_RULE = common_practice("another insulation is another wire: heat, fluids, smoke, stripping, look")

_MEASURE_RESISTANCE = MeasureNext(
    "line_resistance", "Measure: resistance of a known length", "Four-wire milliohm meter", 3
)


def wanted_name(case: Case) -> WireSize | None:
    """The size the original's name stands for."""
    demand = demand_of(case, "size_name")
    if demand is None or demand.is_sample or demand.contradiction:
        return None
    return read_wire_name(demand.text, is_wanted=True)


def offered_name(case: Case) -> WireSize | None:
    """The size the find's name stands for."""
    statement = case.statement("size_name")
    return None if statement is None else read_wire_name(statement.text, is_wanted=False)


def resistance_demand(case: Case) -> tuple[Demand | None, Fraction | None]:
    """The greatest resistance asked for, and a looser limit where a mm² name allows one (Ω/km).

    A figure, else the name's, else copper of the wanted area. Square
    millimetres on an old drawing are read as copper area, the cautious way;
    today's standard lets a wire of that name have more resistance.
    """
    demand = demand_of(case, "line_resistance")
    if demand is not None:
        return one_sided(demand, Form.AT_MOST, "the original's figure taken as the greatest allowed"), None
    name, said = wanted_name(case), demand_of(case, "size_name")
    if name is not None and said is not None:
        if name.system in {METRIC, METRIC_7, METRIC_SMALL}:
            return _of_area(name.area, said), name.resistance
        text = f"{said.text}: {_ohms(name.resistance_low)}"
        return _limit(
            said, text, name.resistance_low, f"greatest resistance by the name: {name.note or name.system}", name
        ), None
    area = demand_of(case, "conductor_area")
    if area is None or area.is_sample or area.contradiction:
        return None, None
    least = max((span[0] for span in area.spans if span[0] is not None), default=area.nominal)
    if least is None or least <= 0:
        return None, None
    metric = read_wire_name(f"{float(least):g} mm²", is_wanted=True)
    loose = metric.resistance if metric is not None and metric.area == least else None
    return _of_area(least, area), loose


def _of_area(area: Fraction, said: Demand) -> Demand:
    limit = COPPER / area
    note = f"“{said.text}” read as copper area: at most {_ohms(limit)}"
    return Demand(
        f"{said.text}: {_ohms(limit)}",
        spans=((None, limit),),
        wished=said.wished,
        known_from=said.known_from,
        assumption=join_notes((said.assumption, note)),
        sources=(IACS,),
    )


def _limit(said: Demand, text: str, limit: Fraction, note: str, name: WireSize) -> Demand:
    return Demand(
        text,
        spans=((None, limit),),
        wished=said.wished,
        known_from=said.known_from,
        assumption=join_notes((said.assumption, note)),
        sources=(name.source,),
    )


def resistance_statement(case: Case) -> Statement | None:
    """The find's resistance: as stated, else by its name, else copper of its area; the last two are claims.

    From an area the copper alone is the least it can have; lay and tin add up to four per cent.
    """
    said = case.statement("line_resistance")
    if said is not None:
        return said
    name = offered_name(case)
    metal = ALUMINIUM / COPPER if case.word("conductor_material") == "aluminium" else Fraction(1)
    if name is not None:
        low, high = name.resistance_low * metal, name.resistance * metal
        return _claim(f"{_extent(low, high)} by the name {name.name}", low, high)
    area = found(case, "conductor_area")
    if area is None or area.low <= 0:
        return None
    low = COPPER * metal / (area.high + (area.doubt or Fraction(0)))
    high = COPPER * metal * Fraction(104, 100) / max(area.low - (area.doubt or Fraction(0)), area.low / 2)
    return _claim(f"{_extent(low, high)} worked out from {area.text}", low, high)


def resistance_rows(case: Case) -> list[Row]:
    """The conductor's resistance against the original's: the row that decides."""
    one = case.part_class.characteristic("line_resistance")
    assert one is not None
    demand, loose = resistance_demand(case)
    statement = resistance_statement(case)
    if demand is None:
        # with the whole circuit known the drop is judged by itself
        if all(demand_of(case, key) for key in ("current", "run_length", "system_voltage")):
            return []
        return [missing_original(case, one, statement)]
    if statement is None:
        return [with_demand(missing_offer(case, one, demand), demand)]
    row = with_demand(judge_size(case, one, demand, statement), demand)
    row = replace(row, sources=(*row.sources, RESISTANCE_FIRST))
    size = found_in(statement)
    if row.verdict is Verdict.AGAINST and loose is not None and size is not None:
        least = size.value - (size.doubt or Fraction(0)) if size.is_measured else size.low
        if least <= loose:
            row = replace(
                row,
                verdict=Verdict.OPEN,
                sentence=f"{row.sentence} Today's standard lets a wire of that name have up to {_ohms(loose)};"
                " what the original really had decides.",
                measure=replace(
                    _MEASURE_RESISTANCE, what="Measure the resistance of a piece of the original", about_original=True
                ),
            )
    if row.verdict is Verdict.OPEN and not row.measure:
        row = replace(row, measure=_MEASURE_RESISTANCE)
    return [row]


def area_rows(case: Case) -> list[Row]:
    """The metal area against the original's: it warns and does not refuse."""
    one = case.part_class.characteristic("conductor_area")
    assert one is not None
    demand = demand_of(case, "conductor_area")
    wanted, offered = wanted_name(case), offered_name(case)
    if demand is not None:
        demand = one_sided(demand, Form.AT_LEAST, "the original's area taken as the least")
    elif wanted is not None:
        said = demand_of(case, "size_name")
        assert said is not None
        demand = Demand(
            f"{said.text}: {write_value(wanted.area, Kind.AREA)}",
            spans=((wanted.area, None),),
            known_from=said.known_from,
            assumption=said.assumption,
            sources=(wanted.source,),
        )
    statement = case.statement("conductor_area")
    if statement is None and offered is not None:
        text = f"{write_value(offered.area, Kind.AREA)} by the name {offered.name}"
        quantity = Quantity(Kind.AREA, offered.area, "mm²", text)
        statement = Statement("conductor_area", Basis.CLAIMED, text, quantity)
    if demand is None or statement is None:
        return []
    row = with_demand(judge_size(case, one, demand, statement), demand)
    return [
        replace(
            row,
            weight=warning_weight(case, one.concern, demand.wished),
            sources=(*row.sources, RESISTANCE_FIRST),
        )
    ]


def name_rows(case: Case) -> list[Row]:
    """Traps in the names: an outside diameter taken for an area, one number in two systems, a lost zero."""
    one = case.part_class.characteristic("size_name")
    assert one is not None
    wanted, offered = wanted_name(case), offered_name(case)
    demand = demand_of(case, "size_name")
    traps = []
    if offered is not None and offered.system == BY_OUTSIDE:
        area = write_value(offered.area, Kind.AREA, 2)
        traps.append(f"{offered.name} is named by its OUTSIDE diameter and holds only {area} of copper.")
    if (
        wanted
        and offered
        and wanted.gauge is not None
        and offered.gauge is not None
        and wanted.system != offered.system
    ):
        share = float(offered.area / wanted.area - 1)
        numbers = "The same number" if wanted.gauge == offered.gauge else "Gauge numbers"
        traps.append(f"{numbers} in two systems ({wanted.system}, {offered.system}): the area differs by {share:+.1%}.")
    traps += [size.note for size in (wanted, offered) if size is not None and size.note.startswith("“")]
    if not traps:
        return []
    return [
        statement_row(
            case,
            one,
            Verdict.JUDGED,
            " ".join(dict.fromkeys(f"{trap[0].upper()}{trap[1:]}" for trap in traps)),
            wanted=demand.text if demand is not None else "not known",
            offered=offered_words(case, "size_name"),
            sources=(NAME_RULE,),
            weight=warning_weight(case, one.concern),
            departs=True,
        )
    ]


def metal_rows(case: Case) -> list[Row]:
    """Aluminium for copper only two sizes larger and never smaller than No. 8; other metals a person judges."""
    one = case.part_class.characteristic("conductor_material")
    assert one is not None
    demand = demand_of(case, "conductor_material")
    is_copper_wanted = demand is None or "copper" in demand.words
    if case.word("conductor_material") != "aluminium" or not is_copper_wanted:
        row = may_differ(case, "conductor_material", "Another metal conducts and crimps differently.", NAME_RULE)
        return [row] if row is not None else []
    wanted, offered = wanted_name(case), offered_name(case)
    measure = None
    if offered is None or offered.gauge is None or wanted is None or wanted.gauge is None:
        verdict = Verdict.OPEN
        said = "Aluminium in place of copper goes by gauge numbers; say both sizes by number."
        measure = MeasureNext("size_name", "Find out: both gauge numbers", "eye", 1)
    elif offered.gauge > 8:
        verdict, said = Verdict.AGAINST, f"Aluminium No. {offered.name} is smaller than No. 8, the smallest allowed."
    elif offered.gauge > wanted.gauge - 2:
        verdict = Verdict.AGAINST
        said = f"Aluminium No. {offered.name} for copper No. {wanted.name}: it has to be two sizes larger."
    else:
        verdict = Verdict.JUDGED
        said = f"Aluminium No. {offered.name} is two sizes or more over copper No. {wanted.name}; its terminals differ."
    return [
        statement_row(
            case,
            one,
            verdict,
            said,
            wanted=demand.text if demand is not None else "copper (assumed)",
            offered=offered_words(case, "conductor_material"),
            sources=(ALUMINIUM_RULE,),
            departs=True,
            assumption="" if demand is not None else "the original assumed copper",
            measure=measure,
        )
    ]


def strand_rows(case: Case) -> list[Row]:
    """At least as flexible as the original; solid never for stranded."""
    one = case.part_class.characteristic("stranding")
    assert one is not None
    row = may_differ(case, "stranding", "Strands differ.", STRAND_RULE)
    demand = demand_of(case, "stranding")
    if row is None or demand is None or row.verdict is not Verdict.JUDGED or demand.is_sample:
        return [row] if row is not None else []
    order = [choice.key for choice in STRANDINGS]
    stiffest = min(order.index(word) for word in demand.words if word in order)
    given = case.word("stranding")
    if given == SOLID:
        row = replace(row, verdict=Verdict.AGAINST, sentence="Solid wire in place of stranded breaks where it shakes.")
    elif order.index(given) < stiffest:
        row = replace(row, sentence=f"Fewer strands than wanted ({demand.text}): it bends less often before it breaks.")
    elif is_checked(case, "stranding"):
        row = replace(
            row, sentence=f"More and finer strands than wanted ({demand.text}): it bends better; mind the crimp."
        )
    return [row]


def covering_rows(case: Case) -> list[Row]:
    """Plating and insulation: another one is a person's decision."""
    rows = [
        may_differ(case, "plating", "Plating sets the heat it stands and how it is crimped or soldered.", PLATING_RULE),
        may_differ(
            case, "insulation_material", "Another insulation is another wire; a person judges.", INSULATION_RULE
        ),
    ]
    return [row for row in rows if row is not None]


def _claim(text: str, low: Fraction, high: Fraction) -> Statement:
    quantity = Quantity(Kind.LINE_RESISTANCE, (low + high) / 2, "Ω/km", text, low=low, high=high)
    return Statement("line_resistance", Basis.CLAIMED, text, quantity)


def _ohms(value: Fraction) -> str:
    return write_value(value, Kind.LINE_RESISTANCE)


def _extent(low: Fraction, high: Fraction) -> str:
    return write_span((low, high), Kind.LINE_RESISTANCE)
