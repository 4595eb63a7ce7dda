"""The shop's own words: proposed by people or out of the records, accepted by the keeper, then read everywhere.

A word means a concept of the dictionary or a part class as a whole. Nothing
is read by a word before the keeper accepted it.
"""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from server.domain.errors import Faults
from server.domain.parts import GENERAL, part_classes
from server.domain.register import Actor, UserRole, WordState, find_number, need_number
from server.matching.folding import key_of, words_of
from server.matching.lexicon import CLASS_THING, LANGUAGES, LONGEST_PHRASE, Lexicon, Type, phrase_key, standard_lexicon
from server.matching.reading_text import CONNECTORS, read_facts
from server.services.dictionary import lexicon_of, words_changed
from server.services.rereading import read_affected, records_with
from server.services.typed import NOTE, Given, Typed
from server.services.yard import reason_given, require
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.tables import ShopWordRow
from server.storage.words import get_word_row, known_folded, list_word_rows

LONGEST = 60
MOST_COUNTED = 200
"""Records with a word are counted up to so many."""
LANGUAGE_NAMES = {
    "shop": "the shop’s own",
    "en": "English",
    "de": "German",
    "fr": "French",
    "it": "Italian",
    "cs": "Czech",
    "pl": "Polish",
}
_NO_TARGET = frozenset({Type.QUALITY, Type.OTHER})


@dataclass(frozen=True, slots=True)
class ShopWord:
    """A word as its page shows it. `records` counts needs and finds that hold it, to 200."""

    id: int
    word: str
    meaning: str
    means: str
    language: str
    note: str
    state: WordState
    proposed_by: str
    proposed_at: datetime
    found_in: tuple[tuple[str, str], ...]
    decided_by: str
    decided_at: datetime | None
    reason: str
    records: int

    @property
    def many(self) -> bool:
        """True where more records hold it than were counted."""
        return self.records >= MOST_COUNTED


def label_of(meaning: str) -> str:
    """What a meaning is called: a part class by its name, a concept by its first word."""
    known = part_classes().get(meaning)
    if known is not None:
        return known.name
    concept = standard_lexicon().concepts.get(meaning)
    return concept.label if concept else meaning.replace("_", " ")


def meanings_of(text: str) -> tuple[str, ...]:
    """The concepts or part classes that somebody may mean by these words; empty where nobody knows them.

    A part class by key or name; else any word or concept of the dictionary that names a part, a kind, a
    material, a place or a side.
    """
    said = text.strip()
    folded = phrase_key(said)
    for one in part_classes().values():
        if one.key != GENERAL and said and (said == one.key or phrase_key(one.name) == folded):
            return (one.key,)
    lexicon = standard_lexicon()
    if said in lexicon.concepts:
        return (said,)
    keys = tuple(key_of(word) for word, _, _ in words_of(said))
    if not 0 < len(keys) <= LONGEST_PHRASE:
        return ()
    found = dict.fromkeys(sense.concept for sense in lexicon.senses_of(keys))
    return tuple(one for one in found if lexicon.concepts[one].type not in _NO_TARGET)


def propose_word(store: Store, actor: Actor, given: Given) -> int:
    """Propose a word of the shop's own; its number. Fields: word, means, language, note.

    Raises Faults (a word that is no word, a meaning nobody knows, one entered already), NotAllowed.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    with store.write() as session:
        values = _word_values(session, typed)
        typed.done()
        now = store.clock()
        row = ShopWordRow(
            **values,
            state=WordState.PROPOSED.value,
            proposed_by=actor.name,
            proposed_by_id=actor.id,
            proposed_at=now,
        )
        session.add(row)
        session.flush()
        assert row.id is not None
        write_log(session, now, actor, f"proposed “{row.word}” for {label_of(row.meaning)}", f"word/{row.id}")
        return row.id


def _word_values(session: Session, typed: Typed) -> dict[str, Any]:
    word = " ".join(typed.text("word", "The word", most=LONGEST, required=True).split())
    meaning = read_meaning(typed, "means")
    language = typed.raw("language") or "shop"
    if language not in LANGUAGES:
        typed.fault("language", "Choose the language from the list.")
    note = typed.text("note", "Note", most=NOTE)
    folded = phrase_key(word)
    if word and "word" not in typed.faults and (said := no_word(word)):
        typed.fault("word", said)
    if meaning and folded and "word" not in typed.faults:
        if already := known_already(session, folded, meaning):
            typed.fault("word", already)
        elif not is_read(word, meaning, lexicon_of(session)):
            typed.fault("word", f"“{word}” would be read as a number or a size, never as a word.")
    return {"word": word, "folded": folded, "meaning": meaning, "language": language, "note": note}


def read_meaning(typed: Typed, name: str) -> str:
    """The one meaning of a field; "" with a fault where it is none or several."""
    text = typed.text(name, "What it means", required=True)
    if not text or name in typed.faults:
        return ""
    found = meanings_of(text)
    if not found:
        typed.fault(name, f"The register does not know “{text}”. Name a part class, or a word that it reads already.")
        return ""
    if len(found) > 1:
        several = ", ".join(f"{label_of(one)} ({one})" for one in found)
        typed.fault(name, f"“{text}” means several things: {several}. Write the one you mean as it stands in brackets.")
        return ""
    return found[0]


def no_word(word: str) -> str:
    """Why this can't be a word of the dictionary, in a sentence; "" where it can."""
    words = [one for one, _, _ in words_of(word)]
    if not 0 < len(words) <= LONGEST_PHRASE:
        return f"Between one and {LONGEST_PHRASE} words, with letters in them."
    if not any(sum(sign.isalpha() for sign in one) > 1 for one in words):
        return "A word has two letters at least."
    if words[0] in CONNECTORS or all(one in CONNECTORS for one in words):
        return f"A phrase does not begin with “{words[0]}”: the register passes over such little words."
    return ""


