"""The search page's question: words and filters in, needs and finds out, best first, with how long each part took.

Aeroplane, part class and "open" narrow the search itself. Step, role, place,
supplier and the other states are looked at in the best hits only, a bounded
number of them; where that number was used up the answer says so.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from time import perf_counter
from typing import Any

from sqlmodel import Session

from server.matching.designators import designator_form, near_numbers
from server.matching.facts import Facts, Structured
from server.matching.lexicon import Lexicon
from server.matching.match import match
from server.matching.reading_text import read_facts
from server.matching.score import Band, Hit
from server.services.dictionary import lexicon_of
from server.services.matching import MatchLine, find_lines, need_lines, read_back
from server.storage.engine import Store
from server.storage.finds import FindFilter, find_numbers, load_finds
from server.storage.needs import NeedFilter, load_needs, need_numbers, numbers_in_use, numbers_like
from server.storage.search_index import Scope, SearchIndex

WINDOW = 60
"""Hits that are ranked; every page of an answer is cut from the same ones, so that no line moves between pages."""
DEEP = 200
"""Hits that are ranked where a filter has to be looked at in each of them."""
NEEDS_AT_ONCE, FINDS_AT_ONCE = 20, 10
MOST_MEANT = 3
_OF_ONE_PLACE = frozenset({"word", "place", "side", "other"})


@dataclass(frozen=True, slots=True)
class SearchFilter:
    """What narrows a search; empty fields don't. `state` is open, met, withdrawn or all, and speaks of needs."""

    part_class: str = ""
    aeroplane_id: int | None = None
    step_id: int | None = None
    role: str = ""
    state: str = "open"
    supplier_id: int | None = None
    place: str = ""

    @property
    def looks_at_needs(self) -> bool:
        """True where each need has to be looked at."""
        return bool(self.step_id or self.role or self.place) or self.state in {"met", "withdrawn"}

    @property
    def looks_at_finds(self) -> bool:
        """True where each find has to be looked at."""
        return bool(self.supplier_id or self.place)


@dataclass(frozen=True, slots=True)
class Ranked:
    """One side of an answer: the lines shown, how many there are in all, whether more were left unlooked at.

    `read` is what was understood of the question.
    """

    read: tuple[str, ...] = ()
    hits: tuple[MatchLine, ...] = ()
    total: int = 0
    is_cut: bool = False


@dataclass(frozen=True, slots=True)
class Found:
    """An answer: both sides, and milliseconds by part. `meant`: numbers in use near one that nothing here has."""

    needs: Ranked = Ranked()
    finds: Ranked = Ranked()
    meant: tuple[str, ...] = ()
    took: Mapping[str, float] = field(default_factory=dict)


def search(
    store: Store,
    text: str,
    chosen: SearchFilter,
    *,
    needs_shown: int = NEEDS_AT_ONCE,
    finds_shown: int = FINDS_AT_ONCE,
) -> Found:
    """Needs and finds for a text in any words, units and spellings; the first so many of each."""
    if not text.strip():
        return Found()
    times = [perf_counter()]
    with store.read() as session:
        lexicon = lexicon_of(session)
        facts = read_facts(
            text,
            structured=Structured(part_class=chosen.part_class),
            lexicon=lexicon,
            numbers_in_use=numbers_in_use(session, text),
        )
        times.append(perf_counter())
        needs = _needs(session, facts, lexicon, chosen, needs_shown)
        times.append(perf_counter())
        finds = _finds(session, facts, lexicon, chosen, finds_shown)
        meant = _meant(session, facts)
        times.append(perf_counter())
    took = [(end - start) * 1000 for start, end in pairwise(times)]
    return Found(needs, finds, meant, dict(zip(("read", "needs", "finds"), took, strict=True)))


def _meant(session: Session, facts: Facts) -> tuple[str, ...]:
    """Part numbers in use that a typed one may have been meant for, where it is none itself; the nearest first."""
    found: dict[str, None] = {}
    for number in facts.designators:
        known = numbers_like(session, number.form)
        if number.form not in {designator_form(one) for one in known}:
            found.update((near.number, None) for near in near_numbers(number.form, known, MOST_MEANT))
    return tuple(found)[:MOST_MEANT]


def _needs(session: Session, facts: Facts, lexicon: Lexicon, chosen: SearchFilter, shown: int) -> Ranked:
    scope = Scope("need", chosen.state == "open", chosen.part_class, chosen.aeroplane_id)

    def passing(numbers: Sequence[int]) -> set[int]:
        wanted = NeedFilter(
            step_id=chosen.step_id,
            role=chosen.role,
            state=chosen.state,
            place=chosen.place,
            numbers=tuple(numbers),
        )
        return need_numbers(session, wanted)

    hits, is_cut = _ranked(session, facts, lexicon, scope, passing if chosen.looks_at_needs else None)
    kept = hits[:shown]
    records = {one.id: one for one in load_needs(session, [hit.id for hit in kept])}
    return Ranked(read_back(facts), tuple(need_lines(session, kept, records, facts.text)), len(hits), is_cut)


def _finds(session: Session, facts: Facts, lexicon: Lexicon, chosen: SearchFilter, shown: int) -> Ranked:
    def passing(numbers: Sequence[int]) -> set[int]:
        wanted = FindFilter(supplier_id=chosen.supplier_id, place=chosen.place, numbers=tuple(numbers))
        return find_numbers(session, wanted)

    scope = Scope("find", part_class=chosen.part_class)
    hits, is_cut = _ranked(session, facts, lexicon, scope, passing if chosen.looks_at_finds else None)
    kept = hits[:shown]
    records = {one.id: one for one in load_finds(session, [hit.id for hit in kept])}
    return Ranked(read_back(facts), tuple(find_lines(session, kept, records, facts.text)), len(hits), is_cut)


def _ranked(
    session: Session,
    facts: Facts,
    lexicon: Lexicon,
    scope: Scope,
    passing: Callable[[Sequence[int]], set[int]] | None,
) -> tuple[list[Hit], bool]:
    """The hits that say enough and pass, best first; and whether more than could be looked at may be there."""
    window = DEEP if passing else WINDOW
    found = match(facts, SearchIndex(session, scope), limit=window, lexicon=lexicon).hits
    hits = [hit for hit in found if hit.band is not Band.FAINT]
    is_cut = len(found) == window and found[-1].band is not Band.FAINT
    if passing is None:
        return hits, is_cut
    allowed = passing([number for hit in hits for number in (hit.id, *hit.same_as)])
    narrowed = (_narrowed(hit, allowed) for hit in hits)
    return [hit for hit in narrowed if hit is not None], is_cut


def _narrowed(hit: Hit, allowed: set[int]) -> Hit | None:
    """A hit of which only these records may be shown; another of the same specification may stand in for it."""
    kept = [number for number in (hit.id, *hit.same_as) if number in allowed]
    if not kept:
        return None
    if kept[0] == hit.id:
        return replace(hit, same_as=tuple(kept[1:]))
    # what was said of the first one's words and place need not hold for this one
    same: dict[str, Any] = {
        name: tuple(one for one in getattr(hit, name) if one.what not in _OF_ONE_PLACE)
        for name in ("reasons_for", "reasons_against")
    }
    return replace(hit, id=kept[0], same_as=tuple(kept[1:]), **same)
