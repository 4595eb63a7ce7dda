"""Will the wire do in its circuit: voltage drop over the run, and heat. Two tests; both must pass.

Source: AC 43.13-1B, section 5, paragraphs 11-66 to 11-69, Tables 11-6 and
11-9. The derating curves of figures 11-4 to 11-6 are not interpolated here;
what lies between tabled sizes is left to a person with the curves.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt

from server.domain.parts._computed import (
    Found,
    Given,
    ac,
    ask_place,
    computed_row,
    found,
    found_in,
    given,
    join_notes,
    label_row,
    place_word,
    statement_row,
)
from server.domain.parts._kit import Case, Characteristic
from server.domain.parts._wire_conductor import resistance_demand, resistance_statement
from server.domain.parts._wire_names import WireSize, aircraft_sizes
from server.domain.parts._wires import FREE_AIR, INTERMITTENT, MAIN_FEED
from server.domain.quantities import Kind, write_value
from server.domain.sources import Source, Standing, from_memory
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

DROP_RULE = ac("11-66, 11-67")
DROP_TABLE = ac("Table 11-6, continuous limits as used in Tables 11-7 and 11-8")
DROP_INTERMITTENT = from_memory("AC 43.13-1B", "Table 11-6, intermittent limits")
MAIN_FEED_RULE = Source("FAA-H-8083", "main power wires, 2 %", standing=Standing.QUOTED)
SCALED_RULE = Source("scaled from Table 11-6 by the system voltage", standing=Standing.COMMON_PRACTICE)
HEAT_RULE = ac("11-67a, Table 11-9")
FREE_AIR_RULE = from_memory("old military single-wire free-air currents")
HOT_RULE = ac("11-66d(4)")
HOT_ESTIMATE = from_memory("AC 43.13-1B", "p. 11-23: T1 + (TR - T1)·√(I2/Imax), reads high")

TABLE_CONDITIONS = "Table 11-9 holds for 70 °C around, 33 or more wires, 20 % of the harness loaded, 60 000 ft"

_CONTINUOUS = {14: "0.5", 28: "1", 115: "4", 200: "7"}
_INTERMITTENT = {14: "1", 28: "2", 115: "8", 200: "14"}
_AS_SYSTEM = {12: 14, 24: 28}
_SLACK = Fraction(101, 100)
_SLACK_NOTE = "1 % over the limit let pass, as the circular's own Table 11-7 does (0.504 V for 0.5 V)"
_MEASURE_RESISTANCE = MeasureNext(
    "line_resistance", "Measure: resistance of a known length", "Four-wire milliohm meter", 3
)


@dataclass(frozen=True, slots=True)
class DropLimit:
    """The drop allowed in V, where it comes from, and what had to be assumed."""

    volts: Fraction
    source: Source
    note: str = ""


def drop_limit(system_volts: Fraction, *, is_intermittent: bool, is_main_feed: bool) -> DropLimit | None:
    """The allowed voltage drop of a circuit; None for a system voltage no table speaks of.

    12 V is read as 14 V and 24 V as 28 V; 6 V is scaled (0.2 V continuous,
    0.4 V intermittent) and marked as such. Main feeds take 2 % of the regulated voltage.
    """
    if system_volts.denominator != 1:
        return None
    volts = int(system_volts)
    regulated = _AS_SYSTEM.get(volts, volts)
    note = "" if regulated == volts else f"{volts} V nominal read as {regulated} V"
    if is_main_feed:
        if regulated not in _CONTINUOUS and volts != 6:
            return None
        return DropLimit(Fraction(2, 100) * regulated, MAIN_FEED_RULE, note)
    if volts == 6:
        limit = Fraction(4, 10) if is_intermittent else Fraction(2, 10)
        return DropLimit(limit, SCALED_RULE, "6 V is not in the table; the limit is extrapolated from 14 V")
    table = _INTERMITTENT if is_intermittent else _CONTINUOUS
    if regulated not in table:
        return None
    return DropLimit(Fraction(table[regulated]), DROP_INTERMITTENT if is_intermittent else DROP_TABLE, note)


def voltage_drop(ohm_per_km: Fraction, run_mm: Fraction, amperes: Fraction) -> Fraction:
    """V = R·L·I, in V from Ω/km, mm and A; the run is one way plus the ground wire if there is one."""
    return ohm_per_km * run_mm / 1_000_000 * amperes


def hot_factor(degrees: Fraction, *, is_aluminium: bool = False) -> Fraction:
    """Resistance at this temperature over that at 20 °C. Source: AC 43.13-1B 11-66d(4), its constants."""
    zero = Fraction("238.1") if is_aluminium else Fraction("234.5")
    return (zero + degrees) / (zero + 20)


def hot_length(length: Fraction, degrees: Fraction, *, is_aluminium: bool = False) -> Fraction:
    """The length that keeps the drop when the conductor is this hot, from the length at 20 °C."""
    return length / hot_factor(degrees, is_aluminium=is_aluminium)


def conductor_temperature(ambient: Fraction, rating: Fraction, amperes: Fraction, greatest: Fraction) -> float:
    """Estimated temperature of the conductor in °C: T1 + (TR - T1)·√(I2/Imax); reads high. From memory."""
    return float(ambient) + float(rating - ambient) * sqrt(float(amperes / greatest))


def derated_current(free_air: Fraction, *factors: Fraction) -> Fraction:
    """Free-air current times bundle and altitude factors that a person read off the curves."""
    for factor in factors:
        free_air *= factor
    return free_air


def bundle_current(ohm_per_km: Fraction, insulation_degrees: Fraction) -> tuple[WireSize, Fraction] | None:
    """The greatest tabled size this conductor is at least as good as, and its bundle current in A.

    None under 105 °C insulation, which the table does not know, and for a
    conductor thinner than the smallest size. Steps down, never interpolates.
    Source: AC 43.13-1B Table 11-9.
    """
    column = max((one for one in (105, 150, 200) if one <= insulation_degrees), default=None)
    if column is None:
        return None
    met = [(size, bundle[column]) for size, bundle, _ in aircraft_sizes() if size.resistance >= ohm_per_km]
    return met[-1] if met else None


def drop_rows(case: Case) -> list[Row]:
    """The drop over the run, cold and, where the place is hot, hot."""
    asked = ("current", "run_length", "system_voltage")
    current, run, system = (given(case, key) for key in asked)
    allowed = given(case, "allowed_drop")
    if current is None and run is None and (system is None or allowed is None):
        return []
    one = label_row("voltage_drop", "Voltage drop over the run", Concern.FUNCTION, Kind.VOLTAGE)
    limit = _limit(case, system, allowed)
    if current is None or current.most is None or run is None or run.most is None or limit is None:
        if resistance_demand(case)[0] is not None:
            return []  # no more resistance than the original drops no more than the original
        missing = ask_place(case, *(asked[:2] if allowed is not None else asked))
        what = missing or "a system voltage that the table knows, or the drop allowed"
        return [
            statement_row(
                case,
                one,
                Verdict.OPEN,
                f"The drop can't be worked out: {what} is missing.",
                wanted="within the allowed drop",
                offered="not worked out",
                sources=(DROP_RULE,),
                measure=MeasureNext("voltage_drop", f"Find out: {what}", "drawing, or measure", 2, True),
            )
        ]
    size = _resistance(case)
    if size is None:
        return [
            statement_row(
                case,
                one,
                Verdict.OPEN,
                "The resistance of the find is not known, so neither is the drop.",
                wanted=f"at most {write_value(limit.volts, Kind.VOLTAGE)}",
                offered="not said",
                sources=(DROP_RULE, limit.source),
                measure=_MEASURE_RESISTANCE,
            )
        ]
    return [_drop_row(case, size, current, run, limit), *_hot_rows(case, size, current, run, limit)]


def _resistance(case: Case) -> Found | None:
    statement = resistance_statement(case)
    return None if statement is None else found_in(statement)


def _limit(case: Case, system: Given | None, allowed: Given | None) -> DropLimit | None:
    if allowed is not None and allowed.least is not None:
        return DropLimit(allowed.least, Source("the original's own figure", allowed.known_from), allowed.note)
    if system is None or system.least is None:
        return None
    return drop_limit(
        system.least,
        is_intermittent=place_word(case, "duty") == INTERMITTENT,
        is_main_feed=place_word(case, "circuit_part") == MAIN_FEED,
    )


def _share(*sizes: Given) -> float:
    """Relative doubt (k = 2) of a product of place sizes."""
    return sqrt(sum(float(one.doubt / one.most) ** 2 for one in sizes if one.most))


def _drop_row(
    case: Case, size: Found, current: Given, run: Given, limit: DropLimit, factor: Fraction = Fraction(1)
) -> Row:
    assert current.most is not None
    assert run.most is not None
    per_ohm = voltage_drop(Fraction(1), run.most, current.most) * factor
    one = label_row("voltage_drop", "Voltage drop over the run", Concern.FUNCTION, Kind.VOLTAGE)
    row = computed_row(
        case,
        one,
        size.times(per_ohm, _share(current, run)),
        (None, limit.volts * _SLACK),
        wanted=f"at most {write_value(limit.volts, Kind.VOLTAGE)} over {run.text} at {current.text}",
        rests_on="resistance",
        sources=(DROP_RULE, limit.source),
        measure=_MEASURE_RESISTANCE,
        assumption=join_notes((limit.note, current.note, run.note)),
    )
    slack = size.value * per_ohm > limit.volts and row.verdict is not Verdict.AGAINST
    return replace(row, assumption=join_notes((row.assumption, _SLACK_NOTE))) if slack else row


def _hot_rows(case: Case, size: Found, current: Given, run: Given, limit: DropLimit) -> list[Row]:
    """The same drop with the conductor warm; only where the place's temperature is known and over 20 °C."""
    place = given(case, "ambient_temperature")
    if place is None or place.most is None or place.most <= 20 or current.most is None:
        return []
    is_aluminium = case.word("conductor_material") == "aluminium"
    one = label_row("voltage_drop_hot", "Voltage drop, conductor warm", Concern.FUNCTION, Kind.VOLTAGE)
    at_place = _drop_row(case, size, current, run, limit, hot_factor(place.most, is_aluminium=is_aluminium))
    rating = _insulation_floor(case)
    estimate = None
    if rating is not None and rating > place.most:
        carried = bundle_current(size.high if not size.is_measured else size.value, rating)
        if carried is not None and current.most <= carried[1]:
            estimate = conductor_temperature(place.most, rating, current.most, carried[1])
    if estimate is None:
        if at_place.verdict is not Verdict.AGAINST:
            return []
        return [replace(at_place, key=one.key, label=one.label, sources=(*at_place.sources, HOT_RULE))]
    degrees = Fraction(round(estimate))
    hot = _drop_row(case, size, current, run, limit, hot_factor(degrees, is_aluminium=is_aluminium))
    said = f"{hot.sentence} The conductor is taken at {degrees} °C, an estimate that reads high."
    if hot.verdict is Verdict.AGAINST and at_place.verdict is not Verdict.AGAINST:
        hot = replace(hot, verdict=Verdict.JUDGED, departs=True)
    sources = (*hot.sources, HOT_RULE, HOT_ESTIMATE)
    return [replace(hot, key=one.key, label=one.label, sentence=said, sources=sources)]


