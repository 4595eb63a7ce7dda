"""Padding of seats, cushions, crash pads and linings."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import flame_test, length, listed, look, one_of, size, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._furnishings import burn_row
from server.domain.parts._kinds import allowed, number_rows, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

FILLINGS = one_of(
    ("horsehair", "Horsehair", "curled hair", "Rosshaar", "crin"),
    ("rubberised hair", "Rubberised hair", "Gummihaar", "crin caoutchouté"),
    ("latex foam", "Latex foam", "foam rubber", "Schaumgummi", "caoutchouc mousse"),
    ("sponge rubber", "Sponge rubber", "Moosgummi"),
    ("polyurethane foam", "Polyurethane foam", "plastic foam", "Schaumstoff", "mousse polyuréthane"),
    ("energy absorbing", "Energy-absorbing foam", "slow-recovery foam", "temper foam", "Confor"),
    ("felt", "Felt", "Filz", "feutre"),
    ("cotton", "Cotton wadding", "wadding", "Watte", "ouate"),
    ("kapok", "Kapok", "Kapok", "kapok"),
    ("springs", "Spring case", "interior springs", "Federkern"),
    ("cork", "Cork", "Kork", "liège"),
)

_TRADE = common_practice("seat fillings")
CHANGES = {
    ("horsehair", "rubberised hair"): allowed("it keeps its shape.", "weight and breathing.", _TRADE),
    ("horsehair", "latex foam"): allowed("comfort.", "weight, breathing and how it burns.", _TRADE),
    ("rubberised hair", "latex foam"): allowed("comfort.", "weight and how it burns.", _TRADE),
    ("latex foam", "polyurethane foam"): allowed(
        "it is to be had.", "how it burns: poisonous smoke unless treated.", _TRADE
    ),
    ("horsehair", "polyurethane foam"): allowed(
        "it is to be had.", "how it burns: poisonous smoke unless treated.", _TRADE
    ),
    ("sponge rubber", "polyurethane foam"): allowed("it is to be had.", "give and how it burns.", _TRADE),
    ("kapok", "polyurethane foam"): allowed("it keeps its shape.", "floating and how it burns.", _TRADE),
    ("latex foam", "energy absorbing"): allowed(
        "it spares the back in a hard landing.", "comfort in the cold, price.", _TRADE
    ),
    ("horsehair", "energy absorbing"): allowed("it spares the back in a hard landing.", "look and breathing.", _TRADE),
    ("energy absorbing", "*"): refused_flying(
        "price.", "what it was put there for: the back in a hard landing.", _TRADE
    ),
}
EXAMPLES = (
    Example(
        "Upholsterer's foam for a horsehair cushion in an aeroplane that flies: no burn test asked or shown yet",
        Wanted(
            "padding",
            (wants("filling", "horsehair"), wants("thickness", of(Kind.LENGTH, low="58", high="65"))),
            role=Role.FURNISHING,
            use=Use.PERMIT,
        ),
        Offered(
            "padding",
            (
                measures("filling", "polyurethane foam"),
                measures("thickness", of(Kind.LENGTH, "61"), instrument="rule"),
            ),
        ),
        Outcome.NOT_PROVEN,
        common_practice("how furnishing may burn is a local rule"),
    ),
)

PART_CLASS = PartClass(
    key="padding",
    name="Padding",
    family="Furnishing",
    names=listed(
        "padding, cushion, seat cushion, foam, foam rubber, sponge rubber, horsehair, rubberised hair, felt pad",
        "crash pad, soundproofing, kapok, Polster, Sitzkissen, Sitzpolster, Schaumgummi, Moosgummi, Rosshaar",
        "Gummihaar, Filz, Schalldämmung, coussin, coussin de siège, crin, feutre, mousse, insonorisation",
    ),
    characteristics=(
        word("filling", "Filling", FILLINGS, essential=True),
        standard_number(),
        length("thickness", "Thickness", ("1", "400"), "Unloaded.", essential=True, general=True),
        length("width_over_all", "Width over all", ("10", "2000"), general=True),
        length("length_over_all", "Length over all", ("10", "3000"), general=True),
        length(
            "sitting_height",
            "Height when sat on",
            ("1", "400"),
            "It sets the eye line, the reach and how far a body drops before the belt holds.",
            concern=Concern.FUNCTION,
        ),
        size("density", "Density", Kind.DENSITY, ("0.005", "1.5"), effort=2),
        word("firmness", "Firmness", hint="Against the sample, sat on.", concern=Concern.FUNCTION, judged=True),
        size("mass", "Mass", Kind.MASS, ("1", "50000")),
        word("cover", "Cover", hint="What it is covered with.", concern=Concern.APPEARANCE, judged=True),
        flame_test(),
        look(),
    ),
    checks=(word_changes("filling", CHANGES), burn_row, number_rows("standard_number")),
    covers=frozenset({"filling", "flame_test", "standard_number"}),
    cautions=(
        "Burning foam gives off poisonous smoke: ask your authority which burn test it asks for.",
        "Old padding may carry dust, moth poison or asbestos behind heat shields: mask on, no beating.",
    ),
    draw=boxes("Pad, seen from the side", "length_over_all", "thickness"),
    examples=EXAMPLES,
    chapter="25",
    help="What is under the cover of a seat, pad or lining.",
)
