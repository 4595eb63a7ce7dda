"""Proposing a find for a need, checking it, and a person's answer on authenticity."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

import sqlalchemy as sa
from rapidfuzz.fuzz import token_set_ratio
from sqlmodel import Session, col, select

from server.domain.equivalence import compare
from server.domain.errors import Faults, NotFound, Overtaken
from server.domain.offer import Offered
from server.domain.plain import as_plain, canonical, digest_of
from server.domain.register import Actor, Authentic, Decision, Find, Need, UserRole, find_number, need_number
from server.domain.sheet_plain import sheet_from_plain
from server.domain.specification import Role, Use, Wanted, Weight
from server.domain.strictness import Cell, Strictness
from server.domain.verdict import Concern, Sheet
from server.matching.folding import words_of
from server.services.needs import wanted_of
from server.services.typed import NOTE, Given, Typed
from server.services.yard import changed_fields, reason_given, require
from server.storage.chain import settles
from server.storage.engine import Store
from server.storage.finds import get_find_row, load_find
from server.storage.handbook import load_handbook
from server.storage.log import accounts_who, read_setting, write_log
from server.storage.needs import get_need_row, load_need
from server.storage.remarks import Remark, load_remarks
from server.storage.tables import CandidateRow, FindRow, NeedRow, SignOffRow, TurnedUpRow


@dataclass(frozen=True, slots=True)
class SignOff:
    """One decision, as the pages show it."""

    id: int
    candidate_id: int
    decision: Decision
    signed_by: str
    signed_by_id: int
    signed_at: datetime
    record: str
    digest: str
    previous: str


@dataclass(frozen=True, slots=True)
class Candidate:
    """A find proposed for a need: the check as it was then, and the check on what is known now."""

    id: int
    need: Need
    find: Find
    note: str
    sheet_then: Sheet
    sheet: Sheet
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime
    proposer_ids: frozenset[int]
    authenticity: Authentic | None
    authenticity_reason: str
    authenticity_by: str
    authenticity_at: datetime | None
    version: int
    withdrawn_reason: str
    decisions: tuple[SignOff, ...]
    shown_digest: str
    content_digest: str
    remarks: tuple[Remark, ...] = ()

    @property
    def standing(self) -> SignOff | None:
        """The decision that stands: the last one that settles, unless the candidate was proposed anew after it."""
        settled = [one for one in self.decisions if one.decision.settles]
        return settled[-1] if settled and settled[-1].signed_at >= self.proposed_at else None

    @property
    def first(self) -> SignOff | None:
        """The first of two signatures while the second is awaited; void or not, see `is_first_void`."""
        last = self.decisions[-1] if self.decisions else None
        waits = last is not None and last.decision is Decision.FIRST and last.signed_at >= self.proposed_at
        return last if waits and not self.withdrawn_reason else None

    @property
    def is_first_void(self) -> bool:
        """True where what the first signer saw is not what the sheet shows now."""
        return self.first is not None and json.loads(self.first.record).get("content") != self.content_digest

    @property
    def is_undecided(self) -> bool:
        """Waiting for a signature."""
        return self.standing is None and not self.withdrawn_reason


class JudgedMeanwhile(Overtaken):
    """The sheet changed since the form to judge was opened; `version` is the candidate's now."""

    def __init__(self, row: CandidateRow) -> None:
        held = ""
        if row.authenticity:
            held = f" It is judged “{row.authenticity}” by {row.authenticity_by} (“{row.authenticity_reason}”)."
        again = "Your typing is kept; keep it again to put yours in its place."
        super().__init__(f"This sheet changed since you opened it.{held} {again}")
        self.version = row.version


@dataclass(frozen=True, slots=True)
class Warned:
    """An earlier no that whoever proposes this should read first."""

    candidate_id: int
    about: str
    because: str
    said: str
    signed_by: str
    signed_at: datetime


PROPOSED = "proposed "
"""How the log begins what a proposer did: whoever is named so for a candidate never signs it."""


