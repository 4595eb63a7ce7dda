"""Who may sign what: by what the aeroplane will be, and what the part does on it.

The table is the register's own proposal, built on what the trade asks for; each
cell names what it leans on. A shop may tighten a cell, for all aeroplanes of a
use or for one of them, never loosen it. Whether these rules satisfy an authority
is for that authority to say.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from server.domain.change_kind import METHODS
from server.domain.evidence_depth import WHAT_A_PAPER_PROVES, Depth, RowEvidence, same_person
from server.domain.register import Actor
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role, Use, Weight
from server.domain.verdict import Row

INDEPENDENT: Source = Source("AMC 145.A.48(b)", "independent inspection: one method of capturing errors among several")
VITAL_POINT: Source = Source(
    "an aviation glossary quoting United Kingdom practice",
    "vital point: two independent inspections",
    standing=Standing.QUOTED,
)
CONTROL_SYSTEM: Source = Source(
    "New Zealand syllabus on rule 43.113(a) to (c)",
    "control systems: a second person checks, and is trained for it",
    standing=Standing.QUOTED,
)
MAJOR: Source = Source(
    "14 CFR 43 appendix A(a)(1)", "airframe: wings, tail, fuselage, control system, gear", standing=Standing.QUOTED
)
WHO_APPROVES: Source = Source("14 CFR 91.417(a)(1)", "signature and certificate number of who approves", "2008 text")
AS_GOOD: Source = Source("AC 20-62E", "para 6a: at least equal to the original, see 14 CFR 43.13(b)", "23 Dec 2010")
MISSING: Source = Source("ML.A.504, United Kingdom text", "unserviceable where information is missing")
THREE_PEOPLE: Source = common_practice("the register’s own proposal: proposer, inspector and approver are different")
EXHIBIT: Source = common_practice("on an exhibit the curator or owner decides; nothing there has to bear a flight")


class Signer(NamedTuple):
    """An account that a shop named for signing: its number, and its name when it was named."""

    id: int
    name: str


@dataclass(frozen=True, slots=True)
class SignRule:
    """What a signature takes: how many, on what evidence, by whom.

    `kinds` holds groups of words: of each group one has to stand in the signer's kind of authority.
    `only` holds groups of accounts: the signer has to be in each; without any, every approver may.
    `referenced`: the reason for every governing row names the paper it rests on.
    `apart`: somebody who is neither the proposer nor a signer has examined the piece, and no signer has.
    """

    signatures: int = 1
    least: Depth = Depth.CLAIMED
    apart: bool = False
    licensed: bool = False
    referenced: bool = False
    kinds: tuple[tuple[str, ...], ...] = ()
    only: tuple[tuple[Signer, ...], ...] = ()
    sources: tuple[Source, ...] = ()


_STRICT = SignRule(
    2,
    Depth.SECOND,
    apart=True,
    licensed=True,
    referenced=True,
    sources=(MAJOR, INDEPENDENT, WHO_APPROVES, AS_GOOD, METHODS, WHAT_A_PAPER_PROVES, THREE_PEOPLE),
)
_CONTROLS = SignRule(
    2,
    Depth.SECOND,
    apart=True,
    licensed=True,
    referenced=True,
    sources=(
        VITAL_POINT,
        CONTROL_SYSTEM,
        INDEPENDENT,
        WHO_APPROVES,
        AS_GOOD,
        METHODS,
        WHAT_A_PAPER_PROVES,
        THREE_PEOPLE,
    ),
)
_FLYING = SignRule(1, Depth.MEASURED, licensed=True, sources=(WHO_APPROVES, AS_GOOD, MISSING))
_HANGS_ABOVE_PEOPLE = SignRule(
    1,
    Depth.MEASURED,
    sources=(EXHIBIT, common_practice("an exhibit has to be safe to stand beside, so its structure is measured")),
)
_LIGHT = SignRule(1, Depth.CLAIMED, sources=(EXHIBIT,))

Cell = tuple[Use, Role]


def _shipped() -> dict[Cell, SignRule]:
    cells: dict[Cell, SignRule] = {}
    for use in Use:
        for role in Role:
            if not use.flies:
                load = role in {Role.PRIMARY, Role.CONTROL, Role.UNKNOWN}
                cells[use, role] = _HANGS_ABOVE_PEOPLE if load else _LIGHT
            elif role is Role.CONTROL:
                cells[use, role] = _CONTROLS
            else:
                # unknown is never the easy answer: it counts as primary structure
                strict = role in {Role.PRIMARY, Role.SECONDARY, Role.UNKNOWN}
                cells[use, role] = _STRICT if strict else _FLYING
    return cells


SHIPPED: Mapping[Cell, SignRule] = _shipped()


def strictest(rules: Iterable[SignRule]) -> SignRule:
    """Everything that any of these rules asks for."""
    several = list(rules)
    return SignRule(
        signatures=max(one.signatures for one in several),
        least=max((one.least for one in several), key=lambda depth: depth.rank),
        apart=any(one.apart for one in several),
        licensed=any(one.licensed for one in several),
        referenced=any(one.referenced for one in several),
        kinds=tuple(dict.fromkeys(group for one in several for group in one.kinds)),
        only=tuple(dict.fromkeys(group for one in several for group in one.only)),
        sources=tuple(dict.fromkeys(source for one in several for source in one.sources)),
    )


def looser_than(rule: SignRule, base: SignRule) -> dict[str, str]:
    """What a rule would loosen: field → what stands there. Empty where it only tightens."""
    looser: dict[str, str] = {}
    if rule.signatures < base.signatures:
        looser["signatures"] = f"{base.signatures} signatures"
    if not rule.least.reaches(base.least):
        looser["least"] = str(base.least)
    if base.apart and not rule.apart:
        looser["apart"] = "different people"
    if base.licensed and not rule.licensed:
        looser["licensed"] = "an authority in force"
    if base.referenced and not rule.referenced:
        looser["referenced"] = "a paper named with every governing reason"
    return looser


@dataclass(frozen=True, slots=True)
class SignRules:
    """The shipped table with the shop's own rules laid over it, by use and for single aeroplanes (by number)."""

    by_use: Mapping[Cell, SignRule] = field(default_factory=dict)
    by_aeroplane: Mapping[tuple[int, Role], SignRule] = field(default_factory=dict)

    def rule(self, use: Use, role: Role, aeroplane: int | None = None, *, critical: bool = False) -> SignRule:
        """What a signature takes here: the strictest of shipped table, the shop's for this use, and this aeroplane's.

        A part that flies and whose failure matters is signed like primary structure, whatever it is called.
        """
        roles = [role]
        if role is Role.UNKNOWN or (critical and use.flies):
            roles.append(Role.PRIMARY)
        said: list[SignRule] = []
        for one in roles:
            said.append(SHIPPED[use, one])
            said.extend(rule for rule in (self.by_use.get((use, one)),) if rule)
            if aeroplane is not None:
                said.extend(rule for rule in (self.by_aeroplane.get((aeroplane, one)),) if rule)
        return strictest(said)


