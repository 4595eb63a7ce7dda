"""Number series: names that are in no list but tell by their form what family they are of.

Common practice, but for the number groups before 1954, which a memorandum of
the United States authority sets out (ANM-112N-06-04, 25 Sep 2006, not an
official publication; text page seen).
"""

import re
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, slots=True)
class Series:
    """A pattern of names, its family, what is known of them, and what to ask of one."""

    pattern: re.Pattern[str]
    family: str
    prefix: str
    note: str = ""
    ask: str = ""

    def alloy(self, hit: re.Match[str]) -> str:
        """The name of the alloy, as this series writes it."""
        said = re.sub(r"\s+", "", hit[1] if hit.re.groups else hit[0]).upper()
        return f"{self.prefix}{said}"


_START, _END = r"(?<![^\W_])(?<!\d[.,])", r"(?![^\W_])(?![.,]\d)"


def _series(pattern: str, family: str, prefix: str = "", note: str = "", ask: str = "") -> Series:
    return Series(re.compile(f"{_START}{pattern}{_END}"), family, prefix, note, ask)


_STEEL_GROUPS = "10|11|12|13|23|25|31|32|33|34|40|41|43|46|48|51|52|61|86|87|88|92|93"
_LOOK_UP = "No figures are held for it: look up the specification."


@cache
def all_series() -> tuple[Series, ...]:
    """Every series, tried in order, only where no listed name was found; made when the first such name comes."""
    return (
        _series(r"(?:bs\s*)?\d?l\s?(\d{1,3})", "aluminium", "BS L", _LOOK_UP),
        _series(r"bs\s*\d?s\s?(\d{1,3})", "steel", "BS S", _LOOK_UP),
        _series(r"s\s?(\d{2,3})", "steel", "BS S", _LOOK_UP, "Is it a British S number, a steel?"),
        _series(r"fl\.?\s*w\.?\s*(1\d{3})(?:\.\d)?", "steel", "Fl.W. ", _LOOK_UP),
        _series(r"fl\.?\s*w\.?\s*(3[0-4]\d{2})(?:\.\d)?", "aluminium", "Fl.W. ", _LOOK_UP),
        _series(r"fl\.?\s*w\.?\s*(35\d{2})(?:\.\d)?", "magnesium", "Fl.W. ", _LOOK_UP),
        _series(r"(1\.[0-8]\d{3})", "steel", "", _LOOK_UP),
        _series(r"(2\.0[2-5]\d{2})", "brass", "", _LOOK_UP, "A copper alloy by its number: is it a brass?"),
        _series(r"(3\.[0-4]\d{3})", "aluminium", "", _LOOK_UP),
        _series(r"(3\.5\d{3})", "magnesium", "", _LOOK_UP),
        _series(r"(3\.7\d{3})", "titanium", "", _LOOK_UP),
        _series(r"(cuzn[\d.,]*(?:pb\d*|al\d*|sn\d*)?)", "brass"),
        _series(r"(ms\s?\d{2})", "brass"),
        _series(r"(cz\s?\d{3})", "brass"),
        _series(r"(cusn[\d.,]*(?:p)?)", "phosphor bronze"),
        _series(r"(cual[\d.,]*(?:fe\d*|ni\d*)*)", "aluminium bronze"),
        _series(r"(rg\s?\d{1,2})", "gunmetal"),
        _series(r"(bz\s?\d{1,2})", "bronze"),
        _series(r"c\s?(2[2-9]\d{3}|3\d{4}|4\d{4})", "brass", "C"),
        _series(r"c\s?(5\d{4})", "phosphor bronze", "C"),
        _series(r"c\s?(6[0-4]\d{3})", "aluminium bronze", "C"),
        _series(r"c\s?(1\d{4})", "copper", "C"),
        _series(r"(a-[guzsm]\d?[\w.,]*)", "aluminium", "", _LOOK_UP),
        _series(r"(lm\s?\d{1,2})", "cast aluminium", "", _LOOK_UP),
        _series(r"((?:az|zk|am|ze|ez|we|qe)\s?\d{2,3}[a-z]?)", "magnesium", "", _LOOK_UP),
        _series(r"([a-z]?\d{2}s)(?=-?(?:t|o|w|h|rt)?\d*(?![^\W_]))", "aluminium", "", _LOOK_UP),
        _series(r"(17[ -]?4 ?ph|17[ -]?7 ?ph|15[ -]?5 ?ph)", "stainless steel", "", _LOOK_UP),
        _series(r"aisi\s*([2-4]\d{2}[a-z]{0,2})", "stainless steel", "", _LOOK_UP),
        _series(r"(303|310|317|409|410|416|420|430|431|440c?)", "stainless steel", "", _LOOK_UP),
        _series(
            rf"(?:sae|aisi|ne|sae x|x)?\s*((?:{_STEEL_GROUPS})\d{{2}})(?:\s?n)?",
            "steel",
            "",
            _LOOK_UP,
        ),
        _series(r"([1-8]\d{3}[a-z]?)(?=-?(?:t\d|h\d|o\b|f\b))", "aluminium", "", _LOOK_UP),
    )
