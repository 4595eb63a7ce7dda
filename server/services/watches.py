"""Watches: a saved search whose owner is told when a find turns up for it.

A logged or imported find is held against every watch in the transaction that
keeps it, so the number of watches is bounded; nobody is told about a find that
contradicts what was asked for.
"""

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any
from urllib.parse import urlencode

import sqlalchemy as sa
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from server.domain.errors import NotAllowed, NotFound
from server.domain.parts import part_classes
from server.domain.register import Actor, Find, UserRole, find_number
from server.matching.facts import Facts, Structured
from server.matching.lexicon import Lexicon
from server.matching.match import FEW
from server.matching.query import counted_tokens, prepare
from server.matching.reading_text import read_facts
from server.matching.score import Band, Hit, Outcome, document, score
from server.services.dictionary import lexicon_of
from server.services.typed import Given, Typed
from server.services.yard import require
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.search_index import Scope, SearchIndex
from server.storage.tables import FindRow, SupplierRow, WatchHitRow, WatchRow

_NUMBER = re.compile("[0-9]{1,9}")
MOST_WATCHES = 200
"""Watches of the whole register: each one is looked at whenever a find is kept."""
MOST_OF_ONE = 30
MOST_SHOWN = 12
LONGEST = 300
FILTERS = ("part_class", "supplier", "place")


@dataclass(frozen=True, slots=True)
class Watch:
    """A watch as its owner sees it. `waiting` finds are not set aside yet, `fresh` of them came since the last look."""

    id: int
    text: str
    further: str
    url: str
    created_at: datetime
    last_seen: datetime | None
    waiting: int
    fresh: int


@dataclass(frozen=True, slots=True)
class Watched:
    """A find that turned up for a watch."""

    watch_id: int
    watch_text: str
    find_id: int
    find_text: str
    noticed_at: datetime

    @property
    def find_number(self) -> str:
        """The find's running number."""
        return find_number(self.find_id)


