"""The dictionary of this register: the one that comes with the program, and the shop's own words on top.

A setting holds the digest of the accepted words. It is the key of the cache,
so that a register read from a copy, or one whose words were changed by
another worker, never meets a dictionary that is not its own.
"""

import hashlib
import json
from collections import OrderedDict
from threading import Lock

from sqlmodel import Session

from server.matching.lexicon import Lexicon, standard_lexicon
from server.storage.log import read_setting, write_setting
from server.storage.words import accepted_words

SETTING = "words"
_KEPT = 4
_lexicons: OrderedDict[str, Lexicon] = OrderedDict()
_lock = Lock()


def lexicon_of(session: Session) -> Lexicon:
    """The lexicon to read this register's texts and questions with."""
    digest = str(read_setting(session, SETTING, ""))
    if not digest:
        return standard_lexicon()
    with _lock:
        found = _lexicons.get(digest)
        if found is not None:
            _lexicons.move_to_end(digest)
            return found
    made = standard_lexicon().with_words(accepted_words(session))
    with _lock:
        _lexicons[digest] = made
        while len(_lexicons) > _KEPT:
            _lexicons.popitem(last=False)
    return made


def words_changed(session: Session) -> None:
    """Note that the accepted words are others now, inside the unit of work that changes them."""
    session.flush()
    words = accepted_words(session)
    text = json.dumps(words, ensure_ascii=False, separators=(",", ":"))
    write_setting(session, SETTING, hashlib.sha256(text.encode()).hexdigest()[:24] if words else "")
    session.flush()
