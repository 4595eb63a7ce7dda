"""A hit's reasons as a mechanic would say them: one line each, contradictions first."""

from fractions import Fraction
from typing import NamedTuple

from server.domain.quantities import BASE_UNIT, Kind, as_decimal_text, write_value
from server.matching.facts import PIPE, PITCH, Meaning, SizeFact
from server.matching.folding import key_of, words_of
from server.matching.index import RowSize
from server.matching.lexicon import Lexicon, standard_lexicon
from server.matching.score import Hit, Outcome, Reason

ROLE_LABELS = {
    "dia": "diameter",
    "id": "bore",
    "od": "outside diameter",
    "wall": "wall",
    "thk": "thickness",
    "len": "length",
    "width": "width",
    "af": "across flats",
    "thread": "thread",
    "centres": "hole centres",
    "head": "head",
    "hole": "hole",
    "grip": "grip",
}
_SIDES = {"need": "the need", "find": "the find"}


class Line(NamedTuple):
    """One line of an explanation: the sentence, its points, and whether it speaks for the match."""

    text: str
    points: float
    agrees: bool


def explain(hit: Hit, *, theirs: str = "need", lexicon: Lexicon | None = None) -> list[Line]:
    """All reasons of a hit in words: contradictions first, then agreement, then what is missing.

    `theirs` is "need" or "find": what the hit is. The points of all lines add
    up to the hit's score. Lines without points say what was read.
    """
    words = lexicon or standard_lexicon()
    said = _SIDES[theirs]
    against = [one for one in hit.reasons_against if one.outcome is Outcome.DIFFERS]
    missing = [one for one in hit.reasons_against if one.outcome is not Outcome.DIFFERS]
    lines = [Line(_sentence(one, said, words), one.points, False) for one in against]
    lines += [Line(_sentence(one, said, words), one.points, True) for one in hit.reasons_for]
    lines += [Line(_sentence(one, said, words), one.points, False) for one in missing]
    return [line for line in lines if line.text]


def in_favour(hit: Hit, *, theirs: str = "need", lexicon: Lexicon | None = None) -> list[str]:
    """What speaks for a hit, the weightiest first."""
    words = lexicon or standard_lexicon()
    said = (_sentence(one, _SIDES[theirs], words) for one in hit.reasons_for)
    return list(dict.fromkeys(line for line in said if line))


def against(hit: Hit, *, theirs: str = "need", lexicon: Lexicon | None = None) -> list[str]:
    """What contradicts a hit; what is merely not said there is left out."""
    words = lexicon or standard_lexicon()
    return [_sentence(one, _SIDES[theirs], words) for one in hit.reasons_against if one.outcome is Outcome.DIFFERS]


def corrections(reasons: tuple[Reason, ...]) -> list[str]:
    """ "“geommet” read as “grommet”", once for each mended word."""
    mended = {
        one.meaning.text: one.meaning.corrected for one in reasons if one.meaning is not None and one.meaning.corrected
    }
    return [f"“{typed}” read as “{read}”" for typed, read in mended.items()]


def _sentence(reason: Reason, said: str, lexicon: Lexicon) -> str:
    if reason.what == "size":
        return _size_sentence(reason, said)
    if reason.what == "sizes":
        return (
            "every size agrees" if reason.outcome is Outcome.SAME else f"no size contradicts, {said} is silent on some"
        )
    if reason.what == "unasked":
        return f"{said} gives sizes that were not named here"
    if reason.what == "number":
        return _number_sentence(reason, said)
    return _word_sentence(reason, said, lexicon)


def _label(concept: str, lexicon: Lexicon) -> str:
    known = lexicon.concepts.get(concept)
    return known.label if known else concept.replace("_", " ")


def _typed(meaning: Meaning | None) -> str:
    if meaning is None:
        return ""
    if meaning.corrected:
        return f"“{meaning.text}” read as “{meaning.corrected}”"
    return f"“{meaning.text}”"


