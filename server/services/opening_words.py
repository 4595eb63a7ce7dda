"""Which accepted words of a part class stand in a running text, in any of the languages that the register knows."""

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from server.domain.parts import part_class
from server.domain.parts._kit import Characteristic, Choice, PartClass, fold_word
from server.matching.facts import Facts
from server.matching.folding import key_of, words_of
from server.matching.lexicon import CLASS_THING, LONGEST_PHRASE, Sense, Type, standard_lexicon
from server.services.opening_sizes import CONDITION, GivenText, Span

_SAY_LITTLE = frozenset(
    [
        "no",
        "none",
        "not",
        "yes",
        "ja",
        "nein",
        "oui",
        "non",
        "new",
        "used",
        "other",
        "unknown",
        "left",
        "right",
        "port",
        "starboard",
        "links",
        "rechts",
        "gauche",
        "droite",
        "sinistra",
        "destra",
        "single",
        "double",
        "open",
        "light",
        "both",
        "across",
        "along",
        "type",
        "special",
        "tin",
        "plain",
    ]
)
"""Accepted words that mean too many things in a running text to be taken from it."""

_TOKEN = re.compile(r"[^\s,;|()\"“”_-]+")
_PIECE = re.compile(r"[,;|()\n]")
_MOST_TOKENS = 6
_TREATED = ("varnish", "paint", "coat", "oil", "wax", "impregnat", "lacquer")

Hit = tuple[str, str]
"""Keys of a characteristic and of one of its choices."""


def words_given(known: PartClass, facts: Facts, text: str, aside: Sequence[Span]) -> list[GivenText]:
    """Accepted words of the class that the line holds, each characteristic once.

    `aside` are clauses about what the part goes with; nothing is read there.
    """
    found = {one.characteristic.key: one for one in reversed([*_by_phrase(known, facts, text, aside)])}
    for one in (*_by_concept(known, facts, aside), *_free_words(known, facts, text, aside, [*found.values()])):
        found.setdefault(one.characteristic.key, one)
    return list(found.values())


def _by_phrase(known: PartClass, facts: Facts, text: str, aside: Sequence[Span]) -> Iterator[GivenText]:
    """Accepted words as they are written, the longest phrases first."""
    phrases, _ = _tables(known.key)
    taken: list[Span] = []
    tokens = [
        token for token in _tokens(text, [size.span for size in facts.sizes if size.span]) if _free(token[1], aside)
    ]
    for length in range(min(_MOST_TOKENS, len(tokens)), 0, -1):
        for at in range(len(tokens) - length + 1):
            run = tokens[at : at + length]
            span = (run[0][1][0], run[-1][1][1])
            hit = phrases.get(" ".join(token[0] for token in run))
            if hit is None or run[0][2] != run[-1][2] or not _free(span, taken):
                continue
            one, choice = _of(known, hit)
            if _is_place(text[span[0] : span[1]]) or _is_treated(choice, facts):
                continue
            taken.append(span)
            yield GivenText(one, text[span[0] : span[1]].strip(" ."), span)


def _by_concept(known: PartClass, facts: Facts, aside: Sequence[Span]) -> Iterator[GivenText]:
    """Accepted words in other spellings and languages, by what the dictionary says they mean."""
    _, concepts = _tables(known.key)
    for meaning in facts.meanings:
        # of a standard's number the kind is taken; what it is made of, its own code says better
        told = [key for key in meaning.concepts if meaning.language != "number" or _is_kind(key)]
        if meaning.span is None or not _free(meaning.span, aside):
            continue
        hits = {concepts[concept] for concept in told if concept in concepts}
        if len(hits) == 1:
            one, choice = _of(known, hits.pop())
            if not _is_treated(choice, facts):
                yield GivenText(one, choice.label, meaning.span)


def _is_kind(concept: str) -> bool:
    found = standard_lexicon().concepts.get(concept)
    return found is not None and found.type is Type.KIND


def _of(known: PartClass, hit: Hit) -> tuple[Characteristic, Choice]:
    one = known.characteristic(hit[0])
    assert one is not None
    return one, next(choice for choice in one.choices if choice.key == hit[1])


def _tokens(text: str, sizes: Sequence[Span]) -> list[tuple[str, Span, int]]:
    """Folded words with their place and the piece of the line they stand in; sizes are no words."""
    found: list[tuple[str, Span, int]] = []
    breaks = [one.start() for one in _PIECE.finditer(text)]
    for token in _TOKEN.finditer(text):
        word = fold_word(token.group().strip(".:/"))
        piece = sum(1 for at in breaks if at < token.start())
        if word and not any(start <= token.start() and token.end() <= end for start, end in sizes):
            found.append((word, token.span(), piece))
    return found


def _free(span: Span, taken: Sequence[Span]) -> bool:
    return not any(start < span[1] and span[0] < end for start, end in taken)


def _is_place(phrase: str) -> bool:
    """Words that name a place of the aeroplane: "Flügel" is where it goes, not a thumb screw's head."""
    return any(standard_lexicon().concepts[one.concept].type is Type.PLACE for one in _senses(phrase))


