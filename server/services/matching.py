"""Asking the register: open needs for a find or a text, finds for a need, and a need's one line read."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from sqlmodel import Session

from server.domain.equivalence import compare
from server.domain.parts import GENERAL, part_classes
from server.domain.parts._kit import Characteristic, PartClass, fold_word
from server.domain.quantities import write_value
from server.domain.reading import Size, read_sizes
from server.domain.register import DesignationKind, Find, Need, find_number, need_number
from server.domain.specification import Form, KnownFrom
from server.domain.verdict import Outcome, Sheet
from server.matching.explain import against, in_favour
from server.matching.facts import Facts, Structured
from server.matching.lexicon import Type, standard_lexicon
from server.matching.match import match
from server.matching.reading_text import read_facts, role_of
from server.matching.score import Band, Hit
from server.services.candidates import strictness_of
from server.services.indexing import facts_of_find, facts_of_need
from server.services.needs import wanted_of
from server.storage.engine import Store
from server.storage.finds import load_find, load_finds
from server.storage.needs import load_need, load_needs
from server.storage.search_index import Scope, SearchIndex

CHECKED = 24
"""Best hits that the equivalence check looks at."""

MOST_READ = 6
_SIDES = {"left": "left", "right": "right", "centre": "centre"}
BANDS = {Band.LIKELY: "likely", Band.POSSIBLE: "possible", Band.FAINT: "faint"}


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
            names = " or ".join(lexicon.concepts[c].label for c in one.concepts[:2] if c in lexicon.concepts)
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
    store: Store, text: str, *, limit: int = 10, part_class: str = "", scope: Scope | None = None
) -> MatchAnswer:
    """Open needs that a find described so may meet."""
    if not text.strip():
        return MatchAnswer()
    facts = read_facts(text, structured=Structured(part_class=part_class))
    with store.read() as session:
        return _needs(session, facts, None, limit, scope or Scope("need"))


def matches_for_find(store: Store, number: int, limit: int = 10) -> MatchAnswer:
    """Open needs that a kept find may meet, the check included. Raises NotFound."""
    with store.read() as session:
        find = load_find(session, number)
        return _needs(session, facts_of_find(find), find, limit, Scope("need"))


def _needs(session: Session, facts: Facts, find: Find | None, limit: int, scope: Scope) -> MatchAnswer:
    found = match(facts, SearchIndex(session, scope), limit=max(limit, CHECKED if find else limit))
    shown = [hit for hit in found.hits if hit.band is not Band.FAINT]
    records = {one.id: one for one in load_needs(session, [hit.id for hit in shown])}
    lines: list[MatchLine] = []
    for hit in shown:
        need = records[hit.id]
        sheet = None
        if find is not None:
            sheet = compare(wanted_of(need), find.offered(), strictness_of(session))
        line = _line(hit, need_number(hit.id), need.item, sheet, need_number)
        lines.append(replace(line, ref=need.ref, place=need.place))
    return MatchAnswer(read_back(facts), tuple(_sunk(lines)[:limit]), asked=True)


def _line(hit: Hit, number: str, title: str, sheet: Sheet | None, numbered: Any) -> MatchLine:
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
    )


def _sunk(lines: Sequence[MatchLine]) -> list[MatchLine]:
    """What provably does not conform goes to the end; the order is kept otherwise."""
    return sorted(lines, key=lambda line: line.outcome is Outcome.NOT_EQUIVALENT)


def finds_for_text(store: Store, text: str, *, limit: int = 10) -> MatchAnswer:
    """Finds in stock for a part described so."""
    if not text.strip():
        return MatchAnswer()
    facts = read_facts(text)
    with store.read() as session:
        return _finds(session, facts, None, limit)


def matches_for_need(store: Store, number: int, limit: int = 10) -> tuple[MatchLine, ...]:
    """Finds in stock that may meet a need, the check included. Raises NotFound."""
    with store.read() as session:
        need = load_need(session, number)
        return _finds(session, facts_of_need(need), need, limit).hits


def _finds(session: Session, facts: Facts, need: Need | None, limit: int) -> MatchAnswer:
    found = match(facts, SearchIndex(session, Scope("find")), limit=max(limit, CHECKED if need else limit))
    shown = [hit for hit in found.hits if hit.band is not Band.FAINT]
    records = {one.id: one for one in load_finds(session, [hit.id for hit in shown])}
    lines: list[MatchLine] = []
    for hit in shown:
        find = records[hit.id]
        sheet = None
        if need is not None:
            sheet = compare(wanted_of(need), find.offered(), strictness_of(session))
        line = _line(hit, find_number(hit.id), find.text, sheet, find_number)
        lines.append(replace(line, ref=find.ref, place=find.bin))
    return MatchAnswer(read_back(facts), tuple(_sunk(lines)[:limit]), asked=True)


@dataclass(frozen=True, slots=True)
class OpenedLine:
    """What was read out of a need's one line: the form's fields, and what to show for confirming."""

    typed: dict[str, str]
    many: dict[str, list[str]]
    read: tuple[tuple[str, str], ...]
    alike: tuple[MatchLine, ...] = field(default=())

    def given(self) -> dict[str, str | list[str]]:
        """The fields as a form would post them."""
        given: dict[str, str | list[str]] = dict(self.typed)
        given.update(self.many)
        return given


def read_line(store: Store, text: str) -> OpenedLine:
    """Read a need's one line; nothing is entered yet. Needs already open that look alike come with it."""
    with store.read() as session:
        line = read_line_in(session, text)
        facts = read_facts(text)
        found = match(facts, SearchIndex(session, Scope("need")), limit=5)
        close = [hit for hit in found.hits if hit.band is Band.LIKELY and not hit.reasons_against]
        records = {one.id: one for one in load_needs(session, [hit.id for hit in close])}
        alike = tuple(_line(hit, need_number(hit.id), records[hit.id].item, None, need_number) for hit in close)
    return replace(line, alike=alike)


