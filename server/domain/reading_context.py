"""What the words around a bare figure say of it: a year, or the number of a standard, and so no maker's number.

A figure such as 1941 may be either. What is called a number ("drawing 1941",
"part no. 1941") is one; a word for a make right behind it ("1936 pattern")
says a year; by itself it is taken for a year, for parts of those years are
described by them far more often. "Part" alone calls nothing a number: "seat
part 1938" is a part of that year. Source: own rule.
"""

import re

_YEAR = re.compile(r"19[0-9]{2}(?:s|er)?")
_NUMBER_BEFORE = re.compile(
    r"(?:\b(?:no|nos|nr|num|number|numbers|[a-z]*nummer|teile?nr|numero|p/n|pn|ref)"
    r"|\b(?:part|teile?|cat|stores)[ .]{0,2}:|[#№°])[ .:#-]{0,3}$"
)
_DRAWING_BEFORE = re.compile(r"\b(?:drg|drawing|zeichnung|plan|dessin|disegno)[ .:#-]{0,3}$")
_MADE_BEHIND = re.compile(
    r"(?:s|er)?(?:[ /-]{1,2}[0-9]{2}(?:[0-9]{2})?)?[ -](?:pattern|type|style|model|era|vintage|edition|issue|catalogue|"
    r"tourer|saloon|roadster|car|lorry|truck|motorcycle|aeroplane|airplane|aircraft|glider|built|made|production|muster|"
    r"modell|baujahr|jahrgang|ausfuhrung|modele|modello)(?![a-z0-9])"
)
_BODY_BEFORE = re.compile(
    r"\b(?:sae|aisi|astm|ansi|asa|asme|jis|gost|uni|afnor|onorm|sis"
    r"|grade|gr|alloy|spec|temper|werkstoff|legierung|gute|nuance|lega)[ .:-]{1,2}(?:[a-z]{1,2}[ -])?$"
)


def is_made_in(low: str, start: int, end: int) -> bool:
    """True for a year by the word behind it: "1936 pattern", "1938 tourer". `low` is a folded text."""
    return _YEAR.fullmatch(low, start, end) is not None and _MADE_BEHIND.match(low, end) is not None


def is_called_number(low: str, start: int) -> bool:
    """True where the words before this place of a folded text call what follows a number: "part no.", "p/n"."""
    return _NUMBER_BEFORE.search(low, max(0, start - 20), start) is not None


def is_year(low: str, start: int, end: int) -> bool:
    """True where the figure of this place of a folded text is a year; "drawing 1941" and "part no. 1941" are none."""
    if _YEAR.fullmatch(low, start, end) is None or is_called_number(low, start):
        return False
    return is_made_in(low, start, end) or _DRAWING_BEFORE.search(low, max(0, start - 20), start) is None


def is_of_standard(low: str, start: int) -> bool:
    """True behind a standards body or a word for a grade: "SAE 1280", "ASTM B 16", "grade 4037"."""
    return _BODY_BEFORE.search(low, max(0, start - 12), start) is not None
