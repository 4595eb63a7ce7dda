"""A need's one line, read into the fields of its form. Nothing is entered: a person confirms what was read.

What the line does not say, or says in two ways, stays open.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from server.domain.parts import GENERAL, part_classes
from server.domain.parts._kit import PartClass, fold_word
from server.domain.reading import Amount, Reading, read_sizes
from server.domain.register import DesignationKind
from server.domain.specification import Form, KnownFrom
from server.matching.facts import Facts, Meaning
from server.matching.folding import key_of, words_of
from server.matching.lexicon import CLASS_THING, LONGEST_PHRASE, Lexicon, Type, standard_lexicon
from server.matching.reading_text import read_facts
from server.services.opening_count import leading_count
from server.services.opening_sizes import GivenText, Span, sizes_of
from server.services.opening_words import words_given
from server.services.sizes import requirement_values
from server.services.typed import LINE, Typed

MOST_READ = 6
"""As many characteristics as the opening form has rows."""

_SIDES = {"left", "right", "centre"}
_ASIDE = re.compile(
    r"\b(?:for|to suit|suits|to fit|fits|für|fuer|pour|per|zu|zum|zur|do|pro)\b[^,;|()\n]*", re.IGNORECASE
)
_ASIDE_WORD = re.compile(
    r"^(?:for|to suit|suits|to fit|fits|für|fuer|pour|per|zum|zur|zu|do|pro)\s+"
    r"(?:(?:the|a|an|den|die|das|dem|der|la|le|les|il|lo)\s+)?",
    re.IGNORECASE,
)
_PIECE = re.compile(r"[^,;|\n]+")
_BETWEEN = re.compile(r"[\s’'/-]*")
_PARTS_OF_IT = frozenset({"end", "ends", "lug", "lugs", "hole", "holes", "thread", "threads"})
"""Behind another noun these are a part of that: a turnbuckle with fork ends is no fork end."""
_NUMBER_BEFORE = re.compile(r"\d\s*$")
_BY_LENGTH = frozenset({"m", "ft", "yd"})


@dataclass(frozen=True, slots=True)
class OpenedLine:
    """What was read out of a need's one line: the form's fields, and what to show for confirming.

    `typed` holds the fields with one value, `many` those with several, `read` pairs of label and words.
    """

    typed: dict[str, str]
    many: dict[str, list[str]]
    read: tuple[tuple[str, str], ...]

    def given(self) -> dict[str, str | list[str]]:
        """The fields as a form would post them."""
        given: dict[str, str | list[str]] = dict(self.typed)
        given.update(self.many)
        return given


@dataclass(frozen=True, slots=True)
class Named:
    """The part class that a line names, the words it does so with, and other classes they may mean.

    `is_plain`: the words are a name of the class as a whole, not of one kind in it.
    """

    part_class: PartClass
    words: str = ""
    language: str = ""
    span: Span | None = None
    others: tuple[PartClass, ...] = field(default=())
    is_plain: bool = True


def read_opening(text: str, lexicon: Lexicon | None = None) -> OpenedLine:
    """The fields of a need that its one line gives. Any text is taken; what can't be read is left out.

    `lexicon` is the register's own dictionary, where it has one.
    """
    facts = read_facts(text, lexicon=lexicon)
    reading = read_sizes(text)
    aside = [found.span() for found in _ASIDE.finditer(text)]
    named = _named(text, facts, aside)
    known = named.part_class
    given = _characteristics(known, facts, reading, text, aside)
    item = _item(text, named, reading, [one.span for one in given])
    typed = {"text": text, "part_class": known.key, "item": item}
    shown = known.name + "".join(f" – or {other.name.casefold()}" for other in named.others)
    read: list[tuple[str, str]] = [("Part class", shown)]
    if quantity := _quantity(text, reading, [one.span for one in given]) or _counted(
        text, named, facts, reading, given
    ):
        typed |= quantity
        read.append(("Quantity", quantity["quantity_text"]))
    if side := _side(text, facts):
        typed["side"] = side
        read.append(("Side", side))
    many: dict[str, list[str]] = {}
    if reading.designators:
        many["mark"] = list(reading.designators)
        many["mark_kind"] = [DesignationKind.PRINTED.value] * len(reading.designators)
        read.append(("Numbers", ", ".join(reading.designators)))
    for place, one in enumerate(given[:MOST_READ], start=1):
        typed |= {f"r{place}_{name}": value for name, value in _requirement(one).items()}
        read.append((one.characteristic.label, _shown(one)))
    return OpenedLine(typed, many, tuple(read))


def _requirement(one: GivenText) -> dict[str, str]:
    return {
        "characteristic": one.characteristic.key,
        "text": one.text,
        "form": Form.LIMITS.value if one.characteristic.kind else Form.EXACTLY.value,
        "known_from": KnownFrom.ESTIMATE.value,
    }


def _shown(one: GivenText) -> str:
    """What was read, and what the register calls it where that is another word."""
    choice = one.characteristic.choice(one.text)
    if choice is None or fold_word(choice.label) == fold_word(one.text):
        return one.text
    return f"{one.text} = {choice.label}"


# --- which part -------------------------------------------------------------------------------------------------------


def _named(text: str, facts: Facts, aside: Sequence[Span]) -> Named:
    """The class of the part that the line is about."""
    words = sorted(
        (one for one in facts.meanings if one.span and one.language != "number"), key=lambda one: one.span or ()
    )
    found = _name_run(text, [one for one in words if not _inside(one, aside)])
    if found is None:
        if any("wood" in standard_lexicon().lineage(concept) for one in words for concept in one.concepts):
            return Named(part_classes()["timber"])
        numbered = next((one for one in facts.meanings if one.language == "number" and _classes(one.concepts)), None)
        if numbered is None:
            return Named(part_classes()[GENERAL])
        return Named(_classes(numbered.concepts)[0], others=tuple(_classes(numbered.concepts)[1:]))
    start, end = found.span or (0, 0)
    phrase, concepts = text[start:end], found.concepts
    if found.language == "en":
        phrase, concepts = _longest_ending(text[:end], phrase, concepts)
    several = _classes(concepts)
    calling = [one for one in several if fold_word(phrase) in {fold_word(name) for name in one.names}]
    chosen = (calling or several)[0]
    others = () if len(calling) == 1 else tuple(one for one in several if one is not chosen)
    noun = fold_word(chosen.name.split(",")[0])
    is_plain = noun in fold_word(phrase) or CLASS_THING.get(chosen.key, "") in concepts
    return Named(chosen, phrase, found.language, (end - len(phrase), end), others, is_plain)


def _inside(one: Meaning, spans: Sequence[Span]) -> bool:
    return one.span is not None and any(start <= one.span[0] < end for start, end in spans)


def _name_run(text: str, words: Sequence[Meaning]) -> Meaning | None:
    """The word that names the part: the last noun of the first run of English words, else the first noun."""
    run: Meaning | None = None
    end = 0
    for one in words:
        assert one.span is not None
        if run is not None:
            if one.span == run.span:
                continue
            if one.key.isdigit() or not _BETWEEN.fullmatch(text[end : one.span[0]]):
                return run
        end = one.span[1] if run is None else max(end, one.span[1])
        if _classes(one.concepts):
            if run is not None and (run.language, one.language) != ("en", "en"):
                return run
            if run is None or words_of(one.text)[-1][0] not in _PARTS_OF_IT:
                run = one
    return run


def _longest_ending(text: str, phrase: str, concepts: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """The longest name in the dictionary that ends where this one does: "wire marker sleeve" holds a marker sleeve."""
    lexicon = standard_lexicon()
    words = words_of(text)[-LONGEST_PHRASE:]
    for at in range(len(words) - 1):
        if not all(_BETWEEN.fullmatch(text[a[2] : b[1]]) for a, b in zip(words[at:], words[at + 1 :], strict=False)):
            continue
        longer = text[words[at][1] :]
        senses = lexicon.senses_of(tuple(key_of(word) for word, _, _ in words[at:]))
        several = tuple(sense.concept for sense in senses)
        if len(longer) > len(phrase) and _classes(several):
            return longer, several
    return phrase, concepts


def _classes(concepts: Sequence[str]) -> list[PartClass]:
    """The part classes of these things, each once; the class for parts that have none is left out."""
    lexicon, known = standard_lexicon(), part_classes()
    keys = [key for concept in concepts for key in lexicon.classes(concept) if key in known and key != GENERAL]
    return [known[key] for key in dict.fromkeys(keys)]


def _item(text: str, named: Named, reading: Reading, given: Sequence[Span]) -> str:
    """Noun first: the part's name, and after it the pieces of the line that say where it goes."""
    if named.part_class.key == GENERAL:
        return text.strip()[:LINE]
    spans = [size.span for size in reading.sizes] + [one.span for one in reading.amounts]
    spans += [*reading.designator_spans, *([named.span] if named.span else [])]
    pieces: list[str] = []
    for found in _PIECE.finditer(text):
        said = found.group().strip()
        at = found.start() + len(found.group()) - len(found.group().lstrip())
        if any(start <= at and at + len(said) <= end for start, end in given):
            continue
        touched = any(start < found.end() and found.start() < end for start, end in spans)
        if not touched and not any(map(str.isdigit, said)):
            pieces.append(said)
        elif (clause := _ASIDE.search(said)) and not any(map(str.isdigit, clause.group())):
            pieces.append(_ASIDE_WORD.sub("", clause.group()).strip())
    name = _noun_first(named)
    return (f"{name}: {', '.join(pieces)}" if any(pieces) else name)[:LINE]


