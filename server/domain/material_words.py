"""How a material is written: folding, finishes, forms, cladding, and words of doubt."""

import re
import unicodedata
from functools import lru_cache


@lru_cache(maxsize=16_384)
def fold_material(text: str) -> str:
    """A text for comparing: small letters, no accents, one kind of dash and fraction, single blanks."""
    plain = unicodedata.normalize("NFKD", text.casefold().replace("⁄", "/"))
    plain = "".join(sign for sign in plain if not unicodedata.combining(sign))
    plain = plain.replace("⁄", "/").replace("–", "-").replace("—", "-").replace("‑", "-").replace("ł", "l")
    return " ".join(plain.replace("_", " ").split())


_FREE = re.compile(
    r"\b(?:free (?:of|from)|no|non|not|without|ohne|sans|senza|kein\w*|pas (?:de|d')|bez)[\s'-]+\w+"
    r"|\b(?!rost)\w+[\s-]*(?:free\b|frei\b)"
)


def without_free(folded: str) -> str:
    """The text without what it says it does not hold: "asbestos-free", "ohne Blei", "sans amiante"."""
    return _FREE.sub(" ", folded)


_DOUBT = re.compile(
    r"\?|\b(?:probably|maybe|perhaps|possibly|presumably|similar|like|type|class|equivalent|unknown|or|not|no|non|"
    r"vermutlich|wohl|vielleicht|ahnlich|oder|nicht|unbekannt|genre|environ|probablement|peut-etre|ou|pas|"
    r"snad|asi|nebo|forse|moze|lub)\b"
)


def is_doubtful(folded: str) -> bool:
    """True where the writer wasn't sure, or said what it is not."""
    return bool(_DOUBT.search(folded))


FORMS: tuple[tuple[str, str], ...] = (
    ("permanent mould", r"permanent mou?ld|gravity die|chill cast\w*|kokille\w*|coquille|\bgk-"),
    ("investment", r"investment|lost wax|feinguss|cire perdue"),
    ("sand", r"sand[ -]?cast\w*|sandguss|\bsable\b|\bg-al|\bg-mg"),
    ("die", r"(?:pressure )?die[ -]?cast\w*|druckguss|sous pression|\bgd-"),
    ("forging", r"forg\w+|schmied\w+|matrice\w*|gesenk\w*"),
    ("extrusion", r"extru\w+|strangpress\w*|profile?\b"),
    ("tube", r"tub(?:e|es|ing|o)\b|\w*rohr\b|trubka|rura"),
    ("wire", r"wire|draht|\bfil\b|corde"),
    ("bar", r"\bbar\b|\brod\b|hexagon|stange|barre|\brond\b|tyc\b|pret\b|\bbolt\b"),
    ("sheet", r"sheet|plate\b|\w*blech\b|\btole\b|lamiera|plech|blacha|strip|\bskin\b"),
)
_FORM_PATTERNS = tuple((key, re.compile(pattern)) for key, pattern in FORMS)
_CAST = re.compile(r"\bcast(?:ing)?s?\b|\w*guss\b|moule\w*|coule\w*|fonderie|odlitek|odlew|getto")
CAST_FORMS = frozenset({"sand", "permanent mould", "investment", "die"})


def form_in(folded: str) -> str:
    """The form a text names (sheet, tube, bar, sand …), "cast" for a casting of no said kind, or ""."""
    for key, pattern in _FORM_PATTERNS:
        if pattern.search(folded):
            return key
    return "cast" if _CAST.search(folded) else ""


_CLAD = re.compile(r"\balclad\b|\bclad\b|\bplattiert\w*|\bplaquee?\b|\bplaccat\w+|\bplatovan\w+|\bplaterowan\w+")
_BARE = re.compile(r"\bbare\b|\bunclad\b|\bunplattiert\w*|\bnon[ -]clad\b")


def clad_in(folded: str) -> bool | None:
    """Clad, bare, or nothing said of it."""
    if _BARE.search(folded):
        return False
    return True if _CLAD.search(folded) else None


_PLATED = (
    ("cadmium", r"(?:cadmium|\bcad\b)[ -]*(?:plat\w+|finish)?|(?:ver)?kadm\w*|cadmi(?:e|ee|age)\b"),
    ("zinc-nickel", r"zinc[ -]nickel(?:[ -]plat\w+)?|zink-?nickel"),
    ("zinc", r"zinc[ -]*(?:plat\w+|coat\w+)|galvani[sz]\w*|verzinkt\w*|zingue\w*|zincat\w*|pozink\w*|ocynk\w*"),
    ("nickel", r"nickel[ -]*plat\w+|vernickelt\w*|nickele\w*|nichelat\w*"),
    ("chromium", r"chrom\w*[ -]*plat\w+|chromed|verchromt\w*|chrome\b(?=.*\bplat)|cromat\w*"),
    ("tin", r"tin[ -]*plat\w+|\btinned\b|verzinnt\w*|etame\w*"),
    ("silver", r"silver[ -]*plat\w+|versilbert\w*|argente\w*"),
    ("copper", r"copper[ -]*plat\w+|verkupfert\w*|cuivre[ -]*plat\w*"),
    ("brass", r"brass[ -]*plat\w+|vermessingt\w*"),
    ("lead", r"lead[ -]*coat\w+|terne[ -]?\w*|verbleit\w*"),
    ("hard anodised", r"hard[ -]*anodi[sz]\w*|harteloxiert\w*|anodisation dure"),
    ("anodised", r"anodi[sz]\w*|eloxiert\w*|\beloxal\b"),
)
_PLATED_PATTERNS = tuple((key, re.compile(pattern)) for key, pattern in _PLATED)
_NOT_CADMIUM = re.compile(r"^(?:pure )?(?:cadmium|kadmium|kadm)$")


def finish_in(folded: str) -> tuple[str, str]:
    """The plating or anodising a text names, and the text without it; ("", text) for none.

    Chromate and phosphate treatments are no plating: the metal under them is judged.
    """
    if _NOT_CADMIUM.fullmatch(folded):
        return "", folded
    for key, pattern in _PLATED_PATTERNS:
        if pattern.search(folded):
            return key, " ".join(pattern.sub(" ", folded).split())
    return "", folded
