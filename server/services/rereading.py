"""Reading records anew after the shop's words or the reading itself changed: a few at once, the rest step by step.

Until its turn comes a record that holds a changed word is found under what
was read out of it before. One of an older version of the reading is not found.
"""

from datetime import datetime

from sqlmodel import Session

from server.matching.folding import key_of, loose, words_of
from server.matching.index import VERSION
from server.matching.reading_text import CONNECTORS
from server.services import indexing
from server.storage.engine import Store
from server.storage.search_index import Scope, SearchIndex, stale_subjects
from server.storage.words import count_to_read, mark_to_read, to_read, was_read

AT_ONCE = 40
"""So many records are read anew within the change itself; more are left for later steps."""
STEP = 50
MOST_AFFECTED = 20_000
_ENDINGS = ("", "s", "es", "e", "n", "en", "er", "x")
"""What the dictionary takes off a word for its singular, in English, French and German."""


def records_with(session: Session, phrase: str, most: int) -> list[tuple[str, int]]:
    """Needs and finds, open or not, whose texts hold all words of a phrase; at most so many of each.

    That the words stand side by side is not looked at.
    """
    keys = [key_of(word) for word, _, _ in words_of(phrase) if word not in CONNECTORS]
    if not keys:
        return []
    ways = [keys] if len(keys) == 1 else [keys, ["".join(keys)]]
    found: dict[tuple[str, int], None] = {}
    for kind in ("need", "find"):
        index = SearchIndex(session, Scope(kind, open_only=False))
        for way in ways:
            groups = [sorted({"w" + loose(key + ending) for ending in _ENDINGS}) for key in way]
            found.update(dict.fromkeys((kind, int(row[0])) for row in index.propose(groups, most)))
    return list(found)


def read_affected(session: Session, phrase: str, now: datetime) -> int:
    """Read the records that hold this phrase anew: at once where they are few; how many are left for later."""
    affected = records_with(session, phrase, MOST_AFFECTED)
    if len(affected) <= AT_ONCE:
        indexing.reindex(session, affected, now)
        was_read(session, affected)
        return 0
    mark_to_read(session, affected)
    return len(affected)


def left_to_read(session: Session) -> tuple[int, int]:
    """How many records wait to be read anew: by other words, and by a newer reading (counted to a thousand).

    The latter are found by no search until then.
    """
    return count_to_read(session), len(stale_subjects(session, VERSION, 1000))


def read_anew(store: Store, most: int = STEP) -> int:
    """One step: read so many records anew in one transaction; how many are left after it."""
    with store.write() as session:
        subjects = to_read(session, most)
        was_read(session, subjects)
        if len(subjects) < most:
            stale = stale_subjects(session, VERSION, most - len(subjects))
            subjects += [one for one in stale if one not in set(subjects)]
        indexing.reindex(session, subjects, store.clock())
        return sum(left_to_read(session))


def read_all_anew(store: Store, steps: int = 2_000) -> int:
    """Steps until nothing is left, each a transaction of its own, so that nobody waits long; what is left."""
    left = read_anew(store)
    while left and steps > 1:
        steps -= 1
        left = read_anew(store)
    return left
