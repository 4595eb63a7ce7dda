"""Switch or fuse: what opens a circuit, by hand or by itself."""

from collections.abc import Iterable
from dataclasses import replace

from server.domain.demand import Demand
from server.domain.offer import Offered
from server.domain.parts._circuit_protection import (
    AC_RATED_RULE,
    PROTECTION_TABLE,
    SWITCH_TABLE,
    greatest_protector,
    switch_factor,
)
from server.domain.parts._computed import (
    FAMILY,
    Span,
    as_stamped,
    between,
    demand_of,
    given,
    label_row,
    offered_words,
    one_sided_row,
    place_word,
    statement_row,
)
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._hazards import radium_row
from server.domain.parts._kit import Case, Characteristic, Choice, Example, PartClass
from server.domain.parts._outline_drawings import boxes, first_of, rings
from server.domain.parts._wire_names import read_wire_name
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row, judge_size, missing_offer, size_row, with_demand
from server.domain.sources import common_practice
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Verdict

SAME_PROTECTION = common_practice("a fuse or breaker is replaced by the same rating; a larger one protects nothing")
PROTECTOR_FORMS = common_practice("a breaker may stand in for a fuse, a switch for neither")

FUSE = "fuse"
BREAKER = "breaker"

FORMS = (
    Choice("toggle", "Toggle switch", ("tumbler switch", "Kippschalter", "interrupteur à levier")),
    Choice("rotary", "Rotary switch", ("turn switch", "Drehschalter")),
    Choice("push", "Push switch or button", ("push button", "Druckknopf", "Taster")),
    Choice("knife", "Knife or blade switch", ("isolator",)),
    Choice("limit", "Limit switch", ("micro switch", "Endschalter")),
    Choice(FUSE, "Fuse", ("cartridge fuse", "fuse link", "fuse wire", "Sicherung", "fusible")),
    Choice(BREAKER, "Circuit breaker", ("breaker", "Automat", "Sicherungsautomat", "disjoncteur")),
)

ACTIONS = (
    Choice("spst", "One pole, on-off", ("SPST", "single pole single throw")),
    Choice("spdt", "One pole, change-over", ("SPDT", "single pole double throw")),
    Choice("dpst", "Two poles, on-off", ("DPST",)),
    Choice("dpdt", "Two poles, change-over", ("DPDT",)),
    Choice("other", "Other", ()),
)

LOADS = (
    Choice("lamp", "Lamps", ("lamp", "light")),
    Choice("inductive", "Relay or solenoid", ("inductive", "relay", "solenoid")),
    Choice("resistive", "Heater or other resistance", ("resistive", "heater")),
    Choice("motor", "Motor", ("Motor",)),
)

LUMINOUS = (
    Choice("no", "No luminous paint", ("none",)),
    Choice("radium", "Radium, or suspected", ("radioactive", "luminous tip")),
    Choice("other", "Phosphorescent, tested: no radium", ("phosphorescent", "tested")),
    Choice("unknown", "Luminous, not known", ("luminous", "unknown", "glows")),
)

CURRENT_KINDS = (
    Choice("dc", "Direct current", ("DC", "Gleichstrom")),
    Choice("ac", "Alternating current only", ("AC", "Wechselstrom")),
)

CHARACTERISTICS = (
    Characteristic("form", "Form", Concern.FUNCTION, choices=FORMS, essential=True),
    Characteristic("action", "Contacts", Concern.FUNCTION, choices=ACTIONS, effort=2, tell_with=("multimeter_r",)),
    Characteristic(
        "current_rating",
        "Current rating",
        Concern.FUNCTION,
        Kind.CURRENT,
        help="Stamped on it: read it off as measured, ± 0. A fuse or breaker takes neither more nor less than wanted.",
        plausible=between("0.05", "600"),
        essential=True,
        effort=2,
    ),
    Characteristic("voltage_rating", "Voltage rating", Concern.FUNCTION, Kind.VOLTAGE, plausible=between("4", "600")),
    Characteristic("rated_for", "Rated for", Concern.FUNCTION, choices=CURRENT_KINDS),
    Characteristic("characteristic", "Speed of the fuse", Concern.FUNCTION, help="Quick, slow, current limiter…"),
    Characteristic("resetting", "Reset", Concern.FUNCTION, help="Trip-free, automatic, by hand."),
    Characteristic(
        "panel_hole",
        "Hole in the panel",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("3", "80"),
        general_tolerance=True,
    ),
    Characteristic(
        "hole_centres",
        "Mounting hole centres",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("5", "200"),
        general_tolerance=True,
    ),
    Characteristic(
        "length_over_all",
        "Length over all",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("5", "200"),
        general_tolerance=True,
    ),
    Characteristic(
        "body_diameter",
        "Diameter or width",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("3", "120"),
        general_tolerance=True,
    ),
    Characteristic(
        "depth_behind",
        "Depth behind the panel",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("5", "200"),
        general_tolerance=True,
    ),
    Characteristic(
        "luminous",
        "Luminous paint on it",
        Concern.HAZARD,
        choices=LUMINOUS,
        help="Old luminous tips and placards may be radium, even when they no longer glow.",
        effort=4,
        tell_with=("analysis",),
    ),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True),
    Characteristic(
        "current",
        "Current of the circuit",
        Concern.FUNCTION,
        Kind.CURRENT,
        plausible=between("0.01", "600"),
        effort=2,
        of_place=True,
    ),
    Characteristic(
        "system_voltage",
        "System voltage",
        Concern.FUNCTION,
        Kind.VOLTAGE,
        plausible=between("4", "250"),
        of_place=True,
    ),
    Characteristic("load_kind", "Kind of load", Concern.FUNCTION, choices=LOADS, of_place=True),
    Characteristic(
        "wire_size",
        "Smallest wire it protects",
        Concern.HAZARD,
        help="As named: “No. 18 aircraft”.",
        of_place=True,
    ),
)


