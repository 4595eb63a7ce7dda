"""What all rivets share: words for heads and finishes, and the characteristics each class picks from.

Lengths: a protruding head is measured under the head, a countersunk one over
all, head included. A bare "length" is therefore never a characteristic here.
"""

from collections.abc import Callable
from fractions import Fraction

from server.domain import joints
from server.domain import rivet_sources as src
from server.domain.parts._kit import Characteristic, Choice, StandardLimits, mm
from server.domain.quantities import INCH, Kind
from server.domain.sources import Source, from_memory
from server.domain.specification import Requirement
from server.domain.tables.read import read_table
from server.domain.verdict import Concern

FAMILY = "Fasteners"
CHAPTER = "51"
SOLID, SEMI_TUBULAR, TUBULAR, SPLIT, BLIND = (
    "solid_rivet",
    "semi_tubular_rivet",
    "tubular_rivet",
    "split_rivet",
    "blind_rivet",
)
RIVETS = frozenset({SOLID, SEMI_TUBULAR, TUBULAR, SPLIT, BLIND})

COUNTERSUNK, RAISED_COUNTERSUNK, UNIVERSAL = "countersunk", "raised_countersunk", "universal"
FLUSH_HEADS = frozenset({COUNTERSUNK, RAISED_COUNTERSUNK})

HEAD_CHOICES = (
    Choice(
        UNIVERSAL,
        "Universal",
        ("universal head", "AN470", "MS20470", "Universalkopf", "Universalniet", "Flachrundniet", "tête universelle"),
    ),
    Choice(
        "round",
        "Round",
        (
            *("round head", "button", "button head", "snap", "snap head", "cup head", "AN430", "MS20430"),
            *(
                "Rundkopf",
                "Halbrundkopf",
                "Halbrundniet",
                "Rundkopfniet",
                "tête ronde",
            ),
        ),
    ),
    Choice("flat", "Flat", ("flat head", "AN442", "MS20442", "Flachkopf", "Flachkopfniet", "tête plate")),
    Choice("oval", "Oval", ("oval head", "Ovalkopf", "Linsenkopf", "tête ovale", "tête bombée")),
    Choice("truss", "Truss", ("truss head", "large flat round", "Flachrundkopf groß", "tête large")),
    Choice("pan", "Pan", ("pan head", "cone head", "Kegelkopf", "tête tronconique")),
    Choice(
        COUNTERSUNK,
        "Countersunk",
        (
            *("countersunk head", "flush", "csk", "flat countersunk", "AN426", "MS20426", "AN425"),
            *("Senkkopf", "Senkniet", "tête fraisée", "tête noyée"),
        ),
    ),
    Choice(
        RAISED_COUNTERSUNK,
        "Raised countersunk",
        ("oval countersunk", "raised csk", "Linsensenkkopf", "Linsenniet", "tête fraisée bombée"),
    ),
    Choice("brazier", "Brazier", ("brazier head", "modified brazier", "AN455", "AN456", "tête goutte de suif")),
    Choice("mushroom", "Mushroom", ("mushroom head", "Pilzkopf", "tête champignon")),
)

FINISH_CHOICES = (
    Choice("plain", "Plain", ("bare", "self colour", "blank", "brut")),
    Choice("anodised", "Anodised", ("anodized", "eloxiert", "anodisé")),
    Choice("cadmium", "Cadmium plated", ("cadmium", "cad plated", "verkadmet", "kadmiert", "cadmié")),
    Choice("zinc", "Zinc plated", ("zinc", "galvanised", "verzinkt", "zingué")),
    Choice("nickel", "Nickel plated", ("nickel", "vernickelt", "nickelé")),
    Choice("tin", "Tinned", ("tin", "verzinnt", "étamé")),
    Choice("brass", "Brassed", ("brass plated", "vermessingt", "laitonné")),
    Choice("black", "Blackened", ("japanned", "black oxide", "brüniert", "noirci")),
    Choice("chromate", "Chromate filmed", ("alodined", "chromatiert", "chromaté")),
    Choice("painted", "Painted", ("enamelled", "lackiert", "laqué")),
)