def read_line_in(_session: Session, text: str) -> OpenedLine:
    """The same without looking for needs that are alike."""
    facts = read_facts(text)
    reading = read_sizes(text)
    known = _class_of(facts)
    typed = {"text": text, "part_class": known.key, "item": _item_of(text, known, facts)}
    read: list[tuple[str, str]] = [("Part class", known.name)]
    if reading.amounts:
        typed["quantity_text"] = text[slice(*reading.amounts[0].span)].strip()
        read.append(("Quantity", typed["quantity_text"]))
    if side := _side_of(facts):
        typed["side"] = side
        read.append(("Side", side))
    many: dict[str, list[str]] = {}
    if reading.designators:
        many["mark"] = list(reading.designators)
        many["mark_kind"] = [DesignationKind.PRINTED.value] * len(reading.designators)
        read.append(("Numbers", ", ".join(reading.designators)))
    given = _characteristics_of(known, facts, reading.sizes, text)[:MOST_READ]
    for place, (one, said) in enumerate(given, start=1):
        typed[f"r{place}_characteristic"] = one.key
        typed[f"r{place}_text"] = said
        typed[f"r{place}_form"] = Form.LIMITS.value
        typed[f"r{place}_known_from"] = KnownFrom.ESTIMATE.value
        read.append((one.label, said))
    return OpenedLine(typed, many, tuple(read))


def _class_of(facts: Facts) -> PartClass:
    lexicon = standard_lexicon()
    known = part_classes()
    heads = sorted(facts.meanings, key=lambda one: not one.is_head)
    for one in heads:
        for concept in one.concepts:
            for key in lexicon.classes(concept):
                if key in known and key != GENERAL:
                    return known[key]
    return known[GENERAL]