def known_already(session: Session, folded: str, meaning: str) -> str:
    """Why this pair need not be entered, in a sentence; "" where it is new."""
    thing = meaning if meaning in standard_lexicon().concepts else CLASS_THING.get(meaning, "")
    if any(sense.concept == thing for sense in standard_lexicon().senses.get(folded, ())):
        return f"The register reads it as {label_of(meaning)} already."
    for row in known_folded(session, [folded]).get(folded, []):
        if row.meaning == meaning:
            why = f": {row.reason}" if row.reason else ""
            return f"It was entered for {label_of(meaning)} before and is {row.state}{why}."
    return ""


def is_read(word: str, meaning: str, lexicon: Lexicon) -> bool:
    """Would a text with this word be read by it, once it is accepted?"""
    thing = meaning if meaning in lexicon.concepts else CLASS_THING.get(meaning, "")
    facts = read_facts(word, lexicon=lexicon.with_words([(word, meaning)]))
    return any(thing in one.concepts and not one.corrected for one in facts.meanings)


@dataclass(frozen=True, slots=True)
class Decided:
    """What came of the keeper's decision: how many records are still to be read anew."""

    state: WordState
    left: int


def decide_word(store: Store, actor: Actor, number: int, given: Given) -> Decided:
    """The keeper accepts or refuses a word, or changes a decision. Fields: decision, means, reason.

    `means` may correct what it means; refusing, and taking back what was accepted, needs a reason.
    Records that hold the word are read anew: a few at once, many later (`rereading.read_anew`).
    Raises Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    chosen = typed.word("decision", WordState, "Accept or refuse", required=True)
    if chosen is WordState.PROPOSED:
        typed.fault("decision", "Accept it or refuse it.")
    now = store.clock()
    with store.write() as session:
        row = get_word_row(session, number)
        meaning = read_meaning(typed, "means") if typed.raw("means") else row.meaning
        reason = typed.text("reason", "The reason", most=NOTE)
        if chosen is WordState.REFUSED:
            reason = reason or _reason(typed)
        if meaning and meaning != row.meaning and (said := known_already(session, row.folded, meaning)):
            typed.fault("means", said)
        typed.done()
        assert chosen is not None
        was = row.state
        row.state, row.meaning, row.reason = chosen.value, meaning, reason
        row.decided_by, row.decided_at = actor.name, now
        session.add(row)
        did = f"{chosen.value} “{row.word}” for {label_of(row.meaning)}"
        write_log(session, now, actor, did, f"word/{number}", {"reason": reason} if reason else None)
        if WordState.ACCEPTED.value not in {was, row.state}:
            return Decided(chosen, 0)
        words_changed(session)
        return Decided(chosen, read_affected(session, row.word, now))


def _reason(typed: Typed) -> str:
    try:
        return reason_given({"reason": typed.raw("reason")})
    except Faults as faults:
        for name, sentence in faults.faults.items():
            typed.fault(name, sentence)
        return ""


def list_words(session: Session, state: WordState, *, after: int = 0, most: int = 50) -> list[ShopWord]:
    """Words of one state, with how many records hold each."""
    return [_shown(session, row) for row in list_word_rows(session, state, after=after, most=most)]


def _shown(session: Session, row: ShopWordRow) -> ShopWord:
    return ShopWord(
        id=row.id or 0,
        word=row.word,
        meaning=row.meaning,
        means=label_of(row.meaning),
        language=LANGUAGE_NAMES.get(row.language, row.language),
        note=row.note,
        state=WordState(row.state),
        proposed_by=row.proposed_by,
        proposed_at=row.proposed_at,
        found_in=tuple(_numbered(subject) for subject in row.found_in),
        decided_by=row.decided_by,
        decided_at=row.decided_at,
        reason=row.reason,
        records=min(MOST_COUNTED, len(records_with(session, row.word, MOST_COUNTED))),
    )


def _numbered(subject: str) -> tuple[str, str]:
    """A record's number and address: "need/12" → N 0012, /needs/12."""
    kind, _, number = subject.partition("/")
    written = need_number(int(number)) if kind == "need" else find_number(int(number))
    return written, f"/{kind}s/{number}"
