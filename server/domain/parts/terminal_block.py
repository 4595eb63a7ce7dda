"""Terminal block or connector: where wires are joined and can be taken apart again."""

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from server.domain.demand import Demand
from server.domain.offer import Offered
from server.domain.parts._computed import (
    FAMILY,
    Span,
    ac,
    as_stamped,
    between,
    demand_of,
    given,
    label_row,
    may_differ,
    offered_words,
    one_sided_row,
    statement_row,
)
from server.domain.parts._conduit import YES_NO
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Case, Characteristic, Choice, Example, PartClass
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row, missing_offer, size_row, with_demand
from server.domain.sources import common_practice, from_memory
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Verdict

STUD_RULE = ac("11-174b")
RATING_RULE = common_practice("rated for at least the current of the way")
CONTACT_RULE = from_memory("contact sizes of round connectors: 16, 12, 8, 4 and 0 carry 22, 41, 73, 135 and 245 A")

CONTACT_AMPERES = {
    "16": Fraction(22),
    "12": Fraction(41),
    "8": Fraction(73),
    "4": Fraction(135),
    "0": Fraction(245),
}
"""From memory; the figures equal the old free-air currents of the wire."""

MOST_TERMINALS = 4

FORMS = (
    Choice("stud_block", "Block with studs", ("terminal block", "terminal strip", "stud strip", "Klemmleiste")),
    Choice("screw_block", "Block with clamping screws", ("screw terminal", "Lüsterklemme", "connector strip")),
    Choice("circular_connector", "Round plug and socket", ("circular connector", "cannon plug", "Stecker")),
    Choice("flat_connector", "Flat plug and socket", ("multipin plug",)),
    Choice("lug", "Single lug or ring terminal", ("ring terminal", "cable lug", "Kabelschuh")),
)

SEXES = (
    Choice("pin", "Pins", ("male", "P")),
    Choice("socket", "Sockets", ("female", "S")),
)

CHARACTERISTICS = (
    Characteristic("form", "Form", Concern.FUNCTION, choices=FORMS, essential=True),
    Characteristic(
        "stud_size", "Stud", Concern.STRENGTH, help="Thread of the stud, as drawn: replace by the same size.", effort=2
    ),
    Characteristic("stud_material", "Material of the studs", Concern.STRENGTH, is_material=True, effort=4),
    Characteristic("studs", "Studs or ways", Concern.FIT, Kind.COUNT, plausible=between("1", "80")),
    Characteristic("studs_locked", "Studs locked against turning", Concern.FUNCTION, choices=YES_NO),
    Characteristic("barriers", "Barriers between the studs", Concern.FUNCTION, choices=YES_NO),
    Characteristic(
        "body_material",
        "Material of the body",
        Concern.FUNCTION,
        help="Bakelite, fibre, ceramic, slate… Old boards may hold asbestos.",
        effort=3,
    ),
    Characteristic(
        "current_rating",
        "Current rating",
        Concern.FUNCTION,
        Kind.CURRENT,
        help="At least, for one way. Read it off as measured, ± 0.",
        plausible=between("0.5", "600"),
        essential=True,
        effort=4,
    ),
    Characteristic("voltage_rating", "Voltage rating", Concern.FUNCTION, Kind.VOLTAGE, plausible=between("5", "1000")),
    Characteristic(
        "largest_wire",
        "Largest conductor it takes",
        Concern.FIT,
        Kind.AREA,
        help="Conductor area that goes into barrel or clamp, at least.",
        plausible=between("0.1", "150"),
    ),
    Characteristic("shell", "Shell style and size", Concern.FIT, help="Round connectors: style, and size by thread."),
    Characteristic(
        "insert", "Insert arrangement and rotation", Concern.FIT, help="The pattern of contacts, as marked."
    ),
    Characteristic("contacts", "Contacts", Concern.FUNCTION, choices=SEXES),
    Characteristic(
        "contact_size",
        "Contact size",
        Concern.FUNCTION,
        help="Round connectors: 20, 16, 12, 8, 4 or 0.",
        choices=tuple(Choice(size, size, (f"size {size}", f"#{size}")) for size in ("20", "16", "12", "8", "4", "0")),
    ),
    Characteristic(
        "hole_centres",
        "Mounting hole centres",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("4", "500"),
        general_tolerance=True,
    ),
    Characteristic("length_over_all", "Length over all", Concern.FIT, Kind.LENGTH, plausible=between("4", "800")),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True),
    Characteristic(
        "terminals_per_stud",
        "Terminals on the fullest stud",
        Concern.FUNCTION,
        Kind.COUNT,
        help="How many lugs will sit on one stud.",
        plausible=between("1", "12"),
        of_place=True,
    ),
    Characteristic(
        "current",
        "Current through one way",
        Concern.FUNCTION,
        Kind.CURRENT,
        plausible=between("0.01", "600"),
        effort=2,
        of_place=True,
    ),
)


