"""German compounds taken apart: "birkensperrholz" is birch and plywood, the last part naming the thing."""

from functools import lru_cache

from server.matching.lexicon import Lexicon, Sense

_JOINTS = ("", "s", "n", "en", "es", "er", "e")
_SHORT_PARTS = frozenset({"rad", "ol", "alu", "uhr", "tor", "gas", "rot"})
_SHORTEST, _LONGEST = 7, 36

Part = tuple[str, tuple[Sense, ...]]


@lru_cache(maxsize=20_000)
def _cuts(key: str) -> tuple[tuple[str, str], ...]:
    """Ways to cut a word in two, the longest last part first."""
    found: list[tuple[str, str]] = []
    for at in range(2, len(key) - 2):
        first, last = key[:at], key[at:]
        for joint in _JOINTS:
            if joint and not first.endswith(joint):
                continue
            stem = first[: len(first) - len(joint)] if joint else first
            if len(stem) >= 2:
                found.append((stem, last))
    return tuple(found)


def split_compound(key: str, lexicon: Lexicon) -> list[Part]:
    """The parts of a German compound with their senses, in order; empty if it is none."""
    if not _SHORTEST <= len(key) <= _LONGEST or not key.isalpha():
        return []
    for stem, last in _cuts(key):
        last_senses = _german(lexicon.senses_of((last,)))
        if not last_senses or not _is_part(last):
            continue
        first_senses = _german(lexicon.senses.get(stem, ()))
        if first_senses and _is_part(stem):
            return [(stem, first_senses), (last, last_senses)]
        if len(stem) >= _SHORTEST:
            inner = split_compound(stem, lexicon)
            if inner:
                return [*inner, (last, last_senses)]
    return []


def _is_part(word: str) -> bool:
    return len(word) >= 4 or word in _SHORT_PARTS


def _german(senses: tuple[Sense, ...]) -> tuple[Sense, ...]:
    return tuple(sense for sense in senses if sense.language == "de")
