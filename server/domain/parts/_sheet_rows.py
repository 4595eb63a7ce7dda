"""Rows on sheet that its alloy's name doesn't tell: cladding and heat treatment."""

from collections.abc import Iterator

from server.domain.offer import Basis, Origin
from server.domain.parts._condition import is_asked
from server.domain.parts._kit import Case
from server.domain.rows import offered_text
from server.domain.sources import Source, common_practice
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

SHEET_KEYS = frozenset({"cladding", "heat_treatment"})
"""Characteristics whose rows this module writes."""

CLAD_RULE = Source("MIL-HDBK-5J", "Tables 3.2.3.0(b1) and (e1), digitised copy", "31 Jan 2003")
USER_TREATED = Source("MIL-HDBK-5J", "Tables 3.2.3.0(b1) and (b2), digitised copy", "31 Jan 2003")
HEAT_RULE = common_practice("hardness and conductivity are read together, against an unheated place of the same part")

_TEST = MeasureNext(
    "heat_treatment",
    "Have hardness and conductivity read together, beside an unheated place",
    "Hardness tester and conductivity meter",
    4,
)
_CAUSTIC = MeasureNext(
    "cladding", "A drop of caustic soda on a scratch: the core turns dark, cladding doesn't", "eye", 2
)
_ASKED_OF = {Origin.SHOP_MADE, Origin.SALVAGED, Origin.REPAIRED}


def sheet_state_rows(case: Case) -> Iterator[Row]:
    """Cladding and heat treatment of the find."""
    yield from _cladding_rows(case)
    yield from _treatment_rows(case)


def _row(
    case: Case, key: str, wanted: str, verdict: Verdict, sentence: str, source: Source, measure: MeasureNext
) -> Row:
    one, said = case.part_class.characteristic(key), case.statement(key)
    label = one.label if one else key
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
        caution="Caustic soda burns skin and eyes: goggles and gloves, and wash it off."
        if measure is _CAUSTIC and verdict is Verdict.OPEN
        else "",
    )


def _cladding_rows(case: Case) -> Iterator[Row]:
    said, wanted, word = case.statement("cladding"), case.wanted_word("cladding"), case.word("cladding")
    if said is None and not wanted:
        return
    claimed = said is not None and said.basis is Basis.CLAIMED
    if word not in {"clad", "bare"}:
        verdict, sentence = Verdict.OPEN, "whether the find is clad is not known."
    elif not wanted:
        verdict, sentence = Verdict.JUDGED, f"the find is {word}; of the original nobody said."
    elif word == wanted:
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        sentence = f"{word}, as wanted{', by its claim' if claimed else ''}."
    elif word == "bare":
        verdict = Verdict.JUDGED
        sentence = "bare for clad: a little stronger, but it needs primer or anodising in place of the cladding."
    else:
        verdict = Verdict.JUDGED
        sentence = "clad for bare: it bears a little less, about 6 % in thin 2024-T3, and bends under load sooner."
    yield _row(case, "cladding", wanted or "not said", verdict, sentence, CLAD_RULE, _CAUSTIC)


def _treatment_rows(case: Case) -> Iterator[Row]:
    said, word = case.statement("heat_treatment"), case.word("heat_treatment")
    found = case.handbook.resolve(case.word("material"), "sheet")
    treatable = found.alloy[:1] in {"2", "6", "7"} and len(found.alloy) == 4 and found.temper != "O"
    expected = treatable and case.wanted.use.flies and case.offered.origin in _ASKED_OF
    if said is None and not expected and not is_asked(case, "heat_treatment"):
        return
    claimed = said is not None and said.basis is Basis.CLAIMED
    rule = HEAT_RULE
    match word:
        case "as bought":
            verdict = Verdict.OPEN if claimed else Verdict.PROVEN
            sentence = "left as bought" + (", by its claim." if claimed else ".")
        case "by the shop":
            verdict, rule = Verdict.JUDGED, USER_TREATED
            sentence = "treated after forming, which gives T42 and not T3: in 2024 sheet 262 against 290 MPa yield."
        case "soft":
            wanted = case.handbook.resolve(case.wanted_word("material"), "sheet")
            soft = wanted.temper == "O"
            verdict = Verdict.JUDGED if soft else Verdict.AGAINST
            sentence = "left soft" + (", as the original." if soft else ": about a third of the strength.")
        case "heated":
            verdict, sentence = Verdict.OPEN, "it has been hot; what is left of its temper has to be tested."
        case _:
            verdict, sentence = Verdict.OPEN, "nobody has said; formed soft and never treated looks the same."
    yield _row(case, "heat_treatment", "the temper of its name", verdict, sentence, rule, _TEST)
