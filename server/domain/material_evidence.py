"""How a find's material is shown: by papers, by a laboratory, by two tests together, by eye, or not at all."""

from dataclasses import dataclass
from enum import StrEnum

from server.domain.material_families import Family
from server.domain.material_meaning import Resolution
from server.domain.material_words import fold_material
from server.domain.offer import Basis, Evidence, Statement
from server.domain.parts._kit import Case


class Shown(StrEnum):
    """What stands behind the name of a material, the firmest first."""

    PAPERS = "by papers"
    ANALYSIS = "by analysis"
    TESTS = "by hardness and conductivity"
    INSTRUMENT = "by a shop test"
    EYE = "by eye"
    CLAIM = "by its claim"


FIRM = frozenset({Shown.PAPERS, Shown.ANALYSIS, Shown.TESTS})
_PAPERS = frozenset({Evidence.CERTIFICATE, Evidence.TEST})


@dataclass(frozen=True, slots=True)
class Proof:
    """How it is shown, with which instruments, and what that takes for granted."""

    shown: Shown
    instruments: frozenset[str]

    @property
    def is_firm(self) -> bool:
        """Enough for an alloy and its temper."""
        return self.shown in FIRM

    @property
    def is_papers_only(self) -> bool:
        """A certificate with a piece on which nobody here has read or tested anything."""
        return self.shown is Shown.PAPERS and not self.instruments

    def tells(self, family: Family, *, strictly: bool) -> bool:
        """Enough for the family: papers or laboratory, or an instrument that tells it apart; the eye where it may."""
        if self.is_firm:
            return True
        by_tool = (self.instruments & family.told_by) - {"eye"}
        by_eye = "eye" in family.told_by and self.shown in {Shown.EYE, Shown.INSTRUMENT}
        return bool(by_tool) or (by_eye and not strictly)

    def assumption(self, resolution: Resolution) -> str:
        """What has to be true for this proof to hold; "" for nothing."""
        tempered = any(one.needs_temper for one in resolution.meanings)
        if self.shown is Shown.PAPERS:
            temper = ", its temper" if tempered else ""
            return f"the certificate or test report names the material{temper} and this very batch"
        if self.shown is Shown.ANALYSIS and tempered:
            return "the laboratory's report covers the temper as well as the composition"
        if self.shown is Shown.TESTS:
            return "hardness and conductivity agree with this alloy and temper and no other likely one"
        return ""


def material_text(statement: Statement | None) -> str:
    """The material as said: its word, else the text as typed."""
    if statement is None:
        return ""
    return " ".join(statement.words) or statement.text


def proof_of(case: Case, key: str, form: str) -> Proof:
    """How the offered material is shown: all statements that mean the same as the one to judge by count together."""
    best = case.statement(key)
    if best is None:
        return Proof(Shown.CLAIM, frozenset())
    agreeing = [one for one in case.offered.said(key) if _same(case, one, best, form)]
    measured = [one for one in agreeing if one.basis is Basis.MEASURED]
    instruments = frozenset(one.instrument or "eye" for one in measured)
    if "analysis" in instruments:
        return Proof(Shown.ANALYSIS, instruments)
    if {"conductivity", "hardness"} <= instruments:
        return Proof(Shown.TESTS, instruments)
    if _PAPERS & set(case.offered.evidence):
        return Proof(Shown.PAPERS, instruments)
    if instruments - {"eye"}:
        return Proof(Shown.INSTRUMENT, instruments)
    return Proof(Shown.EYE if measured else Shown.CLAIM, instruments)


def _same(case: Case, one: Statement, other: Statement, form: str) -> bool:
    a, b = material_text(one), material_text(other)
    if fold_material(a) == fold_material(b):
        return True
    first, second = case.handbook.resolve(a, form), case.handbook.resolve(b, form)
    return bool(first.alloy) and (first.alloy, first.temper) == (second.alloy, second.temper)
