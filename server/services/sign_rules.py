"""The shop's own rules of who may sign what: read, laid over the shipped table, and tightened by the keeper."""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from sqlmodel import Session

from server.domain.errors import Faults
from server.domain.evidence_depth import ASKED_FOR, Depth, RowEvidence, evidence_of
from server.domain.register import Actor, UserRole
from server.domain.sign_rules import SHIPPED, Signer, SignRule, SignRules, looser_than
from server.domain.specification import Role, Use
from server.services.candidates import Candidate
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage import yard
from server.storage.accounts import actor_of, list_accounts
from server.storage.engine import Store
from server.storage.log import read_setting, write_log, write_setting

KEY = "sign_rules"
SIGNATURES = {"1": 1, "2": 2}
MOST_KINDS = 8
_PARTED = re.compile(r"\s*(?:[;,\n]|\bor\b)\s*")

Entry = dict[str, Any]


def sign_rules_of(session: Session) -> SignRules:
    """The shop's rules, over the shipped ones."""
    by_use: dict[tuple[Use, Role], SignRule] = {}
    by_aeroplane: dict[tuple[int, Role], SignRule] = {}
    for entry in read_setting(session, KEY, []):
        rule, role = _rule(entry), Role(entry["role"])
        if entry["aeroplane"] is None:
            by_use[Use(entry["use"]), role] = rule
        else:
            by_aeroplane[int(entry["aeroplane"]), role] = rule
    return SignRules(by_use, by_aeroplane)


def _rule(entry: Entry) -> SignRule:
    return SignRule(
        signatures=entry["signatures"],
        least=Depth(entry["least"]),
        apart=entry["apart"],
        licensed=entry["licensed"],
        referenced=entry.get("referenced", False),  # rules tightened before this was asked hold none
        kinds=(tuple(entry["kinds"]),) if entry["kinds"] else (),
        only=(tuple(Signer(*one) for one in entry["only"]),) if entry.get("only") else (),
    )


def rule_of(session: Session, candidate: Candidate, *, critical: bool = False) -> SignRule:
    """What a signature on this candidate takes."""
    need = candidate.need
    return sign_rules_of(session).rule(need.aeroplane.use, need.role, need.aeroplane.id, critical=critical)


def evidence_for(candidate: Candidate) -> tuple[RowEvidence, ...]:
    """What every governing row of the candidate's sheet rests on."""
    find = candidate.find
    return evidence_of(candidate.sheet, find.offered(), [(proof.kind, proof.note) for proof in find.proofs])


@dataclass(frozen=True, slots=True)
class RuleLine:
    """One rule in force, as the keeper's page shows it; `base` is what it may not fall below."""

    place: str
    where: str
    role: Role
    rule: SignRule
    base: SignRule
    is_tightened: bool


def rule_lines(store: Store) -> list[RuleLine]:
    """Every rule in force: all of each use, then those of single aeroplanes."""
    with store.read() as session:
        rules = sign_rules_of(session)
        planes = {plane.id: plane for plane in yard.list_aeroplanes(session, withdrawn=True)}
    lines = [
        RuleLine(f"use:{use.name}", use.value, role, rules.rule(use, role), base, (use, role) in rules.by_use)
        for (use, role), base in SHIPPED.items()
    ]
    for number, role in rules.by_aeroplane:
        plane = planes[number]
        base, now = rules.rule(plane.use, role), rules.rule(plane.use, role, number)
        lines.append(RuleLine(f"aeroplane:{number}", plane.label, role, now, base, is_tightened=True))
    return lines


def places(store: Store) -> list[tuple[str, str]]:
    """Where a rule may hold: all aeroplanes of a use, or one of them; (value, words)."""
    with store.read() as session:
        planes = yard.list_aeroplanes(session)
    uses = [(f"use:{use.name}", f"every aeroplane: {use.value}") for use in Use]
    return uses + [(f"aeroplane:{plane.id}", f"only {plane.label}") for plane in planes]