def _insulation_floor(case: Case) -> Fraction | None:
    """The insulation's class less its doubt, °C."""
    rating = found(case, "insulation_class")
    if rating is None:
        return None
    return rating.value - (rating.doubt or Fraction(0)) if rating.is_measured else rating.low


def heat_rows(case: Case) -> list[Row]:
    """The circuit's current against what the wire may carry where it runs."""
    current = given(case, "current")
    if current is None or current.most is None:
        return []
    one = label_row("heating", "Heat: current it may carry", Concern.HAZARD, Kind.CURRENT)
    size, rating = _resistance(case), _insulation_floor(case)
    if size is None or rating is None:
        missing = "its resistance" if size is None else "the temperature class of its insulation"
        asked = MeasureNext("insulation_class", "Find out: temperature class of the insulation", "the maker's sheet", 4)
        return [
            _heat_row(
                case,
                one,
                current,
                Verdict.OPEN,
                f"What the find may carry is not known without {missing}.",
                measure=_MEASURE_RESISTANCE if size is None else asked,
            )
        ]
    verdict, said, sources, departs = _judge_heat(case, size, rating, current)
    measure = None
    if verdict is Verdict.OPEN:
        measure = (
            _MEASURE_RESISTANCE
            if not size.is_measured
            else MeasureNext(
                "heating",
                "Work the current out with the derating curves",
                "figures 11-4 to 11-6 and a licensed person",
                4,
            )
        )
    return [_heat_row(case, one, current, verdict, said, sources, departs=departs, measure=measure)]