def form_rows(case: Case) -> Iterable[Row]:
    """Another form; what only switches never stands in for what protects."""
    one = case.part_class.characteristic("form")
    assert one is not None
    row = characteristic_row(case, one)
    if row is None:
        return
    demand = demand_of(case, "form")
    if row.verdict is Verdict.AGAINST and demand is not None:
        protects = {FUSE, BREAKER}
        crosses = bool(set(demand.words) & protects) != (case.word("form") in protects)
        said = "One protects, the other only switches." if crosses else "Another form is a person's decision."
        row = replace(
            row,
            verdict=Verdict.AGAINST if crosses else Verdict.JUDGED,
            sentence=f"{row.sentence} {said}",
            sources=(PROTECTOR_FORMS,),
            departs=True,
        )
    yield row


def _protects(case: Case) -> bool:
    demand = demand_of(case, "form")
    return case.word("form") in {FUSE, BREAKER} or bool(demand and set(demand.words) & {FUSE, BREAKER})


def rating_rows(case: Case) -> Iterable[Row]:
    """A switch is rated for at least the original's current; a fuse for the same, and never over its wire."""
    one = case.part_class.characteristic("current_rating")
    assert one is not None
    if not _protects(case):
        row = one_sided_row(case, "current_rating", Form.AT_LEAST, "the original's rating taken as the least")
        if row is not None and (demand_of(case, "current_rating") is not None or given(case, "current") is None):
            yield as_stamped(row)
        yield from _switch_rows(case)
        return
    # the protector's own value is what keeps the wire from burning
    one = replace(one, concern=Concern.HAZARD)
    demand, statement = demand_of(case, "current_rating"), case.statement("current_rating")
    if demand is None:
        row = characteristic_row(case, one)
        if row is not None:
            yield row
    elif statement is None:
        yield as_stamped(with_demand(missing_offer(case, one, demand), demand))
    else:
        if not demand.spans and demand.nominal is not None and not demand.contradiction:
            demand = demand._replace(spans=((demand.nominal, demand.nominal),), sources=(SAME_PROTECTION,))
        yield as_stamped(with_demand(judge_size(case, one, demand, statement), demand))
    yield from _wire_rows(case)


def _wire_rows(case: Case) -> Iterable[Row]:
    """The protector against the smallest wire behind it."""
    demand = demand_of(case, "wire_size")
    if demand is None:
        return
    one = label_row("protects_wire", "Protects the wire", Concern.HAZARD, Kind.CURRENT)
    wire = read_wire_name(demand.text, is_wanted=False)
    is_breaker = case.word("form") == BREAKER
    greatest = None
    if wire is not None and wire.gauge is not None:
        greatest = greatest_protector(wire.gauge, is_breaker=is_breaker)
    if greatest is None:
        yield statement_row(
            case,
            one,
            Verdict.OPEN,
            f"Table 11-3 speaks of copper wire by gauge number; “{demand.text}” is not in it.",
            wanted=demand.text,
            offered=offered_words(case, "current_rating"),
            sources=(PROTECTION_TABLE,),
            measure=MeasureNext("wire_size", "Find out the gauge number of the thinnest wire", "eye", 2, True),
        )
        return
    span: Span = (None, greatest)
    text = f"at most {write_value(greatest, Kind.CURRENT)} for {demand.text}"
    judged = Demand(text, (span,), known_from=demand.known_from, assumption=demand.assumption)
    statement = case.statement("current_rating")
    row = None
    if statement is not None:
        row = size_row(case, one, statement, (span,), wanted=text, sources=(PROTECTION_TABLE,))
    yield as_stamped(with_demand(row if row is not None else missing_offer(case, one, judged), judged))


