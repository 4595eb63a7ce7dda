"""The state of a used structural piece: cracks, corrosion, earlier repairs, and which side it is for."""

from collections.abc import Iterator

from server.domain.offer import Basis, Evidence, Origin, Statement
from server.domain.parts._kit import Case
from server.domain.rows import CLAIM_RULE, offered_text
from server.domain.sources import Source, common_practice
from server.domain.specification import Weight
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

CONDITION_KEYS = frozenset({"cracks", "corrosion", "repair", "hand"})
"""Characteristics whose rows this module writes."""

METHODS = Source("AC 43.13-1B", "chapter 5, Table 5-1", "8 Sep 1998")
MAGNETIC = Source("AC 43.13-1B", "para 5-42", "8 Sep 1998")
PENETRANT_PRACTICE = common_practice("a used light-alloy casting is stripped, looked at and tried with dye penetrant")
CORROSION_RULE = common_practice("pits and layers take wall away; swollen metal is gone")
WELD_RULE = Source("MIL-HDBK-5J", "Tables 3.1.3.4(a) and (b), fusion weldability; digitised copy", "31 Jan 2003")
HAND_RULE = common_practice("a left-hand part is no right-hand part")

_USED = {Origin.REPAIRED, Origin.SALVAGED, Origin.OLD_STOCK, None}
_TEST_PAPERS = {Evidence.TEST, Evidence.CERTIFICATE}
_ALWAYS = frozenset({"casting", "forged_fitting"})
"""Classes whose every piece is looked at for cracks, new or old."""


def condition_rows(case: Case) -> Iterator[Row]:
    """Cracks, corrosion and earlier repairs of the find, and its hand."""
    yield from crack_rows(case)
    yield from corrosion_rows(case)
    yield from repair_rows(case)
    yield from hand_rows(case)


def _is_used(case: Case) -> bool:
    return case.offered.origin in _USED


def is_asked(case: Case, key: str) -> bool:
    """Does any requirement speak of this?"""
    return any(one.characteristic == key for one in case.wanted.requirements)


def _row(
    case: Case,
    key: str,
    wanted: str,
    verdict: Verdict,
    sentence: str,
    sources: tuple[Source, ...],
    *,
    concern: Concern = Concern.STRENGTH,
    measure: MeasureNext | None = None,
    assumption: str = "",
    caution: str = "",
) -> Row:
    one = case.part_class.characteristic(key)
    label = one.label if one else key
    said = case.statement(key)
    return Row(
        key,
        label,
        concern,
        case.weight(concern),
        wanted,
        offered_text(said) if said else "not said",
        verdict,
        f"{label}: {sentence}",
        sources=sources,
        offered_from=_from(said),
        assumption=assumption,
        caution=caution,
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure,
    )


def _from(said: Statement | None) -> str:
    return ", ".join(part for part in (str(said.basis), said.instrument, said.by, said.on) if part) if said else ""


def metal_of(case: Case) -> str:
    """What the find is at bottom (aluminium, steel …); "" where it isn't known or may be several."""
    bases = case.handbook.resolve(case.word("material")).bases
    return next(iter(bases)) if len(bases) == 1 else ""


def _crack_test(metal: str) -> tuple[MeasureNext, Source]:
    if metal == "steel":
        what = "Have it tried with magnetic particles, finish off, demagnetised after"
        return MeasureNext("cracks", what, "magnetic particle, by somebody qualified", 4), MAGNETIC
    what = "Strip it and try it with dye penetrant, very clean"
    return MeasureNext("cracks", what, "Dye penetrant", 4), PENETRANT_PRACTICE


def crack_rows(case: Case) -> Iterator[Row]:
    """Cracks: a look is no test, and nothing said is nothing known."""
    said = case.statement("cracks")
    if said is None and not (_is_used(case) or case.part_class.key in _ALWAYS or is_asked(case, "cracks")):
        return
    metal = metal_of(case)
    test, rule = _crack_test(metal)
    word = case.word("cracks")
    wanted = "none"
    strict = case.weight(Concern.STRENGTH) is Weight.GOVERNS
    if word == "cracked":
        by = "by its own account " if said and said.basis is Basis.CLAIMED else ""
        again = "A crack is not polished or welded away here: that is for the authority and a licensed engineer."
        yield _row(case, "cracks", wanted, Verdict.AGAINST, f"it is {by}cracked. {again}", (rule,))
    elif said is None or word in {"", "not looked"}:
        sentence = "nobody has looked. Fine cracks don't show to the eye."
        yield _row(case, "cracks", wanted, Verdict.OPEN, sentence, (METHODS, rule), measure=test)
    elif word == "none seen":
        sentence = "none seen by eye, which finds only the larger ones."
        verdict = Verdict.OPEN if strict else Verdict.JUDGED
        yield _row(case, "cracks", wanted, verdict, sentence, (METHODS, rule), measure=test if strict else None)
    elif word == "none by magnetic" and metal and metal not in {"steel", "iron"}:
        sentence = f"magnetic particles find nothing in {metal}."
        yield _row(case, "cracks", wanted, Verdict.OPEN, sentence, (METHODS,), measure=test)
    elif word in {"none by penetrant", "none by magnetic", "none by radiograph"}:
        yield _tested(case, said, test)
    else:
        sentence = f"“{said.text}” doesn't say what was looked for."
        yield _row(case, "cracks", wanted, Verdict.OPEN, sentence, (METHODS,), measure=test)


