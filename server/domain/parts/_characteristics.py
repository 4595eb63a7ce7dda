"""Short spellings of the characteristics that many part classes share."""

from dataclasses import replace
from fractions import Fraction

from server.domain.fits import fit_limits
from server.domain.parts._kit import Characteristic, Choice
from server.domain.quantities import Kind
from server.domain.verdict import Concern

Limits = tuple[str, str]
"""Smallest and largest size that need no question when typed, as decimal texts in the kind's own unit."""


def length(
    key: str,
    label: str,
    plausible: Limits,
    hint: str = "",
    *,
    concern: Concern = Concern.FIT,
    essential: bool = False,
    general: bool = False,
    effort: int = 1,
    by_fit: bool = False,
    in_sizes: bool = False,
    of_place: bool = False,
) -> Characteristic:
    """A length in mm.

    `general` where the drawing's general tolerance may be assumed, `by_fit`
    where a class of ISO 286 ("20 H7") gives the limits, `in_sizes` where it is
    made in named sizes, `of_place` for a size of what the part sits on or in.
    """
    made = size(
        key, label, Kind.LENGTH, plausible, hint, concern=concern, essential=essential, general=general, effort=effort
    )
    return replace(made, standard_limits=fit_limits if by_fit else None, in_sizes=in_sizes, of_place=of_place)


def size(
    key: str,
    label: str,
    kind: Kind,
    plausible: Limits,
    hint: str = "",
    *,
    concern: Concern = Concern.FUNCTION,
    essential: bool = False,
    general: bool = False,
    effort: int = 1,
) -> Characteristic:
    """A size of any kind; the plausible limits are in the kind's own unit."""
    low, high = plausible
    return Characteristic(
        key,
        label,
        concern,
        kind,
        help=hint,
        plausible=(Fraction(low), Fraction(high)),
        effort=effort,
        essential=essential,
        general_tolerance=general,
    )


def word(
    key: str,
    label: str,
    choices: tuple[Choice, ...] = (),
    hint: str = "",
    *,
    concern: Concern = Concern.FUNCTION,
    essential: bool = False,
    judged: bool | None = None,
    effort: int = 1,
    tell_with: tuple[str, ...] = ("eye",),
    of_place: bool = False,
) -> Characteristic:
    """A characteristic said in words, from a list or free; free words are a person's to judge unless said otherwise."""
    return Characteristic(
        key,
        label,
        concern,
        help=hint,
        choices=choices,
        effort=effort,
        tell_with=tell_with,
        essential=essential,
        judged=not choices if judged is None else judged,
        of_place=of_place,
    )


def one_of(*rows: tuple[str, ...]) -> tuple[Choice, ...]:
    """Choices, each written as key, label and the other words for the same thing."""
    return tuple(Choice(key, label, tuple(also)) for key, label, *also in rows)


def listed(*lines: str) -> tuple[str, ...]:
    """Names written in comma-separated lines, one language after the other."""
    return tuple(name.strip() for one in lines for name in one.split(","))


YES_NO = one_of(("yes", "Yes", "ja", "oui"), ("no", "No", "none", "nein", "non"))


def thread(key: str = "thread", label: str = "Thread", *, essential: bool = True) -> Characteristic:
    """A thread by its designation; judged by the thread reader, never by nominal size alone."""
    return Characteristic(
        key,
        label,
        Concern.FIT,
        help="As marked or gauged, for example 1/4-28 UNF, M6, 2BA, 1/4 BSF, G1/8. Pitch first.",
        effort=2,
        tell_with=("thread_gauge", "pitch_gauge"),
        essential=essential,
    )


def material(label: str = "Material", *, essential: bool = False, hint: str = "") -> Characteristic:
    """What it is made of."""
    return Characteristic(
        "material",
        label,
        Concern.STRENGTH,
        help=hint or "As marked or certified, with its temper; not what it looks like.",
        is_material=True,
        essential=essential,
        effort=4,
        tell_with=("analysis", "hardness", "conductivity"),
    )


