"""Wire marker: what tells one wire from another, for good."""

from collections.abc import Iterable

from server.domain.offer import Offered
from server.domain.parts._computed import (
    FAMILY,
    between,
    computed_row,
    demand_of,
    found,
    given,
    is_checked,
    label_row,
    may_differ,
    offered_words,
    one_sided_row,
    statement_row,
)
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Case, Characteristic, Choice, Example, PartClass, in_sentence
from server.domain.parts._markers import (
    DIRECT_PITCH,
    HOT_STAMP_RULE,
    INCH,
    KEEP_RULE,
    METAL_TAG_RULE,
    PITCH_RULE,
    SLEEVE_PITCH,
    SLEEVE_PITCH_RULE,
    THIN_WALL,
    marks_wanted,
)
from server.domain.parts._outline_drawings import rings
from server.domain.parts._sleeve_fit import SLIP_ON_RULE
from server.domain.quantities import Kind, write_value
from server.domain.specification import Form, KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Verdict

METAL_TAG = "metal_tag"
SLEEVE = "printed_sleeve"
DIRECT = "direct_mark"
HOT_STAMP = "hot_stamp"

FORMS = (
    Choice(SLEEVE, "Printed sleeve", ("marker sleeve", "sleeve", "shrink marker", "Bezeichnungstülle")),
    Choice(DIRECT, "Ink mark on the insulation", ("ink jet", "printed on", "direct mark")),
    Choice(HOT_STAMP, "Hot stamp on the insulation", ("hot stamping", "foil stamp", "Heißprägung")),
    Choice(METAL_TAG, "Metal wrap tag", ("metal band", "aluminium tag", "aluminum tag", "Blechfahne", "metallic band")),
    Choice("rings", "Slipped-on rings", ("ferrules", "number rings", "Nummernringe")),
    Choice("adhesive", "Adhesive flag", ("sticker", "tape flag")),
    Choice("cloth_tape", "Cloth tape, written", ("linen tag", "cloth tag")),
)

BENEATH = (
    Choice("yes", "Yes, an insulating sleeve beneath", ("over sleeve", "insulated")),
    Choice("no", "No, bare on the wire", ("bare", "none")),
)

CHARACTERISTICS = (
    Characteristic("form", "Form of the marker", Concern.FUNCTION, choices=FORMS, essential=True),
    Characteristic(
        "sleeve_beneath",
        "Insulating sleeve beneath",
        Concern.HAZARD,
        choices=BENEATH,
        help="For a metal tag: it must never lie bare on the wire.",
    ),
    Characteristic(
        "text",
        "Text of the marking",
        Concern.FUNCTION,
        help="Exactly as on the original, letters and figures. The original marking is kept.",
        essential=True,
    ),
    Characteristic("bore", "Bore of the sleeve", Concern.FIT, Kind.LENGTH, plausible=between("0.5", "60")),
    Characteristic("recovered_bore", "Bore after shrinking", Concern.FIT, Kind.LENGTH, plausible=between("0.2", "40")),
    Characteristic(
        "temperature_class",
        "Temperature class",
        Concern.FUNCTION,
        Kind.TEMPERATURE,
        plausible=between("50", "400"),
        effort=4,
    ),
    Characteristic(
        "pitch",
        "Distance from mark to mark",
        Concern.FUNCTION,
        Kind.LENGTH,
        help="The greatest distance between two marks along the wire.",
        plausible=between("10", "3000"),
    ),
    Characteristic("colour", "Colour", Concern.APPEARANCE, judged=True),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True, help="Type face, size of the letters, material."),
    Characteristic(
        "wire_diameter",
        "Outside diameter of the wire",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("0.5", "40"),
        of_place=True,
    ),
    Characteristic(
        "insulation_wall",
        "Wall of the wire's insulation",
        Concern.HAZARD,
        Kind.LENGTH,
        plausible=between("0.05", "5"),
        effort=2,
        of_place=True,
    ),
    Characteristic(
        "wire_length",
        "Length of the wire",
        Concern.FUNCTION,
        Kind.LENGTH,
        plausible=between("10", "50000"),
        tell_with=("tape",),
        of_place=True,
    ),
)


