"""The signature: who may, what must be answered, and what is frozen.

A record holds the need, the specification, the find, the sheet and the
reasons as they were shown, in canonical form. Each record names the digest of
the one before it, so that no record can be changed, taken out or slipped in
unseen. The register says who decided and why; it never says that a part is
airworthy or lawful.
"""

import json
import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from server.domain.conditions import Term, read_conditions
from server.domain.errors import Faults, NotAllowed, Unreadable
from server.domain.evidence_depth import inspectors
from server.domain.plain import as_plain, canonical, digest_of
from server.domain.register import Actor, Decision, Reversible, UserRole, record_number
from server.domain.seals import FIRST_RECORD
from server.domain.sign_rules import SignRule, authority_fault, people_fault, thin_rows, wants_reference
from server.domain.verdict import Outcome, Row
from server.services import indexing
from server.services.accounts import check_again
from server.services.candidates import Candidate, load_candidate, overtaken
from server.services.clocks import day_of
from server.services.drawings import drawings_of
from server.services.needs import wanted_of
from server.services.seals import seal_records
from server.services.second_factor import use_code
from server.services.sign_rules import evidence_for, plain_rule, rule_of
from server.services.signing_answers import plain_change, read_change, was_critical
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage.accounts import get_account
from server.storage.chain import hold_chain
from server.storage.conditions import add_conditions, close_row, open_rows_of
from server.storage.engine import Store
from server.storage.log import SIGNED, read_setting, write_log
from server.storage.needs import get_need_row
from server.storage.tables import SignOffRow

FORM = "makegood record 2"
SHORTEST_REASON = 12
APPROVING = frozenset({Decision.APPROVED, Decision.CONDITIONAL})

_EMPTY_WORDS = re.compile(
    r"^(as (discussed|agreed|above|before|per usual)|see above|ok(ay)?|fine|good( enough)?|n/?a|none|"
    r"it('| i)s (ok(ay)?|fine|good)|no problem|approved|accepted|acceptable|same|ditto|yes|usual practice|"
    r"passt( schon)?|wie besprochen|in ordnung|i\.?o\.?)[\s.!]*$",
    re.IGNORECASE,
)


def empty_reason(text: str) -> str:
    """What is wrong with a reason, in words; "" where it says something."""
    said = " ".join(text.split())
    if not said:
        return "Give the reason."
    if _EMPTY_WORDS.match(said):
        return f"“{said}” will tell nobody why in ten years. Say what makes it acceptable here."
    if len(said) < SHORTEST_REASON or len(set(said.casefold())) < 5:
        return "Say in a sentence why this is acceptable here."
    return ""


def reason_field(row: Row) -> str:
    """The name of the form field that answers a row."""
    return f"reason_{row.key}"


def reference_field(row: Row) -> str:
    """The name of the form field with the paper that a row's reason rests on."""
    return f"reference_{row.key}"


@dataclass(frozen=True, slots=True)
class MaySign:
    """May this account sign this candidate? If not, why."""

    may: bool
    why: str = ""


def may_sign(candidate: Candidate, actor: Actor, today: date, rule: SignRule) -> MaySign:
    """Who may sign: an approver, never the proposer, with an authority as the rule asks, once on one sheet."""
    if not actor.may(UserRole.APPROVER):
        return MaySign(False, "Signing needs the role “approver”.")
    if actor.id in candidate.proposer_ids:
        return MaySign(False, "You proposed this find; somebody else has to sign.")
    if not candidate.is_undecided:
        return MaySign(False, "This is decided already.")
    for what, one in (("need", candidate.need), ("find", candidate.find)):
        if one.withdrawn_reason:
            return MaySign(False, f"The {what} was withdrawn: {one.withdrawn_reason}. There is nothing to decide.")
    if fault := authority_fault(rule, actor, today):
        return MaySign(False, fault)
    first = candidate.first
    if first is not None and not candidate.is_first_void and first.signed_by_id == actor.id:
        return MaySign(False, "The first signature is yours; the second has to be another person’s.")
    return MaySign(True)


