"""Conduit: what is known of its place, how full it may be, and how tightly it may be bent."""

from dataclasses import replace
from fractions import Fraction

from server.domain.drawing import Drawing
from server.domain.parts._bundle import BUNDLE_RULE, bundle_in_hole, given_bundle
from server.domain.parts._computed import (
    AC_EDITION,
    Found,
    Given,
    ac,
    between,
    computed_row,
    demand_of,
    given,
    label_row,
    statement_row,
)
from server.domain.parts._kit import Case, Characteristic, Choice
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row
from server.domain.sources import Source, Standing, common_practice
from server.domain.tables.read import read_table
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

YES_NO = (
    Choice("yes", "Yes", ("ja", "oui", "present")),
    Choice("no", "No", ("nein", "non", "none")),
)

PLACE = (
    Characteristic(
        "bundle_diameter",
        "Diameter of the bundle inside",
        Concern.FIT,
        Kind.LENGTH,
        help="At its thickest; leave it out if you give number and diameter of the wires instead.",
        plausible=between("0.5", "60"),
        of_place=True,
    ),
    Characteristic(
        "bundle_wires", "Wires inside", Concern.FIT, Kind.COUNT, plausible=between("1", "200"), of_place=True
    ),
    Characteristic(
        "bundle_wire_diameter",
        "Diameter of the largest wire inside",
        Concern.FIT,
        Kind.LENGTH,
        help="Over its insulation.",
        plausible=between("0.5", "30"),
        of_place=True,
    ),
    Characteristic(
        "bend_radius",
        "Tightest bend on its way",
        Concern.FIT,
        Kind.LENGTH,
        help="Radius, to the inside of the bend.",
        plausible=between("5", "2000"),
        of_place=True,
    ),
)


SIZE_RULE = ac("11-249")
FILL_RULE = Source("AC 43.13-1B", "11-252, 80 per cent; the copy seen is cut there", AC_EDITION, Standing.QUOTED)
BEND_TABLE = Source("AC 43.13-1B", "section 18, bend radii", AC_EDITION, Standing.MEMORY)
WIRE_BEND_RULE = Source("TM 1-1500-204-23-4", "bend radius of wires")
CONTINUITY_RULE = common_practice("a conduit that screens is continuous, and bonded at both ends")

_INCH = Fraction(254, 10)
_TIGHTEST = Fraction(1118, 1000)
"""Inside over bundle diameter where the bundle fills 80 % of the area: 1/√0.8."""


def fill_share(bundle: Fraction, inside: Fraction) -> Fraction:
    """Share of the conduit's area that the bundle takes; both diameters in one unit."""
    return (bundle / inside) ** 2


def least_inside(bundle: Fraction) -> Fraction:
    """Inside diameter a quarter larger than the bundle. Source: AC 43.13-1B 11-249."""
    return bundle * Fraction(5, 4)


def least_bend(kind: str, diameter: Fraction) -> Fraction | None:
    """Least bend radius in mm of the smallest tabled size that is not smaller; None above the table.

    `kind` is "rigid_conduit_bend" (by outside diameter) or "flex_conduit_bend"
    (by inside diameter); `diameter` in mm. The table is from memory.
    """
    rows = [
        (_inches(row["size_label"].split(" in")[0]) * _INCH, Fraction(row["min_bend_radius_in"]) * _INCH)
        for row in read_table("conduit")
        if row["kind"] == kind
    ]
    return next((radius for size, radius in sorted(rows) if size >= diameter), None)


def _inches(text: str) -> Fraction:
    whole, _, part = text.rpartition("-")
    return Fraction(whole or 0) + Fraction(part)


def bundle_inside(case: Case) -> Given | None:
    """The bundle's diameter, measured or worked out from its wires."""
    return given_bundle(case, "bundle_diameter", "bundle_wires", "bundle_wire_diameter")