def _switch_rows(case: Case) -> Iterable[Row]:
    """The rating a switch needs for this load: its steady current times a factor."""
    current, system, load = given(case, "current"), given(case, "system_voltage"), place_word(case, "load_kind")
    if current is None or current.most is None:
        return
    one = label_row("switch_rating", "Rating for this load", Concern.FUNCTION, Kind.CURRENT)
    factor = switch_factor(system.most, load) if system is not None and system.most is not None else None
    if factor is None:
        yield statement_row(
            case,
            one,
            Verdict.OPEN,
            "The rating a switch needs goes by system voltage (12 or 28 V) and kind of load; one of them is missing.",
            wanted=current.text,
            offered=offered_words(case, "current_rating"),
            sources=(SWITCH_TABLE,),
            measure=MeasureNext("load_kind", "Say the system voltage and the kind of load", "drawing", 1, True),
        )
        return
    least = current.most * factor
    span: Span = (least, None)
    text = f"at least {write_value(least, Kind.CURRENT)}: {factor} times {current.text}"
    demand = Demand(text, (span,), known_from=current.known_from, assumption=current.note)
    statement = case.statement("current_rating")
    row = None
    if statement is not None:
        doubt = current.doubt * factor
        row = size_row(case, one, statement, (span,), wanted=text, sources=(SWITCH_TABLE,), extra_doubt=doubt)
    yield as_stamped(with_demand(row if row is not None else missing_offer(case, one, demand), demand))


def voltage_rows(case: Case) -> Iterable[Row]:
    """Rated for the original's volts; a rating for alternating current says nothing of direct current."""
    row = one_sided_row(case, "voltage_rating", Form.AT_LEAST, "the original's rating taken as the least")
    if row is not None:
        yield as_stamped(row)
    demand = demand_of(case, "rated_for")
    one = case.part_class.characteristic("rated_for")
    assert one is not None
    if case.word("rated_for") == "ac" and (demand is None or "dc" in demand.words):
        yield statement_row(
            case,
            one,
            Verdict.AGAINST,
            "Rated for alternating current: its amperes do not hold in a direct-current circuit.",
            wanted=demand.text if demand is not None else "direct current",
            offered=offered_words(case, "rated_for"),
            sources=(AC_RATED_RULE,),
            departs=True,
        )
        return
    row = characteristic_row(case, one)
    if row is not None:
        yield row


def paint_rows(case: Case) -> Iterable[Row]:
    """Luminous paint on a tip or a plate."""
    row = radium_row(case, "luminous") if case.statement("luminous") or demand_of(case, "luminous") else None
    if row is not None:
        yield row


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("switch_fuse", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


EXAMPLES = (
    Example(
        "A 20 A fuse for a 10 A one on No. 18 wire",
        _wanted(
            wants("form", "fuse"),
            wants("current_rating", size(Kind.CURRENT, "10")),
            wants("wire_size", "No. 18 aircraft"),
        ),
        Offered(
            "switch_fuse",
            (measures("form", "fuse"), measures("current_rating", size(Kind.CURRENT, "20"), expanded="0")),
        ),
        Outcome.NOT_EQUIVALENT,
        PROTECTION_TABLE,
    ),
    Example(
        "A toggle switch of 35 A for lamps of 4 A on 28 V: eight times the current is 32 A",
        _wanted(
            wants("form", "toggle switch"),
            wants("current", size(Kind.CURRENT, "4")),
            wants("system_voltage", size(Kind.VOLTAGE, "28")),
            wants("load_kind", "lamps"),
            wants("look", "bat handle, nickel"),
        ),
        Offered(
            "switch_fuse",
            (
                measures("form", "toggle switch"),
                measures("current_rating", size(Kind.CURRENT, "35"), expanded="0"),
                measures("luminous", "no"),
                measures("look", "bat handle, chrome"),
            ),
        ),
        Outcome.WITH_REASONS,
        SWITCH_TABLE,
    ),
)

PART_CLASS = PartClass(
    key="switch_fuse",
    name="Switch or fuse",
    family=FAMILY,
    names=(
        "switch",
        "toggle switch",
        "fuse",
        "circuit breaker",
        "push button",
        "Schalter",
        "Kippschalter",
        "Sicherung",
        "interrupteur",
        "fusible",
    ),
    characteristics=CHARACTERISTICS,
    checks=(form_rows, rating_rows, voltage_rows, paint_rows),
    covers=frozenset({"form", "current_rating", "voltage_rating", "rated_for", "luminous"}),
    draw=first_of(
        boxes("Body, from the side", "length_over_all", "body_diameter"), rings("Hole in the panel", "panel_hole")
    ),
    examples=EXAMPLES,
    chapter="2460",
    help="For a switch give current, system voltage and kind of load; for a fuse the smallest wire behind it.",
)
