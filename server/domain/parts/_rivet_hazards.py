"""Metals that do harm where they sit, and harm whoever handles them: magnesium, brake linings, cadmium."""

import re
from collections.abc import Iterator

from server.domain import rivet_sources as src
from server.domain.offer import Basis
from server.domain.parts._kit import Case
from server.domain.parts._rivet_metal import READ_MARK, said_alloy
from server.domain.parts._rivet_setting import in_lining
from server.domain.parts._rivets import RIVETS
from server.domain.sources import common_practice
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

_TRY_MAGNET = MeasureNext("material", "Try a magnet, then scratch: steel, brass or copper", "Magnet", 1)
_CADMIUM = re.compile(r"\bcad|kadmi", re.IGNORECASE)

MAGNESIUM_CAUTION = (
    "Magnesium chips and dust burn fiercely, and water feeds the fire: no sparks, clean tools, dry sand or a metal-fire"
    " extinguisher at hand."
)
ASBESTOS_CAUTION = (
    "Old brake and clutch linings may hold asbestos: don't drill, grind, sand or blow them off. Have a piece tested"
    " and follow the local rules."
)
CADMIUM_CAUTION = (
    "Cadmium is poisonous: don't sand, grind, weld or heat it; wear gloves, and dispose of it by local rules."
)


def hazard_rows(case: Case) -> Iterator[Row]:
    """Rows on magnesium, linings and cadmium, where the words of the case name them."""
    if case.offered_class.key not in RIVETS:
        return
    yield from _magnesium_row(case)
    yield from _lining_row(case)
    yield from _plating_row(case)


def _magnesium_row(case: Case) -> Iterator[Row]:
    joint = case.wanted.joint
    around = [*case.wanted.touches]
    for ply in joint.plies if joint else ():
        around += [ply.name, ply.material]
    if not any("magnesium" in case.handbook.resolve(text).bases for text in around):
        return
    statement = case.statement("material")
    alloy = said_alloy(statement)
    measure = None
    if alloy is not None and alloy.key == "5056":
        claimed = statement is not None and statement.basis is Basis.CLAIMED
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        said = "5056 is the rivet for magnesium." + (
            " That is only claimed; look for the raised cross." if claimed else ""
        )
        measure = READ_MARK if claimed else None
    elif statement is None:
        verdict, said, measure = (
            Verdict.OPEN,
            "What the rivet is made of is not known; magnesium takes 5056 only.",
            READ_MARK,
        )
    elif alloy is not None:
        verdict, said = Verdict.AGAINST, f"Magnesium takes 5056 rivets only; {alloy.name} eats into it."
    else:
        verdict, said = Verdict.AGAINST, f"Magnesium takes 5056 rivets only; this is {statement.text}."
    yield Row(
        "in_magnesium",
        "Rivet in magnesium",
        Concern.FUNCTION,
        case.weight(Concern.FUNCTION),
        "5056 (B)",
        statement.text if statement else "not said",
        verdict,
        said,
        sources=(src.AC43_NONSTRUCTURAL,),
        caution=MAGNESIUM_CAUTION,
        measure=measure,
    )


def _lining_row(case: Case) -> Iterator[Row]:
    if not in_lining(case):
        return
    statement = case.statement("material")
    said_metal = " ".join(statement.words) or statement.text if statement else ""
    metals = case.handbook.resolve(said_metal).bases
    claimed = statement is not None and statement.basis is Basis.CLAIMED
    measure = None
    if metals & {"steel", "stainless"}:
        verdict, said = (
            Verdict.AGAINST,
            "Steel rivets score the drum or flywheel once the lining wears: brass or copper.",
        )
    elif metals and metals <= {"brass", "copper"}:
        verdict = Verdict.OPEN if claimed else Verdict.PROVEN
        said = "Brass and copper are the metals for linings; the head stays below the lining's face."
        if claimed:
            said, measure = f"{said} That is only claimed; it may be plated steel.", _TRY_MAGNET
    elif statement is None:
        verdict, said, measure = (
            Verdict.OPEN,
            "What it is made of is not known; linings take brass or copper.",
            _TRY_MAGNET,
        )
    else:
        verdict, said = Verdict.JUDGED, f"Linings take brass or copper; this is {statement.text}. A person judges."
    yield Row(
        "in_lining",
        "Rivet in a lining",
        Concern.HAZARD,
        case.weight(Concern.HAZARD),
        "brass or copper",
        statement.text if statement else "not said",
        verdict,
        said,
        sources=(src.LINING_METAL,),
        departs=verdict is Verdict.JUDGED,
        caution=ASBESTOS_CAUTION,
        measure=measure,
    )


def _plating_row(case: Case) -> Iterator[Row]:
    statement = case.statement("finish")
    if statement is None or not _CADMIUM.search(statement.text):
        return
    yield Row(
        "plating_hazard",
        "Cadmium on the find",
        Concern.HAZARD,
        case.weight(Concern.HAZARD),
        "known to those who handle it",
        statement.text,
        Verdict.JUDGED,
        "The find is cadmium plated, or said to be; whoever handles it has to know.",
        sources=(common_practice("cadmium is handled with gloves and never heated"),),
        caution=CADMIUM_CAUTION,
    )