def _senses(phrase: str) -> tuple[Sense, ...]:
    keys = tuple(key_of(word) for word, _, _ in words_of(phrase))
    return standard_lexicon().senses_of(keys) if 0 < len(keys) <= LONGEST_PHRASE else ()


def _is_treated(choice: Choice, facts: Facts) -> bool:
    """ "Cotton, not varnished" is not read out of a line that speaks of varnish."""
    label = choice.label.casefold()
    if " not " not in f" {label} " and "untreated" not in label:
        return False
    return any(concept.startswith(_TREATED) for meaning in facts.meanings for concept in meaning.concepts)


def _free_words(
    known: PartClass, facts: Facts, text: str, aside: Sequence[Span], given: Sequence[GivenText]
) -> Iterator[GivenText]:
    """The material and the colour, where the class takes any word for them and the word says nothing else already."""
    lexicon = standard_lexicon()
    material, colour = known.characteristic("material"), known.characteristic("colour")
    taken = [one.span for one in given]
    for meaning in facts.meanings:
        if meaning.span is None or meaning.language == "number" or not _free(meaning.span, [*aside, *taken]):
            continue
        concepts = [lexicon.concepts[key] for key in meaning.concepts if key in lexicon.concepts]
        at = text.casefold().find(meaning.text.casefold(), meaning.span[0])
        typed = text[at : at + len(meaning.text)] if meaning.span[0] <= at < meaning.span[1] else meaning.text
        said = meaning.corrected or typed
        is_material = any(one.type is Type.MATERIAL and _is_stuff(one.key, known, said) for one in concepts)
        if is_material and material is not None and not material.choices:
            yield GivenText(material, said, meaning.span)
        if colour is not None and not colour.choices and any(one.group == "colour" for one in concepts):
            yield GivenText(colour, said, meaning.span)


def _is_stuff(concept: str, known: PartClass, said: str) -> bool:
    """True where the word itself names the material: a "pin" is no pine, a "wood screw" no wood."""
    lexicon = standard_lexicon()
    if not any(sense.concept == concept for sense in lexicon.senses.get("".join(map(key_of, said.split())), ())):
        return False
    return known.key in {"timber", "general"} or "wood" not in lexicon.lineage(concept)


@lru_cache(maxsize=128)
def _tables(class_key: str) -> tuple[dict[str, Hit], dict[str, Hit]]:
    """What stands for which choice of a class: by folded phrase, and by concept of the dictionary.

    What several choices could claim is left out, unless one alone is of a characteristic that always shows, or one
    alone has it for its own name.
    """
    known = part_class(class_key)
    generic = CLASS_THING.get(class_key, "")
    by_phrase: dict[str, dict[Hit, bool]] = {}
    by_concept: dict[str, dict[Hit, bool]] = {}
    for one in known.characteristics:
        if one.key in CONDITION or (one.of_place and one.key != "fluid"):
            continue
        for choice in one.choices:
            hit = (one.key, choice.key)
            for word in (choice.label, *choice.also):
                phrase = " ".join(fold_word(token.strip(".:/")) for token in _TOKEN.findall(word))
                concepts = [sense.concept for sense in _senses(word)]
                if not _tells(phrase) or (" " not in phrase and generic in concepts):
                    continue
                is_name = word == choice.label
                by_phrase.setdefault(phrase, {})[hit] = is_name or by_phrase.get(phrase, {}).get(hit, False)
                for concept in concepts:
                    if concept != generic and _may_mean(concept, one, class_key):
                        several = by_concept.setdefault(concept, {})
                        several[hit] = is_name or several.get(hit, False)
    return _settled(known, by_phrase), _settled(known, by_concept)


def _may_mean(concept: str, one: Characteristic, class_key: str) -> bool:
    """True where a concept can stand for a choice: a material is no plating, another class's thing no kind of this."""
    lexicon = standard_lexicon()
    kind = lexicon.concepts[concept].type
    if kind is Type.THING:
        return one.key.startswith(("kind_of_", "form", "shape")) and class_key in lexicon.classes(concept)
    return kind is Type.KIND or (kind is Type.MATERIAL and one.key not in {"finish", "plating", "cladding"})


def _tells(phrase: str) -> bool:
    if phrase in _SAY_LITTLE or phrase.replace(" ", "").isdigit():
        return False
    return len(phrase) >= 3 or (any(map(str.isdigit, phrase)) and any(map(str.isalpha, phrase)))


def _settled(known: PartClass, several: dict[str, dict[Hit, bool]]) -> dict[str, Hit]:
    essential = {one.key for one in known.characteristics if one.essential}
    found: dict[str, Hit] = {}
    for word, hits in several.items():
        for kept in (list(hits), [hit for hit in hits if hit[0] in essential], [hit for hit in hits if hits[hit]]):
            if len(kept) == 1:
                found[word] = kept[0]
                break
    return found