SMALLEST_BODY, LARGEST_BODY = mm("0.8"), mm("14")
_LENGTHS = (mm("1"), mm("120"))

Limits = Callable[[Fraction, Requirement], StandardLimits | None]

_ASSUMED = "the source gives no limits; {} assumed"


def _unit(requirement: Requirement) -> str:
    return requirement.quantity.unit if requirement.quantity else "mm"


def solid_body_limits(nominal: Fraction, requirement: Requirement) -> StandardLimits | None:
    """Limits of a solid rivet's body: ANSI B18.1.1 for inch sizes, DIN 660 for metric ones; None for other sizes."""
    if joints.is_inch(nominal, _unit(requirement)):
        for row in read_table("rivets_heads"):
            if row["d_min_in"] and abs(joints.inch_of(row["d_frac_in"]) - nominal) <= INCH / 1000:
                said = _ASSUMED.format("ANSI B18.1.1 body limits (aircraft rivets are made closer)")
                return StandardLimits(
                    joints.inch_of(row["d_min_in"]), joints.inch_of(row["d_max_in"]), src.B18_1_1, said
                )
        return None
    return _metric_body("DIN 660", src.DIN_660, nominal)


def semi_tubular_body_limits(nominal: Fraction, _requirement: Requirement) -> StandardLimits | None:
    """Limits of a semi-tubular body: the makers' tables in inches, the inferred DIN 6791 in mm; None for others."""
    rows = [row for row in joints.semi_tubular_rows(nominal) if row["body_min_in"]]
    metric = _metric_body("DIN 6791 (inferred)", src.DIN_6791, nominal)
    if metric is not None or not rows:
        return metric
    low = min(joints.inch_of(row["body_min_in"]) for row in rows)
    high = max(joints.inch_of(row["body_max_in"]) for row in rows)
    return StandardLimits(low, high, src.B18_7, _ASSUMED.format("body limits of makers' semi-tubular tables"))


def tubular_body_limits(nominal: Fraction, _requirement: Requirement) -> StandardLimits | None:
    """Limits of a tubular body by DIN 7340; None for sizes it doesn't hold."""
    return _metric_body("DIN 7340", src.DIN_7340, nominal)


def _metric_body(standard: str, source: Source, nominal: Fraction) -> StandardLimits | None:
    for row in read_table("rivets_metric"):
        if row["standard"] == standard and Fraction(row["d_mm"]) == nominal:
            low, high = Fraction(row["d_min"]), Fraction(row["d_max"])
            return StandardLimits(low, high, source, _ASSUMED.format(f"{source.document} body limits"))
    return None


def length_limits(nominal: Fraction, requirement: Requirement) -> StandardLimits | None:
    """Limits of a rivet's length: ±0.016 in by ANSI B18.1.1 for inch sizes, 0 to +0.5 mm by BS 4620 for metric ones."""
    if _unit(requirement) in {"in", "thou"}:
        spread = INCH * Fraction("0.016")
        said = _ASSUMED.format("ANSI B18.1.1 length ±0.016 in")
        return StandardLimits(nominal - spread, nominal + spread, src.B18_1_1, said)
    said = _ASSUMED.format("BS 4620 length +0.5 mm")
    return StandardLimits(nominal, nominal + Fraction(1, 2), src.BRITISH_ALLOWANCES, said)


def angle_limits(nominal: Fraction) -> tuple[Fraction, Source]:
    """How far a cone may be off and still seat, in degrees, and where that is from."""
    if nominal == 90:
        return Fraction(5, 2), src.BRITISH_ALLOWANCES
    return Fraction(1), from_memory("flush rivet heads", "cone ±1°")


def head_angle_limits(nominal: Fraction, _requirement: Requirement) -> StandardLimits:
    """Limits round a wanted head angle."""
    spread, source = angle_limits(nominal)
    said = _ASSUMED.format(f"±{float(spread):g}°")
    return StandardLimits(nominal - spread, nominal + spread, source, said)