def _tested(case: Case, said: Statement, test: MeasureNext) -> Row:
    papers = bool(_TEST_PAPERS & set(case.offered.evidence))
    one = case.part_class.characteristic("cracks")
    choice = one.choice(said.words[0]) if one and said.words else None
    label = choice.label if choice else said.text
    misses = " Penetrant misses what doesn't reach the surface." if "penetrant" in label else ""
    if said.basis is Basis.MEASURED:
        return _row(case, "cracks", "none", Verdict.PROVEN, f"{label}.{misses}", (METHODS,))
    if papers:
        assumption = "the report is for this very piece and names method and inspector"
        sentence = f"{label}, by a report that a person holds against the piece.{misses}"
        return _row(case, "cracks", "none", Verdict.JUDGED, sentence, (METHODS,), assumption=assumption)
    sentence = f"claimed: {label}; no report is with it."
    return _row(case, "cracks", "none", Verdict.OPEN, sentence, (METHODS, CLAIM_RULE), measure=test)


def corrosion_rows(case: Case) -> Iterator[Row]:
    """Corrosion: how deep decides, and paint hides it."""
    said = case.statement("corrosion")
    if case.part_class.characteristic("corrosion") is None:
        return
    if said is None and not _is_used(case) and not is_asked(case, "corrosion"):
        return
    strip = MeasureNext("corrosion", "Take the finish off and look; gauge what is left", "eye, calliper", 2)
    word = case.word("corrosion")
    claimed = said is not None and said.basis is Basis.CLAIMED
    verdict, sentence, measure = Verdict.OPEN, "nobody has looked under the finish.", strip
    match word:
        case "none":
            verdict = Verdict.OPEN if claimed else Verdict.PROVEN
            sentence = "none with the finish off" + (", but that is only claimed." if claimed else ".")
        case "none seen":
            sentence = "none seen, but the finish is still on."
        case "surface":
            verdict, sentence = Verdict.JUDGED, "on the surface only, cleaned; a person judges what is left."
        case "pitted":
            sentence = "pitted: how deep, and what wall is left, has to be measured."
        case "heavy":
            verdict, sentence = Verdict.AGAINST, "swollen, layered or through: the metal is gone there."
    brush = "No steel brush: what it leaves behind eats on." if metal_of(case) == "magnesium" else ""
    yield _row(
        case,
        "corrosion",
        "none",
        verdict,
        f"{sentence} {brush}".strip(),
        (CORROSION_RULE,),
        measure=measure if verdict is Verdict.OPEN else None,
    )


def repair_rows(case: Case) -> Iterator[Row]:
    """What was done to it before: bushes, welds, straightening."""
    said = case.statement("repair")
    if (said is None and not is_asked(case, "repair")) or case.part_class.characteristic("repair") is None:
        return
    word = case.word("repair")
    look = MeasureNext("repair", "Strip it and look for bushes, welds, plugs and hammer marks", "eye, magnifier", 2)
    meaning = case.handbook.resolve(case.word("material"))
    treated = meaning.alloy[:1] in {"2", "7"} and len(meaning.alloy) == 4 and metal_of(case) == "aluminium"
    match word:
        case "none":
            verdict = Verdict.PROVEN if said and said.basis is Basis.MEASURED else Verdict.OPEN
            sentence, rule = "none found." if verdict is Verdict.PROVEN else "none, by its claim.", CLAIM_RULE
        case "welded" if treated:
            verdict = Verdict.AGAINST
            sentence, rule = f"welded, and {meaning.alloy} loses its temper where it was welded.", WELD_RULE
        case "welded":
            verdict = Verdict.OPEN
            sentence = "welded: what it was welded with, and the state beside the weld, has to be known."
            rule = WELD_RULE
        case "straightened":
            verdict, rule = Verdict.OPEN, METHODS
            sentence = "bent back: it may be cracked and holds stress; where its true shape is not known it is refused."
        case "bushed" | "patched":
            verdict, rule = Verdict.JUDGED, common_practice("an earlier repair is looked at again before it is trusted")
            sentence = f"{said.text if said else word}: a person judges fit, edge and what is left round it."
        case _:
            verdict, sentence, rule = Verdict.OPEN, "nobody has said whether it was repaired.", CLAIM_RULE
    yield _row(case, "repair", "none", verdict, sentence, (rule,), measure=look if verdict is Verdict.OPEN else None)


def hand_rows(case: Case) -> Iterator[Row]:
    """Left for right is another part."""
    one = case.part_class.characteristic("hand")
    if one is None:
        return
    asked = case.wanted_word("hand")
    side = one.choice(case.wanted.side) if case.wanted.side else None
    wanted = asked or (side.key if side else "")
    if wanted in {"", "either"}:
        return
    said, word = case.statement("hand"), case.word("hand")
    if said is None or word not in {"left", "right", "either"}:
        look = MeasureNext("hand", "Hold it against the place, or against the other side's part", "eye", 1)
        sentence = f"wanted for the {wanted}; which side the find is for is not known."
        yield _row(case, "hand", wanted, Verdict.OPEN, sentence, (HAND_RULE,), concern=Concern.FIT, measure=look)
    elif word in {wanted, "either"}:
        claimed = said.basis is Basis.CLAIMED
        fits = "fits either side" if word == "either" else f"for the {word}, as wanted"
        sentence = f"{fits}{', by its claim' if claimed else ''}."
        measure = MeasureNext("hand", "Hold it against the place", "eye", 1) if claimed else None
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        yield _row(case, "hand", wanted, verdict, sentence, (HAND_RULE,), concern=Concern.FIT, measure=measure)
    else:
        sentence = f"wanted for the {wanted}, it is for the {word}."
        yield _row(case, "hand", wanted, Verdict.AGAINST, sentence, (HAND_RULE,), concern=Concern.FIT)
