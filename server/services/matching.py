"""Asking the register: open needs for a find or a text, finds for a need, and a need's one line read."""

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from sqlmodel import Session, col, select

from server.domain.register import Find, Need, find_number, find_title, need_number
from server.domain.verdict import Outcome, Sheet
from server.matching.explain import against, in_favour
from server.matching.facts import Facts, Structured
from server.matching.lexicon import Lexicon, Type, standard_lexicon
from server.matching.match import Matches, match
from server.matching.reading_text import read_facts
from server.matching.score import Band, Hit
from server.services.candidates import check_in
from server.services.dictionary import lexicon_of
from server.services.indexing import facts_of_find, facts_of_need
from server.services.needs import wanted_of
from server.services.opening import OpenedLine, read_opening
from server.storage.engine import Store
from server.storage.finds import load_find, load_finds
from server.storage.needs import load_need, load_needs, numbers_in_use
from server.storage.search_index import Scope, SearchIndex
from server.storage.tables import FindRow, NeedRow

CHECKED = 24
"""Best hits that the equivalence check looks at."""

BANDS = {Band.LIKELY: "likely", Band.POSSIBLE: "possible", Band.FAINT: "faint"}


class Piece(NamedTuple):
    """A piece of the question's text; `agrees` is True where the hit answers it, False where it contradicts."""

    text: str
    agrees: bool | None = None


LONGEST_MARKED = 300
"""Signs of a question that are shown again, with its words marked."""


def marked(text: str, hit: Hit) -> tuple[Piece, ...]:
    """The question in pieces, those marked that this hit answers or contradicts; empty where none is."""
    found: list[Piece] = []
    at = 0
    for start, end, agrees in hit.marks:
        if at <= start < end <= LONGEST_MARKED:
            found += [Piece(text[at:start]), Piece(text[start:end], agrees)]
            at = end
    rest = text[at:LONGEST_MARKED] + ("…" if len(text) > LONGEST_MARKED else "")
    return tuple(one for one in (*found, Piece(rest)) if one.text) if found else ()


@dataclass(frozen=True, slots=True)
class MatchLine:
    """One hit as a page shows it."""

    id: int
    number: str
    title: str
    score: float
    band: str
    speaks_for: tuple[str, ...]
    speaks_against: tuple[str, ...]
    outcome: Outcome | None = None
    alike: tuple[str, ...] = ()
    alike_ids: tuple[int, ...] = ()
    ref: str = ""
    place: str = ""
    asked: tuple["Piece", ...] = ()

    @property
    def because(self) -> str:
        """What spoke for it, in one line."""
        return " · ".join(self.speaks_for)


@dataclass(frozen=True, slots=True)
class MatchAnswer:
    """What was read out of the question, and the hits, best first."""

    read: tuple[str, ...] = ()
    hits: tuple[MatchLine, ...] = ()
    asked: bool = False

    def without(self, numbers: Collection[int]) -> "MatchAnswer":
        """The same without these hits."""
        return replace(self, hits=tuple(hit for hit in self.hits if hit.id not in numbers))

    def plain(self, text: str) -> dict[str, Any]:
        """For --json: one object an answer."""
        return {
            "text": text,
            "read": list(self.read),
            "nothing_fits": all(hit.band == BANDS[Band.FAINT] for hit in self.hits),
            "hits": [
                {
                    "number": hit.id,
                    "ref": hit.ref,
                    "score": round(hit.score, 4),
                    "band": hit.band,
                    "title": hit.title,
                    "for": list(hit.speaks_for),
                    "against": list(hit.speaks_against),
                    "outcome": str(hit.outcome) if hit.outcome else None,
                    "alike": list(hit.alike_ids),
                }
                for hit in self.hits
            ],
        }


def read_back(facts: Facts) -> tuple[str, ...]:
    """What was understood, in words, for "Read as"."""
    lexicon = standard_lexicon()
    said: list[str] = []
    for one in facts.meanings:
        if one.concepts and one.span is not None:
            known = [lexicon.concepts[key] for key in one.concepts[:2] if key in lexicon.concepts]
            if known and all(concept.type == Type.QUALITY for concept in known):
                continue
            names = " or ".join(concept.label for concept in known)
            mended = f"{one.text} read as {one.corrected}" if one.corrected else ""
            said.append(mended or names or one.text)
    places: set[int] = set()
    for size in facts.sizes:
        if size.span is not None and size.place not in places:
            places.add(size.place)
            said.append(f"{size.text.strip()} {_ROLE_WORDS.get(size.role, '')}".strip())
    said.extend(one.text for one in facts.designators if one.span is not None)
    return tuple(dict.fromkeys(said))


_ROLE_WORDS = {
    "id": "inside",
    "od": "outside",
    "dia": "diameter",
    "len": "long",
    "thk": "thick",
    "wall": "wall",
    "width": "wide",
    "thread": "thread",
    "hole": "hole",
    "stock": "in all",
}