def open_watch(store: Store, actor: Actor, given: Given) -> int:
    """Keep a search; its number. Fields: q, part_class, supplier, place. The same one again is kept once.

    Raises Faults (nothing to look for, too many watches), NotAllowed.
    """
    require(actor, UserRole.VIEWER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        text = typed.text("q", "What to look for", most=LONGEST, required=True)
        filters = _filters(session, typed)
        own = list(session.exec(_standing().where(WatchRow.account_id == actor.id)))
        same = next((one for one in own if (one.text, one.filters or {}) == (text, filters)), None)
        if same is not None and same.id is not None:
            return same.id
        if len(own) >= MOST_OF_ONE:
            typed.fault("q", f"You have {MOST_OF_ONE} watches, as many as one account may. End one first.")
        elif _count(session) >= MOST_WATCHES:
            typed.fault(
                "q", f"The register keeps {MOST_WATCHES} watches in all, and has them. Ask for one to be ended."
            )
        typed.done()
        row = WatchRow(account_id=actor.id, text=text, filters=filters or None, created_at=now)
        session.add(row)
        session.flush()
        assert row.id is not None
        write_log(session, now, actor, f"watches for “{text[:80]}”", f"watch/{row.id}")
        return row.id


def _filters(session: Session, typed: Typed) -> dict[str, str]:
    chosen = {name: typed.raw(name) for name in FILTERS if typed.raw(name)}
    if chosen.get("part_class", "?") not in {*part_classes(), "?"}:
        typed.fault("part_class", "Choose the part class from the list.")
    if (supplier := chosen.get("supplier")) and (
        not _NUMBER.fullmatch(supplier) or session.get(SupplierRow, int(supplier)) is None
    ):
        typed.fault("supplier", "Choose a supplier from the list.")
    if "place" in chosen:
        chosen["place"] = typed.text("place", "Place", most=100).casefold()
    return chosen


def _standing() -> SelectOfScalar[WatchRow]:
    return select(WatchRow).where(col(WatchRow.withdrawn_at).is_(None)).order_by(col(WatchRow.id))


def _count(session: Session) -> int:
    wanted = sa.select(sa.func.count()).select_from(WatchRow).where(col(WatchRow.withdrawn_at).is_(None))
    return int(session.execute(wanted).scalar_one())


def end_watch(store: Store, actor: Actor, number: int) -> None:
    """End one's own watch; what it brought is no longer shown. Raises NotAllowed, NotFound."""
    now = store.clock()
    with store.write() as session:
        row = _own(session, actor, number)
        if row.withdrawn_at is None:
            row.withdrawn_at = now
            session.add(row)
            write_log(session, now, actor, f"no longer watches for “{row.text[:80]}”", f"watch/{number}")


def _own(session: Session, actor: Actor, number: int) -> WatchRow:
    row = session.get(WatchRow, number)
    if row is None:
        raise NotFound("There is no such watch in this register.")
    if row.account_id != actor.id:
        raise NotAllowed("This is somebody else’s watch.")
    return row


def set_aside(store: Store, actor: Actor, number: int, find_id: int) -> None:
    """The owner looked: this find is not what the watch is for. Raises NotAllowed, NotFound."""
    now = store.clock()
    with store.write() as session:
        _own(session, actor, number)
        hit = session.get(WatchHitRow, (number, find_id))
        if hit is not None and hit.set_aside_at is None:
            hit.set_aside_at = now
            session.add(hit)


def own_watches(store: Store, actor: Actor) -> tuple[Watch, ...]:
    """An account's watches as they stand, with what waits; then notes that they were looked at now."""
    with store.write() as session:
        rows = list(session.exec(_standing().where(WatchRow.account_id == actor.id)))
        suppliers = _supplier_names(session, rows)
        hits = _waiting([row.id or 0 for row in rows])
        noticed: dict[int, list[datetime]] = {}
        for hit, _ in session.execute(hits):
            noticed.setdefault(hit.watch_id, []).append(hit.noticed_at)
        found = tuple(_shown(row, suppliers, noticed.get(row.id or 0, [])) for row in rows)
        for row in rows:
            row.last_seen = store.clock()
            session.add(row)
    return found


def _shown(row: WatchRow, suppliers: Mapping[str, str], noticed: Sequence[datetime]) -> Watch:
    chosen = {str(name): str(value) for name, value in (row.filters or {}).items()}
    said = []
    if key := chosen.get("part_class"):
        said.append(part_classes()[key].name if key in part_classes() else "not told apart yet")
    if supplier := chosen.get("supplier"):
        said.append(f"from {suppliers.get(supplier, 'a supplier no longer here')}")
    if place := chosen.get("place"):
        said.append(f"lying in {place}")
    return Watch(
        id=row.id or 0,
        text=row.text,
        further=" · ".join(said),
        url="/search?" + urlencode({"q": row.text, **chosen}),
        created_at=row.created_at,
        last_seen=row.last_seen,
        waiting=len(noticed),
        fresh=sum(row.last_seen is None or moment > row.last_seen for moment in noticed),
    )


def _supplier_names(session: Session, rows: Sequence[WatchRow]) -> dict[str, str]:
    numbers = {int(row.filters["supplier"]) for row in rows if row.filters and row.filters.get("supplier")}
    wanted = sa.select(col(SupplierRow.id), col(SupplierRow.name)).where(col(SupplierRow.id).in_(numbers))
    return {str(row[0]): row[1] for row in session.execute(wanted)} if numbers else {}


def _waiting(watches: Sequence[int]) -> Any:
    """Finds that turned up for these watches, are still here and were not set aside; the newest first."""
    return (
        sa.select(WatchHitRow, col(FindRow.text))
        .join(FindRow, col(FindRow.id) == col(WatchHitRow.find_id))
        .where(
            col(WatchHitRow.watch_id).in_(watches),
            col(WatchHitRow.set_aside_at).is_(None),
            col(FindRow.withdrawn_at).is_(None),
        )
        .order_by(col(WatchHitRow.noticed_at).desc(), col(WatchHitRow.find_id).desc())
    )


def watched_for(session: Session, actor: Actor, most: int = MOST_SHOWN) -> tuple[Watched, ...]:
    """What turned up for an account's watches and waits for it to look, the newest first."""
    texts = {row.id or 0: row.text for row in session.exec(_standing().where(WatchRow.account_id == actor.id))}
    if not texts:
        return ()
    return tuple(
        Watched(hit.watch_id, texts[hit.watch_id], hit.find_id, text, hit.noticed_at)
        for hit, text in session.execute(_waiting(list(texts)).limit(most))
    )


# --- when a find is kept ----------------------------------------------------------------------------------------------


def notice(session: Session, find: Find, tokens: Sequence[str], row: bytes, now: datetime) -> None:
    """Hold a find, as the index has it, against all watches; note once for which it turned up."""
    watches = [one for one in session.exec(_standing().limit(MOST_WATCHES)) if _passes(find, one.filters or {})]
    if not watches:
        return
    lexicon = lexicon_of(session)
    kept = document(find.id, frozenset(tokens), row, lexicon)
    asked = [(one, *_read(one.text, (one.filters or {}).get("part_class", ""), lexicon)) for one in watches]
    asked = [(one, facts, wanted) for one, facts, wanted in asked if wanted & kept.tokens]
    if not asked:
        return
    total, counts = _counts(session, frozenset(token for _, _, wanted in asked for token in wanted))
    for watch, facts, _ in asked:
        hit = score(prepare(facts, counts, total, lexicon), kept)
        if _is_told(hit):
            _note(session, watch.id or 0, hit, now)


def _passes(find: Find, chosen: Mapping[str, Any]) -> bool:
    wanted = chosen.get("part_class")
    if wanted and wanted != (find.part_class or "?"):
        return False
    supplier = chosen.get("supplier")
    if supplier and (find.supplier is None or str(find.supplier.id) != str(supplier)):
        return False
    place = str(chosen.get("place", ""))
    return not place or place in find.bin.casefold()


@lru_cache(maxsize=2 * MOST_WATCHES)
def _read(text: str, part_class: str, lexicon: Lexicon) -> tuple[Facts, frozenset[str]]:
    known = part_class if part_class in part_classes() else ""
    facts = read_facts(text, structured=Structured(part_class=known), lexicon=lexicon)
    return facts, frozenset(counted_tokens(facts, lexicon))


def _counts(session: Session, tokens: frozenset[str]) -> tuple[int, Mapping[str, int]]:
    """How many finds there are, and in how many each token stands."""
    index = SearchIndex(session, Scope("find"))
    total, counts = index.size(), index.doc_counts(tokens)
    if not counts and total <= FEW:  # PostgreSQL counts its tokens only now and then
        counts = Counter(token for one in index.rows() for token in tokens.intersection(one[1].split()))
    return total, counts


def _is_told(hit: Hit) -> bool:
    return hit.band is not Band.FAINT and not any(one.outcome is Outcome.DIFFERS for one in hit.reasons_against)


def _note(session: Session, watch_id: int, hit: Hit, now: datetime) -> None:
    """Note it once; what the owner set aside stays set aside."""
    held = session.get(WatchHitRow, (watch_id, hit.id))
    if held is None:
        session.add(WatchHitRow(watch_id=watch_id, find_id=hit.id, score=hit.score, noticed_at=now))
    else:
        held.score = hit.score
        session.add(held)
