"""Is it here already? Asked before a find or a need is kept; a person answers, the register only points.

Two records look like one where the matching finds no contradiction between
them, the shorter one's sayings nearly all stand in the longer one, and nothing
that is said of both differs: the supplier, the aeroplane, the place.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import Session

from server.domain.parts import GENERAL
from server.domain.register import find_number, find_title, need_number
from server.matching.explain import in_favour
from server.matching.facts import Facts, Structured
from server.matching.index import tokens_of
from server.matching.lexicon import Lexicon
from server.matching.match import match
from server.matching.score import Band, Hit, Outcome
from server.services.dictionary import lexicon_of
from server.services.finds import find_values, first_statements
from server.services.indexing import facts_of_find, facts_of_need, facts_offered, facts_wanted
from server.services.needs import need_values
from server.services.sizes import requirement_values
from server.services.typed import Given, Typed
from server.storage.engine import Store
from server.storage.finds import find_of_capture, load_finds, statement_of
from server.storage.needs import load_needs, requirement_of
from server.storage.search_index import Scope, SearchIndex
from server.storage.tables import AeroplaneRow, RequirementRow, StatementRow

MOST_LOOKED_AT = 12
MOST_SHOWN = 3
LEAST_SAID = 3
"""So many things must be said: "bolt" and "bolt" are not one piece."""
LEAST_SHARED = 0.8
"""The share of the shorter record's sayings that must stand in the longer one."""
_COMPARED = frozenset("hkmywdo")
"""Token letters that say what the thing is: thing, kind, material, size in coarse steps, word, number, other."""


@dataclass(frozen=True, slots=True)
class Alike:
    """A record that is here already and looks like the one about to be kept, and why."""

    id: int
    number: str
    title: str
    because: tuple[str, ...]
    quantity_text: str = ""


def was_captured(store: Store, capture_id: str) -> bool:
    """Did this phone's capture get here before, as a find of its own or added to one?"""
    capture = capture_id.strip()[:64]
    if not capture:
        return False
    with store.read() as session:
        return find_of_capture(session, capture) is not None


def finds_like(store: Store, given: Given) -> tuple[Alike, ...]:
    """Finds in stock that look like the one of this form, the likeliest first; three at most.

    Faults of the form are passed over; keeping it names them.
    """
    typed = Typed(given)
    with store.read() as session:
        lexicon = lexicon_of(session)
        values = find_values(session, typed)
        statements = [
            statement_of(StatementRow(id=0, find_id=0, **one))
            for one in first_statements(typed, values["part_class"])
            if one["characteristic"]
        ]
        facts = facts_offered(values["text"], values["part_class"], statements, lexicon)
        hits = _close(session, facts, Scope("find"), lexicon)
        finds = {one.id: one for one in load_finds(session, list(hits))}
    supplier = values["supplier_id"]
    said = _said(facts, lexicon)
    found: list[Alike] = []
    for number, hit in hits.items():
        find = finds[number]
        theirs = find.supplier.id if find.supplier else None
        if supplier and theirs and supplier != theirs:
            continue
        if values["part_class"] and find.part_class and values["part_class"] != find.part_class:
            continue
        if not _is_one(said, _said(facts_of_find(find, lexicon), lexicon)):
            continue
        because = ["the same supplier"] if supplier and supplier == theirs else []
        because += in_favour(hit, theirs="find")[:3]
        found.append(Alike(number, find_number(number), find_title(find.text), tuple(because), find.quantity_text))
    return tuple(found[:MOST_SHOWN])


def needs_like(store: Store, given: Given) -> tuple[Alike, ...]:
    """Open needs of the same aeroplane that look like the one of this form; three at most.

    Faults of the form are passed over; keeping it names them.
    """
    typed = Typed(given)
    with store.read() as session:
        lexicon = lexicon_of(session)
        values = need_values(session, typed)
        plane = session.get(AeroplaneRow, values["aeroplane_id"]) if values["aeroplane_id"] else None
        if plane is None:
            return ()
        facts = facts_wanted(
            [values["item"], typed.raw("text"), values["zone"], values["station"]],
            Structured(
                part_class=values["part_class"],
                designations=tuple(typed.all("mark")),
                side=values["side"],
                aeroplane=plane.type,
            ),
            [
                requirement_of(RequirementRow(id=0, need_id=0, **one))
                for one in _first_requirements(typed, values["part_class"], plane.drawing_unit)
            ],
            lexicon=lexicon,
        )
        hits = _close(session, facts, Scope("need", aeroplane_id=plane.id), lexicon)
        needs = {one.id: one for one in load_needs(session, list(hits))}
    said = _said(facts, lexicon)
    found: list[Alike] = []
    for number, hit in hits.items():
        need = needs[number]
        if values["part_class"] != need.part_class and GENERAL not in {values["part_class"], need.part_class}:
            continue
        pairs = ((values["zone"], need.zone), (values["side"], need.side), (values["station"], need.station))
        if any(_differ(one, other) for one, other in pairs):
            continue
        if not _is_one(said, _said(facts_of_need(need, lexicon), lexicon)):
            continue
        where = [f"the same place: {need.place}"] if any(one and other for one, other in pairs) else []
        because = (*where, *in_favour(hit, theirs="need")[:3])
        found.append(Alike(number, need_number(number), need.item, because, need.quantity_text))
    return tuple(found[:MOST_SHOWN])


def _first_requirements(typed: Typed, class_key: str, unit: str) -> list[dict[str, Any]]:
    found = []
    for number in range(1, 13):
        prefix = f"r{number}_"
        if typed.raw(f"{prefix}characteristic") and typed.raw(f"{prefix}text"):
            values = requirement_values(typed, class_key or GENERAL, unit, prefix)
            if values["characteristic"] and values["known_from"]:
                found.append(values)
    return found


def _close(session: Session, facts: Facts, scope: Scope, lexicon: Lexicon) -> dict[int, Hit]:
    """Records that nothing in these facts contradicts, the best first; those of one specification each by itself."""
    hits = match(facts, SearchIndex(session, scope), limit=MOST_LOOKED_AT, lexicon=lexicon).hits
    found: dict[int, Hit] = {}
    for hit in hits:
        if hit.band is Band.LIKELY and not any(one.outcome is Outcome.DIFFERS for one in hit.reasons_against):
            found.update(dict.fromkeys((hit.id, *hit.same_as), hit))
    return dict(list(found.items())[:MOST_LOOKED_AT])


def _said(facts: Facts, lexicon: Lexicon) -> frozenset[str]:
    """What a text says the thing is, as index tokens; where it goes and whose it is are left out."""
    return frozenset(one for one in tokens_of(facts, lexicon) if one[0] in _COMPARED)


def _is_one(mine: Collection[str], theirs: Collection[str]) -> bool:
    fewer = min(len(mine), len(theirs))
    return fewer >= LEAST_SAID and len(set(mine) & set(theirs)) >= LEAST_SHARED * fewer


def _differ(one: str, other: str) -> bool:
    return bool(one and other) and _folded(one) != _folded(other)


def _folded(text: str) -> Sequence[str]:
    return "".join(sign if sign.isalnum() else " " for sign in text.casefold()).split()