def may_sign_now(store: Store, candidate: Candidate, actor: Actor) -> MaySign:
    """The same by this register's rules and clock."""
    with store.read() as session:
        return may_sign(candidate, actor, day_of(session, store.clock()), rule_of(session, candidate))


def sign(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Sign a decision on a candidate; the record's number.

    Fields: decision, shown (digest of what was on the screen), reason_<row key> for every row that
    needs an answer, reference_<row key> (the paper it rests on), reason (the whole), conditions (one a
    line), conditions_due, used (pieces), marking (how to tell it on the part), reversible, the answers
    about the kind of change (change_…), password (typed again), totp (the code, where the account signs
    with one). Where two signatures are asked for, the first approval is kept as such and the need stays
    open; the second takes over its answers and needs only decision, reason, password and totp.
    Raises Faults with everything missing, NotAllowed, Overtaken where the sheet is no longer what was
    shown, TooManyTries after wrong passwords.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    now = store.clock()
    doubts = check_again(store, actor, typed.raw("password"), typed.raw("totp"))
    with at_the_chain(store, now) as session:
        candidate = load_candidate(session, number)
        allowed = may_sign(candidate, actor, day_of(session, now), rule_of(session, candidate))
        if not allowed.may:
            raise NotAllowed(allowed.why)
        if typed.raw("shown") != candidate.shown_digest:
            raise overtaken()
        is_second = candidate.first is not None and not candidate.is_first_void
        return (_sign_second if is_second else _sign)(session, actor, candidate, typed, doubts, now)


@contextmanager
def at_the_chain(store: Store, now: datetime) -> Iterator[Session]:
    """A unit of work that adds a signed entry: alone at the chain, and sealed at its end.

    Raises Overtaken where somebody else signed at the same moment, NoSealKey.
    """
    try:
        with store.write() as session:
            hold_chain(session)
            yield session
            seal_records(session, store, now)
    except IntegrityError as raced:
        # the digest of the record before was taken meanwhile: two signed at once
        raise overtaken() from raced


def _sign(
    session: Session, actor: Actor, candidate: Candidate, typed: Typed, doubts: Mapping[str, str], now: datetime
) -> int:
    decision = _read_decision(typed)
    approving = decision in APPROVING
    reasons = _read_reasons(typed, candidate, approving=decision is not Decision.REFUSED)
    whole = typed.text("reason", "The reason", most=NOTE)
    conditions, terms = _read_conditions(typed)
    used = typed.number("used", "How many are used here", low=1, high=100_000)
    marking = typed.text("marking", "How to tell it on the part")
    reversible = typed.word("reversible", Reversible, "Can it be undone")
    if decision is Decision.REFUSED and (said := empty_reason(whole)):
        typed.fault("reason", said)
    if decision is Decision.CONDITIONAL and not conditions:
        typed.fault("conditions", "Write the conditions, one a line.")
    if decision is Decision.APPROVED and candidate.sheet.outcome is Outcome.NOT_EQUIVALENT:
        typed.fault("decision", "The check says “not equivalent”: approve it with conditions, or refuse it.")
    flies = candidate.need.aeroplane.use.flies
    change = read_change(typed, flies=flies, today=day_of(session, now), approving=approving)
    if approving and change.said and (fault := empty_reason(change.said)):
        typed.fault("change_authority_said", fault)
    rule = rule_of(session, candidate, critical=change.counts_as_critical)
    if approving and used is None and _is_uncounted(candidate):
        typed.fault("used", "Say how many are used here: the pieces of this find are not counted.")
    references = _read_references(typed, candidate, rule, approving=approving)
    if approving:
        _heed_rule(typed, rule, candidate, [actor.name], actor, day_of(session, now))
    settle(session, actor, typed, doubts, now)
    assert decision is not None
    waits = approving and rule.signatures > 1
    answered: dict[str, Any] = {
        "decision": Decision.FIRST if waits else decision,
        "reasons": reasons,
        "references": references,
        "reason": whole,
        "conditions": conditions,
        "used": used,
        "marking": marking,
        "reversible": reversible or Reversible.UNKNOWN,
        "change": plain_change(change, flies=flies),
        "rule": plain_rule(rule, evidence_for(candidate)),
    }
    if waits:
        voided = candidate.first.digest if candidate.first else ""
        due = [as_plain(term) for term in terms]
        answered |= {"would": decision, "content": candidate.content_digest, "voids": voided, "terms": due}
        signed = add_record(session, actor, candidate, answered, now)
        said = f"gave the first of two signatures: {record_number(signed)}, {decision}"
        log_signed(session, actor, candidate, said, signed, now)
        return signed
    signed = add_record(session, actor, candidate, answered, now)
    return _decided(session, actor, candidate, signed, decision, terms, used, now)


def _sign_second(
    session: Session, actor: Actor, candidate: Candidate, typed: Typed, doubts: Mapping[str, str], now: datetime
) -> int:
    first = candidate.first
    assert first is not None
    before: dict[str, Any] = json.loads(first.record)
    decision = _read_decision(typed)
    reason = typed.text("reason", "The reason", most=NOTE)
    if fault := empty_reason(reason):
        typed.fault("reason", f"{fault} Say what you looked at yourself." if not reason else fault)
    further, terms = _read_conditions(typed)
    conditions = "\n".join(text for text in (before["conditions"], further) if text)
    if decision is Decision.CONDITIONAL and not conditions:
        typed.fault("conditions", "Write the conditions, one a line.")
    if decision is Decision.APPROVED and conditions:
        typed.fault("decision", "There are conditions: approve with conditions, or refuse.")
    rule = rule_of(session, candidate, critical=was_critical(before))
    if decision in APPROVING:
        _heed_rule(typed, rule, candidate, [first.signed_by, actor.name], actor, day_of(session, now))
    settle(session, actor, typed, doubts, now)
    assert decision is not None
    answered: dict[str, Any] = {
        "decision": decision,
        "reasons": before["reasons"],
        "references": before.get("references", {}),
        "reason": reason,
        "conditions": conditions if decision is not Decision.REFUSED else further,
        "used": before["used"],
        "marking": before.get("marking", ""),
        "reversible": before.get("reversible", Reversible.UNKNOWN.value),
        "change": before["change"],
        "rule": plain_rule(rule, evidence_for(candidate)),
        "first": {
            "record": first.id,
            "digest": first.digest,
            "signer": before["signer"],
            "signed_at": first.signed_at,
            "decision": before["would"],
            "reason": before["reason"],
        },
    }
    signed = add_record(session, actor, candidate, answered, now)
    every = (*(_term(plain) for plain in before["terms"]), *terms)
    return _decided(session, actor, candidate, signed, decision, every, before["used"], now)


def _term(plain: Mapping[str, Any]) -> Term:
    due = date.fromisoformat(plain["due"]) if plain["due"] else None
    return Term(plain["text"], due, plain["due_words"])


def _decided(
    session: Session,
    actor: Actor,
    candidate: Candidate,
    signed: int,
    decision: Decision,
    terms: tuple[Term, ...],
    used: int | None,
    now: datetime,
) -> int:
    """What follows from a record that settles the candidate; its number."""
    if decision in APPROVING:
        _need_is_met(session, candidate, used, now)
        plane = candidate.need.aeroplane.id
        add_conditions(session, terms, record=signed, candidate=candidate.id, aeroplane=plane, at=now)
    log_signed(session, actor, candidate, f"signed {record_number(signed)}: {decision}", signed, now)
    indexing.index_need(session, candidate.need.id, now)
    return signed


def _read_decision(typed: Typed) -> Decision | None:
    decision = typed.word("decision", Decision, "Decision", required=True)
    if decision in {Decision.WITHDRAWN, Decision.FIRST, Decision.CLOSED}:
        typed.fault("decision", "Choose to approve, approve with conditions, or refuse.")
    return decision


def _read_conditions(typed: Typed) -> tuple[str, tuple[Term, ...]]:
    conditions = typed.text("conditions", "Conditions", most=NOTE)
    due = typed.day("conditions_due", "Due")
    try:
        return conditions, read_conditions(conditions, due)
    except Unreadable as refused:
        typed.fault("conditions", str(refused))
        return conditions, ()


def _heed_rule(
    typed: Typed, rule: SignRule, candidate: Candidate, signers: list[str], actor: Actor, today: date
) -> None:
    """Faults where an approval is not what the rule of who may sign asks for."""
    if fault := authority_fault(rule, actor, today):
        typed.fault("decision", fault)
    if thin := thin_rows(rule, evidence_for(candidate)):
        said = "; ".join(f"{one.label}: {one.sentence(rule.least)}" for one in thin)
        typed.fault("decision", f"The evidence is too thin to approve on. {said}.")
    if fault := people_fault(rule, candidate.proposed_by, signers, inspectors(candidate.find.offered())):
        typed.fault("decision", fault)


def settle(session: Session, actor: Actor, typed: Typed, doubts: Mapping[str, str], now: datetime) -> None:
    """Everything that is missing at once, the doubts about who signs among it; else the code counts. Raises Faults."""
    for name, sentence in doubts.items():
        typed.fault(name, sentence)
    typed.done()
    use_code(session, get_account(session, actor.id), typed.raw("totp"), now)


def _read_reasons(typed: Typed, candidate: Candidate, *, approving: bool) -> dict[str, str]:
    reasons: dict[str, str] = {}
    for row in candidate.sheet.to_answer:
        name = reason_field(row)
        text = typed.text(name, row.label, most=NOTE)
        if approving and (fault := empty_reason(text)):
            typed.fault(name, f"{row.label}: {fault}")
        if text:
            reasons[row.key] = text
    return reasons


def _read_references(typed: Typed, candidate: Candidate, rule: SignRule, *, approving: bool) -> dict[str, str]:
    references: dict[str, str] = {}
    for row in candidate.sheet.to_answer:
        name = reference_field(row)
        text = typed.text(name, f"Paper for {row.label}", most=300)
        if approving and wants_reference(rule, row) and not any(sign.isalnum() for sign in text):
            typed.fault(
                name,
                f"{row.label}: name the drawing, manual, report or paper that the reason rests on; "
                "this rule asks for it wherever a row governs.",
            )
        if text:
            references[row.key] = text
    return references


def add_record(session: Session, actor: Actor, candidate: Candidate, said: Mapping[str, Any], now: datetime) -> int:
    """Freeze a signed entry at the end of the chain; its number."""
    last = session.exec(select(SignOffRow).order_by(col(SignOffRow.id).desc()).limit(1)).first()
    previous = last.digest if last else FIRST_RECORD
    record = canonical(
        {
            "form": FORM,
            "register": read_setting(session, "name", "Makegood"),
            "previous": previous,
            "signed_at": now,
            "signer": actor,
            "candidate": candidate.id,
            "proposed_by": candidate.proposed_by,
            "proposed_at": candidate.proposed_at,
            "note": candidate.note,
            "need": candidate.need,
            "find": candidate.find,
            "sheet": candidate.sheet,
            "drawings": drawings_of(wanted_of(candidate.need), candidate.find.offered()),
            "authenticity": {
                "answer": candidate.authenticity,
                "reason": candidate.authenticity_reason,
                "by": candidate.authenticity_by,
                "at": candidate.authenticity_at,
            },
            "remarks": candidate.remarks,
            "warnings_shown": [one.digest for one in candidate.decisions],
            **said,
        }
    )
    row = SignOffRow(
        candidate_id=candidate.id,
        decision=str(as_plain(said["decision"])),
        signed_by=actor.name,
        signed_by_id=actor.id,
        signed_at=now,
        record=record,
        digest=digest_of(record),
        previous=previous,
    )
    session.add(row)
    session.flush()
    assert row.id is not None
    return row.id


def later_entry(decision: Decision, reason: str, **more: Any) -> dict[str, Any]:
    """What an entry says that follows a decision and answers no row anew: its one reason, and `more`."""
    return {"decision": decision, "reasons": {}, "reason": reason, "conditions": "", "used": None, **more}


def log_signed(session: Session, actor: Actor, candidate: Candidate, did: str, signed: int, now: datetime) -> None:
    """Note a signed entry in the log with its digest, so that the log misses a record that was taken out."""
    said = {SIGNED: session.get_one(SignOffRow, signed).digest}
    write_log(session, now, actor, did, f"candidate/{candidate.id}", said)


def _is_uncounted(candidate: Candidate) -> bool:
    """Pieces are wanted, and nobody knows how many this find is: how many are used can't be told from it."""
    return candidate.need.still_wanted is not None and candidate.find.quantity is None


def _need_is_met(session: Session, candidate: Candidate, used: int | None, now: datetime) -> None:
    need = get_need_row(session, candidate.need.id)
    if need.still_wanted is not None:
        # without a figure the whole find is taken; one that is not counted was asked for
        taken = used if used is not None else candidate.find.quantity or need.still_wanted
        need.still_wanted = max(0, need.still_wanted - taken)
    if not need.still_wanted:
        need.met_at = now
    need.version += 1
    need.changed_at = now
    session.add(need)


def withdraw_approval(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Withdraw an approval by another signed entry; the new record's number. The need is open again.

    Its open conditions are closed by the same entry. No authority in force is asked for: taking an
    approval back puts nothing into use.
    Raises Faults without a reason or with a wrong password, NotAllowed, NotFound, Overtaken where another
    record was signed at the same moment, TooManyTries after wrong passwords.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    doubts = check_again(store, actor, typed.raw("password"), typed.raw("totp"))
    now = store.clock()
    with at_the_chain(store, now) as session:
        return _withdraw(session, actor, load_candidate(session, number), typed, doubts, now)


def _withdraw(
    session: Session, actor: Actor, candidate: Candidate, typed: Typed, doubts: Mapping[str, str], now: datetime
) -> int:
    standing = candidate.standing
    if standing is None or standing.decision not in {Decision.APPROVED, Decision.CONDITIONAL}:
        raise Faults({"reason": "There is no approval here to withdraw."})
    reason = typed.text("reason", "The reason", most=NOTE, required=True)
    if reason and (fault := empty_reason(reason)):
        typed.fault("reason", fault)
    settle(session, actor, typed, doubts, now)
    said = later_entry(Decision.WITHDRAWN, reason, withdraws=standing.digest)
    signed = add_record(session, actor, candidate, said, now)
    for row in open_rows_of(session, candidate.id):
        said_why = f"The approval was withdrawn: {reason}"
        close_row(session, row, record=signed, by=actor.name, reason=said_why, at=now)
    need = get_need_row(session, candidate.need.id)
    used = json.loads(standing.record).get("used")
    if need.still_wanted is not None and need.quantity is not None:
        back = used if used is not None else candidate.find.quantity or need.quantity
        need.still_wanted = min(need.quantity, need.still_wanted + back)
    need.met_at = None
    need.version += 1
    need.changed_at = now
    session.add(need)
    log_signed(session, actor, candidate, f"withdrew an approval: {record_number(signed)}", signed, now)
    session.flush()
    indexing.index_need(session, candidate.need.id, now)
    return signed