def _judge_heat(
    case: Case, size: Found, rating: Fraction, current: Given
) -> tuple[Verdict, str, tuple[Source, ...], bool]:
    assert current.most is not None
    greatest = current.most + current.doubt
    smallest = (current.least if current.least is not None else current.most) - current.doubt
    place = given(case, "ambient_temperature")
    worst = size.value + (size.doubt or Fraction(0)) if size.is_measured else size.high
    best = size.value - (size.doubt or Fraction(0)) if size.is_measured else size.low
    surely, possibly = bundle_current(worst, rating), bundle_current(best, rating)
    if possibly is None:
        said = "Table 11-9 knows no insulation under 105 °C and no wire this thin; a person has to work it out."
        return Verdict.OPEN, said, (HEAT_RULE,), False
    if place is not None and place.most is not None and place.most > 70:
        said = f"The place gets {place.text}; Table 11-9 ends at 70 °C, so the curves are needed."
        return Verdict.OPEN, said, (HEAT_RULE,), False
    name, amperes = possibly
    carries = f"counted as No. {name.name} it may carry {_amps(amperes)} in a bundle ({rating} °C insulation)"
    drawn = f"{_amps(greatest)} in the circuit"
    if surely is not None and greatest <= surely[1]:
        carries = (
            f"counted as No. {surely[0].name} it may carry {_amps(surely[1])} in a bundle ({rating} °C insulation)"
        )
        rated = found(case, "insulation_class")
        is_known = size.is_measured and size.doubt is not None and rated is not None and rated.is_measured
        if is_known and rated is not None and rated.doubt is not None:
            return Verdict.PROVEN, f"{drawn}; {carries}.", (HEAT_RULE,), False
        return Verdict.OPEN, f"{drawn}; {carries}, if what is claimed of the wire is true.", (HEAT_RULE,), False
    if place_word(case, "duty") == INTERMITTENT:
        return Verdict.OPEN, f"{drawn}; {carries}, steadily. For short loads a person decides.", (HEAT_RULE,), False
    if place_word(case, "installation") == FREE_AIR:
        return _in_free_air(worst, greatest, f"{drawn}; {carries}")
    step = _next_larger(name, rating)
    is_that_size = size.value >= name.resistance * Fraction(98, 100)
    if smallest > amperes and (is_that_size or step is None or smallest > step):
        return Verdict.AGAINST, f"{drawn}; {carries}: too much.", (HEAT_RULE,), False
    said = f"{drawn}; {carries}. It lies between two tabled sizes, which are not interpolated here."
    return Verdict.OPEN, said, (HEAT_RULE,), False