def stud_rows(case: Case) -> Iterable[Row]:
    """At most four terminals on a stud; studs locked, with barriers between them."""
    lugs = given(case, "terminals_per_stud")
    if lugs is not None and lugs.most is not None:
        fits = lugs.most <= MOST_TERMINALS
        said = "four are allowed." if fits else "more than four. Put a small bus across studs."
        yield statement_row(
            case,
            label_row("terminals_on_stud", "Terminals on one stud", Concern.FUNCTION),
            Verdict.PROVEN if fits else Verdict.AGAINST,
            f"{lugs.text} on one stud: {said}",
            wanted="at most four on a stud",
            offered=lugs.text,
            sources=(STUD_RULE,),
            assumption=lugs.note,
        )
    for key, lack in (
        ("studs_locked", "a stud that turns loosens its joint"),
        ("barriers", "without barriers neighbouring terminals can touch"),
    ):
        one = case.part_class.characteristic(key)
        assert one is not None
        row = characteristic_row(case, one)
        if case.word(key) == "no":
            yield statement_row(
                case,
                one,
                Verdict.AGAINST,
                f"{one.label}: no; {lack}.",
                wanted="yes",
                offered=offered_words(case, key),
                sources=(STUD_RULE,),
            )
        elif row is not None:
            yield row if row.verdict is not Verdict.AGAINST else replace(row, verdict=Verdict.JUDGED, departs=True)


def rating_rows(case: Case) -> Iterable[Row]:
    """Ratings, number of ways and the wire it takes: at least the original's, and enough for the current."""
    current = given(case, "current")
    for key in ("current_rating", "voltage_rating", "largest_wire", "studs"):
        if key == "current_rating" and current is not None and demand_of(case, key) is None:
            continue  # the current itself is asked below
        row = one_sided_row(case, key, Form.AT_LEAST, "the original's figure taken as the least allowed")
        if row is not None:
            yield as_stamped(row) if key.endswith("rating") else row
    if current is None or current.most is None:
        return
    one = label_row("rating_for_current", "Rating for the current", Concern.FUNCTION, Kind.CURRENT)
    span: Span = (current.most, None)
    demand = Demand(f"at least {current.text}", (span,), known_from=current.known_from, assumption=current.note)
    statement, contact = case.statement("current_rating"), CONTACT_AMPERES.get(case.word("contact_size"))
    row = None
    if statement is not None:
        row = size_row(
            case, one, statement, (span,), wanted=demand.text, sources=(RATING_RULE,), extra_doubt=current.doubt
        )
    if row is None and contact is not None:
        fits = contact >= current.most
        row = statement_row(
            case,
            one,
            Verdict.JUDGED if fits else Verdict.OPEN,
            f"Contacts of this size are remembered to carry {write_value(contact, Kind.CURRENT)};"
            f" {current.text} {'would pass' if fits else 'is more'}. Look the figure up.",
            wanted=demand.text,
            offered=offered_words(case, "contact_size"),
            sources=(CONTACT_RULE,),
            departs=True,
            measure=None if fits else MeasureNext("current_rating", "Look up the contact's rating", "maker's sheet", 3),
        )
    yield as_stamped(with_demand(row if row is not None else missing_offer(case, one, demand), demand))


def body_rows(case: Case) -> Iterable[Row]:
    """Another form of joint is a departure."""
    row = may_differ(case, "form", "Another form of joint is a person's decision.", RATING_RULE)
    if row is not None:
        yield row


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("terminal_block", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


EXAMPLES = (
    Example(
        "Five lugs on one stud",
        _wanted(wants("form", "block with studs"), wants("terminals_per_stud", size(Kind.COUNT, "5"))),
        Offered("terminal_block", (measures("form", "terminal strip"),)),
        Outcome.NOT_EQUIVALENT,
        STUD_RULE,
    ),
    Example(
        "Four lugs, a six-way strip for a five-way one, its rating only claimed",
        _wanted(
            wants("form", "block with studs"),
            wants("terminals_per_stud", size(Kind.COUNT, "4")),
            wants("studs", size(Kind.COUNT, "5")),
            wants("current", size(Kind.CURRENT, "12")),
        ),
        Offered(
            "terminal_block",
            (
                measures("form", "terminal strip"),
                measures("studs", size(Kind.COUNT, "6")),
                claims("current_rating", size(Kind.CURRENT, "25")),
            ),
        ),
        Outcome.NOT_PROVEN,
        RATING_RULE,
    ),
)

PART_CLASS = PartClass(
    key="terminal_block",
    name="Terminal block or connector",
    family=FAMILY,
    names=(
        "terminal block",
        "terminal strip",
        "terminal",
        "connector",
        "electrical plug",
        "junction box",
        "ring terminal",
        "Klemmleiste",
        "Klemme",
        "Steckverbinder",
        "Kabelschuh",
        "bornier",
        "cosse",
    ),
    characteristics=CHARACTERISTICS,
    checks=(body_rows, stud_rows, rating_rows),
    covers=frozenset({"form", "studs_locked", "barriers", "current_rating", "voltage_rating", "largest_wire", "studs"}),
    examples=EXAMPLES,
    chapter="2497",
    help="Old plugs: match shell, size, insert, rotation and contacts; a connector's contacts may limit the circuit.",
)
