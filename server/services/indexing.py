"""Keeping the search index in step, inside the transaction that changes a record.

What a saved record may meet on the other side is noted at the same time, so
that its owner sees it on the bench; bounded, however large the register is.
"""

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import replace
from datetime import datetime

from sqlmodel import Session

from server.domain.offer import Statement
from server.domain.quantities import Quantity
from server.domain.register import Find, Need
from server.domain.specification import Requirement
from server.matching.facts import Facts, GivenSize, Structured
from server.matching.index import pairs_of, row_of, tokens_of
from server.matching.lexicon import Lexicon
from server.matching.match import match
from server.matching.reading_text import read_facts
from server.matching.score import Band
from server.services import watches
from server.services.dictionary import lexicon_of
from server.storage.engine import Store
from server.storage.finds import load_find, load_finds
from server.storage.needs import load_need, load_needs
from server.storage.search_index import Scope, SearchIndex, keep_counts, put, refresh_counts
from server.storage.tables import TurnedUpRow

MOST_TURNED_UP = 5
TOGETHER = 200
"""Records loaded together when many are read anew."""

_WAITING: ContextVar[dict[tuple[str, int], datetime] | None] = ContextVar("waiting", default=None)


@contextmanager
def gathered(store: Store) -> Iterator[None]:
    """Read each record anew only once, at the end: for loading many entries of one record one after the other.

    Until then the index is behind; nothing else may be using the register.
    """
    with _waiting() as waiting:
        yield
    with store.write() as session:
        _index_all(session, waiting)


@contextmanager
def gathered_in(session: Session) -> Iterator[None]:
    """The same inside a unit of work of the caller's: an import's records are read anew together, before it commits."""
    with _waiting() as waiting:
        yield
    _index_all(session, waiting)


@contextmanager
def _waiting() -> Iterator[dict[tuple[str, int], datetime]]:
    waiting: dict[tuple[str, int], datetime] = {}
    token = _WAITING.set(waiting)
    try:
        yield waiting
    finally:
        _WAITING.reset(token)


def _index_all(session: Session, waiting: dict[tuple[str, int], datetime]) -> None:
    # whoever comes first finds an empty other side, and is found from there later
    any_finds = SearchIndex(session, Scope("find")).size() > 0
    for numbers in _together("need", waiting):
        for need in load_needs(session, numbers):
            _index_need(session, need, waiting["need", need.id], looks=any_finds)
    for numbers in _together("find", waiting):
        for find in load_finds(session, numbers):
            _index_find(session, find, waiting["find", find.id])
    if waiting:
        refresh_counts(session)


def _together(kind: str, waiting: dict[tuple[str, int], datetime]) -> Iterator[list[int]]:
    numbers = [number for waits, number in waiting if waits == kind]
    for start in range(0, len(numbers), TOGETHER):
        yield numbers[start : start + TOGETHER]


def _waits(kind: str, number: int, now: datetime) -> bool:
    waiting = _WAITING.get()
    if waiting is None:
        return False
    waiting[kind, number] = now
    return True


def _sizes(one: Requirement) -> list[GivenSize]:
    quantities = [one.quantity, *one.one_of] if one.quantity or one.one_of else []
    return [
        GivenSize(one.characteristic, each.value, each.low, each.high, each.text, each.kind)
        for each in quantities
        if each is not None
    ]


def facts_of_need(need: Need, lexicon: Lexicon | None = None) -> Facts:
    """What a need says, for matching; read with the register's own dictionary where it is given."""
    return facts_wanted(
        [need.item, need.text, need.zone, need.station],
        Structured(
            part_class=need.part_class,
            designations=tuple(one.text for one in need.designations),
            side=need.side,
            aeroplane=need.aeroplane.type,
        ),
        need.requirements,
        need.joint.hole if need.joint is not None else None,
        lexicon,
    )