def tighten_rule(store: Store, actor: Actor, given: Given) -> bool:
    """Tighten one rule, or set it back to how it came, with a reason; True where something changed.

    Fields: place ("use:PERMIT", "aeroplane:3"), role, signatures, least, apart, licensed, referenced, kinds,
    only (numbers of accounts), reason.
    A field left empty stays as it came. Raises Faults, NotAllowed.
    """
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    role = typed.word("role", Role, "What the part does", required=True)
    reason = typed.text("reason", "The reason", most=NOTE)
    with store.write() as session:
        rules = sign_rules_of(session)
        use, aeroplane, where = _place(session, typed)
        if role is None or use is None:
            typed.done()
            return False
        base = SHIPPED[use, role] if aeroplane is None else rules.rule(use, role)
        rule = _read_rule(typed, base, signers_of(session))
        for name, stands in looser_than(rule, base).items():
            typed.fault(name, f"“{stands}” holds there already; a rule is only ever tightened.")
        typed.done()
        held: list[Entry] = list(read_setting(session, KEY, []))
        key = ("" if aeroplane is not None else use.value, aeroplane, role.value)
        was = next((one for one in held if (one["use"], one["aeroplane"], one["role"]) == key), None)
        now = None if rule == replace(base, kinds=(), only=()) else _entry(key, rule)
        if was == now:
            return False
        if not reason:
            raise Faults({"reason": "Give the reason: who signs will want to know why more is asked here."})
        write_setting(session, KEY, [one for one in held if one is not was] + ([now] if now else []))
        before = in_words(_rule(was)) if was else "as it came"
        said = {"changes": {f"{role.value}, {where}": [before, in_words(rule) if now else "as it came"]}}
        write_log(session, store.clock(), actor, "changed who may sign", f"setting/{KEY}", {**said, "reason": reason})
        return True


def _place(session: Session, typed: Typed) -> tuple[Use | None, int | None, str]:
    kind, _, which = typed.raw("place").partition(":")
    if kind == "use" and which in Use.__members__:
        return Use[which], None, Use[which].value
    if kind == "aeroplane" and which.isascii() and which.isdigit():
        plane = next((one for one in yard.list_aeroplanes(session) if one.id == int(which)), None)
        if plane is not None:
            return plane.use, plane.id, plane.label
    typed.fault("place", "Choose for which aeroplanes the rule holds.")
    return None, None, ""


def signers_of(session: Session) -> list[Signer]:
    """Everybody with an account in use that may approve, by name."""
    rows = [row for row in list_accounts(session) if row.is_active and actor_of(row).may(UserRole.APPROVER)]
    return [Signer(row.id or 0, row.name) for row in rows]


def _read_rule(typed: Typed, base: SignRule, signers: list[Signer]) -> SignRule:
    signatures, least = typed.raw("signatures"), typed.word("least", Depth, "Least evidence")
    if signatures and signatures not in SIGNATURES:
        typed.fault("signatures", "One signature or two.")
    if least is not None and least not in ASKED_FOR:
        typed.fault("least", "Choose one of the grades of evidence.")
    kinds = tuple(word for word in _PARTED.split(typed.text("kinds", "Kinds of authority")) if word)
    if len(kinds) > MOST_KINDS:
        typed.fault("kinds", f"At most {MOST_KINDS} kinds.")
    asked = set(typed.all("only"))
    only = tuple(one for one in signers if str(one.id) in asked)
    if len(only) < len(asked):
        typed.fault("only", "Choose among the accounts in use that may approve.")
    wanted = SIGNATURES.get(signatures, base.signatures)
    if only and len(only) < wanted:
        typed.fault("only", "Two signatures are given by two people: name at least two.")
    return SignRule(
        signatures=wanted,
        least=least or base.least,
        apart=typed.flag("apart") or base.apart,
        licensed=typed.flag("licensed") or base.licensed or bool(kinds),
        referenced=typed.flag("referenced") or base.referenced,
        kinds=(kinds,) if kinds else (),
        only=(only,) if only else (),
        sources=base.sources,
    )


def _entry(key: tuple[str, int | None, str], rule: SignRule) -> Entry:
    return {
        "use": key[0],
        "aeroplane": key[1],
        "role": key[2],
        "signatures": rule.signatures,
        "least": rule.least.value,
        "apart": rule.apart,
        "licensed": rule.licensed,
        "referenced": rule.referenced,
        "kinds": list(rule.kinds[0]) if rule.kinds else [],
        "only": [list(one) for one in rule.only[0]] if rule.only else [],
    }


def in_words(rule: SignRule) -> str:
    """A rule in one line: "two signatures; evidence: papers; different people; an authority in force"."""
    said = ["two signatures" if rule.signatures > 1 else "one signature", f"evidence: {rule.least}"]
    said += ["different people"] if rule.apart else []
    said += ["an authority in force"] if rule.licensed else []
    said += ["a paper named with every governing reason"] if rule.referenced else []
    said += [f"kind: {' or '.join(group)}" for group in rule.kinds]
    said += [f"only {' or '.join(one.name for one in named)}" for named in rule.only]
    return "; ".join(said)


def plain_rule(rule: SignRule, evidence: Iterable[RowEvidence]) -> Entry:
    """The rule and the evidence as they are frozen in a record."""
    return {
        "said": in_words(rule),
        "sources": [str(source) for source in rule.sources],
        "evidence": [
            {"key": one.key, "label": one.label, "depth": one.depth, "by": one.by, "said": one.sentence(rule.least)}
            for one in evidence
        ],
    }
