"""Glass, lenses and clear sheet."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    length,
    listed,
    look,
    marking,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._furnishings import NITRATE_CAUTION
from server.domain.parts._kinds import allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes, first_of, rings
from server.domain.parts._sides import at_least
from server.domain.parts._trim_rows import lens_colour_row
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("lamp lens", "Lens of a lamp", "lamp glass", "Streuscheibe", "Lampenglas", "verre de lampe"),
    ("navigation lens", "Lens of a navigation light", "position light lens", "Positionslichtglas"),
    ("windscreen", "Windscreen", "windshield", "Windschutzscheibe", "pare-brise"),
    ("window", "Window", "transparency", "Fenster", "fenêtre", "hublot"),
    ("canopy panel", "Canopy panel", "Haubenscheibe", "verrière"),
    ("instrument glass", "Instrument glass", "gauge glass", "Instrumentenglas", "verre d'instrument"),
    ("bulb cover", "Cover of a cabin lamp", "dome glass"),
    ("sight glass", "Sight glass or bowl", "filter bowl", "Schauglas", "voyant"),
)
STUFF = one_of(
    ("annealed glass", "Plain glass", "glass", "Glas", "verre"),
    ("toughened glass", "Toughened glass", "tempered glass", "Sekurit", "verre trempé"),
    ("laminated glass", "Laminated glass", "safety glass", "triplex", "Verbundglas", "verre feuilleté"),
    ("heat-resisting glass", "Heat-resisting glass", "borosilicate", "pyrex", "Jenaer Glas"),
    ("acrylic", "Acrylic", "Perspex", "Plexiglas", "Acrylglas", "plexiglas"),
    ("cellulose acetate", "Cellulose acetate", "Cellon", "rhodoid"),
    ("cellulose nitrate", "Cellulose nitrate", "celluloid", "Zelluloid", "celluloïd", "pyralin"),
    ("polycarbonate", "Polycarbonate", "Lexan", "Makrolon"),
    ("pvc", "Clear PVC"),
    ("mica", "Mica", "Glimmer"),
)
COLOURS = one_of(
    ("clear", "Clear", "white", "klar", "incolore"),
    ("red", "Red", "rot", "rouge"),
    ("green", "Green", "grün", "vert"),
    ("blue-green", "Blue-green", "blaugrün"),
    ("blue", "Blue", "blau", "bleu"),
    ("amber", "Amber", "yellow", "gelb", "ambre"),
    ("opal", "Opal or frosted", "frosted", "matt", "dépoli"),
    ("smoked", "Smoked", "rauch"),
)

_TRADE = common_practice("clear materials")
_FIRE = common_practice("celluloid is never replaced by celluloid: acrylic or acetate instead")
CHANGES = {
    ("*", "cellulose nitrate"): refused_flying("the right material of its time.", "safety: it burns fiercely.", _FIRE),
    ("cellulose nitrate", "cellulose nitrate"): refused_flying(
        "the right material.", "safety: it burns fiercely.", _FIRE
    ),
    ("cellulose nitrate", "acrylic"): allowed(
        "it burns less and keeps clear.", "it is stiffer and cracks at screws.", _FIRE
    ),
    ("cellulose nitrate", "cellulose acetate"): allowed("it burns less.", "it yellows and shrinks.", _FIRE),
    ("cellulose nitrate", "pvc"): allowed("it folds.", "it clouds.", _FIRE),
    ("cellulose acetate", "acrylic"): allowed("it keeps clear.", "it is stiffer and cracks at screws.", _TRADE),
    ("annealed glass", "toughened glass"): allowed("strength.", "it can't be cut or drilled after.", _TRADE),
    ("annealed glass", "acrylic"): allowed("it does not splinter.", "scratches and heat.", _TRADE),
    ("heat-resisting glass", "annealed glass"): refused("heat: it cracks over the lamp.", _TRADE),
    ("heat-resisting glass", "acrylic"): refused("heat: it softens over the lamp.", _TRADE),
    ("laminated glass", "annealed glass"): refused_flying("price.", "it splinters into faces.", _TRADE),
    ("toughened glass", "annealed glass"): refused_flying("it can be cut.", "strength, and it splinters.", _TRADE),
    ("acrylic", "polycarbonate"): allowed("it does not shatter.", "scratches; fuel and solvents craze it.", _TRADE),
    ("mica", "annealed glass"): refused("heat.", _TRADE),
}
EXAMPLES = (
    Example(
        "Acrylic for a celluloid side window, on display",
        Wanted(
            "glass_lens",
            (
                wants("kind_of_glass", "window"),
                wants("stuff", "celluloid"),
                wants("colour", "clear"),
                wants("thickness", of(Kind.LENGTH, low="1.4", high="2.1")),
            ),
            role=Role.FURNISHING,
        ),
        Offered(
            "glass_lens",
            (
                measures("kind_of_glass", "window"),
                measures("stuff", "acrylic"),
                measures("colour", "clear"),
                measures("thickness", of(Kind.LENGTH, "2.0"), instrument="micrometer"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("acrylic for celluloid, never nitrate again"),
    ),
    Example(
        "New celluloid for old, in an aeroplane that flies",
        Wanted(
            "glass_lens",
            (
                wants("kind_of_glass", "window"),
                wants("stuff", "acetate"),
                wants("thickness", of(Kind.LENGTH, low="1.4", high="2.1")),
            ),
            role=Role.FURNISHING,
            use=Use.PERMIT,
        ),
        Offered("glass_lens", (measures("kind_of_glass", "window"), measures("stuff", "celluloid"))),
        Outcome.NOT_EQUIVALENT,
        common_practice("cellulose nitrate is not brought into an aeroplane again"),
    ),
)

PART_CLASS = PartClass(
    key="glass_lens",
    name="Glass, lens or window",
    family="Furnishing",
    names=listed(
        "lens, lamp lens, lamp glass, window, windscreen, windshield, canopy panel, transparency",
        "instrument glass, gauge glass, sight glass, filter bowl glass, acrylic sheet, Plexiglas",
        "celluloid sheet, safety glass, Streuscheibe, Lampenglas, Linse, Fenster, Windschutzscheibe",
        "Haubenscheibe, Acrylglas, Zelluloid, Verbundglas, Schauglas, lentille, verre, fenêtre, hublot",
        "pare-brise, verrière, celluloïd, verre feuilleté",
    ),
    characteristics=(
        word("kind_of_glass", "Kind", KINDS, essential=True),
        standard_number(),
        word(
            "stuff",
            "Material",
            STUFF,
            "Sweet or camphor smell and yellow brittle edges point to nitrate: no flame test.",
            essential=True,
            effort=3,
            tell_with=("eye", "analysis"),
        ),
        word(
            "colour",
            "Colour",
            COLOURS,
            "Judged lit, with the lamp it will have.",
            concern=Concern.FUNCTION,
            judged=True,
            essential=True,
        ),
        length("outside_diameter", "Outside diameter", ("3", "1000")),
        length("width_over_all", "Width over all", ("3", "3000"), general=True),
        length("height_over_all", "Height over all", ("3", "3000"), general=True),
        length("thickness", "Thickness", ("0.3", "60"), "At the edge that is held.", essential=True),
        length("depth", "Depth or dome", ("0.3", "500"), "From the rim to the crown."),
        length("radius", "Radius of the curve", ("5", "10000"), "Inside."),
        length("hole_centres", "Hole centres", ("2", "2000")),
        length("hole_diameter", "Hole diameter", ("0.8", "60")),
        word("pattern", "Pattern", hint="Flutes, prisms, bull's-eye, plain.", concern=Concern.FUNCTION, judged=True),
        size("transmittance", "Light let through", Kind.SHARE, ("0.5", "100"), effort=4),
        warmest(),
        word("edge", "Edge and seat", hint="Ground, flanged, grooved, bevelled.", concern=Concern.FIT),
        marking(),
        look(),
    ),
    checks=(
        word_changes("stuff", CHANGES, {"cellulose nitrate": NITRATE_CAUTION}),
        lens_colour_row,
        at_least("temperature_high"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"stuff", "colour", "temperature_high", "standard_number"}),
    cautions=(NITRATE_CAUTION, "Instrument glass over luminous dials: survey for radium before anything is opened."),
    draw=first_of(
        rings("Lens, from the front", "outside_diameter"),
        boxes("Pane, from the front", "width_over_all", "height_over_all"),
    ),
    examples=EXAMPLES,
    chapter="56",
    help="Everything that is looked or shone through.",
)
