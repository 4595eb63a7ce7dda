"""Blind rivets: set from one side by pulling a stem through the body."""

from server.domain import rivet_sources as src
from server.domain.offer import Offered
from server.domain.parts import _rivets as rivets
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass, mm
from server.domain.parts._rivet_checks import CHECKS, COVERS
from server.domain.parts._rivet_drawing import draw
from server.domain.parts._rivet_examples import inches, measured_rivet, stack
from server.domain.parts._rivet_kinds import stands_in
from server.domain.quantities import Kind
from server.domain.specification import Access, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome


def _cowl(inner: str) -> Wanted:
    """A locked-stem blind rivet of 1/8 in through a 0.063 in sheet and another, reached from one side, flying."""
    return Wanted(
        rivets.BLIND,
        (
            wants("material", "5056"),
            wants("head_style", "universal"),
            wants("body_diameter", size(Kind.LENGTH, "0.125", "in", low="0.124", high="0.128")),
            wants("stem", "locked"),
        ),
        stack(
            ("sheet", "2024-T3", inches("0.063")),
            ("frame", "2024-T3", inches(inner)),
            hole=inches("0.130"),
            access=Access.ONE,
        ),
        Role.FURNISHING,
        Use.PERMIT,
    )


_DASH_FOUR = Offered(
    rivets.BLIND,
    (
        measures("material", "5056"),
        measures("head_style", "universal"),
        measures("body_diameter", inches("0.126"), instrument="micrometer"),
        measures("stem", "locked"),
        measures("grip_min", inches("0.188"), expanded="0.02"),
        measures("grip_max", inches("0.250"), expanded="0.02"),
    ),
)


EXAMPLES = (
    Example(
        "Grip 0.188 to 0.250 in, tried in scrap, in a stack of 0.216 in",
        _cowl("0.153"),
        _DASH_FOUR,
        Outcome.WITH_REASONS,
        src.BLIND_GRIPS,
    ),
    Example(
        "The same in a stack of 0.126 in: under its largest grip, and below its smallest",
        _cowl("0.063"),
        _DASH_FOUR,
        Outcome.NOT_EQUIVALENT,
        src.BLIND_GRIPS,
    ),
    Example(
        "A solid rivet where only one side can be reached",
        _cowl("0.153"),
        measured_rivet(rivets.SOLID, "5056", "universal", inches("0.125"), inches("0.40625")),
        Outcome.NOT_EQUIVALENT,
        src.SIDES,
    ),
)

PART_CLASS = PartClass(
    key=rivets.BLIND,
    name="Rivet, blind",
    family=rivets.FAMILY,
    names=("blind rivet", "pull rivet", "Blindniet", "rivet aveugle"),
    characteristics=(
        rivets.material("Material of the body"),
        rivets.head_style(),
        rivets.head_angle(),
        rivets.body_diameter(),
        Characteristic(
            "grip_min",
            "Smallest grip",
            Concern.FIT,
            Kind.LENGTH,
            help="The thinnest stack it sets in, by its maker or by trial.",
            plausible=(mm("0.1"), mm("60")),
            effort=2,
        ),
        Characteristic(
            "grip_max",
            "Largest grip",
            Concern.FIT,
            Kind.LENGTH,
            help="The thickest stack it sets in, by its maker or by trial.",
            plausible=(mm("0.3"), mm("60")),
            effort=2,
        ),
        Characteristic(
            "grip_code",
            "Diameter and grip code",
            Concern.FUNCTION,
            help="US boxes: diameter in 32nds, then grip in 16ths. 43 is 1/8 in, 0.126 to 0.187 in.",
        ),
        rivets.length_under_head(),
        Characteristic(
            "stem",
            "Stem",
            Concern.STRENGTH,
            help="What becomes of the stem once it is set.",
            choices=(
                Choice(
                    "locked", "Locked in", ("locked stem", "locked spindle", "structural", "verriegelt", "verrouillé")
                ),
                Choice("retained", "Broken off, held by friction", ("friction", "self plugging", "closed end")),
                Choice("hollow", "Hollow once set", ("pulled through", "open end", "pull through", "hohl", "creux")),
            ),
        ),
        Characteristic(
            "stem_material",
            "Material of the stem",
            Concern.FUNCTION,
            tell_with=("magnet", "eye"),
        ),
        rivets.head_diameter(),
        rivets.head_height(),
        rivets.finish(),
        rivets.colour(),
    ),
    checks=CHECKS,
    covers=COVERS,
    stands_in=stands_in(rivets.BLIND),
    examples=EXAMPLES,
    draw=draw,
    has_joint=True,
    chapter=rivets.CHAPTER,
    help="Set from one side by pulling a stem. Sets only within its grip range.",
)
