"""Cords, sewing threads, lacing and elastic cord."""

from collections.abc import Iterable

from server.domain.fabric_strength import FABRIC_CHANGE
from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    breaking_load,
    cure_date,
    length,
    listed,
    look,
    marking,
    one_of,
    size,
    standard_number,
    word,
)
from server.domain.parts._examples import claims, measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Case, Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._rubbers import cure_row
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row

KINDS = one_of(
    ("rib cord", "Rib lacing cord", "rib stitching cord", "Rippenzwirn", "ficelle à larder"),
    ("hand thread", "Hand-sewing thread", "Nähzwirn"),
    ("machine thread", "Machine-sewing thread", "Nähgarn", "fil à coudre"),
    ("lacing cord", "Loom lacing cord", "lacing twine", "Bindegarn", "ficelle à ligaturer"),
    ("elastic cord", "Elastic cord", "bungee", "shock cord", "Gummiseil", "sandow"),
    ("elastic ring", "Elastic ring", "shock ring", "Gummiring"),
    ("lashing", "Lashing or whipping cord", "whipping twine"),
    ("rope", "Rope", "Seil", "cordage"),
)
FIBRES = one_of(
    ("linen", "Linen", "flax", "Leinen", "lin"),
    ("cotton", "Cotton", "Baumwolle", "coton"),
    ("polyester", "Polyester", "Dacron", "Terylene"),
    ("nylon", "Nylon", "polyamide"),
    ("silk", "Silk", "Seide", "soie"),
    ("hemp", "Hemp", "Hanf", "chanvre"),
    ("rubber cotton", "Rubber strands in cotton braid", "Gummi mit Baumwolle"),
    ("rubber nylon", "Rubber strands in nylon braid"),
)

_TRADE = common_practice("cords and threads")
FIBRE_CHANGES = {
    ("linen", "polyester"): allowed(
        "strength and life.", "the covering system: cotton and linen keep to their own cord.", FABRIC_CHANGE
    ),
    ("cotton", "polyester"): allowed(
        "strength and life.", "the covering system: cotton and linen keep to their own cord.", FABRIC_CHANGE
    ),
    ("linen", "cotton"): allowed("it is to be had.", "strength.", _TRADE),
    ("silk", "nylon"): allowed("strength.", "sheen.", _TRADE),
    ("linen", "nylon"): refused_flying("strength.", "it stretches and slips at the knot.", _TRADE, LOADED),
    ("rubber cotton", "rubber nylon"): allowed("it does not rot.", "the look.", _TRADE),
}
KIND_CHANGES = {
    ("rib cord", "machine thread"): refused_flying("none.", "strength and thickness: it cuts the cloth.", _TRADE),
    ("rib cord", "lacing cord"): refused_flying("it is to be had.", "a known breaking load.", _TRADE),
    ("elastic cord", "rope"): refused("the give it is there for.", _TRADE),
    ("elastic ring", "elastic cord"): refused_flying(
        "any length.", "the made-up ring and its known load.", _TRADE, LOADED
    ),
}


def _age(case: Case) -> Iterable[Row]:
    """Elastic ages; other cord is asked for no date unless the need says so."""
    elastic = {"elastic cord", "elastic ring"} & {case.wanted_word("kind_of_cord"), case.word("kind_of_cord")}
    if elastic or any(one.characteristic == "cure_date" for one in case.wanted.requirements):
        yield from cure_row(case)


EXAMPLES = (
    Example(
        "Rib lacing cord with its breaking load only claimed",
        Wanted(
            "cord_thread",
            (
                wants("kind_of_cord", "rib cord"),
                wants("fibre", "linen"),
                wants("breaking_load", of(Kind.FORCE, "180"), form=Form.AT_LEAST),
                wants("diameter", of(Kind.LENGTH, low="0.9", high="1.3")),
            ),
            use=Use.PERMIT,
        ),
        Offered(
            "cord_thread",
            (
                measures("kind_of_cord", "rib cord"),
                measures("fibre", "linen"),
                claims("breaking_load", of(Kind.FORCE, "200")),
                measures("diameter", of(Kind.LENGTH, "1.1"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_PROVEN,
        common_practice("a claim is no measurement"),
    ),
)

PART_CLASS = PartClass(
    key="cord_thread",
    name="Cord or thread",
    family="Furnishing",
    names=listed(
        "cord, thread for sewing, sewing thread, rib cord, rib lacing cord, rib stitching cord, waxed cord",
        "lacing cord, lacing twine, bungee, bungee cord, shock cord, shock ring, elastic cord, whipping twine",
        "Nähgarn, Nähzwirn, Bindegarn, Abbindegarn, Gummiseil, Gummizug, Kordel, fil à coudre, ficelle",
        "fil à frettage, ficelle à ligaturer, sandow, cordelette",
    ),
    characteristics=(
        word("kind_of_cord", "Kind of cord", KINDS, essential=True),
        standard_number(),
        word(
            "fibre", "Fibre", FIBRES, concern=Concern.STRENGTH, essential=True, effort=2, tell_with=("eye", "analysis")
        ),
        breaking_load(essential=True),
        length("diameter", "Diameter", ("0.1", "60"), essential=True),
        word("construction", "Plies and twist", hint="For example 5 ply, Z twist, braided.", concern=Concern.STRENGTH),
        word(
            "treatment",
            "Treatment",
            one_of(
                ("waxed", "Waxed", "gewachst", "ciré"),
                ("none", "None", "dry"),
                ("tarred", "Tarred"),
                ("bonded", "Bonded"),
            ),
            "As sold, or to be waxed before use.",
        ),
        length("inside_diameter", "Inside diameter of the ring", ("5", "1000"), "Of an elastic ring, relaxed."),
        length("length_over_all", "Length over all", ("10", "100000"), "Of a made-up cord, relaxed."),
        size(
            "load_at_stretch",
            "Load at stretch",
            Kind.FORCE,
            ("1", "100000"),
            "Of elastic: at the stretch named below.",
            effort=3,
        ),
        size("stretch", "Stretch at that load", Kind.SHARE, ("1", "300"), effort=3),
        cure_date(),
        word(
            "colour",
            "Colour and tracer",
            hint="Elastic cord often carries its year as coloured threads.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        marking(),
        look(),
    ),
    checks=(
        word_changes("kind_of_cord", KIND_CHANGES),
        word_changes("fibre", FIBRE_CHANGES),
        _age,
        at_least("breaking_load"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"kind_of_cord", "fibre", "cure_date", "breaking_load", "standard_number"}),
    stands_in={
        "webbing_belt": allowed("strength.", "thickness; it does not pass the needle hole.", _TRADE),
        "spring": refused_flying("it does not age.", "damping and travel.", _TRADE, LOADED),
        "control_cable": refused_flying("strength.", "the give it is there for.", _TRADE),
    },
    cautions=("Stretched elastic stores energy and whips back: hold it before anything is undone.",),
    draw=rings("Cord, cut across", "inside_diameter", "diameter"),
    examples=EXAMPLES,
    chapter="51",
    help="Cord for ribs and looms, sewing thread, elastic cord and rings.",
)
