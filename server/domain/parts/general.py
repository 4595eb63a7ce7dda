"""The general part: for what fits no other class. Sizes over all, mass, material, look.

Sources: ISO 2768-1 class m where a drawing gives no limits, ISO 14253-1 for
what a measurement of known doubt decides, MIL-HDBK-419A for metals in contact.
"""

from fractions import Fraction

from server.domain.galvanic import GROUP_419A
from server.domain.general_tolerances import ISO_2768
from server.domain.offer import Offered, Statement
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Example, PartClass
from server.domain.parts._outline_drawings import boxes, first_of, rings
from server.domain.quantities import Kind
from server.domain.sources import Source
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

_LENGTHS = (Fraction(1, 10), Fraction(10000))


def _length(key: str, label: str) -> Characteristic:
    return Characteristic(key, label, Concern.FIT, Kind.LENGTH, plausible=_LENGTHS, general_tolerance=True)


def _bracket(*offered: Statement, title: str, outcome: Outcome, source: Source) -> Example:
    """A brass spacer of 40 mm from a drawing without limits: class m lays 39.7 to 40.3 mm round it."""
    needs = (wants("material", "brass"), wants("length_over_all", size(Kind.LENGTH, "40")))
    return Example(
        title,
        Wanted("general", needs, role=Role.FURNISHING, use=Use.DISPLAY, name="spacer of the map case"),
        Offered("general", (measures("material", "brass", instrument="eye"), *offered)),
        outcome,
        source,
    )


EXAMPLES = (
    _bracket(
        measures("length_over_all", size(Kind.LENGTH, "40.10"), expanded="0.04", instrument="calliper"),
        title="40.10 mm for 40 mm without limits: within the general tolerance, which is an assumption",
        outcome=Outcome.WITH_REASONS,
        source=ISO_2768,
    ),
    _bracket(
        measures("length_over_all", size(Kind.LENGTH, "40.28"), expanded="0.04", instrument="calliper"),
        title="40.28 mm ± 0.04 mm against 40.3 mm: one standard deviation inside, 84 %, proves nothing",
        outcome=Outcome.NOT_PROVEN,
        source=Source("ISO 2768-1 class m with the decision rule of ISO 14253-1", "normal distribution: Φ(1) = 0.8413"),
    ),
    Example(
        "A brass plug in an aluminium tank, where the original was aluminium",
        Wanted(
            "general",
            (wants("material", "aluminium"), wants("outside_diameter", size(Kind.LENGTH, "20"))),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
            touches=("aluminium",),
            name="plug of the tank",
        ),
        Offered(
            "general",
            (
                measures("material", "brass", instrument="eye"),
                measures("outside_diameter", size(Kind.LENGTH, "20.0"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        GROUP_419A,
    ),
)

PART_CLASS = PartClass(
    key="general",
    name="Part, general",
    family="General",
    names=("part", "item", "piece", "thing", "Teil", "pièce"),
    characteristics=(
        Characteristic(
            "material",
            "Material",
            Concern.STRENGTH,
            is_material=True,
            essential=True,
            effort=4,
            tell_with=("analysis", "conductivity"),
        ),
        _length("length_over_all", "Length over all"),
        _length("width_over_all", "Width over all"),
        _length("height_over_all", "Height over all"),
        _length("bore", "Bore"),
        _length("outside_diameter", "Outside diameter"),
        _length("hole_centres", "Hole centres"),
        Characteristic("mass", "Mass", Concern.FUNCTION, Kind.MASS, plausible=(Fraction(1, 10), Fraction(200000))),
        Characteristic("finish", "Finish", Concern.APPEARANCE, judged=True),
        Characteristic("marking", "Marks and stamps", Concern.APPEARANCE, judged=True),
        Characteristic("look", "Look once fitted", Concern.APPEARANCE, judged=True),
    ),
    draw=first_of(
        rings("Seen from its end", "bore", "outside_diameter"),
        boxes("Seen from above", "length_over_all", "width_over_all"),
        boxes("Seen from the front", "length_over_all", "height_over_all"),
    ),
    examples=EXAMPLES,
)
