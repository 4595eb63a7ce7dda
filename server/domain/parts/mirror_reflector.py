"""Mirrors and reflectors."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import allowed, number_rows, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import boxes, first_of, rings
from server.domain.parts._screens_mirrors import focus_rows
from server.domain.parts._sides import at_least
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("lamp reflector", "Lamp reflector", "Reflektor", "réflecteur"),
    ("rear-view mirror", "Rear-view mirror", "Rückspiegel", "rétroviseur"),
    ("signal mirror", "Hand or signal mirror"),
    ("instrument mirror", "Mirror of an instrument or sight"),
    ("reflex", "Reflex reflector", "cat's eye", "Rückstrahler", "catadioptre"),
)
SURFACES = one_of(
    ("silver on metal", "Silver plated metal", "silvered", "versilbert", "argenté"),
    ("silvered glass", "Silvered glass, behind", "back silvered", "Glasspiegel"),
    ("front silvered", "Front-surface mirror", "first surface"),
    ("aluminised", "Vacuum aluminised", "aluminized", "bedampft"),
    ("nickel", "Polished nickel", "vernickelt"),
    ("chromium", "Polished chromium", "chrome", "verchromt"),
    ("polished aluminium", "Polished aluminium"),
    ("polished stainless", "Polished stainless steel", "steel mirror"),
    ("white paint", "White paint", "weiß"),
)

_TRADE = common_practice("reflecting surfaces")
CHANGES = {
    ("silver on metal", "aluminised"): allowed("it does not tarnish.", "a little light, and a bluer look.", _TRADE),
    ("silver on metal", "chromium"): allowed("it wears well.", "about a third of the light.", _TRADE),
    ("silver on metal", "nickel"): allowed("the period look.", "about a third of the light.", _TRADE),
    ("silvered glass", "polished stainless"): allowed("it does not splinter.", "light and sharpness.", _TRADE),
    ("*", "white paint"): refused_flying("price.", "the beam.", _TRADE),
}
EXAMPLES = (
    Example(
        "A dish of the right diameter that is too shallow: its focus lies behind the lamp",
        Wanted(
            "mirror_reflector",
            (
                wants("kind_of_mirror", "lamp reflector"),
                wants("surface", "silver on metal"),
                wants("outside_diameter", of(Kind.LENGTH, low="149", high="151")),
                wants("focal_length", of(Kind.LENGTH, low="24", high="26")),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "mirror_reflector",
            (
                measures("kind_of_mirror", "lamp reflector"),
                measures("surface", "silver on metal"),
                measures("outside_diameter", of(Kind.LENGTH, "150"), instrument="calliper"),
                measures("depth", of(Kind.LENGTH, "45"), instrument="depth_gauge"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("paraboloid, geometry", standing=Standing.DERIVED),
    ),
)

PART_CLASS = PartClass(
    key="mirror_reflector",
    name="Mirror or reflector",
    family="Furnishing",
    names=listed(
        "mirror, rear-view mirror, reflector, lamp reflector, reflex reflector, Spiegel, Rückspiegel, Reflektor",
        "Rückstrahler, miroir, rétroviseur, réflecteur, catadioptre",
    ),
    characteristics=(
        word("kind_of_mirror", "Kind", KINDS, essential=True),
        standard_number(),
        word("surface", "Reflecting surface", SURFACES, essential=True),
        length("outside_diameter", "Outside diameter", ("3", "1000"), essential=True),
        length("width_over_all", "Width over all", ("3", "1500"), general=True),
        length("height_over_all", "Height over all", ("3", "1500"), general=True),
        length("depth", "Depth", ("0.5", "500"), "From the rim plane to the deepest point.", concern=Concern.FUNCTION),
        length(
            "radius",
            "Radius of the curve",
            ("5", "20000"),
            "Of a round mirror; a dish of a lamp is no sphere.",
            concern=Concern.FUNCTION,
            effort=2,
        ),
        length(
            "focal_length",
            "Focal length",
            ("1", "5000"),
            "Of a dish: depth and diameter give it, see the check.",
            concern=Concern.FUNCTION,
            effort=2,
        ),
        length("bore", "Lamp hole", ("2", "120")),
        length("rim_width", "Rim width", ("0.5", "60")),
        length("thickness", "Thickness", ("0.2", "30")),
        size("reflectance", "Light thrown back", Kind.SHARE, ("1", "100"), effort=4),
        warmest(),
        material("Material of the body"),
        word("backing", "Backing", hint="What is behind it; old pads may hold asbestos.", concern=Concern.FUNCTION),
        marking(),
        look(),
    ),
    checks=(
        word_changes("surface", CHANGES),
        focus_rows,
        at_least("temperature_high", "reflectance"),
        number_rows("standard_number"),
    ),
    covers=frozenset({"focal_length", "surface", "temperature_high", "reflectance", "standard_number"}),
    cautions=(
        "Silvering solution turns explosive on standing: mix fresh, never store, leave it to a silverer.",
        "Pads and backings of old lamps may hold asbestos.",
    ),
    draw=first_of(
        rings("Mirror, from the front", "bore", "outside_diameter"),
        boxes("Mirror, from the front", "width_over_all", "height_over_all"),
    ),
    examples=EXAMPLES,
    chapter="33",
    help="Mirrors to look in and dishes of lamps.",
)