def _in_free_air(worst: Fraction, greatest: Fraction, said: str) -> tuple[Verdict, str, tuple[Source, ...], bool]:
    met = [free for size, _, free in aircraft_sizes() if size.resistance >= worst and free is not None]
    sources = (HEAT_RULE, FREE_AIR_RULE)
    if met and greatest <= met[-1]:
        said = f"{said}; single in free air an old table gives {_amps(met[-1])}. That figure proves nothing alone."
        return Verdict.JUDGED, said, sources, True
    return Verdict.OPEN, f"{said}; for free air a person has to work it out.", sources, False


def _next_larger(name: WireSize, rating: Fraction) -> Fraction | None:
    larger = [size.resistance for size, _, _ in aircraft_sizes() if size.resistance < name.resistance]
    step = bundle_current(larger[0], rating) if larger else None
    return step[1] if step is not None else None


def _heat_row(
    case: Case,
    one: Characteristic,
    current: Given,
    verdict: Verdict,
    said: str,
    sources: tuple[Source, ...] = (HEAT_RULE,),
    *,
    departs: bool = False,
    measure: MeasureNext | None = None,
) -> Row:
    run_in = place_word(case, "installation")
    notes = [TABLE_CONDITIONS if run_in != FREE_AIR else ""]
    if not run_in:
        notes.append("taken as running in a bundle")
    return statement_row(
        case,
        one,
        verdict,
        said,
        wanted=f"{current.text}, {run_in.replace('_', ' ') or 'in a bundle'}",
        offered=said.split("; ", 1)[-1].rstrip("."),
        sources=sources,
        assumption=join_notes((*notes, current.note)),
        departs=departs,
        measure=measure,
        known_from=current.known_from,
    )


def _amps(value: Fraction) -> str:
    return write_value(value, Kind.CURRENT)
