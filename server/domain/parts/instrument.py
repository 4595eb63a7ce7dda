"""Instrument: the indicator in the panel, its drive and its dial."""

from collections.abc import Iterable
from dataclasses import replace

from server.domain.offer import Offered
from server.domain.parts._computed import FAMILY, between, demand_of, offered_words, statement_row
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._hazards import RADIUM_CAUTION, RADIUM_RULE, radium_row
from server.domain.parts._kit import Case, Characteristic, Choice, Example, PartClass, fold_word
from server.domain.parts._outline_drawings import rings
from server.domain.quantities import Kind
from server.domain.rows import characteristic_row, judge_size, missing_offer, with_demand
from server.domain.sources import common_practice
from server.domain.specification import Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Verdict

BENCH_RULE = common_practice("an instrument that flies has a bench test of its own, by somebody licensed for it")
DIAL_RULE = common_practice("a dial in another unit or range has to agree with placards, markings and the manual")
STAMPED_RULE = common_practice("nominal volts as stamped")

LUMINOUS = (
    Choice("no", "No luminous paint", ("none",)),
    Choice("radium", "Radium, or suspected", ("radioactive", "radium paint")),
    Choice("other", "Phosphorescent, tested: no radium", ("phosphorescent", "tested")),
    Choice("unknown", "Luminous, not known", ("luminous", "unknown", "brown paint", "glows")),
)

DRIVES = (
    Choice("electric", "Electric", ("voltage", "resistance bulb", "thermocouple")),
    Choice("pitot", "Pitot and static", ("pitot-static", "air")),
    Choice("static", "Static", ("barometric",)),
    Choice("suction", "Suction", ("vacuum",)),
    Choice("pressure", "Pressure line", ("Bourdon", "oil line")),
    Choice("capillary", "Capillary", ("vapour pressure", "ether capsule")),
    Choice("shaft", "Flexible shaft", ("mechanical drive",)),
    Choice("own", "None: works by itself", ("magnetic compass", "clock", "ball")),
)

CHARACTERISTICS = (
    Characteristic(
        "indicates",
        "Indicates",
        Concern.FUNCTION,
        help="Airspeed, altitude, oil pressure, volts…",
        essential=True,
    ),
    Characteristic("dial_unit", "Unit on the dial", Concern.FUNCTION, help="mph, kt, km/h, ft, m, lb/in², bar…"),
    Characteristic("dial_range", "Range of the dial", Concern.FUNCTION, help="As printed: “40 to 160”."),
    Characteristic("range_marks", "Coloured marks", Concern.FUNCTION, judged=True),
    Characteristic("drive", "Driven by", Concern.FUNCTION, choices=DRIVES, essential=True),
    Characteristic(
        "drive_ratio", "Ratio of the drive", Concern.FUNCTION, help="Tachometers: as printed, with the sense."
    ),
    Characteristic("transmitter", "Transmitter it works with", Concern.FUNCTION, effort=2),
    Characteristic("supply_voltage", "Supply voltage", Concern.FUNCTION, Kind.VOLTAGE, plausible=between("1", "250")),
    Characteristic(
        "case_diameter",
        "Diameter of the case",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("20", "250"),
        general_tolerance=True,
        essential=True,
    ),
    Characteristic(
        "case_depth",
        "Depth of the case",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("15", "300"),
        general_tolerance=True,
    ),
    Characteristic(
        "hole_centres",
        "Mounting hole centres",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("15", "250"),
        general_tolerance=True,
    ),
    Characteristic("connection", "Connection", Concern.FIT, help="Thread of the union, pattern of the plug."),
    Characteristic(
        "luminous",
        "Luminous paint",
        Concern.HAZARD,
        choices=LUMINOUS,
        help="Brown, brittle figures may be radium although nothing glows. Don't open, scrape or repaint.",
        essential=True,
        effort=4,
        tell_with=("analysis",),
    ),
    Characteristic("condition", "Bench test", Concern.FUNCTION, help="By whom, when, with what result.", effort=5),
    Characteristic("dial_look", "Dial and hands", Concern.APPEARANCE, judged=True),
    Characteristic("case_look", "Case and bezel", Concern.APPEARANCE, judged=True),
)


def paint_rows(case: Case) -> Iterable[Row]:
    """Luminous paint: known before anybody opens the case."""
    row = radium_row(case, "luminous")
    if row is not None:
        yield row


