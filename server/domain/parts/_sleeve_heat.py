"""Does the sleeve stand the heat: thermal class of the original, temperature of the place, material."""

from dataclasses import replace
from fractions import Fraction

from server.domain.demand import Demand
from server.domain.offer import Basis, Statement
from server.domain.parts._computed import (
    ac,
    demand_of,
    found_in,
    given,
    join_notes,
    label_row,
    may_differ,
    offered_words,
    one_sided,
    statement_row,
)
from server.domain.parts._hazards import ASBESTOS
from server.domain.parts._kit import Case
from server.domain.parts._thermal import CLASS_TEMPERATURES, IEC_60085, MATERIAL_CLASSES
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.rows import judge_size, missing_offer, missing_original, size_row, with_demand
from server.domain.sources import common_practice
from server.domain.specification import Form
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

PLACE_RULE = common_practice("rate the place, then choose the material")
SAME_CLASS_RULE = common_practice("the same class is not the same part: fungus, flame, fluids, wall and look count too")
NO_POLYETHYLENE = ac("p. 11-53")

_ABOVE_C = Fraction(180)


def class_temperature(letter: str) -> Fraction | None:
    """°C of a thermal class letter (the old C: above 180 °C); None for no letter."""
    return _ABOVE_C if letter == "C" else CLASS_TEMPERATURES.get(letter)


def material_temperature(material: str) -> tuple[str, Fraction] | None:
    """Letter and °C usual for a material; None where the material comes in several classes or in none."""
    letter = MATERIAL_CLASSES.get(material)
    return None if letter is None else (letter, CLASS_TEMPERATURES[letter])


def temperature_demand(case: Case) -> Demand | None:
    """The temperature asked for: a figure, else the letter, else the usual class of the original's material."""
    demand = demand_of(case, "temperature_class")
    if demand is not None:
        return one_sided(demand, Form.AT_LEAST, "the original's figure taken as the least allowed")
    letters = demand_of(case, "thermal_class")
    if letters is not None and not letters.contradiction and not letters.is_sample:
        degrees = [class_temperature(word) for word in letters.words]
        known = [one for one in degrees if one is not None]
        if known:
            text = f"{letters.text}: {write_value(max(known), Kind.TEMPERATURE)}"
            return letters._replace(text=text, spans=((max(known), None),), words=(), sources=(IEC_60085,))
    material = demand_of(case, "material")
    if material is None or material.contradiction or material.is_sample:
        return None
    usual = [one for word in material.words if (one := material_temperature(word)) is not None]
    if not usual or ASBESTOS in material.words:
        return None
    letter, degrees_c = max(usual, key=lambda one: one[1])
    note = f"class {letter}, usual for {material.text}, assumed of the original"
    return Demand(
        f"class {letter}: {write_value(degrees_c, Kind.TEMPERATURE)}",
        spans=((degrees_c, None),),
        wished=material.wished,
        known_from=material.known_from,
        assumption=join_notes((material.assumption, note)),
        sources=(IEC_60085,),
    )


def temperature_statement(case: Case) -> Statement | None:
    """The find's temperature: as stated, else by its letter, else usual for its material; the last two are claims."""
    said = case.statement("temperature_class")
    if said is not None:
        return said
    letter = case.word("thermal_class")
    degrees = class_temperature(letter.upper())
    if degrees is not None:
        return _claim(f"class {letter.upper()}, {write_value(degrees, Kind.TEMPERATURE)}", degrees)
    usual = material_temperature(case.word("material"))
    if usual is None:
        return None
    text = f"usual for {offered_words(case, 'material')}: class {usual[0]}, {write_value(usual[1], Kind.TEMPERATURE)}"
    return _claim(text, usual[1])


def _claim(text: str, degrees: Fraction) -> Statement:
    return Statement("temperature_class", Basis.CLAIMED, text, Quantity(Kind.TEMPERATURE, degrees, "°C", text))


def heat_rows(case: Case) -> list[Row]:
    """The class against the original's, and against the place."""
    one = case.part_class.characteristic("temperature_class")
    assert one is not None
    demand, statement = temperature_demand(case), temperature_statement(case)
    place = _place_row(case, statement)
    rows: list[Row] = []
    if demand is not None:
        if statement is None:
            rows.append(with_demand(missing_offer(case, one, demand), demand))
        else:
            rows.append(with_demand(judge_size(case, one, demand, statement), demand))
    elif place is None:
        rows.append(missing_original(case, one, statement))
    if place is not None:
        rows.append(place)
    return rows


def _place_row(case: Case, statement: Statement | None) -> Row | None:
    one = label_row("location_temperature", "Temperature class for the place", Concern.FUNCTION, Kind.TEMPERATURE)
    place = given(case, "location_temperature")
    material = demand_of(case, "material")
    if place is None or place.most is None:
        if material is None or ASBESTOS not in material.words:
            return None
        return statement_row(
            case,
            one,
            Verdict.OPEN,
            "The original is asbestos, which says nothing of how hot the place gets; somebody has to find out.",
            wanted="not known",
            offered="not said" if statement is None else statement.text,
            sources=(PLACE_RULE,),
            measure=MeasureNext(
                "location_temperature", "Find out how hot the place gets, engine running", "probe or strips", 4, True
            ),
        )
    wanted = f"stands {place.text}"
    size = found_in(statement) if statement is not None else None
    if statement is None or size is None:
        return statement_row(
            case,
            one,
            Verdict.OPEN,
            f"The place gets {place.text} hot; what the find stands is not known.",
            wanted=wanted,
            offered="not said",
            sources=(PLACE_RULE,),
            measure=MeasureNext("temperature_class", "Find out: temperature class", "the maker's sheet or a test", 4),
        )
    row = size_row(
        case,
        one,
        statement,
        ((place.most, None),),
        wanted=wanted,
        sources=(PLACE_RULE,),
        extra_doubt=place.doubt,
    )
    assert row is not None
    return replace(row, assumption=join_notes((row.assumption, place.note)), known_from=place.known_from)


def material_rows(case: Case) -> list[Row]:
    """Another material is a person's decision; asbestos and soft polyethylene have their own rows."""
    why = "Another material can do, yet the class alone does not make it the same: fluids, flame, wall and look count."
    rows = [may_differ(case, "material", why, SAME_CLASS_RULE)]
    if case.word("material") == "polyethylene":
        rows.append(
            statement_row(
                case,
                label_row("polyethylene", "Polyethylene near heat", Concern.HAZARD),
                Verdict.JUDGED,
                "Soft polyethylene may not be used where it gets hot; say that this place stays cool.",
                wanted="no soft polyethylene in hot places",
                offered=offered_words(case, "material"),
                sources=(NO_POLYETHYLENE,),
                departs=True,
            )
        )
    return [row for row in rows if row is not None]


def construction_rows(case: Case) -> list[Row]:
    """Another construction is a person's decision."""
    why = "It covers and insulates in another way and looks another way; a person says whether it will do."
    row = may_differ(case, "construction", why, SAME_CLASS_RULE)
    return [row] if row is not None else []