def strictness_of(session: Session) -> Strictness:
    """The shop's tightened table, over the shipped one."""
    tightened: dict[Cell, Weight] = {}
    for entry in read_setting(session, "tightened", []):
        tightened[Use(entry["use"]), Role(entry["role"]), Concern(entry["concern"])] = Weight(entry["weight"])
    return Strictness(tightened)


def check_in(session: Session, wanted: Wanted, offered: Offered) -> Sheet:
    """The comparison by this register's own rules and its own handbook, on what is known now."""
    return compare(wanted, offered, strictness_of(session), load_handbook(session))


def propose(store: Store, actor: Actor, need_id: int, find_id: int, note: str = "") -> int:
    """Propose a find for a need; the candidate's number. The check runs on what is known now.

    What was refused before may be proposed anew only with a note saying what is
    different. Raises Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed({"note": note})
    said = typed.text("note", "Note", most=NOTE)
    typed.done()
    with store.write() as session:
        return propose_in(session, store, actor, need_id, find_id, said)


def propose_in(session: Session, store: Store, actor: Actor, need_id: int, find_id: int, said: str) -> int:
    """The same inside a unit of work of the caller's."""
    now = store.clock()
    need, find = load_need(session, need_id), load_find(session, find_id)
    if need.withdrawn_reason or find.withdrawn_reason:
        raise Faults({"note": "One of the two was withdrawn."})
    sheet = check_in(session, wanted_of(need), find.offered())
    held = session.exec(
        select(CandidateRow).where(CandidateRow.need_id == need_id, CandidateRow.find_id == find_id)
    ).first()
    if held is not None:
        _propose_anew(session, held, said)
    row = held or CandidateRow(
        need_id=need_id,
        find_id=find_id,
        outcome="",
        sheet={},
        proposed_by="",
        proposed_by_id=actor.id,
        proposed_at=now,
        checked_at=now,
    )
    told: dict[str, Any] = {"note": said} if said else {}
    if held is not None and held.note != said:
        told = {"changes": {"note": [held.note, said]}}
    row.note, row.outcome, row.sheet = said, sheet.outcome.value, as_plain(sheet)
    row.proposed_by, row.proposed_by_id, row.proposed_at, row.checked_at = actor.name, actor.id, now, now
    row.withdrawn_at, row.withdrawn_reason = None, ""
    row.version = row.version + 1 if held else 1
    session.add(row)
    session.flush()
    turned = session.get(TurnedUpRow, (need_id, find_id))
    if turned is not None and turned.set_aside_at is None:
        turned.set_aside_at, turned.set_aside_by = now, actor.name
        session.add(turned)
    write_log(
        session,
        now,
        actor,
        f"{PROPOSED}{find_number(find_id)} for {need_number(need_id)}: {sheet.outcome}",
        f"candidate/{row.id}",
        told,
    )
    assert row.id is not None
    return row.id


def _propose_anew(session: Session, held: CandidateRow, said: str) -> None:
    last = session.exec(
        select(SignOffRow).where(SignOffRow.candidate_id == held.id, settles()).order_by(col(SignOffRow.id).desc())
    ).first()
    waits = last is None or last.signed_at < held.proposed_at
    if waits and held.withdrawn_at is None:
        raise Faults({"note": "This find is proposed for this need already and waits for a decision."})
    if last is None:
        return
    if not waits and last.decision in {Decision.APPROVED.value, Decision.CONDITIONAL.value}:
        raise Faults({"note": "This find was approved for this need already."})
    # a refusal is remembered through every proposal that was taken back after it
    if len(said) < 10:
        raise Faults({"note": "This was refused before. Say in the note what is different now."})


