"""The general part: for what fits no other class. Sizes over all, mass, material, look."""

from fractions import Fraction

from server.domain.parts._kit import Characteristic, PartClass
from server.domain.quantities import Kind
from server.domain.verdict import Concern

_LENGTHS = (Fraction(1, 10), Fraction(10000))

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
        Characteristic("length_over_all", "Length over all", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("width_over_all", "Width over all", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("height_over_all", "Height over all", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("bore", "Bore", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("outside_diameter", "Outside diameter", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("hole_centres", "Hole centres", Concern.FIT, Kind.LENGTH, plausible=_LENGTHS),
        Characteristic("mass", "Mass", Concern.FUNCTION, Kind.MASS, plausible=(Fraction(1, 10), Fraction(200000))),
        Characteristic("finish", "Finish", Concern.APPEARANCE, judged=True),
        Characteristic("marking", "Marks and stamps", Concern.APPEARANCE, judged=True),
        Characteristic("look", "Look once fitted", Concern.APPEARANCE, judged=True),
    ),
)
