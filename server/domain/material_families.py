"""What an everyday word means when no alloy is named: brass, Stahl, spruce, vulcanised fibre."""

import re
from dataclasses import dataclass
from functools import cache

from server.domain.material_words import fold_material, form_in, without_free
from server.domain.tables.read import read_table


@dataclass(frozen=True, slots=True)
class Family:
    """A family of materials. Two of different `base` are different things, whatever their figures.

    `needs` says what must still be known before strength can be compared:
    "temper", "grade", "species", or nothing. `told_by` are instruments that
    settle the family beside an analysis or papers; `galvanic` the surface it
    is in the couple tables ("" for what conducts nothing).
    """

    key: str
    name: str
    base: str
    parent: str
    needs: str
    told_by: frozenset[str]
    galvanic: str
    ask: str

    @property
    def is_metal(self) -> bool:
        """True for what takes part in a galvanic couple."""
        return bool(self.galvanic)


@cache
def all_families() -> dict[str, Family]:
    """Every family by key."""
    return {
        row["key"]: Family(
            row["key"],
            row["name"],
            row["base"],
            row["parent"],
            row["needs"],
            frozenset(row["told_by"].split(";")) - {""},
            row["galvanic"],
            row["ask"],
        )
        for row in read_table("material_families")
    }


def family(key: str) -> Family:
    """The family of this key. Raises KeyError for one that does not exist."""
    return all_families()[key]


def is_within(child: str, parent: str) -> bool:
    """Is one family the other, or one of its kinds?"""
    while child:
        if child == parent:
            return True
        child = family(child).parent
    return False


def lineage(one: Family) -> frozenset[str]:
    """The family with all it is a kind of, and its base."""
    keys = {one.base}
    key = one.key
    while key:
        keys.add(key)
        key = family(key).parent
    return frozenset(keys)


@cache
def _words() -> tuple[tuple[re.Pattern[str], str], ...]:
    """All words, the longest first, so that "aluminium bronze" is no aluminium."""
    said = {
        fold_material(word): row["key"] for row in read_table("material_families") for word in row["words"].split(";")
    }
    ordered = sorted((pair for pair in said.items() if pair[0]), key=lambda pair: -len(pair[0]))
    return tuple(
        (re.compile(rf"(?<![^\W_]){re.escape(word).replace(chr(92) + ' ', '[ -]*')}(?![^\W_])"), key)
        for word, key in ordered
    )


def _taken_out(text: str) -> tuple[list[str], str]:
    """The families named in a text, and the text without those words."""
    rest = without_free(fold_material(text))
    found: list[str] = []
    for pattern, key in _words():
        rest, count = pattern.subn(" ", rest)
        if count:
            found.append(key)
    return found, rest


def is_everyday(text: str) -> bool:
    """Is this nothing but words for families of materials and their forms ("phosphor bronze tube")?"""
    found, rest = _taken_out(text)
    return bool(found) and not any(word.isalnum() and not form_in(word) for word in re.split(r"[\W_]+", rest) if word)


def families_in(text: str) -> tuple[Family, ...]:
    """All families named in a text; the more particular one where one is a kind of the other.

    "asbestos-free" and its like name nothing.
    """
    found, _ = _taken_out(text)
    kept = [key for key in found if not any(other != key and is_within(other, key) for other in found)]
    return tuple(family(key) for key in dict.fromkeys(kept))