def _item_of(text: str, known: PartClass, facts: Facts) -> str:
    """Noun first: the class's name, and after it the parts of the line that say where it goes."""
    spans = [one.span for one in (*facts.sizes, *facts.designators) if one.span]
    spans += [one.span for one in facts.meanings if one.span and one.is_head]
    pieces: list[str] = []
    at = 0
    for piece in text.replace("|", ",").split(","):
        start, end = at, at + len(piece)
        at = end + 1
        touched = any(span[0] < end and span[1] > start for span in spans)
        if piece.strip() and not touched and not any(sign.isdigit() for sign in piece):
            pieces.append(piece.strip())
    if known.key == GENERAL:
        return text.strip()[:200]
    return (f"{known.name}: {', '.join(pieces)}" if pieces else known.name)[:200]


def _side_of(facts: Facts) -> str:
    lexicon = standard_lexicon()
    for one in facts.meanings:
        for concept in one.concepts:
            found = lexicon.concepts.get(concept)
            if found is not None and found.type is Type.SIDE and found.key in _SIDES:
                return _SIDES[found.key]
    return ""


_PRODUCT_ROLES: dict[str, tuple[tuple[str, ...], ...]] = {
    "Fasteners": (("dia", "thread"), ("len",)),
    "tube": (("od",), ("wall",), ("len",)),
    "bearing": (("id",), ("od",), ("width",)),
    "bush": (("id",), ("od",), ("len",)),
    "seal_gasket": (("id",), ("od",), ("thk",)),
    "insulating_sleeving": (("id",), ("len",)),
}
"""What the places of a product mean for a class or family, where the line does not say (common practice)."""

_STANDS_FOR = {
    "dia": ("dia", "od", "thread", "id"),
    "id": ("id", "dia"),
    "od": ("od", "dia"),
    "thread": ("thread", "dia"),
}


def _characteristics_of(
    known: PartClass, facts: Facts, sizes: Sequence[Size], text: str
) -> list[tuple[Characteristic, str]]:
    """Characteristics of the class that the line gives, each once, with the words it was given in."""
    found: dict[str, tuple[Characteristic, str]] = {}
    products = _PRODUCT_ROLES.get(known.key) or _PRODUCT_ROLES.get(known.family, ())
    for size in sizes:
        if size.weight < 1:
            continue
        roles = (size.role,) if size.role else ()
        if not roles and size.position < len(products):
            roles = products[size.position]
        one = _for_role(known, size, roles)
        if one is not None and one.key not in found:
            said = size.quantity.text.strip()
            if size.quantity.unit and not any(sign in said for sign in ("/", '"', size.quantity.unit)):
                said = _with_unit(size)
            found[one.key] = (one, said)
    folded = f" {fold_word(text)} "
    for one in known.characteristics:
        words = sorted(
            ((word, choice.label) for choice in one.choices for word in (choice.label, *choice.also)),
            key=lambda pair: -len(pair[0]),
        )
        hit = next((label for word, label in words if f" {fold_word(word)} " in folded), None)
        if hit is not None and one.key not in found:
            found[one.key] = (one, hit)
    lexicon = standard_lexicon()
    material = known.characteristic("material")
    if material is not None and "material" not in found:
        for meaning in facts.meanings:
            types = {lexicon.concepts[c].type for c in meaning.concepts if c in lexicon.concepts}
            if Type.MATERIAL in types:
                found["material"] = (material, meaning.corrected or meaning.text)
                break
    return list(found.values())


def _with_unit(size: Size) -> str:
    """A size of a product whose unit stands further on: written out with it, so that it can be read alone."""
    quantity = size.quantity
    if quantity.value is None:
        return quantity.text
    return write_value(quantity.value, quantity.kind, 6).replace("\u202f", " ")


def _for_role(known: PartClass, size: Size, roles: Sequence[str]) -> Characteristic | None:
    fitting = [one for one in known.characteristics if one.kind is size.quantity.kind]
    if not roles:
        return fitting[0] if len(fitting) == 1 else None
    for role in roles:
        for stand_in in _STANDS_FOR.get(role, (role,)):
            for one in fitting:
                if role_of(one.key) == stand_in:
                    return one
    return None