def recheck(store: Store, actor: Actor, number: int) -> None:
    """Run the check on what is known now and keep its outcome for the lists. Raises NotAllowed, NotFound, Faults.

    The sheet that was proposed on stays beside the candidate as it was.
    """
    require(actor, UserRole.RESTORER)
    now = store.clock()
    with store.write() as session:
        row = get_candidate_row(session, number)
        if not _load(session, row).is_undecided:
            raise Faults({"": "A decided candidate is never checked anew; what differs now is shown beside it."})
        need, find = load_need(session, row.need_id), load_find(session, row.find_id)
        sheet = check_in(session, wanted_of(need), find.offered())
        said = {"changes": {"outcome": [row.outcome, sheet.outcome.value]}}
        row.outcome, row.checked_at = sheet.outcome.value, now
        row.version += 1
        session.add(row)
        write_log(session, now, actor, f"checked again: {sheet.outcome}", f"candidate/{number}", said)


def judge_authenticity(store: Store, actor: Actor, number: int, given: Given) -> None:
    """A person's answer: is it right for this restoration? With a reason.

    `version` is that of the candidate the form was opened on; only one that nobody judged can do without.
    Raises Faults, NotAllowed, NotFound, JudgedMeanwhile.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    answer = typed.word("answer", Authentic, "Is it right for this restoration", required=True)
    reason = typed.text("reason", "The reason", most=NOTE, required=True)
    typed.done()
    assert answer is not None
    now = store.clock()
    with store.write() as session:
        row = get_candidate_row(session, number)
        if not _load(session, row).is_undecided:
            raise Faults({"": "This is decided; its judgements are frozen with it."})
        seen = typed.number("version", "Version", low=1)
        if seen != row.version and (seen is not None or row.authenticity):
            raise JudgedMeanwhile(row)
        values = {"authenticity": answer.value, "authenticity_reason": reason, "authenticity_by": actor.name}
        changes = changed_fields(row, values)
        row.authenticity, row.authenticity_reason = answer.value, reason
        row.authenticity_by, row.authenticity_at = actor.name, now
        row.version += 1
        session.add(row)
        did = f"judged authenticity: {answer.value}"
        write_log(session, now, actor, did, f"candidate/{number}", {"changes": changes} if changes else None)


def withdraw_candidate(store: Store, actor: Actor, number: int, reason: str) -> None:
    """Take back a proposal that was not decided. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = get_candidate_row(session, number)
        if not _load(session, row).is_undecided:
            raise Faults({"reason": "This is decided; only a signed entry can change that."})
        row.withdrawn_at, row.withdrawn_reason = now, reason
        row.version += 1
        session.add(row)
        write_log(session, now, actor, f"took the proposal back: {reason}", f"candidate/{number}")


def get_candidate_row(session: Session, number: int) -> CandidateRow:
    """The row of a candidate. Raises NotFound."""
    row = session.get(CandidateRow, number)
    if row is None:
        raise NotFound("There is no such candidate in this register.")
    return row


def get_candidate(store: Store, number: int) -> Candidate:
    """A candidate whole, checked on what is known now. Raises NotFound."""
    with store.read() as session:
        return _load(session, get_candidate_row(session, number))


def load_candidate(session: Session, number: int) -> Candidate:
    """The same inside a unit of work. Raises NotFound."""
    return _load(session, get_candidate_row(session, number))


