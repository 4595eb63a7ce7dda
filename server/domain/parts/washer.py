"""Washers: plain, locking, tab and trim washers."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import finish, length, listed, look, material, one_of, standard_number, word
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.quantities import Kind
from server.domain.sources import common_practice
from server.domain.specification import Role, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("plain", "Plain", "flat washer", "Unterlegscheibe", "rondelle plate"),
    ("spring", "Split spring lock", "spring washer", "lock washer", "Federring", "rondelle Grower"),
    ("external tooth", "External tooth lock", "star washer", "Zahnscheibe", "rondelle éventail"),
    ("internal tooth", "Internal tooth lock"),
    ("tab", "Tab", "locking tab", "Sicherungsblech", "frein d'écrou"),
    ("cup", "Cup or finishing", "trim washer", "Rosette", "Senkscheibe", "rondelle cuvette"),
    ("large", "Large plain, for wood", "penny washer", "fender washer", "repair washer"),
    ("bevelled", "Bevelled or taper", "tapered"),
    ("spherical", "Spherical seat", "Kugelscheibe"),
)

_TRADE = common_practice("how washers are used")
CHANGES = {
    ("spring", "external tooth"): allowed(
        "it bites on soft metal and bonds.", "it cuts plating and soft metal.", _TRADE
    ),
    ("spring", "internal tooth"): allowed("it looks neater.", "it cuts plating and soft metal.", _TRADE),
    ("external tooth", "internal tooth"): allowed("the teeth hide under the head.", "bite near the rim.", _TRADE),
    ("internal tooth", "external tooth"): allowed("it bites further out.", "the teeth show.", _TRADE),
    ("tab", "spring"): refused_flying("none.", "the positive lock of the tab.", _TRADE),
    ("tab", "plain"): refused("all locking.", _TRADE),
    ("spring", "plain"): refused_flying("a flat seat.", "all locking.", _TRADE),
    ("large", "plain"): refused_flying("a smaller look.", "bearing area: the head pulls into wood.", _TRADE, LOADED),
}
EXAMPLES = (
    Example(
        "Internal-tooth washer offered where the pattern asks for external teeth",
        Wanted(
            "washer",
            (
                wants("kind_of_washer", "external tooth"),
                wants("bore", of(Kind.LENGTH, low="3.6", high="3.9")),
                wants("outside_diameter", of(Kind.LENGTH, low="7.6", high="8.2")),
                wants("thickness", of(Kind.LENGTH, low="0.4", high="0.6")),
            ),
            role=Role.SYSTEMS,
        ),
        Offered(
            "washer",
            (
                measures("kind_of_washer", "internal tooth"),
                measures("bore", of(Kind.LENGTH, "3.75"), instrument="calliper"),
                measures("outside_diameter", of(Kind.LENGTH, "7.9"), instrument="calliper"),
                measures("thickness", of(Kind.LENGTH, "0.5"), instrument="micrometer"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("the tooth pattern is answered for by a person"),
    ),
)

PART_CLASS = PartClass(
    key="washer",
    name="Washer",
    family="Fasteners",
    names=listed(
        "washer, flat washer, plain washer, lock washer, spring washer, shakeproof washer, tooth lock washer",
        "tab washer, cup washer, finishing washer, penny washer, shim washer, Scheibe, Unterlegscheibe",
        "Federring, Zahnscheibe, Sicherungsscheibe, Sicherungsblech, Rosette, rondelle, rondelle frein",
        "rondelle élastique, rondelle Grower, rondelle cuvette",
    ),
    characteristics=(
        word("kind_of_washer", "Kind of washer", KINDS, essential=True),
        standard_number(),
        length("bore", "Bore", ("0.8", "120"), "The hole through it.", essential=True),
        length("outside_diameter", "Outside diameter", ("2", "200"), essential=True),
        length("thickness", "Thickness", ("0.05", "20"), essential=True),
        word("edge", "Edge and face", hint="Chamfered, radiused or square, and which face.", concern=Concern.FIT),
        material(),
        finish(),
        look(),
    ),
    checks=(word_changes("kind_of_washer", CHANGES), number_rows("standard_number")),
    covers=frozenset({"kind_of_washer", "standard_number"}),
    draw=rings("Washer, seen from above", "bore", "outside_diameter"),
    examples=EXAMPLES,
    chapter="14",
    help="Anything flat with a hole that sits under a head or nut.",
)