def needs_for_text(
    store: Store,
    text: str,
    *,
    limit: int = 10,
    part_class: str = "",
    scope: Scope | None = None,
    faint: bool = False,
) -> MatchAnswer:
    """Open needs that a find described so may meet; the faint ones only where they are asked for."""
    if not text.strip():
        return MatchAnswer()
    with store.read() as session:
        facts, lexicon = _read(session, text, part_class)
        return _needs_for(session, facts, lexicon, scope or Scope("need"), limit, faint=faint)


def first_hits(store: Store, text: str, needs: int = 5, finds: int = 3) -> tuple[MatchAnswer, MatchAnswer]:
    """The first open needs and finds for a text that is still being typed, at most so many of each.

    A running number ("N 147", "f12") brings its own record, and that alone.
    """
    if not text.strip():
        return MatchAnswer(), MatchAnswer()
    with store.read() as session:
        if (named := _by_number(session, text)) is not None:
            return named
        facts, lexicon = _read(session, text)
        return (
            _needs_for(session, facts, lexicon, Scope("need"), needs),
            _finds_for(session, facts, lexicon, finds),
        )


def _by_number(session: Session, text: str) -> tuple[MatchAnswer, MatchAnswer] | None:
    """The record of a running number; None where the text is none, or there is no such record."""
    named = read_number(text)
    if named is None:
        return None
    kind, number = named
    if kind == "need":
        need = session.get(NeedRow, number)
        line = MatchLine(number, need_number(number), need.item, 0.0, "that number", (), ()) if need else None
        return (MatchAnswer(hits=(line,), asked=True), MatchAnswer()) if line else None
    find = session.get(FindRow, number)
    line = MatchLine(number, find_number(number), find.text, 0.0, "that number", (), ()) if find else None
    return (MatchAnswer(), MatchAnswer(hits=(line,), asked=True)) if line else None


_NUMBER = re.compile(r"\s*([NnFf])[\s.-]*0*(\d{1,9})\s*")


def read_number(text: str) -> tuple[str, int] | None:
    """A running number as people type it: "N 147" → ("need", 147), "f12" → ("find", 12); None where it is none."""
    found = _NUMBER.fullmatch(text)
    return ("need" if found[1] in "Nn" else "find", int(found[2])) if found else None


def _read(session: Session, text: str, part_class: str = "") -> tuple[Facts, Lexicon]:
    lexicon = lexicon_of(session)
    known = Structured(part_class=part_class)
    return read_facts(text, structured=known, lexicon=lexicon, numbers_in_use=numbers_in_use(session, text)), lexicon


def _needs_for(
    session: Session, facts: Facts, lexicon: Lexicon, scope: Scope, limit: int, *, faint: bool = False
) -> MatchAnswer:
    found = match(facts, SearchIndex(session, scope), limit=limit, lexicon=lexicon)
    return MatchAnswer(
        read_back(facts), tuple(_titled(session, _shown(found, faint=faint), facts.text)[:limit]), asked=True
    )


def matches_for_find(store: Store, number: int, limit: int = 10) -> MatchAnswer:
    """Open needs that a kept find may meet, the check included. Raises NotFound."""
    with store.read() as session:
        find = load_find(session, number)
        lexicon = lexicon_of(session)
        facts = facts_of_find(find, lexicon)
        found = match(facts, SearchIndex(session, Scope("need")), limit=max(limit, CHECKED), lexicon=lexicon)
        shown = _shown(found)
        needs = {one.id: one for one in load_needs(session, [hit.id for hit in shown])}
        lines = need_lines(session, shown, needs, facts.text, find)
        return MatchAnswer(read_back(facts), tuple(_sunk(lines)[:limit]), asked=True)


def _shown(found: Matches, *, faint: bool = False) -> list[Hit]:
    return [hit for hit in found.hits if faint or hit.band is not Band.FAINT]


def _titled(session: Session, hits: Sequence[Hit], asked: str) -> list[MatchLine]:
    """These needs as a page shows them, by their own row alone: nothing under them is asked for."""
    wanted = select(NeedRow).where(col(NeedRow.id).in_([hit.id for hit in hits]))
    rows = {row.id: row for row in session.exec(wanted)}
    lines: list[MatchLine] = []
    for hit in hits:
        row = rows[hit.id]
        line = _line(hit, need_number(hit.id), row.item, None, need_number, asked)
        place = ", ".join(part for part in (row.zone, row.side, row.station) if part)
        lines.append(replace(line, ref=row.ref, place=place))
    return lines