def _load(session: Session, row: CandidateRow) -> Candidate:
    assert row.id is not None
    need, find = load_need(session, row.need_id), load_find(session, row.find_id)
    sheet = check_in(session, wanted_of(need), find.offered())
    decisions = tuple(
        sign_off_of(one)
        for one in session.exec(
            select(SignOffRow).where(SignOffRow.candidate_id == row.id).order_by(col(SignOffRow.id))
        )
    )
    authentic = Authentic(row.authenticity) if row.authenticity else None
    remarks = load_remarks(session, row.id)
    shown: dict[str, Any] = {"need": need, "find": find, "sheet": sheet, "authenticity": authentic, "note": row.note}
    shown["remarks"] = remarks  # a question that comes while the sheet is open is read before signing
    return Candidate(
        id=row.id,
        need=need,
        find=find,
        note=row.note,
        sheet_then=sheet_from_plain(row.sheet),
        sheet=sheet,
        proposed_by=row.proposed_by,
        proposed_by_id=row.proposed_by_id,
        proposed_at=row.proposed_at,
        checked_at=row.checked_at,
        proposer_ids=accounts_who(session, PROPOSED, f"candidate/{row.id}") | {row.proposed_by_id},
        authenticity=authentic,
        authenticity_reason=row.authenticity_reason,
        authenticity_by=row.authenticity_by,
        authenticity_at=row.authenticity_at,
        version=row.version,
        withdrawn_reason=row.withdrawn_reason,
        decisions=decisions,
        shown_digest=digest_of(canonical({**shown, "decisions": [one.digest for one in decisions]})),
        remarks=remarks,
        content_digest=digest_of(canonical(shown)),
    )


def sign_off_of(row: SignOffRow) -> SignOff:
    """The decision of a row."""
    return SignOff(
        id=row.id or 0,
        candidate_id=row.candidate_id,
        decision=Decision(row.decision),
        signed_by=row.signed_by,
        signed_by_id=row.signed_by_id,
        signed_at=row.signed_at,
        record=row.record,
        digest=row.digest,
        previous=row.previous,
    )


@dataclass(frozen=True, slots=True)
class CandidateLine:
    """A candidate as one line of a list."""

    id: int
    need_id: int
    find_id: int
    item: str
    find_text: str
    outcome: str
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime
    decision: str
    step_id: int | None
    authenticity: str
    first_signed_by: str = ""
    first_signed_by_id: int | None = None

    @property
    def need_number(self) -> str:
        """The need's running number."""
        return need_number(self.need_id)

    @property
    def find_number(self) -> str:
        """The find's running number."""
        return find_number(self.find_id)


def list_candidates(
    session: Session,
    *,
    need_id: int | None = None,
    find_id: int | None = None,
    undecided: bool = False,
    after: int = 0,
    most: int = 200,
) -> list[CandidateLine]:
    """Candidates of a need, of a find, or all that wait for a signature; the oldest first.

    `after` is the last number of the page before.
    """
    # only the columns of a line: the sheet and the record of each are most of what their rows weigh
    wanted = (
        sa.select(
            col(CandidateRow.id),
            col(CandidateRow.need_id),
            col(CandidateRow.find_id),
            col(CandidateRow.outcome),
            col(CandidateRow.proposed_by),
            col(CandidateRow.proposed_by_id),
            col(CandidateRow.proposed_at),
            col(CandidateRow.checked_at),
            col(CandidateRow.authenticity),
            col(NeedRow.item),
            col(NeedRow.step_id),
            col(NeedRow.withdrawn_at).is_(None).label("is_kept"),
            col(NeedRow.met_at),
            col(FindRow.text).label("find_text"),
        )
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .join(FindRow, col(FindRow.id) == col(CandidateRow.find_id))
        .where(col(CandidateRow.withdrawn_at).is_(None), col(CandidateRow.id) > after)
        .order_by(col(CandidateRow.id))
    )
    if need_id is not None:
        wanted = wanted.where(col(CandidateRow.need_id) == need_id)
    if find_id is not None:
        wanted = wanted.where(col(CandidateRow.find_id) == find_id)
    rows = list(session.execute(wanted))
    signed = sa.select(
        col(SignOffRow.candidate_id),
        col(SignOffRow.decision),
        col(SignOffRow.signed_at),
        col(SignOffRow.signed_by),
        col(SignOffRow.signed_by_id),
    ).where(
        col(SignOffRow.candidate_id).in_([row.id for row in rows]),
        col(SignOffRow.decision) != Decision.CLOSED.value,
    )
    last: dict[int, Any] = {}
    first: dict[int, Any] = {}
    for one in session.execute(signed.order_by(col(SignOffRow.id))):
        (first if one.decision == Decision.FIRST.value else last)[one.candidate_id] = one
    lines: list[CandidateLine] = []
    for row in rows:
        signed_last = last.get(row.id)
        stands = signed_last is not None and signed_last.signed_at >= row.proposed_at
        if undecided and (stands or not row.is_kept or row.met_at is not None):
            continue
        begun = first.get(row.id)
        if begun is not None and (stands or begun.signed_at < row.proposed_at):
            begun = None
        lines.append(
            CandidateLine(
                id=row.id,
                need_id=row.need_id,
                find_id=row.find_id,
                item=row.item,
                find_text=row.find_text,
                outcome=row.outcome,
                proposed_by=row.proposed_by,
                proposed_by_id=row.proposed_by_id,
                proposed_at=row.proposed_at,
                checked_at=row.checked_at,
                decision=signed_last.decision if stands and signed_last is not None else "",
                step_id=row.step_id,
                authenticity=row.authenticity,
                first_signed_by=begun.signed_by if begun else "",
                first_signed_by_id=begun.signed_by_id if begun else None,
            )
        )
    return lines[:most]