def authority_fault(rule: SignRule, actor: Actor, today: date) -> str:
    """Why this account's authority does not reach; "" where it does.

    An authority that ran out signs nothing anywhere: the record would show it as if it held.
    """
    if actor.licence_until is not None and actor.licence_until < today:
        return (
            f"Your {actor.licence_kind or 'authority'} ran out on {actor.licence_until.isoformat()}; "
            "the keeper enters the renewal on the account."
        )
    if rule.licensed and not actor.licence_number:
        return "Signing this needs a licence or authority: the keeper enters its kind and number on the account."
    for named in rule.only:
        if actor.id not in {one.id for one in named}:
            return f"This shop lets only {' or '.join(one.name for one in named)} sign here."
    said = actor.licence_kind.casefold()
    for group in rule.kinds:
        if not any(word.casefold() in said for word in group):
            return (
                f"This shop asks here for an authority of the kind {' or '.join(f'“{word}”' for word in group)}; "
                f"yours is {f'“{actor.licence_kind}”' if actor.licence_kind else 'not stated'}."
            )
    return ""


def thin_rows(rule: SignRule, evidence: Iterable[RowEvidence]) -> list[RowEvidence]:
    """Governing rows whose evidence is thinner than the rule asks.

    Where a claim will do, a row with nothing entered is answered by its reason, not by this rule.
    """
    if rule.least is Depth.CLAIMED:
        return []
    return [one for one in evidence if not one.depth.reaches(rule.least)]


def wants_reference(rule: SignRule, row: Row) -> bool:
    """Does the reason for this row have to name a drawing, manual, report or paper?"""
    return rule.referenced and row.needs_answer and row.weight is Weight.GOVERNS


def people_fault(rule: SignRule, proposer: str, signers: Iterable[str], measured: Iterable[str]) -> str:
    """Why these people are not enough; "" where they are.

    `measured` are the names of those who examined the piece, `signers` of those who sign. A name that
    may be short for another counts as the same person.
    """
    if not rule.apart:
        return ""
    who = list(measured)
    signing = list(signers)
    for signer in signing:
        if any(same_person(signer, one) for one in who):
            return f"{signer} measured this piece; somebody who did not measure it has to sign."
    if not any(not same_person(proposer, one) for one in who):
        return (
            f"Nobody but {proposer}, who proposed it, has examined the piece: "
            "proposer, inspector and approver have to be different people here."
        )
    return ""