def fill_rows(case: Case, inside: Found | None) -> list[Row]:
    """The bundle in the conduit: a quarter of room is right; up to 80 % of the area a person may answer for."""
    bundle = bundle_inside(case)
    if bundle is None or bundle.most is None:
        return []
    one = label_row("conduit_fill", "Inside diameter over the bundle", Concern.FIT, Kind.LENGTH)
    least = least_inside(bundle.most)
    wanted = f"at least {write_value(least, Kind.LENGTH)}: a quarter over the bundle, {bundle.text}"
    measure = MeasureNext("inside_diameter", "Measure: inside diameter", "Digital calliper", 1)
    if inside is None:
        said = "The inside of the find is not known."
        return [
            statement_row(
                case,
                one,
                Verdict.OPEN,
                said,
                wanted=wanted,
                offered="not said",
                sources=(SIZE_RULE,),
                assumption=bundle.note,
                measure=measure,
            )
        ]
    row = computed_row(
        case,
        one,
        inside,
        (least, None),
        wanted=wanted,
        rests_on="inside diameter",
        sources=(SIZE_RULE, BUNDLE_RULE) if bundle.note.startswith("bundle worked out") else (SIZE_RULE,),
        measure=measure,
        extra_doubt=bundle.doubt * Fraction(5, 4),
        assumption=bundle.note,
    )
    share = fill_share(bundle.most, inside.value)
    sentence = f"{row.sentence} The bundle takes {float(share):.0%} of the area."
    if row.verdict is Verdict.AGAINST and inside.value - (inside.doubt or Fraction(0)) >= bundle.most * _TIGHTEST:
        said = f"{sentence} Over 64 % and up to 80 % it can be argued; the circular speaks of both."
        row = replace(row, verdict=Verdict.JUDGED, departs=True, sources=(*row.sources, FILL_RULE), sentence=said)
    else:
        row = replace(row, sentence=sentence)
    return [row]


def bend_rows(case: Case, kind: str, size: Found | None) -> list[Row]:
    """The tightest bend on the way, for the conduit (by a table from memory) and for the wires inside."""
    bend = given(case, "bend_radius")
    if bend is None or bend.least is None:
        return []
    rows: list[Row] = []
    least = least_bend(kind, size.value) if size is not None else None
    if least is not None:
        text = write_value(least, Kind.LENGTH)
        fits = bend.least - bend.doubt >= least
        said = (
            f"The bend of {bend.text} is no tighter than {text}, the least radius remembered for this size."
            if fits
            else f"The bend of {bend.text} is tighter than {text}, the least radius remembered for this size."
        )
        rows.append(
            statement_row(
                case,
                label_row("bend", "Bend of the conduit", Concern.FUNCTION),
                Verdict.JUDGED if fits else Verdict.OPEN,
                f"{said} The table was not seen: look it up before you lean on it.",
                wanted=f"bend of {bend.text}",
                offered=f"least {text}",
                sources=(BEND_TABLE,),
                departs=True,
                measure=None if fits else MeasureNext("bend", "Look up the least bend radius", "handbook or maker", 2),
            )
        )
    wire = given(case, "bundle_wire_diameter")
    if wire is not None and wire.most is not None:
        wanted_radius = 10 * wire.most
        fits = bend.least >= wanted_radius
        turn = "no tighter" if fits else "tighter"
        rows.append(
            statement_row(
                case,
                label_row("wire_bend", "Bend of the wires inside", Concern.FUNCTION),
                Verdict.PROVEN if fits else Verdict.JUDGED,
                f"The bend of {bend.text} is {turn} than ten times the largest wire,"
                f" {write_value(wanted_radius, Kind.LENGTH)}.",
                wanted=f"at least {write_value(wanted_radius, Kind.LENGTH)}",
                offered=bend.text,
                sources=(WIRE_BEND_RULE,),
                departs=not fits,
            )
        )
    return rows


def yes_row(case: Case, key: str, source: Source) -> Row | None:
    """The general row of a yes-or-no where “yes” also serves where “no” was wanted."""
    one = case.part_class.characteristic(key)
    assert one is not None
    row = characteristic_row(case, one)
    demand = demand_of(case, key)
    if row is None or demand is None or row.verdict is not Verdict.AGAINST or case.word(key) != "yes":
        return row
    said = f"{one.label}: more than the original had."
    return replace(row, verdict=Verdict.JUDGED, sentence=said, sources=(source,), departs=True)


def conduit_figure(case: Case, inside: Found | None, outside: Fraction | None) -> Drawing | None:
    """The conduit with its bundle, to scale; None while one of them is not known."""
    bundle = bundle_inside(case)
    if bundle is None or bundle.most is None or inside is None:
        return None
    count, each = given(case, "bundle_wires"), given(case, "bundle_wire_diameter")
    is_built = given(case, "bundle_diameter") is None and count is not None and each is not None
    number = int(count.most) if is_built and count is not None and count.most is not None else 1
    wire = float(each.most) if is_built and each is not None and each.most is not None else 0.0
    bore, width = float(inside.value), float(bundle.most)
    fits = inside.value >= least_inside(bundle.most)
    return Drawing(
        "Conduit with its bundle",
        f"Section through a conduit of {write_value(inside.value, Kind.LENGTH)} inside with a bundle of"
        f" {write_value(bundle.most, Kind.LENGTH)}: {float(fill_share(bundle.most, inside.value)):.0%} of the area.",
        bundle_in_hole(
            bore,
            width,
            number,
            wire,
            outside=float(outside) if outside is not None else 0.0,
            style="outline" if fits else "against",
        ),
    )