METAL_FINISH = one_of(
    ("bare", "Bare metal", "plain", "self colour", "blank", "brut"),
    ("cadmium", "Cadmium plated", "cadmium", "cad", "kadmiert", "Kadmierung", "cadmié", "cadmiage"),
    ("zinc", "Zinc plated", "zinc", "verzinkt", "Verzinkung", "zingué", "zingage", "galvanised"),
    ("nickel", "Nickel plated", "nickel", "vernickelt", "Vernickelung", "nickelé", "nickelage"),
    ("chromium", "Chromium plated", "chrome", "chromed", "verchromt", "Verchromung", "chromé", "chromage"),
    ("phosphate", "Phosphated", "parkerised", "phosphatiert", "phosphaté"),
    ("black", "Chemically blacked", "black oxide", "brüniert", "bruni"),
    ("tin", "Tinned", "tin plated", "verzinnt", "étamé"),
    ("anodised", "Anodised", "anodized", "eloxiert", "Eloxal", "anodisé"),
    ("painted", "Painted", "enamelled", "lackiert", "peint"),
)


def finish(choices: tuple[Choice, ...] = METAL_FINISH) -> Characteristic:
    """The surface: plating or paint, judged by eye."""
    return word(
        "finish",
        "Finish",
        choices,
        "Plating or paint. Plating changes a fit: measure after it.",
        concern=Concern.APPEARANCE,
        judged=True,
    )


def marking() -> Characteristic:
    """Marks and stamps on it."""
    return word(
        "marking",
        "Marks and stamps",
        hint="As read, with what can't be read left as dots.",
        concern=Concern.APPEARANCE,
        judged=True,
    )


def look() -> Characteristic:
    """How it looks once fitted."""
    return word(
        "look",
        "Look once fitted",
        hint="Against the original, a photograph or the opposite side.",
        concern=Concern.APPEARANCE,
        judged=True,
    )


def standard_number() -> Characteristic:
    """The number a standard or a maker gives it."""
    return word(
        "standard_number",
        "Standard or maker's number",
        hint="As marked or as on the packet, for example AN4-12A, MS20392, AGS 604.",
        tell_with=("eye",),
    )


def flame_test(label: str = "Burn test") -> Characteristic:
    """What a burn test of the furnishing showed; which test is asked is the local authority's word."""
    return word(
        "flame_test",
        label,
        hint="What your own authority's test showed on the piece or its certificate. A maker's word is no test.",
        concern=Concern.FUNCTION,
        effort=5,
        tell_with=("heat_test",),
    )


FLUIDS = one_of(
    ("petrol", "Petrol", "gasoline", "avgas", "Benzin", "essence", "fuel"),
    ("mineral oil", "Mineral oil", "engine oil", "lubricating oil", "Motoröl", "huile moteur"),
    ("mineral hydraulic", "Mineral hydraulic oil", "red oil", "DTD 585", "MIL-H-5606"),
    ("vegetable hydraulic", "Vegetable hydraulic fluid", "castor fluid", "Lockheed fluid", "blue fluid", "MIL-H-7644"),
    ("phosphate ester", "Phosphate-ester fluid", "fire-resistant hydraulic fluid"),
    ("glycol brake", "Glycol brake fluid", "DOT 3", "DOT 4", "brake fluid", "Bremsflüssigkeit"),
    ("water glycol", "Water and glycol", "coolant", "Kühlwasser", "glysantin"),
    ("air", "Air or vacuum", "pneumatic", "suction", "pitot", "static", "Luft", "air comprimé"),
    ("oxygen", "Oxygen", "Sauerstoff", "oxygène"),
)


def cure_date() -> Characteristic:
    """When rubber was cured, in quarter and year."""
    return word(
        "cure_date",
        "Cure date",
        hint="Quarter and year as marked on it, for example 3Q19 or 3Q2019. No date marked is an answer too.",
        concern=Concern.FUNCTION,
    )


def warmest() -> Characteristic:
    """The warmth it stands for good."""
    return size(
        "temperature_high",
        "Warmest it stands",
        Kind.TEMPERATURE,
        ("20", "700"),
        "By its standard or certificate; of the place: the warmest it gets.",
        effort=5,
    )


def coldest() -> Characteristic:
    """The cold it stands."""
    return size("temperature_low", "Coldest it stands", Kind.TEMPERATURE, ("-80", "20"), effort=5)


def breaking_load(label: str = "Breaking load", *, essential: bool = False) -> Characteristic:
    """The force at which it breaks."""
    return size(
        "breaking_load",
        label,
        Kind.FORCE,
        ("1", "500000"),
        "As its standard, certificate or a pull test of the same lot says; not from a like-looking one.",
        concern=Concern.STRENGTH,
        essential=essential,
        effort=5,
    )