def warnings_for(session: Session, need_id: int, find_id: int) -> list[Warned]:
    """Earlier refusals and withdrawn approvals: of this find, and for this need of its supplier or of the like."""
    find = get_find_row(session, find_id)
    get_need_row(session, need_id)
    wanted = (
        select(SignOffRow, CandidateRow, FindRow, NeedRow)
        .join(CandidateRow, col(CandidateRow.id) == col(SignOffRow.candidate_id))
        .join(FindRow, col(FindRow.id) == col(CandidateRow.find_id))
        .join(NeedRow, col(NeedRow.id) == col(CandidateRow.need_id))
        .where(
            col(SignOffRow.decision).in_([Decision.REFUSED.value, Decision.WITHDRAWN.value]),
            sa.or_(col(CandidateRow.find_id) == find_id, col(CandidateRow.need_id) == need_id),
        )
        .order_by(col(SignOffRow.id).desc())
    )
    warned: list[Warned] = []
    for signed, candidate, other, need in session.exec(wanted):
        because = _why_warned(find, other)
        if not because:
            continue
        about = f"{find_number(candidate.find_id)} for {need_number(candidate.need_id)} {need.item}"
        reason = reason_in(signed.record)
        warned.append(
            Warned(
                candidate.id or 0, about, because, f"{signed.decision}: {reason}", signed.signed_by, signed.signed_at
            )
        )
    return warned


def refused_before(store: Store, need_id: int, find_id: int) -> bool:
    """Is there an earlier no that whoever proposes this should read first? Raises NotFound."""
    with store.read() as session:
        return bool(warnings_for(session, need_id, find_id))


ALIKE = 80
"""From here on two descriptions are of the same idea: RapidFuzz's likeness of their words, in any order, 0 to 100."""


def _likeness(one: str, other: str) -> float:
    return token_set_ratio(*(" ".join(word for word, _, _ in words_of(text)) for text in (one, other)))


def _why_warned(find: FindRow, refused: FindRow) -> str:
    """What ties a find to one that was refused; "" where nothing does."""
    if refused.id == find.id:
        return "this very find"
    if refused.supplier_id is not None and refused.supplier_id == find.supplier_id:
        return "the same supplier"
    has_words = bool(refused.text and find.text)
    if has_words and refused.part_class == find.part_class and _likeness(refused.text, find.text) >= ALIKE:
        return "the same idea"
    return ""


def reason_in(record: str) -> str:
    """The reason that stands in a frozen record."""
    plain: dict[str, Any] = json.loads(record)
    return str(plain.get("reason", "")) or "; ".join(str(text) for text in plain.get("reasons", {}).values())


def overtaken() -> Overtaken:
    """What is said where the sheet changed under somebody's eyes."""
    return Overtaken("The sheet changed since you opened it. Look at it again: nothing was signed.")