def _noun_first(named: Named) -> str:
    """The class's name; where that names several things, the words of the line: "Union, elbow"."""
    if not named.words or (named.is_plain and " or " not in named.part_class.name):
        return named.part_class.name
    words = named.words.split()
    if named.language == "en" and len(words) > 1:
        words = [f"{words[-1]},", *words[:-1]]
    said = " ".join(words)
    return said[:1].upper() + said[1:]


# --- how many, which side ---------------------------------------------------------------------------------------------


def _quantity(text: str, reading: Reading, given: Sequence[Span]) -> dict[str, str]:
    """How many, or how much of it by length; `given` are the places already read as characteristics."""
    if reading.amounts:
        amount: Amount = reading.amounts[0]
        said = text[slice(*amount.span)].strip(" ,;")
        return {"quantity_text": said, "quantity": str(amount.number)}
    for size in reading.sizes:
        is_length = size.role == "len" and size.quantity.unit in _BY_LENGTH and size.span not in given
        if size.role == "stock" or is_length:
            return {"quantity_text": size.quantity.text.strip()}
    return {}


def _counted(text: str, named: Named, facts: Facts, reading: Reading, given: Sequence[GivenText]) -> dict[str, str]:
    """How many, where the line begins with a figure and the parts' name."""
    known = named.part_class
    has_gauge = any(one.characteristic.key == "gauge_number" for one in given)
    may_be_gauge = known.key == "electric_wire" or known.characteristic("gauge_number") is not None
    if named.span is None or (may_be_gauge and not has_gauge):
        return {}
    taken = [*(size.span for size in reading.sizes), *reading.designator_spans, *(one.span for one in given)]
    figure = leading_count(text, named.span, named.language, facts, taken)
    return {"quantity_text": figure, "quantity": figure} if figure else {}


