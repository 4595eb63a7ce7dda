"""The pieces of a material's verdict: what it stands in, what comes out, and how that is said."""

from dataclasses import dataclass
from fractions import Fraction

from server.domain.handbook import SHIPPED, Handbook
from server.domain.material_evidence import Proof, Shown
from server.domain.material_families import Family
from server.domain.material_stand_ins import StandIn
from server.domain.sources import Source, common_practice
from server.domain.verdict import Verdict

NAME_RULE = common_practice("the same designation is the same material, once it is shown")
BASE_RULE = common_practice("another kind of material is a departure, whatever its figures")
TEMPER_RULE = common_practice("an unknown temper is never taken for the strong one")
CLAIM_RULE = common_practice("a name on a tag is a claim")
CLAD_RULE = Source("MIL-HDBK-5J", "Tables 3.2.3.0(b1) and (e1), digitised copy", "31 Jan 2003")

RELATED = (frozenset({"steel", "stainless"}), frozenset({"brass", "bronze", "copper"}), frozenset({"steel", "iron"}))
"""Different at bottom, yet near enough that figures decide."""


@dataclass(frozen=True, slots=True)
class Situation:
    """What the comparison stands in: how the find is shown, how strictly, in which form and size (mm)."""

    proof: Proof
    strictly: bool
    form: str = ""
    offered_form: str = ""
    wanted_size: Fraction | None = None
    offered_size: Fraction | None = None
    handbook: Handbook = SHIPPED

    @property
    def scale(self) -> Fraction:
        """Offered thickness over wanted, for sheet; 1 where either is not known."""
        if self.form != "sheet" or not self.wanted_size or not self.offered_size:
            return Fraction(1)
        return self.offered_size / self.wanted_size


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict with its sentence and what it leans on. `about_original` where the original has to be settled first."""

    verdict: Verdict
    sentence: str
    sources: tuple[Source, ...]
    ask: str = ""
    about_original: bool = False
    departs: bool = True
    assumption: str = ""


def claim_tail(here: Situation) -> str:
    """How far the find's material is shown, as the end of a sentence."""
    if here.proof.shown is Shown.CLAIM:
        return " That is only claimed."
    return f" That is only told {here.proof.shown}." if not here.proof.is_firm else f" Shown {here.proof.shown}."


def shown_as_wanted(said: str, sources: tuple[Source, ...], here: Situation, assumption: str) -> Judged:
    """The material as wanted and shown: proven, but with papers alone a person holds them against the piece."""
    if here.proof.is_papers_only:
        said = f"{said} By papers only: a person holds the certificate against this very piece."
        return Judged(Verdict.JUDGED, said, sources, departs=False, assumption=assumption)
    return Judged(Verdict.PROVEN, said, sources, departs=False, assumption=assumption)


def how_to_tell(family: Family) -> str:
    """What would show it."""
    if family.needs in {"temper", "grade"} and family.is_metal:
        return "Have it shown: certificate, analysis, or conductivity and hardness together."
    return "Have it shown: papers, or somebody qualified who tests it."


def capital(text: str) -> str:
    """The first letter large, the rest as it is."""
    return text[:1].upper() + text[1:]


def standing_in(wanted: str, offered: str, stand_in: StandIn, here: Situation, figures: str = "") -> Judged:
    """A listed stand-in: open until the find is shown where that counts, else a person\'s."""
    said = f"{capital(offered)} in place of {wanted} is a {stand_in.kind}: {stand_in.note}.{figures}"
    if stand_in.is_major and here.strictly:
        ask = "Ask the authority or the holder of the design: this takes approved data."
        return Judged(Verdict.OPEN, said, (stand_in.source,), ask)
    if not here.proof.is_firm and here.strictly:
        ask = "Have the find's material shown: certificate, analysis or tests."
        return Judged(Verdict.OPEN, f"{said}{claim_tail(here)}", (stand_in.source,), ask)
    return Judged(Verdict.JUDGED, f"{said} A person answers for it.", (stand_in.source,))