METAL_TAG_CAUTION = (
    "A metal tag on a wire can cut the insulation and short it. Record text and photograph of the original;"
    " refit it only over an insulating sleeve and away from terminals, or show a sleeve instead."
)


def form_rows(case: Case) -> Iterable[Row]:
    """Another form is a person's decision; metal tags and hot stamps have limits of their own."""
    why = "The original marking is kept as record; another form reads as well and looks different."
    row = may_differ(case, "form", why, KEEP_RULE)
    if row is not None:
        yield row
    demand = demand_of(case, "form")
    if case.word("form") == METAL_TAG or (demand is not None and METAL_TAG in demand.words):
        yield _tag_row(case)
    if case.word("form") == HOT_STAMP:
        yield _stamp_row(case)


def _tag_row(case: Case) -> Row:
    one = case.part_class.characteristic("sleeve_beneath")
    assert one is not None
    beneath, measure = case.word("sleeve_beneath"), None
    if case.word("form") != METAL_TAG:
        verdict, said = Verdict.JUDGED, "The original is a metal tag; the find is none, which is the safer way."
    elif beneath == "yes" and is_checked(case, "sleeve_beneath"):
        verdict, said = Verdict.JUDGED, "A metal tag over an insulating sleeve; keep it away from terminals."
    elif beneath == "no":
        verdict, said = Verdict.AGAINST, "A bare metal tag may not take the place of an insulating sleeve."
    else:
        verdict, said = (
            Verdict.OPEN,
            "Is there an insulating sleeve beneath the metal tag? Without one it may not go on.",
        )
        measure = MeasureNext("sleeve_beneath", "Look for a sleeve beneath the tag, or plan one", "eye", 1)
    return statement_row(
        case,
        one,
        verdict,
        said,
        wanted="an insulating sleeve beneath",
        offered=offered_words(case, "sleeve_beneath"),
        sources=(METAL_TAG_RULE,),
        caution=METAL_TAG_CAUTION,
        departs=True,
        measure=measure,
    )


def _stamp_row(case: Case) -> Row:
    wall, measure = given(case, "insulation_wall"), None
    if wall is None or wall.least is None:
        verdict, said = Verdict.OPEN, "Hot stamping can hurt thin insulation; its wall is not known."
        measure = MeasureNext("insulation_wall", "Measure: wall of the insulation", "Micrometer", 2, True)
    elif wall.least - wall.doubt > THIN_WALL:
        verdict, said = Verdict.PROVEN, f"The wall of {wall.text} is over 10 thousandths of an inch."
    else:
        verdict, said = Verdict.AGAINST, f"The wall of {wall.text} is not surely over 10 thousandths: use a sleeve."
    return statement_row(
        case,
        label_row("hot_stamp", "Hot stamp on the insulation", Concern.HAZARD),
        verdict,
        said,
        wanted="not known" if wall is None else wall.text,
        offered=offered_words(case, "form"),
        sources=(HOT_STAMP_RULE,),
        measure=measure,
    )