def material(what: str = "Material") -> Characteristic:
    """Metal of the body; of aluminium rivets the alloy, which the mark on the head tells."""
    return Characteristic(
        "material",
        what,
        Concern.STRENGTH,
        help="Metal and alloy: 2117-T4 (AD), 17S-T, brass, copper. The mark on the head tells the alloy.",
        effort=2,
        tell_with=("eye", "magnet", "analysis"),
        essential=True,
        is_material=True,
    )


def head_style() -> Characteristic:
    """Form of the made head."""
    return Characteristic(
        "head_style",
        "Head style",
        Concern.FIT,
        help="Form of the made head, as bought.",
        choices=HEAD_CHOICES,
        essential=True,
    )


def head_angle() -> Characteristic:
    """Whole angle of a countersunk head's cone."""
    return Characteristic(
        "head_angle",
        "Head angle",
        Concern.FIT,
        Kind.ANGLE,
        help="Countersunk heads only: the whole angle of the cone. US aircraft 100° or, early, 78°; DIN 661 about 75°.",
        plausible=(Fraction(60), Fraction(150)),
        effort=2,
        standard_limits=head_angle_limits,
    )


def head_diameter() -> Characteristic:
    """Largest diameter of the made head."""
    return Characteristic("head_diameter", "Head diameter", Concern.FIT, Kind.LENGTH, plausible=(mm("1"), mm("40")))


def head_height() -> Characteristic:
    """Height of the made head; of a countersunk one the depth of the cone."""
    return Characteristic(
        "head_height",
        "Head height",
        Concern.APPEARANCE,
        Kind.LENGTH,
        help="How far the made head stands up; of a countersunk head the depth of its cone.",
        plausible=(mm("0.2"), mm("12")),
    )


def body_diameter(limits: Limits | None = None) -> Characteristic:
    """Diameter of the shank, measured just under the head."""
    return Characteristic(
        "body_diameter",
        "Body diameter",
        Concern.FIT,
        Kind.LENGTH,
        help="Diameter of the shank, before setting, just clear of the head.",
        plausible=(SMALLEST_BODY, LARGEST_BODY),
        effort=1,
        essential=True,
        standard_limits=limits,
        in_sizes=True,
    )


def length_under_head() -> Characteristic:
    """Length of a protruding-head rivet, before setting."""
    return Characteristic(
        "length_under_head",
        "Length under head",
        Concern.FIT,
        Kind.LENGTH,
        help="Protruding heads: from the underside of the head to the end, before setting.",
        plausible=_LENGTHS,
        standard_limits=length_limits,
    )


def length_over_all() -> Characteristic:
    """Length of a countersunk rivet, head included, before setting."""
    return Characteristic(
        "length_over_all",
        "Length over all",
        Concern.FIT,
        Kind.LENGTH,
        help="Countersunk heads: from the outer face of the head to the end, before setting.",
        plausible=_LENGTHS,
        standard_limits=length_limits,
    )


def bore_diameter() -> Characteristic:
    """Diameter of the hole in the tail."""
    return Characteristic(
        "bore_diameter",
        "Bore diameter",
        Concern.FUNCTION,
        Kind.LENGTH,
        help="Hole in the tail, at its mouth.",
        plausible=(mm("0.4"), mm("12")),
    )


def bore_depth() -> Characteristic:
    """Depth of the hole, from the tail."""
    return Characteristic(
        "bore_depth",
        "Bore depth",
        Concern.FUNCTION,
        Kind.LENGTH,
        help="Depth of the hole, measured from the tail. Leave it out where the bore goes right through.",
        plausible=(mm("0.3"), mm("80")),
        effort=2,
    )


def finish() -> Characteristic:
    """Plating or colour of the surface."""
    return Characteristic(
        "finish",
        "Finish",
        Concern.APPEARANCE,
        choices=FINISH_CHOICES,
        judged=True,
    )


def colour() -> Characteristic:
    """Colour of a painted or coloured head."""
    return Characteristic("colour", "Colour of the head", Concern.APPEARANCE, judged=True)
