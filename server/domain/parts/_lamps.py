"""Lamps: bases and what tells them apart, light behind its glass, voltage and heat."""

from dataclasses import replace

from server.domain.demand import Demand
from server.domain.parts._computed import (
    Span,
    as_stamped,
    demand_of,
    found,
    given,
    is_checked,
    label_row,
    may_differ,
    offered_words,
    one_sided_row,
    place_word,
    statement_row,
)
from server.domain.parts._kit import Case, Choice
from server.domain.parts._position_lights import (
    COLOUR_RULE,
    INTENSITY_RULE,
    LEAST_CANDLES,
    LIFE_RULE,
    MEASURED_WITH,
    OUTPUT_RULE,
    colour_lies_within,
    life_factor,
    output_factor,
    read_chromaticity,
)
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row, judge_size, missing_offer, size_row, with_demand
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Form
from server.domain.tables.read import read_table
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

POSITION_LIGHTS = (
    Choice("red", "Red, left wing", ("left", "port")),
    Choice("green", "Green, right wing", ("right", "starboard")),
    Choice("white", "White, tail", ("tail", "rear", "aft")),
    Choice("none", "No position light", ("no",)),
)

BASE_RULE = Source("IEC 60061 designations", "letters, diameter, contacts, pins", standing=Standing.QUOTED)
RETURN_RULE = common_practice("a two-wire circuit needs both leads on contacts")
STAMPED_RULE = common_practice("nominal volts as stamped")
HEAT_RULE = common_practice("no more watts than the fitting, its wire and its fuse bear")
OTHER_LIGHT_RULE = common_practice(
    "another source of light gives another colour, beam and current behind the same glass"
)


def _bases() -> tuple[Choice, ...]:
    rows = (row for row in read_table("lamps") if row["record"] == "base")
    return tuple(Choice(row["code"], row["code"], (row["us_name"],) if row["us_name"] else ()) for row in rows)


BASES = _bases()
"""All bases of the table, by designation."""


def base_row(code: str) -> dict[str, str] | None:
    """The table's row of a base; None if it has none."""
    return next((row for row in read_table("lamps") if row["record"] == "base" and row["code"] == code), None)


def base_differences(wanted: str, offered: str) -> list[str]:
    """How two bases differ, in words; empty where the table tells no difference."""
    a, b = base_row(wanted), base_row(offered)
    if a is None or b is None:
        return []
    parts = (("family", "family"), ("dimension_mm", "diameter in mm"), ("pins", "pins"), ("pin_offset", "pin position"))
    said = [f"{name} {b[key] or 'none'} for {a[key] or 'none'}" for key, name in parts if a[key] != b[key]]
    if a["contacts"] != b["contacts"]:
        said.append(f"{b['contacts']} contact{'' if b['contacts'] == '1' else 's'} for {a['contacts']}")
    return said


def base_rows(case: Case) -> list[Row]:
    """The base against the holder's; one contact never for a two-wire circuit."""
    one = case.part_class.characteristic("base")
    assert one is not None
    row = characteristic_row(case, one)
    rows = [row] if row is not None else []
    demand, offered = demand_of(case, "base"), case.word("base")
    if row is not None and row.verdict is Verdict.AGAINST and demand is not None and len(demand.words) == 1:
        told = base_differences(demand.words[0], offered)
        if told:
            rows = [replace(row, sentence=f"{row.sentence} It differs: {', '.join(told)}.", sources=(BASE_RULE,))]
    base = base_row(offered)
    if place_word(case, "return_path") == "insulated" and base is not None and base["contacts"] == "1":
        rows.append(
            statement_row(
                case,
                label_row("return", "Return of the current", Concern.HAZARD),
                Verdict.AGAINST,
                f"{offered} returns through its shell; this circuit is insulated and needs two contacts.",
                wanted="insulated return",
                offered=offered_words(case, "base"),
                sources=(RETURN_RULE, BASE_RULE),
            )
        )
    return rows


def voltage_rows(case: Case) -> list[Row]:
    """Nominal volts as the original's, and what the system's volts do to this lamp."""
    one = case.part_class.characteristic("voltage")
    assert one is not None
    demand, statement, system = demand_of(case, "voltage"), case.statement("voltage"), given(case, "system_voltage")
    rows: list[Row] = []
    if demand is None:
        row = characteristic_row(case, one)
        rows += [row] if row is not None and system is None else []
    elif statement is None:
        rows.append(as_stamped(with_demand(missing_offer(case, one, demand), demand)))
    else:
        if not demand.spans and demand.nominal is not None and not demand.contradiction and not demand.is_sample:
            demand = demand._replace(spans=((demand.nominal, demand.nominal),), sources=(STAMPED_RULE,))
        rows.append(as_stamped(with_demand(judge_size(case, one, demand, statement), demand)))
    lamp = found(case, "voltage")
    if system is not None and system.most and lamp is not None and lamp.value > 0 and system.most != lamp.value:
        life, output = life_factor(lamp.value, system.most), output_factor(lamp.value, system.most)
        is_gone = life < 0.01
        said = (
            f"A {write_value(lamp.value, Kind.VOLTAGE)} filament on {system.text}: life about {life:.2g} times,"
            f" candlepower about {output:.2f} times."
        )
        rows.append(
            statement_row(
                case,
                label_row("lamp_on_system", "Lamp on this system", Concern.FUNCTION),
                Verdict.AGAINST if is_gone else Verdict.JUDGED,
                f"{said} It burns out at once." if is_gone else said,
                wanted=system.text,
                offered=lamp.text,
                sources=(LIFE_RULE, OUTPUT_RULE),
                departs=True,
                assumption=system.note,
            )
        )
    return rows


