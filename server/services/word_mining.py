"""Words that the register proposes by itself: what stands beside a known name, again and again, and nobody explained.

A phrase of the records that the dictionary does not know votes for the part
class of the record it stands in. Five votes and 30 % of its records propose
it (figures of a trial on 100,000 made-up needs); a small register gets by with
three votes of which half agree. A phrase that stands with everything says
nothing: its class must be twice as frequent with it as without.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import sqlalchemy as sa
from sqlmodel import Session, col

from server.domain.parts import GENERAL
from server.domain.register import Actor, DesignationKind, UserRole, WordState
from server.matching.facts import Facts, Meaning
from server.matching.folding import key_of, singulars, words_of
from server.matching.lexicon import CLASS_THING, Lexicon, phrase_key
from server.matching.reading_text import read_facts
from server.matching.spelling import ORDINARY
from server.services.dictionary import lexicon_of
from server.services.words import is_read, label_of
from server.services.yard import require
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.tables import AccountRow, AeroplaneRow, DesignationRow, FindRow, NeedRow, ShopWordRow, SupplierRow
from server.storage.words import known_folded

VOTES, SHARE = 5, 0.30
FEW_RECORDS, FEW_VOTES, FEW_SHARE = 500, 3, 0.50
OVER_CHANCE, MOST_ASKED = 2.0, 0.80
"""How much oftener than by chance its class must stand with a phrase; never more than 80 % is asked."""
MOST_READ = 2_000
"""The newest needs and the newest finds that are read for one proposal."""
MOST_PROPOSED = 40
MOST_SHOWN = 6
SHORTEST, LONGEST_RUN = 3, 3
_SAME = 0.8
"""A word that stands in a longer phrase this often is proposed as that phrase alone."""


@dataclass(slots=True)
class _Votes:
    """What the records say of one phrase."""

    written: Counter[str] = field(default_factory=Counter)
    classes: Counter[str] = field(default_factory=Counter)
    found_in: list[str] = field(default_factory=list)

    @property
    def total(self) -> int:
        return sum(self.classes.values())


@dataclass(frozen=True, slots=True)
class Proposal:
    """A phrase and the part class it stands for, with its votes and where it was seen."""

    word: str
    folded: str
    part_class: str
    votes: int
    records: int
    found_in: tuple[str, ...]


def propose_words(store: Store, actor: Actor | None = None) -> tuple[int, ...]:
    """Propose what the records suggest; the numbers of the new words. Nothing is read by them until they are accepted.

    With an account the keeper asked for it; without one the register does so by itself. What was
    proposed, accepted or refused before is never proposed again. Raises NotAllowed.
    """
    if actor is not None:
        require(actor, UserRole.KEEPER)
    with store.read() as session:
        found = mined(session)
    now = store.clock()
    numbers: list[int] = []
    with store.write() as session:
        known = known_folded(session, [one.folded for one in found])
        for one in found:
            if one.folded in known or len(numbers) >= MOST_PROPOSED:
                continue
            row = ShopWordRow(
                word=one.word,
                folded=one.folded,
                meaning=one.part_class,
                language="shop",
                note=f"beside {label_of(one.part_class).casefold()} in {one.votes} of {one.records} records with it",
                state=WordState.PROPOSED.value,
                proposed_by="the register",
                proposed_at=now,
                found_in=list(one.found_in),
            )
            session.add(row)
            session.flush()
            numbers.append(row.id or 0)
        if numbers:
            words = "a word" if len(numbers) == 1 else f"{len(numbers)} words"
            write_log(session, now, actor, f"had the records read: {words} proposed", "words")
    return tuple(numbers)


def mined(session: Session) -> list[Proposal]:
    """What the records suggest, the most votes first."""
    lexicon = lexicon_of(session)
    names = _names(session)
    votes: dict[str, _Votes] = defaultdict(_Votes)
    base: Counter[str] = Counter()
    for subject, part_class, text in _records(session):
        facts = read_facts(text, lexicon=lexicon)
        stands_for = part_class or _named(facts, lexicon)
        if not stands_for or stands_for not in CLASS_THING:
            continue
        base[stands_for] += 1
        unknown = [one for one in facts.meanings if _is_unknown(one, stands_for, names, lexicon)]
        for phrase, shown in dict(_phrases(unknown, text)).items():
            held = votes[phrase]
            held.written[shown] += 1
            held.classes[stands_for] += 1
            held.found_in.append(subject)
    return _chosen(votes, base, lexicon)


def _records(session: Session) -> Iterator[tuple[str, str, str]]:
    """Subject, part class ("" where not told apart) and words of the newest records; places are left out."""
    newest = (
        sa.select(col(NeedRow.id), col(NeedRow.part_class), col(NeedRow.item), col(NeedRow.text))
        .where(col(NeedRow.withdrawn_at).is_(None))
        .order_by(col(NeedRow.id).desc())
        .limit(MOST_READ)
    )
    needs = list(session.execute(newest))
    called: dict[int, list[str]] = defaultdict(list)
    names = sa.select(col(DesignationRow.need_id), col(DesignationRow.text)).where(
        col(DesignationRow.kind) == DesignationKind.TRADE_NAME.value,
        col(DesignationRow.withdrawn_at).is_(None),
        col(DesignationRow.need_id) >= (needs[-1][0] if needs else 0),
    )
    for number, name in session.execute(names):
        called[number].append(name)
    for number, part_class, item, text in needs:
        yield f"need/{number}", _told(part_class), " | ".join(dict.fromkeys([item, text, *called[number]]))
    kept = (
        sa.select(col(FindRow.id), col(FindRow.part_class), col(FindRow.text))
        .where(col(FindRow.withdrawn_at).is_(None))
        .order_by(col(FindRow.id).desc())
        .limit(MOST_READ)
    )
    for number, part_class, text in session.execute(kept):
        yield f"find/{number}", _told(part_class), text


def _told(part_class: str) -> str:
    return "" if part_class == GENERAL else part_class


def _named(facts: Facts, lexicon: Lexicon) -> str:
    """The one class of the thing that a text names; "" for none or several."""
    classes = {key for one in facts.meanings if one.is_head for c in one.concepts for key in lexicon.classes(c)}
    return classes.pop() if len(classes) == 1 else ""


def _names(session: Session) -> frozenset[str]:
    """Words of people's, suppliers' and aeroplanes' names: they are no words for parts."""
    wanted = (
        sa.select(col(AccountRow.name)),
        sa.select(col(SupplierRow.name)),
        sa.select(col(SupplierRow.place)),
        sa.select(col(AeroplaneRow.type)),
        sa.select(col(AeroplaneRow.maker)),
        sa.select(col(AeroplaneRow.registration)),
    )
    texts = [row[0] for one in wanted for row in session.execute(one)]
    return frozenset(key_of(word) for text in texts for word, _, _ in words_of(text))