def dial_rows(case: Case) -> Iterable[Row]:
    """Another unit, range or ratio: the pilot reads something else, so a person answers for it."""
    for key in ("dial_unit", "dial_range", "drive_ratio"):
        one = case.part_class.characteristic(key)
        assert one is not None
        row = characteristic_row(case, one)
        demand, statement = demand_of(case, key), case.statement(key)
        if row is None:
            continue
        differs = demand is not None and statement is not None and fold_word(statement.text) not in demand.words
        if differs and row.verdict is Verdict.OPEN and demand is not None and not demand.contradiction:
            said = f"{one.label}: wanted {demand.text}, offered {offered_words(case, key)}."
            row = replace(row, verdict=Verdict.JUDGED, sentence=said, sources=(DIAL_RULE,), departs=True, measure=None)
        yield row


def bench_rows(case: Case) -> Iterable[Row]:
    """A bench test where the aeroplane flies."""
    one = case.part_class.characteristic("condition")
    assert one is not None
    if not case.wanted.use.flies:
        row = characteristic_row(case, one)
        if row is not None:
            yield row
        return
    statement = case.statement("condition")
    yield statement_row(
        case,
        one,
        Verdict.OPEN if statement is None else Verdict.JUDGED,
        "No bench test is known; an instrument that flies needs one."
        if statement is None
        else f"Bench test: {statement.text}; a licensed person judges it.",
        wanted="a bench test",
        offered=offered_words(case, "condition"),
        sources=(BENCH_RULE,),
        departs=statement is not None,
        measure=MeasureNext("condition", "Have it tested on the bench", "an instrument shop", 5)
        if statement is None
        else None,
    )


def supply_rows(case: Case) -> Iterable[Row]:
    """Supply voltage as the original's."""
    one = case.part_class.characteristic("supply_voltage")
    assert one is not None
    demand, statement = demand_of(case, "supply_voltage"), case.statement("supply_voltage")
    if demand is None:
        return
    if statement is None:
        yield with_demand(missing_offer(case, one, demand), demand)
        return
    if not demand.spans and demand.nominal is not None and not demand.contradiction and not demand.is_sample:
        demand = demand._replace(spans=((demand.nominal, demand.nominal),), sources=(STAMPED_RULE,))
    yield with_demand(judge_size(case, one, demand, statement), demand)


def _wanted(*requirements: Requirement, use: Use = Use.DISPLAY) -> Wanted:
    return Wanted("instrument", requirements, role=Role.SYSTEMS, use=use)


_AIRSPEED = (
    wants("indicates", "airspeed"),
    wants("drive", "pitot"),
    wants("dial_unit", "km/h"),
    wants("case_diameter", size(Kind.LENGTH, "80")),
)

EXAMPLES = (
    Example(
        "An airspeed indicator in mph for one in km/h, on display, paint not yet surveyed",
        _wanted(*_AIRSPEED),
        Offered(
            "instrument",
            (
                measures("indicates", "airspeed"),
                measures("drive", "pitot"),
                measures("dial_unit", "mph"),
                measures("luminous", "brown paint"),
            ),
        ),
        Outcome.NOT_PROVEN,
        RADIUM_RULE,
    ),
    Example(
        "An airspeed indicator driven by suction where the pitot line comes in",
        _wanted(*_AIRSPEED, use=Use.PERMIT),
        Offered(
            "instrument",
            (
                measures("indicates", "airspeed"),
                measures("drive", "suction"),
                claims("dial_unit", "km/h"),
                measures("luminous", "no"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        DIAL_RULE,
    ),
)

PART_CLASS = PartClass(
    key="instrument",
    name="Instrument",
    family=FAMILY,
    names=(
        "instrument",
        "indicator",
        "altimeter",
        "airspeed indicator",
        "compass",
        "tachometer",
        "ammeter",
        "oil pressure gauge",
        "Bordinstrument",
        "Höhenmesser",
        "Fahrtmesser",
        "instrument de bord",
    ),
    characteristics=CHARACTERISTICS,
    checks=(paint_rows, dial_rows, supply_rows, bench_rows),
    covers=frozenset({"luminous", "dial_unit", "dial_range", "drive_ratio", "supply_voltage", "condition"}),
    cautions=(RADIUM_CAUTION,),
    draw=rings("Case of the instrument, from the front", "case_diameter"),
    examples=EXAMPLES,
    chapter="31",
    help="Don't open a luminous instrument. The register compares; an instrument shop tests.",
)
