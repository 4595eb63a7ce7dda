"""One spelling for many: the key under which a word is looked up and compared.

The domain's fold keeps every sign in its place; a key is coarser still. It
drops accents and writes ae, oe, ue as a, o, u, so that "Öse", "Oese" and "ose"
meet. Where that finds nothing, doubled letters count once.
"""

import re
import unicodedata
from functools import lru_cache

from server.domain.reading_fold import fold

_WORD = re.compile(r"[^\W_]+")
_UMLAUT = re.compile(r"(?<![aeiouq])([aou])e(?=[a-z])")
_DOUBLED = re.compile(r"([a-z])\1")
_LETTERS = {"œ": "oe", "æ": "ae", "ø": "o", "ł": "l", "đ": "d"}

LONGEST_WORD = 40
"""A run of letters longer than this is rubbish, not a word."""


def words_of(text: str) -> list[tuple[str, int, int]]:
    """The words of a text, folded, each with its place in the text as typed."""
    return [(found.group(), found.start(), found.end()) for found in _WORD.finditer(fold(text))]


@lru_cache(maxsize=50_000)
def key_of(word: str) -> str:
    """The key of one word: small letters and digits only. "Öse" → "ose"."""
    low = fold(word)
    if not low.isascii():
        low = "".join(_LETTERS.get(sign, sign) for sign in low)
        low = "".join(sign for sign in unicodedata.normalize("NFKD", low) if not unicodedata.combining(sign))
    low = "".join(sign for sign in low if sign.isalnum())
    return _UMLAUT.sub(r"\1", low) if len(low) > 3 and not low.isdigit() else low


def loose(key: str) -> str:
    """A coarser key: doubled letters of a longer one written once, so that "gromet" meets "grommet"."""
    return _DOUBLED.sub(r"\1", key) if len(key) > 4 else key


@lru_cache(maxsize=50_000)
def singulars(key: str) -> tuple[str, ...]:
    """The key itself, then what it may be the plural of, in English, French and German."""
    found = [key]
    if len(key) > 3 and key.isalpha():
        if key.endswith("ies"):
            found.append(key[:-3] + "y")
        if key.endswith(("ses", "xes", "shes", "ches", "zes")):
            found.append(key[:-2])
        if key.endswith("s") and not key.endswith(("us", "is")):
            found.append(key[:-1])
        found.extend(
            key[: -len(ending)]
            for ending in ("en", "n", "e", "er", "es", "x", "ees", "ee")
            if key.endswith(ending) and len(key) - len(ending) >= 3
        )
    return tuple(dict.fromkeys(found))
