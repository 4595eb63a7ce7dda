"""Leathercloth, leather and trim sheet."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import flame_test, length, listed, look, one_of, size, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._furnishings import NITRATE_CAUTION, burn_row
from server.domain.parts._kinds import allowed, number_rows, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Form, Role, Wanted
from server.domain.verdict import Concern, Outcome

COATINGS = one_of(
    ("leather", "Leather", "hide", "Leder", "cuir"),
    ("nitrocellulose", "Nitrocellulose-coated cloth", "nitrate leathercloth", "pyroxylin", "Rexine"),
    ("pvc", "PVC-coated cloth", "vinyl", "Vynide"),
    ("polyurethane", "Polyurethane-coated cloth", "PU", "Kunstleder PU"),
    ("oilcloth", "Oil-coated cloth", "oilcloth", "Wachstuch", "toile cirée"),
    ("rubberised", "Rubberised cloth", "gummiert", "caoutchouté"),
)

_TRADE = common_practice("trim cloths")
_FIRE = common_practice("cellulose nitrate is not brought into an aeroplane again")
CHANGES = {
    ("*", "nitrocellulose"): refused_flying("the right material of its time.", "safety: it burns fiercely.", _FIRE),
    ("nitrocellulose", "nitrocellulose"): refused_flying("the right material.", "safety: it burns fiercely.", _FIRE),
    ("nitrocellulose", "pvc"): allowed("it burns less fiercely.", "grain, feel and smell; it smokes.", _TRADE),
    ("nitrocellulose", "polyurethane"): allowed("it burns less fiercely.", "grain and feel.", _TRADE),
    ("nitrocellulose", "oilcloth"): allowed("a near look.", "wear.", _TRADE),
    ("nitrocellulose", "leather"): allowed("wear.", "grain, weight and price.", _TRADE),
    ("leather", "pvc"): allowed("price.", "feel and look.", _TRADE),
    ("leather", "polyurethane"): allowed("price.", "feel and look; it flakes with age.", _TRADE),
}
EXAMPLES = (
    Example(
        "PVC-coated cloth for old nitrocellulose leathercloth, on display",
        Wanted(
            "leathercloth",
            (
                wants("coating", "nitrocellulose"),
                wants("grain", "fine Morocco", form=Form.AS_SAMPLE),
                wants("colour", "dark green", form=Form.AS_SAMPLE),
                wants("thickness", of(Kind.LENGTH, low="0.8", high="1.2")),
            ),
            role=Role.FURNISHING,
        ),
        Offered(
            "leathercloth",
            (
                measures("coating", "pvc"),
                measures("grain", "fine"),
                measures("colour", "dark green"),
                measures("thickness", of(Kind.LENGTH, "1.0"), instrument="micrometer"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("grain and colour are judged against a sample"),
    ),
)

PART_CLASS = PartClass(
    key="leathercloth",
    name="Leathercloth or leather",
    family="Furnishing",
    names=listed(
        "leathercloth, leather cloth, imitation leather, leather, hide, vinyl trim, Kunstleder, Leder, Wachstuch",
        "simili-cuir, similicuir, cuir, toile cirée",
    ),
    characteristics=(
        word(
            "coating",
            "Coating",
            COATINGS,
            "What the face is. Old brittle leathercloth is to be taken for nitrocellulose.",
            essential=True,
            effort=3,
            tell_with=("eye", "analysis"),
        ),
        standard_number(),
        word(
            "base_cloth",
            "Cloth behind",
            hint="Cotton drill, knitted, felt; its weave.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        word("grain", "Grain", hint="Against a sample.", concern=Concern.APPEARANCE, judged=True, essential=True),
        word(
            "colour",
            "Colour",
            hint="Against a sample kept dark.",
            concern=Concern.APPEARANCE,
            judged=True,
            essential=True,
        ),
        length("thickness", "Thickness", ("0.2", "8"), essential=True),
        length("width", "Width of roll", ("100", "3000")),
        size("mass_per_area", "Mass per area", Kind.AREA_MASS, ("100", "3000")),
        word("stretch", "Stretch", hint="Stiff, or gives one way or both.", concern=Concern.FUNCTION),
        flame_test(),
        look(),
    ),
    checks=(
        word_changes("coating", CHANGES, {"nitrocellulose": NITRATE_CAUTION}),
        burn_row,
        number_rows("standard_number"),
    ),
    covers=frozenset({"coating", "flame_test", "standard_number"}),
    stands_in={
        "fabric_tape": allowed("it breathes.", "wiping clean, and the look.", _TRADE),
    },
    cautions=(NITRATE_CAUTION,),
    examples=EXAMPLES,
    chapter="25",
    help="Sheet for trim, seats, linings and gaiters.",
)