def watts_rows(case: Case) -> list[Row]:
    """No more watts than the original and than the fitting bears."""
    row = one_sided_row(case, "watts", Form.AT_MOST, "the original's watts taken as the most: heat, wire and fuse")
    rows = [as_stamped(row)] if row is not None else []
    fitting, statement = given(case, "fitting_watts"), case.statement("watts")
    if fitting is not None and fitting.least is not None:
        one = label_row("fitting_watts", "Heat in the fitting", Concern.HAZARD, Kind.POWER)
        span: Span = (None, fitting.least)
        demand = Demand(f"at most {fitting.text}", (span,), known_from=fitting.known_from, assumption=fitting.note)
        judged = None
        if statement is not None:
            judged = size_row(case, one, statement, (span,), wanted=demand.text, sources=(HEAT_RULE,))
        judged = judged if judged is not None else missing_offer(case, one, demand)
        limit_row = as_stamped(with_demand(judged, demand))
        # the fitting's own limit answers where nothing is known of the original's watts
        rows = [limit_row] if demand_of(case, "watts") is None else [*rows, limit_row]
    return rows


def light_rows(case: Case) -> list[Row]:
    """Source of light; for a position light its intensities and its colour behind its own glass."""
    row = may_differ(case, "light_source", "Look at colour, beam, current and radio noise.", OTHER_LIGHT_RULE)
    rows = [row] if row is not None else []
    place = place_word(case, "position_light")
    least = LEAST_CANDLES.get(place, {})
    for key in ("intensity_ahead", "intensity_off", "intensity_side", "intensity_aft"):
        one = case.part_class.characteristic(key)
        assert one is not None
        demand = demand_of(case, key)
        statement = case.statement(key)
        if demand is None and key in least and (statement is not None or case.word("light_source") == "led"):
            wanted = f"at least {write_value(least[key], Kind.INTENSITY)}"
            demand = Demand(wanted, ((least[key], None),), sources=(INTENSITY_RULE, MEASURED_WITH))
        if demand is not None:
            judged = missing_offer(case, one, demand) if statement is None else judge_size(case, one, demand, statement)
            rows.append(with_demand(judged, demand))
    rows += _colour_rows(case, place if place in LEAST_CANDLES else "")
    return rows


def _colour_rows(case: Case, place: str) -> list[Row]:
    one = case.part_class.characteristic("chromaticity")
    assert one is not None
    statement = case.statement("chromaticity")
    if not place:
        row = characteristic_row(case, one)
        return [row] if row is not None else []
    wanted = f"{place}, within the limits of its colour"
    measure = MeasureNext(
        "chromaticity", "Have the colour measured behind the light's own glass", "Test by a laboratory", 5
    )
    if statement is None:
        if case.word("light_source") != "led":
            return []
        said = "An LED behind coloured glass may give another colour than intended; only a measurement tells."
        return [_colour_row(case, Verdict.OPEN, said, wanted, "not said", measure)]
    point = read_chromaticity(statement.text)
    if point is None:
        said = f"“{statement.text}” holds no chromaticity; write it as “x 0.690 y 0.309”."
        return [_colour_row(case, Verdict.OPEN, said, wanted, statement.text, measure)]
    x, y = point
    at = f"x {float(x):.3f}, y {float(y):.3f}"
    offered = offered_words(case, "chromaticity")
    if not colour_lies_within(place, x, y):
        said = f"{at} lies outside what {place} may be."
        return [_colour_row(case, Verdict.AGAINST, said, wanted, offered, None)]
    if not is_checked(case, "chromaticity"):
        said = f"{at} by its own claim lies within {place}; nobody has measured it behind this glass."
        return [_colour_row(case, Verdict.OPEN, said, wanted, offered, measure)]
    return [_colour_row(case, Verdict.PROVEN, f"{at} lies within {place}.", wanted, offered, None)]


def _colour_row(case: Case, verdict: Verdict, said: str, wanted: str, offered: str, measure: MeasureNext | None) -> Row:
    one = case.part_class.characteristic("chromaticity")
    assert one is not None
    return statement_row(
        case,
        one,
        verdict,
        said,
        wanted=wanted,
        offered=offered,
        sources=(COLOUR_RULE, MEASURED_WITH),
        assumption="today's limits; an old type may be certified to others",
        measure=measure,
    )
