"""The signature: who may, what must be answered, and what is frozen.

A record holds the need, the specification, the find, the sheet and the
reasons as they were shown, in canonical form. Each record names the digest of
the one before it, so that no record can be changed, taken out or slipped in
unseen. The register says who decided and why; it never says that a part is
airworthy or lawful.
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.exc import IntegrityError
from sqlmodel import Session, col, select

from server.domain.errors import Faults, NotAllowed
from server.domain.plain import as_plain, canonical, digest_of
from server.domain.register import Actor, Decision, Reversible, UserRole, record_number
from server.domain.seals import FIRST_RECORD
from server.domain.verdict import Outcome, Row
from server.services import indexing
from server.services.accounts import matches
from server.services.candidates import Candidate, load_candidate, overtaken
from server.services.drawings import drawings_of
from server.services.needs import wanted_of
from server.services.seals import seal_records
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage.accounts import get_account
from server.storage.engine import Store
from server.storage.log import read_setting, write_log
from server.storage.needs import get_need_row
from server.storage.tables import SignOffRow

FORM = "makegood record 1"
SHORTEST_REASON = 12

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


@dataclass(frozen=True, slots=True)
class MaySign:
    """May this account sign this candidate? If not, why."""

    may: bool
    why: str = ""


def may_sign(candidate: Candidate, actor: Actor, today: Any) -> MaySign:
    """The rule of who may sign: an approver, never the proposer, with a licence in force where it flies."""
    if not actor.may(UserRole.APPROVER):
        return MaySign(False, "Signing needs the role “approver”.")
    if candidate.proposed_by_id == actor.id:
        return MaySign(False, "You proposed this find; somebody else has to sign.")
    if not candidate.is_undecided:
        return MaySign(False, "This is decided already.")
    if candidate.need.aeroplane.use.flies:
        if not actor.licence_number:
            return MaySign(False, "This aeroplane will fly: the signer needs a licence or authority on the account.")
        if actor.licence_until is not None and actor.licence_until < today:
            return MaySign(False, f"Your {actor.licence_kind} ran out on {actor.licence_until.isoformat()}.")
    return MaySign(True)


def sign(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Sign a decision on a candidate; the record's number.

    Fields: decision, shown (digest of what was on the screen), reason_<row key> for every row that
    needs an answer, reason (the whole), conditions, used (pieces), marking (how to tell it on the part),
    reversible, password (typed again).
    Raises Faults with everything missing, NotAllowed, Overtaken where the sheet is no longer what was shown.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    now = store.clock()
    try:
        with store.write() as session:
            candidate = load_candidate(session, number)
            allowed = may_sign(candidate, actor, now.date())
            if not allowed.may:
                raise NotAllowed(allowed.why)
            if typed.raw("shown") != candidate.shown_digest:
                raise overtaken()
            signed = _sign(session, actor, candidate, typed, now)
            seal_records(session, store, now)
            return signed
    except IntegrityError as raced:
        # the digest of the record before was taken meanwhile: two signed at once
        raise overtaken() from raced


def _sign(session: Session, actor: Actor, candidate: Candidate, typed: Typed, now: datetime) -> int:
    decision = typed.word("decision", Decision, "Decision", required=True)
    if decision is Decision.WITHDRAWN:
        typed.fault("decision", "Choose to approve, approve with conditions, or refuse.")
    reasons = _read_reasons(typed, candidate, approving=decision is not Decision.REFUSED)
    whole = typed.text("reason", "The reason", most=NOTE)
    conditions = typed.text("conditions", "Conditions", most=NOTE)
    used = typed.number("used", "How many are used here", low=1, high=100_000)
    marking = typed.text("marking", "How to tell it on the part")
    reversible = typed.word("reversible", Reversible, "Can it be undone")
    if decision is Decision.REFUSED and (said := empty_reason(whole)):
        typed.fault("reason", said)
    if decision is Decision.CONDITIONAL and not conditions:
        typed.fault("conditions", "Write the conditions, one a line.")
    if decision is Decision.APPROVED and candidate.sheet.outcome is Outcome.NOT_EQUIVALENT:
        typed.fault("decision", "The check says “not equivalent”: approve it with conditions, or refuse it.")
    account = get_account(session, actor.id)
    if not matches(account.password_hash, typed.raw("password")):
        typed.fault("password", "Type your password again to sign; this was not it.")
    typed.done()
    assert decision is not None
    answered: dict[str, Any] = {
        "decision": decision,
        "reasons": reasons,
        "reason": whole,
        "conditions": conditions,
        "used": used,
        "marking": marking,
        "reversible": reversible or Reversible.UNKNOWN,
    }
    signed = _add_record(session, actor, candidate, answered, now)
    if decision in {Decision.APPROVED, Decision.CONDITIONAL}:
        _need_is_met(session, candidate, used, now)
    write_log(session, now, actor, f"signed {record_number(signed)}: {decision}", f"candidate/{candidate.id}")
    session.flush()
    indexing.index_need(session, candidate.need.id, now)
    return signed


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


def _add_record(session: Session, actor: Actor, candidate: Candidate, said: Mapping[str, Any], now: datetime) -> int:
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


def _need_is_met(session: Session, candidate: Candidate, used: int | None, now: datetime) -> None:
    need = get_need_row(session, candidate.need.id)
    if need.still_wanted is not None:
        taken = used if used is not None else candidate.find.quantity or need.still_wanted
        need.still_wanted = max(0, need.still_wanted - taken)
    if not need.still_wanted:
        need.met_at = now
    need.version += 1
    need.changed_at = now
    session.add(need)


def withdraw_approval(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Withdraw an approval by another signed entry; the new record's number. The need is open again.

    Raises Faults without a reason or with a wrong password, NotAllowed, NotFound.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    now = store.clock()
    with store.write() as session:
        candidate = load_candidate(session, number)
        standing = candidate.standing
        if standing is None or standing.decision not in {Decision.APPROVED, Decision.CONDITIONAL}:
            raise Faults({"reason": "There is no approval here to withdraw."})
        reason = typed.text("reason", "The reason", most=NOTE, required=True)
        if reason and (fault := empty_reason(reason)):
            typed.fault("reason", fault)
        account = get_account(session, actor.id)
        if not matches(account.password_hash, typed.raw("password")):
            typed.fault("password", "Type your password again to sign; this was not it.")
        typed.done()
        said: dict[str, Any] = {
            "decision": Decision.WITHDRAWN,
            "reasons": {},
            "reason": reason,
            "conditions": "",
            "used": None,
            "withdraws": standing.digest,
        }
        signed = _add_record(session, actor, candidate, said, now)
        seal_records(session, store, now)
        need = get_need_row(session, candidate.need.id)
        used = json.loads(standing.record).get("used")
        if need.still_wanted is not None and need.quantity is not None:
            back = used if used is not None else candidate.find.quantity or need.quantity
            need.still_wanted = min(need.quantity, need.still_wanted + back)
        need.met_at = None
        need.version += 1
        need.changed_at = now
        session.add(need)
        write_log(session, now, actor, f"withdrew an approval: {record_number(signed)}", f"candidate/{number}")
        session.flush()
        indexing.index_need(session, candidate.need.id, now)
        return signed