def _side(text: str, facts: Facts) -> str:
    lexicon = standard_lexicon()
    for one in facts.meanings:
        if one.span is None or _NUMBER_BEFORE.search(text[: one.span[0]]):
            continue
        for concept in one.concepts:
            found = lexicon.concepts.get(concept)
            if found is not None and found.type is Type.SIDE and found.key in _SIDES:
                return found.key
    return ""


# --- what the original was --------------------------------------------------------------------------------------------


def _characteristics(
    known: PartClass, facts: Facts, reading: Reading, text: str, aside: Sequence[Span]
) -> list[GivenText]:
    """Characteristics of the class that the line gives, each once, what always shows on a sheet first."""
    words = words_given(known, facts, text, aside)
    kinds = {choice.key for one in words if (choice := one.characteristic.choice(one.text)) is not None}
    found = list(_first_of_each([*words, *sizes_of(known, reading, text, aside, kinds)]))
    place = {one.key: number for number, one in enumerate(known.characteristics)}
    found.sort(key=lambda one: (not one.characteristic.essential, place[one.characteristic.key]))
    return [one for one in found if _can_be_entered(known, one)]


def _first_of_each(given: Sequence[GivenText]) -> Iterator[GivenText]:
    seen: set[str] = set()
    for one in given:
        if one.characteristic.key not in seen:
            seen.add(one.characteristic.key)
            yield one


def _can_be_entered(known: PartClass, one: GivenText) -> bool:
    """Only what the form would take: an implausible size is a misreading until a person says otherwise."""
    typed = Typed(_requirement(one))
    requirement_values(typed, known.key, "")
    return not typed.faults
