"""Split (bifurcated) rivets: two prongs driven through soft material and bent outwards."""

from server.domain import rivet_sources as src
from server.domain.parts import _rivets as rivets
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass, mm
from server.domain.parts._rivet_checks import CHECKS, COVERS
from server.domain.parts._rivet_drawing import draw
from server.domain.parts._rivet_examples import inches, measured_rivet, stack
from server.domain.parts._rivet_kinds import stands_in
from server.domain.quantities import Kind
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome


def _seal(material: str = "steel", sheet: str = "leather strap", on: str = "bulkhead") -> Wanted:
    """A split rivet of about 1/8 in through soft stuff and a bracket, 1/4 in together, on display."""
    return Wanted(
        rivets.SPLIT,
        (
            wants("material", material),
            wants("head_style", "oval"),
            wants("body_diameter", size(Kind.LENGTH, "0.125", "in", low="0.120", high="0.130")),
            wants("tip_form", "curved"),
        ),
        stack((sheet, "", inches("0.1875")), (on, "", inches("0.0625"))),
        Role.SYSTEMS if "brake" in sheet else Role.FURNISHING,
        Use.DISPLAY,
    )


EXAMPLES = (
    Example(
        "New split rivets with square tips, 1/16 in longer than the stack",
        _seal(),
        measured_rivet(
            rivets.SPLIT, "steel", "oval", inches("0.125"), inches("0.3225"), measures("tip_form", "square")
        ),
        Outcome.WITH_REASONS,
        src.SPLIT_TIN,
    ),
    Example(
        "The same 3/8 in longer than the stack: the prongs have nowhere to go",
        _seal(),
        measured_rivet(rivets.SPLIT, "steel", "oval", inches("0.125"), inches("0.625"), measures("tip_form", "square")),
        Outcome.NOT_EQUIVALENT,
        src.SPLIT_TIN,
    ),
    Example(
        "Steel split rivets for copper in a brake band",
        _seal("copper", "brake lining", "band"),
        measured_rivet(
            rivets.SPLIT, "steel", "oval", inches("0.125"), inches("0.3225"), measures("tip_form", "curved")
        ),
        Outcome.NOT_EQUIVALENT,
        src.LINING_METAL,
    ),
)

PART_CLASS = PartClass(
    key=rivets.SPLIT,
    name="Rivet, split",
    family=rivets.FAMILY,
    names=("split rivet", "bifurcated rivet", "Zweispitzniet", "Spaltniet", "rivet bifurqué"),
    characteristics=(
        rivets.material(),
        rivets.head_style(),
        rivets.body_diameter(),
        rivets.length_under_head(),
        Characteristic(
            "prong_length",
            "Length of the prongs",
            Concern.FUNCTION,
            Kind.LENGTH,
            help="Depth of the slot, from the tips.",
            plausible=(mm("1"), mm("60")),
        ),
        Characteristic(
            "tip_form",
            "Form of the tips",
            Concern.APPEARANCE,
            choices=(
                Choice("square", "Square", ("flat", "blunt", "stumpf", "carré")),
                Choice("curved", "Curved", ("rounded", "formed to a curve", "rund", "arrondi")),
                Choice("pointed", "Pointed", ("sharp", "spitz", "pointu")),
            ),
            judged=True,
        ),
        rivets.head_diameter(),
        rivets.head_height(),
        rivets.finish(),
        rivets.colour(),
    ),
    checks=CHECKS,
    covers=COVERS,
    stands_in=stands_in(rivets.SPLIT),
    examples=EXAMPLES,
    draw=draw,
    has_joint=True,
    chapter=rivets.CHAPTER,
    help="Two prongs, driven through leather, cloth or lining and bent outwards.",
)