def need_lines(
    session: Session, hits: Sequence[Hit], needs: Mapping[int, Need], asked: str, find: Find | None = None
) -> list[MatchLine]:
    """These hits as a page shows them, in their order; with a find, the check included. `asked`: the question."""
    lines: list[MatchLine] = []
    for hit in hits:
        need = needs[hit.id]
        sheet = None
        if find is not None:
            sheet = check_in(session, wanted_of(need), find.offered())
        line = _line(hit, need_number(hit.id), need.item, sheet, need_number, asked)
        lines.append(replace(line, ref=need.ref, place=need.place))
    return lines


def _line(hit: Hit, number: str, title: str, sheet: Sheet | None, numbered: Any, asked: str = "") -> MatchLine:
    theirs = "find" if numbered is find_number else "need"
    speaks_against = list(against(hit, theirs=theirs))
    outcome = sheet.outcome if sheet else None
    if sheet is not None and sheet.outcome is Outcome.NOT_EQUIVALENT and sheet.deciding_row is not None:
        speaks_against.insert(0, sheet.deciding_row.sentence)
    return MatchLine(
        id=hit.id,
        number=number,
        title=title,
        score=hit.score,
        band=BANDS[hit.band],
        speaks_for=tuple(in_favour(hit, theirs=theirs)),
        speaks_against=tuple(speaks_against),
        outcome=outcome,
        alike=tuple(numbered(one) for one in hit.same_as),
        alike_ids=hit.same_as,
        asked=marked(asked, hit),
    )


def _sunk(lines: Sequence[MatchLine]) -> list[MatchLine]:
    """What provably does not conform goes to the end; the order is kept otherwise."""
    return sorted(lines, key=lambda line: line.outcome is Outcome.NOT_EQUIVALENT)


def finds_for_text(store: Store, text: str, *, limit: int = 10, faint: bool = False) -> MatchAnswer:
    """Finds in stock for a part described so; the faint ones only where they are asked for."""
    if not text.strip():
        return MatchAnswer()
    with store.read() as session:
        facts, lexicon = _read(session, text)
        return _finds_for(session, facts, lexicon, limit, faint=faint)


def _finds_for(session: Session, facts: Facts, lexicon: Lexicon, limit: int, *, faint: bool = False) -> MatchAnswer:
    found = match(facts, SearchIndex(session, Scope("find")), limit=limit, lexicon=lexicon)
    shown = _shown(found, faint=faint)
    rows = {row.id: row for row in session.exec(select(FindRow).where(col(FindRow.id).in_([h.id for h in shown])))}
    lines = [
        replace(
            _line(hit, find_number(hit.id), find_title(row.text), None, find_number, facts.text),
            ref=row.ref,
            place=row.bin,
        )
        for hit in shown
        if (row := rows[hit.id])
    ]
    return MatchAnswer(read_back(facts), tuple(lines[:limit]), asked=True)


def matches_for_need(store: Store, number: int, limit: int = 10) -> tuple[MatchLine, ...]:
    """Finds in stock that may meet a need, the check included. Raises NotFound."""
    with store.read() as session:
        need = load_need(session, number)
        lexicon = lexicon_of(session)
        facts = facts_of_need(need, lexicon)
        index = SearchIndex(session, Scope("find"))
        shown = _shown(match(facts, index, limit=max(limit, CHECKED), lexicon=lexicon))
        finds = {one.id: one for one in load_finds(session, [hit.id for hit in shown])}
        return tuple(_sunk(find_lines(session, shown, finds, "", need))[:limit])


def find_lines(
    session: Session, hits: Sequence[Hit], finds: Mapping[int, Find], asked: str, need: Need | None = None
) -> list[MatchLine]:
    """These hits as a page shows them, in their order; with a need, the check included. `asked`: the question."""
    lines: list[MatchLine] = []
    for hit in hits:
        find = finds[hit.id]
        sheet = None
        if need is not None:
            sheet = check_in(session, wanted_of(need), find.offered())
        line = _line(hit, find_number(hit.id), find_title(find.text), sheet, find_number, asked)
        lines.append(replace(line, ref=find.ref, place=find.bin))
    return lines


@dataclass(frozen=True, slots=True)
class OpeningLine(OpenedLine):
    """A need's one line as read, with the needs already open that look alike."""

    alike: tuple[MatchLine, ...] = ()


def read_line(store: Store, text: str) -> OpeningLine:
    """Read a need's one line; nothing is entered yet. Needs already open that look alike come with it."""
    with store.read() as session:
        lexicon = lexicon_of(session)
        line = read_opening(text, lexicon)
        found = match(read_facts(text, lexicon=lexicon), SearchIndex(session, Scope("need")), limit=5, lexicon=lexicon)
        close = [hit for hit in found.hits if hit.band is Band.LIKELY and not hit.reasons_against]
        records = {one.id: one for one in load_needs(session, [hit.id for hit in close])}
        alike = tuple(_line(hit, need_number(hit.id), records[hit.id].item, None, need_number) for hit in close)
    return OpeningLine(line.typed, line.many, line.read, alike)
