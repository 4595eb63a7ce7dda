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
from server.domain.register import Actor, Decision, UserRole, record_number
from server.domain.verdict import Outcome, Row
from server.services import indexing
from server.services.accounts import check_again
from server.services.candidates import Candidate, load_candidate, overtaken
from server.services.second_factor import use_code
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage.accounts import get_account
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import read_setting, write_log
from server.storage.needs import get_need_row
from server.storage.tables import CandidateRow, SignOffRow

FORM = "makegood record 1"
FIRST = "0" * 64
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
    needs an answer, reason (the whole), conditions, used (pieces), password (typed again), totp (the code, where
    the account signs with one).
    Raises Faults with everything missing, NotAllowed, Overtaken where the sheet is no longer what was shown,
    TooManyTries after wrong passwords.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    now = store.clock()
    doubts = check_again(store, actor, typed.raw("password"), typed.raw("totp"))
    try:
        with store.write() as session:
            candidate = load_candidate(session, number)
            allowed = may_sign(candidate, actor, now.date())
            if not allowed.may:
                raise NotAllowed(allowed.why)
            if typed.raw("shown") != candidate.shown_digest:
                raise overtaken()
            return _sign(session, actor, candidate, typed, doubts, now)
    except IntegrityError as raced:
        # the digest of the record before was taken meanwhile: two signed at once
        raise overtaken() from raced


def _sign(
    session: Session, actor: Actor, candidate: Candidate, typed: Typed, doubts: Mapping[str, str], now: datetime
) -> int:
    decision = typed.word("decision", Decision, "Decision", required=True)
    if decision is Decision.WITHDRAWN:
        typed.fault("decision", "Choose to approve, approve with conditions, or refuse.")
    reasons = _read_reasons(typed, candidate, approving=decision is not Decision.REFUSED)
    whole = typed.text("reason", "The reason", most=NOTE)
    conditions = typed.text("conditions", "Conditions", most=NOTE)
    used = typed.number("used", "How many are used here", low=1, high=100_000)
    if decision is Decision.REFUSED and (said := empty_reason(whole)):
        typed.fault("reason", said)
    if decision is Decision.CONDITIONAL and not conditions:
        typed.fault("conditions", "Write the conditions, one a line.")
    if decision is Decision.APPROVED and candidate.sheet.outcome is Outcome.NOT_EQUIVALENT:
        typed.fault("decision", "The check says “not equivalent”: approve it with conditions, or refuse it.")
    _keep_doubts(typed, doubts)
    typed.done()
    use_code(session, get_account(session, actor.id), typed.raw("totp"), now)
    assert decision is not None
    answered: dict[str, Any] = {
        "decision": decision,
        "reasons": reasons,
        "reason": whole,
        "conditions": conditions,
        "used": used,
    }
    signed = _add_record(session, actor, candidate, answered, now)
    if decision in {Decision.APPROVED, Decision.CONDITIONAL}:
        _need_is_met(session, candidate, used, now)
    write_log(session, now, actor, f"signed {record_number(signed)}: {decision}", f"candidate/{candidate.id}")
    session.flush()
    indexing.index_need(session, candidate.need.id, now)
    return signed


def _keep_doubts(typed: Typed, doubts: Mapping[str, str]) -> None:
    for name, sentence in doubts.items():
        typed.fault(name, sentence)


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
    previous = last.digest if last else FIRST
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

    Raises Faults without a reason or with a wrong password, NotAllowed, NotFound, Overtaken where another
    record was signed at the same moment, TooManyTries after wrong passwords.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    doubts = check_again(store, actor, typed.raw("password"), typed.raw("totp"))
    try:
        with store.write() as session:
            return _withdraw(session, actor, load_candidate(session, number), typed, doubts, store.clock())
    except IntegrityError as raced:
        raise overtaken() from raced


def _withdraw(
    session: Session, actor: Actor, candidate: Candidate, typed: Typed, doubts: Mapping[str, str], now: datetime
) -> int:
    standing = candidate.standing
    if standing is None or standing.decision not in {Decision.APPROVED, Decision.CONDITIONAL}:
        raise Faults({"reason": "There is no approval here to withdraw."})
    reason = typed.text("reason", "The reason", most=NOTE, required=True)
    if reason and (fault := empty_reason(reason)):
        typed.fault("reason", fault)
    _keep_doubts(typed, doubts)
    typed.done()
    use_code(session, get_account(session, actor.id), typed.raw("totp"), now)
    said: dict[str, Any] = {
        "decision": Decision.WITHDRAWN,
        "reasons": {},
        "reason": reason,
        "conditions": "",
        "used": None,
        "withdraws": standing.digest,
    }
    signed = _add_record(session, actor, candidate, said, now)
    need = get_need_row(session, candidate.need.id)
    used = json.loads(standing.record).get("used")
    if need.still_wanted is not None and need.quantity is not None:
        back = used if used is not None else candidate.find.quantity or need.quantity
        need.still_wanted = min(need.quantity, need.still_wanted + back)
    need.met_at = None
    need.version += 1
    need.changed_at = now
    session.add(need)
    write_log(session, now, actor, f"withdrew an approval: {record_number(signed)}", f"candidate/{candidate.id}")
    session.flush()
    indexing.index_need(session, candidate.need.id, now)
    return signed


@dataclass(frozen=True, slots=True)
class Broken:
    """The first thing that does not hold in a record."""

    record: str
    what: str


def verify(store: Store, files: Files) -> tuple[int, list[Broken]]:
    """Walk all records in order: how many there are, and what does not hold.

    Looked at: each record's digest, the link to the one before, the row beside
    it, and the bytes of every photograph and paper named in it.
    """
    broken: list[Broken] = []
    with store.read() as session:
        rows = list(session.exec(select(SignOffRow).order_by(col(SignOffRow.id))))
        previous = FIRST
        for row in rows:
            name = record_number(row.id or 0)
            broken.extend(Broken(name, what) for what in _faults_of(session, row, previous, files))
            previous = row.digest
    return len(rows), broken


def _faults_of(session: Session, row: SignOffRow, previous: str, files: Files) -> list[str]:
    faults: list[str] = []
    if digest_of(row.record) != row.digest:
        faults.append("its text was changed after it was signed")
    if row.previous != previous:
        faults.append("it does not follow the record before it: one was taken out or slipped in")
    try:
        plain = json.loads(row.record)
    except ValueError:
        return [*faults, "its text can't be read"]
    beside = (row.decision, row.signed_by, row.signed_by_id, row.candidate_id, row.signed_at.isoformat(), row.previous)
    signer = plain.get("signer", {})
    inside = (
        plain.get("decision"),
        signer.get("name"),
        signer.get("id"),
        plain.get("candidate"),
        plain.get("signed_at"),
        plain.get("previous"),
    )
    if beside != inside:
        faults.append("the list beside it says something else than the record")
    if session.get(CandidateRow, row.candidate_id) is None:
        faults.append("its candidate is gone")
    for record in (plain.get("need", {}), plain.get("find", {}), *plain.get("remarks", [])):
        faults.extend(
            f"the {attached['kind']} “{attached['name']}” is gone or was changed"
            for attached in record.get("attachments", [])
            if not files.is_whole(attached["digest"])
        )
    return faults