def _phrases(unknown: Sequence[Meaning], text: str) -> Iterator[tuple[str, str]]:
    """Phrases of these words, folded and as written; one to three neighbouring words."""
    for at in range(len(unknown)):
        run: list[Meaning] = []
        for one in unknown[at : at + LONGEST_RUN]:
            assert one.span is not None
            if run:
                before = run[-1].span
                assert before is not None
                if text[before[1] : one.span[0]].strip(" -"):
                    break
            run.append(one)
            first, last = run[0].span, one.span
            assert first is not None
            shown = text[first[0] : last[1]]
            yield "".join(_key(each) for each in run), " ".join(shown.split()).casefold()


def _key(one: Meaning) -> str:
    """The word's key in the singular, as it was typed."""
    return min(singulars(key_of(one.text))[:2], key=len)


def _is_unknown(one: Meaning, stands_for: str, names: frozenset[str], lexicon: Lexicon) -> bool:
    """A word that the dictionary has not, or that it took for a misspelt one of quite another part."""
    if one.span is None or (one.concepts and not one.corrected):
        return False
    if any(stands_for in lexicon.classes(concept) for concept in one.concepts):
        return False
    typed = key_of(one.text)
    return len(typed) >= SHORTEST and typed.isalpha() and typed not in ORDINARY and typed not in names


def _chosen(votes: dict[str, _Votes], base: Counter[str], lexicon: Lexicon) -> list[Proposal]:
    records = sum(base.values())
    least, share = (FEW_VOTES, FEW_SHARE) if records < FEW_RECORDS else (VOTES, SHARE)
    found: list[Proposal] = []
    for folded, held in votes.items():
        part_class, count = held.classes.most_common(1)[0]
        asked = max(share, min(MOST_ASKED, OVER_CHANCE * base[part_class] / records))
        if count < least or count / held.total < asked:
            continue
        forms = [form for form, _ in held.written.most_common()]
        # the singular, where it was written: the dictionary finds a plural by it, not the other way round
        word = next((form for form in forms if phrase_key(form) == folded), forms[0])
        if is_read(word, part_class, lexicon):
            seen = tuple(dict.fromkeys(held.found_in))[:MOST_SHOWN]
            found.append(Proposal(word, phrase_key(word), part_class, count, held.total, seen))
    longer = [one for one in found if " " in one.word or "-" in one.word]
    kept = [one for one in found if not any(_is_part(one, other) for other in longer)]
    return sorted(kept, key=lambda one: (-one.votes, one.folded))


def _is_part(one: Proposal, other: Proposal) -> bool:
    """Is this a piece of that longer phrase, and seldom anything else?"""
    return one.folded != other.folded and one.folded in other.folded and other.votes >= _SAME * one.votes
