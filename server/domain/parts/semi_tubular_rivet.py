"""Semi-tubular rivets: solid under the head, a short bore in the tail that is rolled outwards."""

from server.domain import rivet_sources as src
from server.domain.offer import Offered
from server.domain.parts import _rivets as rivets
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass
from server.domain.parts._rivet_checks import CHECKS, COVERS
from server.domain.parts._rivet_drawing import draw
from server.domain.parts._rivet_examples import inches, measured_rivet, stack
from server.domain.parts._rivet_kinds import stands_in
from server.domain.quantities import Kind
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome


def _lining(body: str, lining: str, shoe: str) -> Wanted:
    """A brass rivet through a brake lining and its shoe, sizes in inches, on an aeroplane for display."""
    return Wanted(
        rivets.SEMI_TUBULAR,
        (
            wants("material", "brass"),
            wants("head_style", "oval"),
            wants("body_diameter", size(Kind.LENGTH, low=f"{float(body) - 0.005:.3f}", high=body, unit="in")),
        ),
        stack(("brake lining", "woven", inches(lining)), ("shoe", "steel", inches(shoe))),
        Role.SYSTEMS,
        Use.DISPLAY,
    )


def _bored(material: str, body: str, length: str, depth: str) -> Offered:
    return measured_rivet(
        rivets.SEMI_TUBULAR,
        material,
        "oval",
        inches(body),
        inches(length),
        measures("bore_depth", inches(depth), instrument="depth_gauge"),
    )


EXAMPLES = (
    Example(
        "1/4 in body, clinch 0.157 in by the maker's own example, through a stack of 0.500 in",
        _lining("0.252", "0.375", "0.125"),
        _bored("brass", "0.248", "0.657", "0.183"),
        Outcome.WITH_REASONS,
        src.SEMI_TABLES,
    ),
    Example(
        "1/8 in body through 0.250 in: 0.125 in sticks out where 0.075 in is wanted, the roll splits",
        _lining("0.123", "0.1875", "0.0625"),
        _bored("brass", "0.120", "0.375", "0.094"),
        Outcome.NOT_EQUIVALENT,
        src.SEMI_TABLES,
    ),
    Example(
        "The right size in steel: it scores the drum",
        _lining("0.123", "0.1875", "0.0625"),
        _bored("steel", "0.120", "0.325", "0.094"),
        Outcome.NOT_EQUIVALENT,
        src.LINING_METAL,
    ),
)

PART_CLASS = PartClass(
    key=rivets.SEMI_TUBULAR,
    name="Rivet, semi-tubular",
    family=rivets.FAMILY,
    names=("semi-tubular rivet", "part hollow rivet", "brake lining rivet", "Halbhohlniet", "rivet semi-tubulaire"),
    characteristics=(
        rivets.material(),
        rivets.head_style(),
        rivets.head_angle(),
        rivets.body_diameter(rivets.semi_tubular_body_limits),
        rivets.length_under_head(),
        rivets.length_over_all(),
        rivets.bore_diameter(),
        rivets.bore_depth(),
        Characteristic(
            "bore_form",
            "Form of the bore",
            Concern.FUNCTION,
            choices=(
                Choice("straight", "Straight", ("type S", "parallel", "zylindrisch", "cylindrique")),
                Choice("tapered", "Tapered", ("type T", "taper", "kegelig", "conique")),
            ),
        ),
        rivets.head_diameter(),
        rivets.head_height(),
        rivets.finish(),
        rivets.colour(),
    ),
    checks=CHECKS,
    covers=COVERS,
    stands_in=stands_in(rivets.SEMI_TUBULAR),
    examples=EXAMPLES,
    draw=draw,
    has_joint=True,
    chapter=rivets.CHAPTER,
    help="Solid under the head, bored in the tail; the tail is rolled outwards. Linings, straps, light fittings.",
)