def _same_word(meaning: Meaning | None, label: str) -> bool:
    if meaning is None:
        return True
    return [key_of(word) for word, _, _ in words_of(meaning.text)] == [key_of(word) for word, _, _ in words_of(label)]


def _word_sentence(reason: Reason, said: str, lexicon: Lexicon) -> str:
    typed, theirs = _typed(reason.meaning), _label(reason.theirs, lexicon) if reason.theirs else ""
    if reason.outcome is Outcome.SAME:
        if not theirs or _same_word(reason.meaning, theirs):
            return f"{typed}: in both"
        return f"{typed} = {theirs}"
    if reason.outcome is Outcome.BROADER and theirs:
        mine = [reason.mine] if reason.mine else list(reason.meaning.concepts) if reason.meaning else []
        is_wider = any(reason.theirs in lexicon.lineage(one) for one in mine)
        return f"{typed} is a kind of {theirs}" if is_wider else f"{typed} takes in {theirs}"
    if reason.outcome in {Outcome.BROADER, Outcome.RELATED}:
        return f"{typed} is near {theirs}" if theirs else f"{typed}: nearly"
    if reason.outcome is Outcome.DIFFERS:
        if reason.what == "thing":
            return f"{typed} is no {theirs}" if theirs else f"{typed}: {said} is another thing"
        return f"{typed} against {theirs}" if theirs else f"{typed}: {said} says otherwise"
    return f"{typed}: {said} does not say"


def _number_sentence(reason: Reason, said: str) -> str:
    if reason.outcome is Outcome.SAME:
        return f"{reason.mine}: the same number"
    if reason.outcome is Outcome.READS_LIKE:
        return f"{reason.mine}: {said} has a number that reads like it (5 and S, 1 and I, 0 and O, 8 and B)"
    if reason.outcome is Outcome.BEGINS_LIKE:
        return f"{reason.mine}: {said} has another number that begins with {reason.theirs}"
    return f"{reason.mine}: not a number of {said}"


def _size_sentence(reason: Reason, said: str) -> str:
    assert reason.size is not None
    mine, other = reason.size, reason.other
    role = _role(mine, other)
    if reason.outcome is Outcome.MISSING or other is None:
        return f"{_written(mine)}{role}: {said} gives no size for it"
    if reason.outcome is Outcome.SAME:
        return f"{_written(mine)}{role}, equal to {_their_value(other)}"
    apart = abs(float(mine.value) - other.value) / max(float(mine.value), other.value) * 100
    if reason.outcome is Outcome.NEAR:
        return f"{_written(mine)}{role}, near {_their_value(other)} ({apart:.1f} % apart): measure it"
    return f"{_written(mine)}{role} against {_their_value(other)}"


def _role(mine: SizeFact, other: RowSize | None) -> str:
    role = mine.role or (other.role if other else "")
    if mine.kind in {PITCH, PIPE}:
        return ", pitch" if mine.kind == PITCH else ", pipe thread"
    return f", {ROLE_LABELS[role]}" if role in ROLE_LABELS else ""


def _written(size: SizeFact) -> str:
    """As typed, and in the kind's own unit where that is another: "1/4 in = 6.35 mm"."""
    base = _value(float(size.value), size.kind)
    typed = size.text.strip()
    if key_of(typed) == key_of(base) or not typed:
        return base
    return f"{typed} = {base}"


def _their_value(other: RowSize) -> str:
    return _value(other.value, other.kind)


def _value(value: float, kind: str) -> str:
    if kind == PITCH:
        return f"{as_decimal_text(_fraction(value), 3)}\u202fmm"
    if kind == PIPE:
        return f"{as_decimal_text(_fraction(value) / Fraction(254, 10), 3)}\u202fin nominal"
    if kind in BASE_UNIT:
        return write_value(_fraction(value), Kind(kind))
    return f"{value:g}"


def _fraction(value: float) -> Fraction:
    return Fraction(value).limit_denominator(100_000)
