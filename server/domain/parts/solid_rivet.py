"""Solid rivets: the shank itself is upset into the second head."""

from server.domain import rivet_sources as src
from server.domain.offer import Offered
from server.domain.parts import _rivets as rivets
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, PartClass, mm
from server.domain.parts._rivet_checks import CHECKS, COVERS
from server.domain.parts._rivet_drawing import draw
from server.domain.parts._rivet_examples import inches, measured_rivet, stack
from server.domain.parts._rivet_kinds import stands_in
from server.domain.quantities import Kind
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

_SKINS = stack(
    ("skin", "2024-T3 clad", inches("0.040")),
    ("doubler", "2024-T3 clad", inches("0.040")),
    hole=inches("0.1285"),
    edge=inches("0.260"),
    pitch=inches("0.75"),
)


def _eighth(alloy: str = "2117-T4") -> Wanted:
    """A 1/8 in round-head rivet through the two skins, in structure that flies."""
    return Wanted(
        rivets.SOLID,
        (
            wants("material", alloy),
            wants("head_style", "round"),
            wants("body_diameter", size(Kind.LENGTH, "0.125", "in", low="0.122", high="0.128")),
        ),
        _SKINS,
        Role.SECONDARY,
        Use.CERTIFIED,
    )


EXAMPLES = (
    Example(
        "Two sheets of 0.040 in, 1/8 in rivet 1/4 in long: sticks out 1.36 D; universal for a round head",
        _eighth(),
        measured_rivet(rivets.SOLID, "2117-T4", "universal", inches("0.125"), inches("0.25")),
        Outcome.WITH_REASONS,
        src.SCHOOL_SHEET,
    ),
    Example(
        "The same stack with a rivet 3/8 in long: 2.4 D sticks out, the shank buckles",
        _eighth(),
        measured_rivet(rivets.SOLID, "2117-T4", "round", inches("0.125"), inches("0.375")),
        Outcome.NOT_EQUIVALENT,
        src.ARMY_FAULTS,
    ),
    Example(
        "2117 for 2024 at the same 1/8 in: weaker",
        _eighth("2024-T4"),
        measured_rivet(rivets.SOLID, "AD", "round", inches("0.125"), inches("0.25")),
        Outcome.NOT_EQUIVALENT,
        src.AC43_REPLACE,
    ),
    Example(
        "2117 at 5/32 in for 2017 at 1/8 in, but the edge is 0.260 in away: two diameters would be 0.3125 in",
        _eighth("2017-T4"),
        measured_rivet(rivets.SOLID, "AD", "round", inches("0.15625"), inches("0.28125")),
        Outcome.NOT_EQUIVALENT,
        src.AC43_REPLACE,
    ),
    Example(
        "Pulled rivets, hollow once set, in structure of a type-certificated aeroplane",
        _eighth(),
        Offered(
            rivets.BLIND,
            (measures("stem", "hollow"), measures("body_diameter", inches("0.125"), instrument="micrometer")),
        ),
        Outcome.NOT_EQUIVALENT,
        src.AC43_HOLLOW,
    ),
    Example(
        "A catalogue's claim alone",
        _eighth(),
        Offered(
            rivets.SOLID,
            (
                claims("material", "2117-T4"),
                claims("head_style", "round"),
                claims("body_diameter", inches("0.125")),
                claims("length_under_head", inches("0.25")),
            ),
        ),
        Outcome.NOT_PROVEN,
        src.NAVY_SELECTION,
    ),
)

PART_CLASS = PartClass(
    key=rivets.SOLID,
    name="Rivet, solid",
    family=rivets.FAMILY,
    names=("rivet", "solid rivet", "aircraft rivet", "Niet", "Vollniet", "rivet plein"),
    characteristics=(
        rivets.material(),
        rivets.head_style(),
        rivets.head_angle(),
        rivets.body_diameter(rivets.solid_body_limits),
        rivets.length_under_head(),
        rivets.length_over_all(),
        rivets.head_diameter(),
        rivets.head_height(),
        Characteristic(
            "tail_form",
            "Formed end",
            Concern.FIT,
            help="What is made of the tail: a raised driven head, or filled into a countersink and flush.",
            choices=(
                Choice(
                    "raised", "Raised driven head", ("shop head", "driven head", "Schließkopf", "tête de fermeture")
                ),
                Choice("flush", "Flush in a countersink", ("countersunk tail", "flush both sides", "versenkt", "noyé")),
            ),
        ),
        Characteristic(
            "trial_head_width",
            "Driven head of a trial, width",
            Concern.FIT,
            Kind.LENGTH,
            help="One rivet driven in scrap of the same sheets: width of its driven head.",
            plausible=(mm("1"), mm("25")),
            effort=2,
        ),
        Characteristic(
            "trial_head_height",
            "Driven head of a trial, height",
            Concern.FIT,
            Kind.LENGTH,
            help="The same trial rivet: height of its driven head.",
            plausible=(mm("0.3"), mm("10")),
            effort=2,
        ),
        rivets.finish(),
    ),
    checks=CHECKS,
    covers=COVERS | {"trial_head_width", "trial_head_height"},
    stands_in=stands_in(rivets.SOLID),
    examples=EXAMPLES,
    draw=draw,
    has_joint=True,
    chapter=rivets.CHAPTER,
    help="One piece of metal: the shank is driven into a second head. Carries load in shear.",
)