def facts_wanted(
    texts: Iterable[str],
    known: Structured,
    requirements: Sequence[Requirement],
    hole: Quantity | None = None,
    lexicon: Lexicon | None = None,
) -> Facts:
    """What these words and requirements say; of `known` the sizes, material and words are filled in here."""
    sizes = [size for one in requirements for size in _sizes(one)]
    if hole is not None:
        sizes.append(GivenSize("hole", hole.value, hole.low, hole.high, hole.text, hole.kind))
    words = tuple(word for one in requirements if one.characteristic != "material" for word in one.words)
    material = " ".join(word for one in requirements if one.characteristic == "material" for word in one.words)
    text = " | ".join(part for part in texts if part)
    structured = replace(known, sizes=tuple(sizes), material=material, words=words)
    return read_facts(text, lexicon=lexicon, structured=structured)


def facts_of_find(find: Find, lexicon: Lexicon | None = None) -> Facts:
    """What a find says, for matching; read with the register's own dictionary where it is given."""
    return facts_offered(find.text, find.part_class, find.statements, lexicon)


def facts_offered(text: str, part_class: str, statements: Sequence[Statement], lexicon: Lexicon | None = None) -> Facts:
    """What these words and statements say of a piece, for matching."""
    sizes = tuple(
        GivenSize(
            one.characteristic, one.quantity.value, one.quantity.low, one.quantity.high, one.text, one.quantity.kind
        )
        for one in statements
        if one.quantity is not None
    )
    words = tuple(word for one in statements if one.characteristic != "material" for word in one.words)
    material = " ".join(word for one in statements if one.characteristic == "material" for word in one.words)
    known = Structured(part_class=part_class, sizes=sizes, material=material, words=words)
    return read_facts(text, structured=known, lexicon=lexicon)


def index_need(session: Session, number: int, now: datetime) -> None:
    """Read a need anew into the index, and note the finds in stock that it may be met by."""
    if not _waits("need", number, now):
        session.flush()
        _index_need(session, load_need(session, number), now)
        keep_counts(session)


def _index_need(session: Session, need: Need, now: datetime, *, looks: bool = True) -> None:
    lexicon = lexicon_of(session)
    facts = facts_of_need(need, lexicon)
    put(
        session,
        "need",
        need.id,
        tokens_of(facts, lexicon),
        row_of(facts),
        pairs=pairs_of(facts, lexicon),
        is_open=need.is_open,
        part_class=need.part_class,
        aeroplane_id=need.aeroplane.id,
        shown=need.item,
    )
    if need.is_open and looks:
        found = match(facts, SearchIndex(session, Scope("find")), limit=MOST_TURNED_UP, lexicon=lexicon)
        for hit in found.hits:
            if hit.band is Band.LIKELY:
                _note(session, need.id, hit.id, hit.score, now)


def index_find(session: Session, number: int, now: datetime) -> None:
    """Read a find anew into the index, and note the open needs that it may meet."""
    if not _waits("find", number, now):
        session.flush()
        _index_find(session, load_find(session, number), now)
        keep_counts(session)


def _index_find(session: Session, find: Find, now: datetime) -> None:
    lexicon = lexicon_of(session)
    facts = facts_of_find(find, lexicon)
    tokens, row = tokens_of(facts, lexicon), row_of(facts)
    put(
        session,
        "find",
        find.id,
        tokens,
        row,
        pairs=pairs_of(facts, lexicon),
        is_open=not find.withdrawn_reason,
        part_class=find.part_class,
        shown=find.text[:200],
    )
    if not find.withdrawn_reason:
        found = match(facts, SearchIndex(session, Scope("need")), limit=MOST_TURNED_UP, lexicon=lexicon)
        for hit in found.hits:
            if hit.band is Band.LIKELY:
                _note(session, hit.id, find.id, hit.score, now)
        watches.notice(session, find, tokens, row, now)


def _note(session: Session, need_id: int, find_id: int, score: float, now: datetime) -> None:
    """Note once that this find may meet that need; what was set aside stays set aside."""
    held = session.get(TurnedUpRow, (need_id, find_id))
    if held is None:
        session.add(TurnedUpRow(need_id=need_id, find_id=find_id, score=score, noticed_at=now))
    else:
        held.score = score
        session.add(held)


def reindex(session: Session, subjects: list[tuple[str, int]], now: datetime) -> None:
    """Read these records anew ("need" or "find" and number): after a change of dictionary or grammar."""
    for kind, number in subjects:
        (index_need if kind == "need" else index_find)(session, number, now)
