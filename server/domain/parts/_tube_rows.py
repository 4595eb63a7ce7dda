"""Rows on a tube's state and making: seam, dents, and what it looks like inside."""

from collections.abc import Iterator

from server.domain.offer import Basis, Origin
from server.domain.parts._condition import is_asked, metal_of
from server.domain.parts._kit import Case
from server.domain.rows import offered_text
from server.domain.sources import Source, common_practice
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

TUBE_KEYS = frozenset({"seam", "dents", "inside"})
"""Characteristics whose rows this module writes."""

SEAM_RULE = Source("AC 43.13-1B", "para 4-3", "8 Sep 1998")
INSIDE_RULE = Source("AC 43.13-1B", "para 6-42, the inside of tubes", "8 Sep 1998")
DENT_RULE = common_practice("a sharp dent or one at a joint takes the strength of a strut away")

_INTERCHANGEABLE = {"1025", "4130", "8630"}
_USED = {Origin.REPAIRED, Origin.SALVAGED, Origin.OLD_STOCK, None}


def tube_state_rows(case: Case) -> Iterator[Row]:
    """Seam, dents and inside of the find."""
    yield from _seam_rows(case)
    yield from _dent_rows(case)
    yield from _inside_rows(case)


def _row(
    case: Case,
    key: str,
    wanted: str,
    verdict: Verdict,
    sentence: str,
    source: Source,
    measure: MeasureNext,
) -> Row:
    one = case.part_class.characteristic(key)
    label = one.label if one else key
    said = case.statement(key)
    return Row(
        key,
        label,
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        wanted,
        offered_text(said) if said else "not said",
        verdict,
        f"{label}: {sentence}",
        sources=(source,),
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure if verdict is Verdict.OPEN else None,
    )


def _seam_rows(case: Case) -> Iterator[Row]:
    said, wanted, word = case.statement("seam"), case.wanted_word("seam"), case.word("seam")
    if said is None and not wanted:
        return
    look = MeasureNext("seam", "Look inside with a light for a bright line or a ridge", "eye, light", 1)
    named = (case.wanted_word("material"), case.word("material"))
    alloys = {case.handbook.resolve(text, "tube").alloy for text in named}
    claimed = said is not None and said.basis is Basis.CLAIMED
    if word in {"", "not known"}:
        verdict, sentence = Verdict.OPEN, "nobody has looked for one."
    elif word == "brazed" and wanted != "brazed":
        verdict, sentence = Verdict.AGAINST, "brazed or lapped; that is no structural tube."
    elif word == wanted or not wanted:
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        sentence = (
            f"{said.text if said else word}{', as wanted' if wanted else ''}{', by its claim' if claimed else ''}."
        )
    elif {word, wanted} == {"seamless", "welded"} and len(alloys) == 1 and alloys <= _INTERCHANGEABLE:
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        sentence = f"welded and seamless tube of {alloys.pop()} are interchangeable{' (claimed)' if claimed else ''}."
    elif {word, wanted} == {"seamless", "welded"}:
        verdict, sentence = (
            Verdict.JUDGED,
            "seamless and welded differ, and no source here calls them equal.",
        )
    else:
        verdict, sentence = Verdict.AGAINST, f"wanted {wanted}, it is {word}."
    yield _row(case, "seam", wanted or "not said", verdict, sentence, SEAM_RULE, look)


def _dent_rows(case: Case) -> Iterator[Row]:
    said, word = case.statement("dents"), case.word("dents")
    if said is None and case.offered.origin not in _USED and not is_asked(case, "dents"):
        return
    look = MeasureNext("dents", "Feel along it and hold a straight edge to it", "eye, steel rule", 1)
    claimed = said is not None and said.basis is Basis.CLAIMED
    match word:
        case "none":
            verdict = Verdict.OPEN if claimed else Verdict.PROVEN
            sentence = "none" + (", by its claim." if claimed else ".")
        case "slight":
            verdict, sentence = Verdict.JUDGED, "slight and smooth; depth and place decide, a person judges."
        case "sharp":
            verdict, sentence = Verdict.AGAINST, "sharp, creased or at a joint."
        case _:
            verdict, sentence = Verdict.OPEN, "nobody has looked for them."
    yield _row(case, "dents", "none", verdict, sentence, DENT_RULE, look)


def _inside_rows(case: Case) -> Iterator[Row]:
    said, word = case.statement("inside"), case.word("inside")
    expected = case.offered.origin in _USED and metal_of(case) in {"steel", ""}
    if said is None and not expected and not is_asked(case, "inside"):
        return
    gauge = MeasureNext("inside", "Look in with a light, tap along it, gauge the wall", "thickness gauge", 3)
    claimed = said is not None and said.basis is Basis.CLAIMED
    match word:
        case "clean" if not claimed:
            verdict, sentence = Verdict.PROVEN, "seen clean."
        case "clean":
            verdict, sentence = Verdict.OPEN, "clean, by its claim; look in."
        case "rust film":
            verdict, sentence = Verdict.JUDGED, "a light film, with the wall gauged; a person judges what is left."
        case "rusted":
            verdict, sentence = Verdict.OPEN, "rusted or pitted: what wall is left has to be gauged along it."
        case _:
            verdict, sentence = Verdict.OPEN, "nobody has looked in; rust there doesn't show outside."
    yield _row(case, "inside", "clean, wall whole", verdict, sentence, INSIDE_RULE, gauge)
