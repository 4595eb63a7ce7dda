"""Tubular rivets: hollow right through or nearly so, the end flanged or rolled outwards."""

from dataclasses import replace

from server.domain import rivet_sources as src
from server.domain.parts import _rivets as rivets
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass, mm
from server.domain.parts._rivet_checks import CHECKS, COVERS
from server.domain.parts._rivet_drawing import draw
from server.domain.parts._rivet_examples import measured_rivet, millimetres, stack
from server.domain.parts._rivet_kinds import stands_in
from server.domain.quantities import Kind
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome


def _strap(role: Role = Role.FURNISHING) -> Wanted:
    """A brass tube rivet of 3 mm through a bracket and a plate, 4.1 mm together, on display."""
    return Wanted(
        rivets.TUBULAR,
        (
            wants("material", "brass"),
            wants("head_style", "flat"),
            wants("body_diameter", size(Kind.LENGTH, "3", low="2.95", high="3.05")),
            wants("wall", size(Kind.LENGTH, "0.4", low="0.3", high="0.5")),
        ),
        stack(("bracket", "brass", millimetres("2")), ("plate", "steel", millimetres("2.1")), hole=millimetres("3.15")),
        role,
        Use.DISPLAY,
    )


_SEMI = measured_rivet(
    rivets.SEMI_TUBULAR,
    "brass",
    "oval",
    millimetres("3.01"),
    millimetres("6.0"),
    measures("bore_diameter", millimetres("2.2"), instrument="pin_gauge"),
    measures("bore_depth", millimetres("2.4"), instrument="depth_gauge"),
)


EXAMPLES = (
    Example(
        "Semi-tubular brass of the same diameter: another kind, its length and bore suit the stack",
        _strap(),
        _SEMI,
        Outcome.WITH_REASONS,
        src.SEMI_RULE,
    ),
    Example(
        "The same find while nobody has measured the stack",
        replace(_strap(), joint=None),
        _SEMI,
        Outcome.NOT_PROVEN,
        src.SEMI_RULE,
    ),
    Example(
        "8 mm tubular rivet in a brake lining sticking out 8.4 mm: more than its diameter",
        Wanted(
            rivets.TUBULAR,
            (wants("material", "copper"), wants("body_diameter", size(Kind.LENGTH, "8", low="7.9", high="8.1"))),
            stack(("brake lining", "woven", millimetres("6")), ("shoe", "steel", millimetres("4"))),
            Role.SYSTEMS,
            Use.PERMIT,
        ),
        measured_rivet(rivets.TUBULAR, "copper", "flat", millimetres("8"), millimetres("18.4")),
        Outcome.NOT_EQUIVALENT,
        src.LINING_GUIDE,
    ),
    Example(
        "Steel tube rivets in a clutch lining",
        Wanted(
            rivets.TUBULAR,
            (wants("material", "brass"), wants("body_diameter", size(Kind.LENGTH, "3", low="2.9", high="3.1"))),
            stack(("clutch lining", "moulded", millimetres("3")), ("plate", "steel", millimetres("1"))),
            Role.SYSTEMS,
            Use.DISPLAY,
        ),
        measured_rivet(rivets.TUBULAR, "steel", "flat", millimetres("3"), millimetres("6")),
        Outcome.NOT_EQUIVALENT,
        src.LINING_METAL,
    ),
)

PART_CLASS = PartClass(
    key=rivets.TUBULAR,
    name="Rivet, tubular",
    family=rivets.FAMILY,
    names=("tubular rivet", "hollow rivet", "eyelet", "Hohlniet", "Rohrniet", "rivet tubulaire", "rivet creux"),
    characteristics=(
        rivets.material(),
        rivets.head_style(),
        rivets.head_angle(),
        rivets.body_diameter(rivets.tubular_body_limits),
        rivets.length_under_head(),
        rivets.length_over_all(),
        Characteristic(
            "wall",
            "Wall",
            Concern.FUNCTION,
            Kind.LENGTH,
            help="Thickness of the tube's wall.",
            plausible=(mm("0.1"), mm("3")),
            effort=2,
        ),
        rivets.bore_diameter(),
        rivets.bore_depth(),
        Characteristic(
            "roll_form",
            "Form of the set end",
            Concern.APPEARANCE,
            help="What the tail looks like once set.",
            choices=(
                Choice("rolled", "Rolled over", ("rolled", "curled", "gebördelt", "bordé", "roulé")),
                Choice("flared", "Flared", ("flanged", "aufgeweitet", "évasé")),
                Choice("star", "Star", ("split star", "Stern", "étoile")),
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
    stands_in=stands_in(rivets.TUBULAR),
    examples=EXAMPLES,
    draw=draw,
    has_joint=True,
    chapter=rivets.CHAPTER,
    help="Hollow throughout; the end is rolled or flared. Also eyelets of tube.",
)
