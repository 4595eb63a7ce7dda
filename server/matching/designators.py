"""Part numbers and stamps: one written form, a form for signs that are misread, and near ones."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from rapidfuzz import process
from rapidfuzz.distance import OSA

LONGEST = 32
_KEPT = re.compile(r"[^0-9A-Z]")
# worn stamps and bad prints: 5 and S, 1 and I, 0 and O, 8, B and 9 pass for each other
_MISREAD = str.maketrans("SILOQBZ9", "51100828")


def designator_form(text: str) -> str:
    """Capital letters and digits only: "AN 470-AD4-6" → "AN470AD46"; cut at 32 signs."""
    return _KEPT.sub("", text.upper().translate(_UMLAUTS))[:LONGEST]


_UMLAUTS = str.maketrans({"Ä": "A", "Ö": "O", "Ü": "U", "ß": "S"})


def misread_form(form: str) -> str:
    """One sign for each group that is easily misread on a stamp: "5S1I" → "5511".

    >>> misread_form("AN4708") == misread_form("AN47OB")
    True
    """
    return form.translate(_MISREAD)


class NearNumber(NamedTuple):
    """A number of the register close to the one asked for, and how close (1 is the same)."""

    number: str
    likeness: float


def near_numbers(asked: str, known: Iterable[str], limit: int = 5, least: float = 0.75) -> list[NearNumber]:
    """ "Did you mean": the register's numbers nearest to the one asked for, the nearest first.

    Signs that are easily misread count as equal, a swapped pair as one fault.
    Works through all of `known`; some ten thousand are no burden.
    """
    wanted = designator_form(asked)
    if len(wanted) < 3:
        return []
    forms = {number: misread_form(designator_form(number)) for number in known}
    found = process.extract(
        misread_form(wanted), forms, scorer=OSA.normalized_similarity, score_cutoff=least, limit=limit * 3
    )
    near = [
        NearNumber(number, round(likeness, 3)) for _, likeness, number in found if designator_form(number) != wanted
    ]
    near.sort(key=lambda one: (-one.likeness, one.number))
    return near[:limit]