def pitch_rows(case: Case) -> Iterable[Row]:
    """Marks often enough along the wire."""
    wire, size_found = given(case, "wire_length"), found(case, "pitch")
    one = label_row("pitch", "Distance from mark to mark", Concern.FUNCTION, Kind.LENGTH)
    if wire is None or wire.most is None:
        row = one_sided_row(case, "pitch", Form.AT_MOST, "the original's distance taken as the greatest allowed")
        if row is not None:
            yield row
        return
    number = marks_wanted(wire.most)
    if wire.most <= 7 * INCH:
        few = "needs no mark" if number == 0 else "needs one mark, in the middle"
        yield statement_row(
            case,
            one,
            Verdict.PROVEN,
            f"A wire of {wire.text} {few}.",
            wanted=few,
            offered=offered_words(case, "form"),
            sources=(PITCH_RULE,),
            assumption=wire.note,
        )
        return
    is_sleeve = case.word("form") in {SLEEVE, METAL_TAG, "rings", "adhesive", "cloth_tape"}
    greatest = SLEEVE_PITCH if is_sleeve else DIRECT_PITCH
    rule = SLEEVE_PITCH_RULE if is_sleeve else PITCH_RULE
    each = "at both ends and " if is_sleeve else ""
    wanted = f"{each}every {write_value(greatest, Kind.LENGTH)} or less on {wire.text}"
    if not is_sleeve:
        wanted += f": {number} marks"
    if size_found is None:
        yield statement_row(
            case,
            one,
            Verdict.OPEN,
            "The distance from mark to mark is not said.",
            wanted=wanted,
            offered="not said",
            sources=(rule,),
            measure=MeasureNext("pitch", "Measure: distance from mark to mark", "Steel rule, ½ mm", 1),
        )
        return
    yield computed_row(
        case,
        one,
        size_found,
        (None, greatest),
        wanted=wanted,
        rests_on="distance",
        sources=(rule,),
        assumption=wire.note,
    )


def fit_rows(case: Case) -> Iterable[Row]:
    """The sleeve over the wire, and its shrunk bore under it."""
    wire = given(case, "wire_diameter")
    if wire is not None and wire.most is not None and wire.least is not None:
        for key, label, span in (
            ("bore", "Bore over the wire", (wire.most, None)),
            ("recovered_bore", "Shrunk bore under the wire", (None, wire.least)),
        ):
            inside = found(case, key)
            if inside is not None:
                yield computed_row(
                    case,
                    label_row(f"{key}_over_wire", label, Concern.FIT, Kind.LENGTH),
                    inside,
                    span,
                    wanted=f"for a wire of {wire.text}",
                    rests_on="bore",
                    sources=(SLIP_ON_RULE,),
                    extra_doubt=wire.doubt,
                    assumption=wire.note,
                    measure=MeasureNext(key, f"Measure: {in_sentence(label)}", "Pin gauges, 0.01 mm steps", 3),
                )
    row = one_sided_row(case, "temperature_class", Form.AT_LEAST, "the original's figure taken as the least allowed")
    if row is not None:
        yield row


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("wire_marker", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


EXAMPLES = (
    Example(
        "A bare metal wrap tag for the same as the original",
        _wanted(wants("form", "metal wrap tag", known=KnownFrom.ON_ORIGINAL), wants("text", "L7")),
        Offered(
            "wire_marker",
            (measures("form", "metal wrap tag"), measures("text", "L7"), measures("sleeve_beneath", "no")),
        ),
        Outcome.NOT_EQUIVALENT,
        METAL_TAG_RULE,
    ),
    Example(
        "A printed sleeve in its place, the wire 5 in long",
        _wanted(
            wants("form", "metal wrap tag", known=KnownFrom.ON_ORIGINAL),
            wants("text", "L7"),
            wants("wire_length", size(Kind.LENGTH, "5", "in")),
        ),
        Offered("wire_marker", (measures("form", "printed sleeve"), measures("text", "L7"))),
        Outcome.WITH_REASONS,
        PITCH_RULE,
    ),
)

PART_CLASS = PartClass(
    key="wire_marker",
    name="Marker, wire",
    family=FAMILY,
    names=("wire marker", "marker sleeve", "wire tag", "cable tag", "wrap tag", "Kabelmarkierer", "repère de fil"),
    characteristics=CHARACTERISTICS,
    checks=(form_rows, pitch_rows, fit_rows),
    covers=frozenset({"form", "sleeve_beneath", "pitch", "bore", "recovered_bore", "temperature_class"}),
    draw=rings("Sleeve over its wire", "wire_diameter", "bore"),
    examples=EXAMPLES,
    chapter="2497",
    help="Photograph the original marking before anything else; its text is kept.",
)
