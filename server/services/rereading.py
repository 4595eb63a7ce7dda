"""Reading records anew after the shop's words or the reading itself changed: a few at once, the rest step by step.

Until its turn comes a record that holds a changed word is found under what
was read out of it before. One of another version of the reading is in no
search, match or check for duplicates, so the program does not work on such a
register (`refuse_unread`) until all of it is read anew (`bring_up_to_date`).
"""

from datetime import datetime

from sqlmodel import Session

from server.domain.errors import Refused
from server.matching.folding import key_of, loose, words_of
from server.matching.index import VERSION
from server.matching.reading_text import CONNECTORS
from server.services import indexing
from server.storage.engine import Store
from server.storage.search_index import Scope, SearchIndex, refresh_counts, stale_subjects
from server.storage.words import count_to_read, mark_to_read, to_read, was_read

AT_ONCE = 40
"""So many records are read anew within the change itself; more are left for later steps."""
STEP = 50
LONG_STEP = 200
"""So many in one transaction where nobody waits for it."""
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
        _read_some(session, most, store.clock())
        return sum(left_to_read(session))


def _read_some(session: Session, most: int, now: datetime) -> int:
    """Read the next records anew, at most so many; how many it were."""
    subjects = to_read(session, most)
    was_read(session, subjects)
    if len(subjects) < most:
        stale = stale_subjects(session, VERSION, most - len(subjects))
        subjects += [one for one in stale if one not in set(subjects)]
    indexing.reindex(session, subjects, now)
    return len(subjects)


def read_all_anew(store: Store, steps: int = 2_000) -> int:
    """Steps until nothing is left, each a transaction of its own, so that nobody waits long; what is left."""
    left = read_anew(store)
    while left and steps > 1:
        steps -= 1
        left = read_anew(store)
    with store.write() as session:
        refresh_counts(session)
    return left


def bring_up_to_date(store: Store) -> int:
    """Read everything anew that is of another version of the reading or holds a changed word; how many records.

    For an upgrade, when nobody else works: each step is a transaction of its
    own, so that one that was broken off goes on where it stopped. The words
    are counted anew at the end, also where nothing had to be read.
    """
    count = 0
    while True:
        with store.write() as session:
            read = _read_some(session, LONG_STEP, store.clock())
        if not read:
            break
        count += read
    with store.write() as session:
        refresh_counts(session)
    return count


class Unread(Refused):
    """Records of this register were read by another version of the reading."""


def refuse_unread(store: Store) -> None:
    """Raises Unread where a record was read by another version of the reading.

    Such a record is found by nothing. A shop that asks and hears "nothing like
    it is here" buys or makes the part a second time, so half a register is
    worse than none for an hour. It is refused like a database of another
    version, by the same word: whoever put the new program in runs the upgrade
    once, sees it end, and opens the door then. Reading on behind the open door
    would start at once and give wrong answers that nobody could tell from
    right ones.
    """
    with store.read() as session:
        if stale_subjects(session, VERSION, 1):
            raise Unread(
                "Records were read by another version of the program and would not be found. "
                "Read them anew with: makegood upgrade"
            )
