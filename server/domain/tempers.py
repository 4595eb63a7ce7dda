"""Tempers: as written on a stamp or drawing, and what the old letters mean today."""

import re
from dataclasses import dataclass

from server.domain.material_table import source_of
from server.domain.sources import Source
from server.domain.tables.read import read_table

# o with figures: annealed tempers of copper alloys, such as O60 (ASTM B601, from memory)
_TEMPER = re.compile(r"(?<![^\W_])(t\d{1,4}p?|o\d{2,3}|t[dfhm]\d{2}|h\d{1,3}|rt|so|t|o|w|f|n|h)(?![^\W_])")
_FRACTION = re.compile(r"(?<!\d)([13]/[24])\s*-?\s*(?:h|hard|hart|dur)\b")
_CLASS = re.compile(r"\bclass\s*1\b")
_STRENGTH = re.compile(r"(?:\bht\b|q&t|heat treated(?: to)?|\bto\b|-)?\s*(\d{2,3})\s*(?:ksi|000\s*(?:psi|lbs?))")
_WORDS = (
    ("1/2H", re.compile(r"\bhalf[ -]hard\b|\bhalbhart\b|\bdemi[ -]dur\b")),
    ("1/4H", re.compile(r"\bquarter[ -]hard\b|\bviertelhart\b|\bquart[ -]dur\b")),
    ("O", re.compile(r"\bannealed\b|\bsoft\b|\bweich\w*|\bgegluht\b|\brecuit\b|\bdead soft\b")),
    ("N", re.compile(r"\bnormali[sz]ed\b|\bnormalgegluht\b|\bnormalise\b")),
    ("H", re.compile(r"\bhard\b(?! ?rubber)|\bhart\b|\bfull hard\b")),
)


def temper_in(rest: str) -> str:
    """The temper letters or words in a text that names no alloy any more; "" for none."""
    strength = _STRENGTH.search(rest)
    if strength:
        return f"{int(strength[1])} ksi"
    fraction = _FRACTION.search(rest)
    if fraction:
        return f"{fraction[1]}H"
    letters = _TEMPER.search(rest)
    if letters:
        said = letters[1].upper()
        return f"{said} class 1" if said == "T6" and _CLASS.search(rest) else said
    for said, pattern in _WORDS:
        if pattern.search(rest):
            return said
    return ""


@dataclass(frozen=True, slots=True)
class Temper:
    """One reading of temper letters: today's letters ("" while not known), the form they hold for, who says so."""

    now: str
    form: str = ""
    source: Source | None = None


_COPPER = {"1/2H": "H02", "H": "H04", "O": "annealed", "1/4H": "H01"}
_STATES = {"O": "annealed", "1/2H": "1/2 hard", "1/4H": "1/4 hard", "H": "hard"}


def read_temper(base: str, alloy: str, said: str, form: str) -> tuple[Temper, ...]:
    """What temper letters mean for an alloy of this base: several readings where they differ by form.

    An empty `form` keeps all forms open. Letters that no table explains give one reading with no temper.
    """
    if base in {"steel", "stainless", "titanium", "nickel"}:
        return (Temper(_STATES.get(said, said)),)
    if base in {"brass", "bronze", "copper", "beryllium copper"}:
        return (Temper(_COPPER.get(said, said)),)
    if base not in {"aluminium", "magnesium"}:
        return (Temper(""),)
    said = "O" if said == "SO" else said
    old = [row for row in read_table("old_tempers") if row["alloy"] == alloy and row["suffix"] == said]
    fitting = [row for row in old if not form or row["form"] in {"", form}]
    if fitting:
        return tuple(
            Temper(row["temper"], row["form"], source_of(row["source"] or row["note"], row["source_status"]))
            for row in fitting
        )
    is_old = said in {"T", "W", "RT", "H"} or "/" in said
    return (Temper("" if is_old else said),)
