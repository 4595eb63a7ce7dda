"""The comparison sheet of a candidate, its judgement, its signature and its frozen record."""

import json
from functools import partial
from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.change_kind import REFERRING, Way, questions_for
from server.domain.errors import Faults, Overtaken
from server.domain.register import Actor, Attached, Authentic, Decision, Reversible, record_number
from server.domain.sheet_plain import sheet_from_plain
from server.domain.sign_rules import wants_reference
from server.domain.verdict import Row, Sheet, Verdict
from server.services import candidates, clocks, remarks, second_factor, sign_rules, signing
from server.services.accounts import TooManyTries
from server.services.archive import record_json
from server.services.drawings import drawings_of
from server.services.needs import wanted_of
from server.services.precedents import Precedent, precedents_for
from server.services.records import load_record
from server.storage.conditions import list_conditions
from server.storage.engine import Store
from server.storage.log import read_log
from server.web import diagrams
from server.web.addresses import Number
from server.web.log_words import log_words
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.since import differs, since
from server.web.who import Approver, Restorer, StoreOf, Viewer

router = APIRouter()

AUTHENTIC = [
    (one.value, one.value, said)
    for one, said in (
        (Authentic.RIGHT, "as it was made then: nobody could tell"),
        (Authentic.WILL_DO, "not as it was, but acceptable where it sits"),
        (Authentic.NOT_RIGHT, "wrong for this restoration, whatever it does"),
    )
]
DECISIONS = [
    (Decision.APPROVED.value, "Approve", "it may stand in, for the reasons given"),
    (Decision.CONDITIONAL.value, "Approve with conditions", "only as long as the conditions hold"),
    (Decision.REFUSED.value, "Refuse", "kept with its reason, and shown when it is offered again"),
]
REVERSIBLE = [
    (Reversible.YES.value, "Yes", "it comes off and leaves the original as it was"),
    (Reversible.NO.value, "No", "metal is drilled, bonded or cut for it"),
    (Reversible.UNKNOWN.value, "Unknown", "nobody has looked"),
]


def _show(
    request: Request,
    store: Store,
    actor: Actor,
    number: int,
    *,
    form: Form | None = None,
    judging: Form | None = None,
    taking_back: Form | None = None,
    remark: Form | None = None,
    status: int = 200,
    overtaken: str = "",
) -> Response:
    candidate = candidates.get_candidate(store, number)
    with store.read() as session:
        warned = candidates.warnings_for(session, candidate.need.id, candidate.find.id)
        others = [
            line for line in candidates.list_candidates(session, need_id=candidate.need.id) if line.id != candidate.id
        ]
        before = precedents_for(session, candidate.need) if candidate.is_undecided else ()
        rule = sign_rules.rule_of(session, candidate)
        conditions = list_conditions(session, candidate=number)
        lines = read_log(session, f"candidate/{number}", most=30)
    first = json.loads(candidate.first.record) if candidate.first else None
    standing = candidate.standing
    sheet = sheet_from_plain(json.loads(standing.record)["sheet"]) if standing else candidate.sheet
    drawings = drawings_of(wanted_of(candidate.need), candidate.find.offered())
    judged = Form(
        {
            "answer": candidate.authenticity or "",
            "reason": candidate.authenticity_reason,
            "version": str(candidate.version),
        },
        prefix="authenticity",
    )
    context = {
        "candidate": candidate,
        "sheet": sheet,
        "rows": deciding_first(sheet),
        "since": since(candidate, standing),
        "since_proposed": differs(candidate.sheet_then, candidate.sheet, "proposed") if candidate.is_undecided else [],
        "drawings": [diagrams.draw(one, f"d{place}") for place, one in enumerate(drawings)],
        "bands": {row.key: diagrams.band(row.band, f"b-{row.key}") for row in sheet.rows if row.band},
        "warned": [one for one in warned if one.candidate_id != candidate.id or not standing],
        "others": others,
        "precedents": [one for one in before if _is_of_this(one, candidate)],
        "form": form or Form(),
        "judging": judging or judged,
        "taking_back": taking_back or Form(prefix="back"),
        "may": signing.may_sign(candidate, actor, clocks.today(store), rule),
        "rule": rule,
        "rule_words": sign_rules.in_words(rule),
        "evidence": sign_rules.evidence_for(candidate),
        "first": first,
        "first_since": since(candidate, candidate.first) if candidate.is_first_void else [],
        "second_decisions": _second_decisions(first["would"]) if first else [],
        "questions": questions_for(candidate.need.aeroplane.use.flies),
        "ways": [(one.value, one.value) for one in Way],
        "referring": REFERRING,
        "conditions": conditions,
        "log": [log_words(line, is_keeper=False) for line in lines],
        "decisions": DECISIONS,
        "reversible": REVERSIBLE,
        "authentic": AUTHENTIC,
        "reason_field": signing.reason_field,
        "reference_field": signing.reference_field,
        "wants_reference": partial(wants_reference, rule),
        "papers": [
            one.name for one in (*candidate.need.attachments, *candidate.find.attachments) if one.kind is Attached.PAPER
        ],
        "overtaken": overtaken,
        "remark_form": remark or Form(prefix="remark"),
        "asks_code": second_factor.since_when(store, actor) is not None,
    }
    title = f"{candidate.find.number} for {candidate.need.number}: {candidate.need.item}"
    return page(
        request, "candidates/sheet.html", f"Error: {title}" if status in {422, 429} else title, context, status=status
    )


_RANK = {Verdict.AGAINST: 0, Verdict.OPEN: 1, Verdict.JUDGED: 2, Verdict.PROVEN: 3}


def deciding_first(sheet: Sheet) -> list[Row]:
    """The rows of a sheet to read: what decides, what speaks against it, what is open, what is proven."""
    return sorted(sheet.rows, key=lambda row: (row.key != sheet.decided_by, _RANK[row.verdict]))


def _is_of_this(one: Precedent, candidate: candidates.Candidate) -> bool:
    """Was this find signed then, or one from the same supplier?"""
    supplier = candidate.find.supplier
    return one.find_id == candidate.find.id or (supplier is not None and one.supplier_id == supplier.id)


def _second_decisions(would: str) -> list[tuple[str, str, str]]:
    """What the second signer may decide: nothing laxer than the first."""
    return [one for one in DECISIONS if one[0] != Decision.APPROVED.value or would == one[0]]


@router.get("/to-sign")
def show_to_sign(request: Request, actor: Viewer, store: StoreOf) -> Response:
    """Everything that waits for a decision."""
    with store.read() as session:
        lines = candidates.list_candidates(session, undecided=True)
    return page(request, "candidates/to_sign.html", "To sign", {"lines": lines, "actor": actor})


@router.post("/needs/{need_id}/propose/{find_id}")
def do_propose(
    request: Request, need_id: Number, find_id: Number, actor: Restorer, store: StoreOf, posted: PostedForm
) -> Response:
    """Propose a find for a need, with one tap."""
    if not posted.text("read") and candidates.refused_before(store, need_id, find_id):
        form = form_of(
            posted.fields, {"": "This or its like was refused before. Read why, then propose it or leave it."}
        )
        return _show_proposal(request, store, need_id, find_id, form, 422)
    try:
        number = candidates.propose(store, actor, need_id, find_id, posted.text("note"))
    except Faults as faults:
        return _show_proposal(request, store, need_id, find_id, form_of(posted.fields, faults.faults), 422)
    return redirect(request, f"/candidates/{number}", "proposed")


@router.get("/needs/{need_id}/propose/{find_id}")
def show_proposal(request: Request, need_id: Number, find_id: Number, _actor: Restorer, store: StoreOf) -> Response:
    """Look at both before proposing: earlier refusals, and a note."""
    return _show_proposal(request, store, need_id, find_id, Form(), 200)


def _show_proposal(request: Request, store: Store, need_id: int, find_id: int, form: Form, status: int) -> Response:
    from server.storage.finds import load_find
    from server.storage.needs import load_need

    with store.read() as session:
        need, find = load_need(session, need_id), load_find(session, find_id)
        warned = candidates.warnings_for(session, need_id, find_id)
    context = {"need": need, "find": find, "warned": warned, "form": form}
    return page(request, "candidates/propose.html", f"Propose {find.number} for {need.number}", context, status=status)


@router.get("/candidates/{number}")
def show_candidate(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """The comparison sheet."""
    return _show(request, store, actor, number)


@router.post("/candidates/{number}/check")
def do_recheck(request: Request, number: Number, actor: Restorer, store: StoreOf) -> Response:
    """Check again on what is known now."""
    candidates.recheck(store, actor, number)
    return redirect(request, f"/candidates/{number}", "rechecked")


@router.post("/candidates/{number}/authenticity")
def do_judge(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """A person's answer: is it right for this restoration?"""
    try:
        candidates.judge_authenticity(store, actor, number, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, "authenticity")
        return _show(request, store, actor, number, judging=form, status=422)
    except candidates.JudgedMeanwhile as overtaken:
        form = form_of(posted.fields, {"": str(overtaken)}, "authenticity")
        form.typed["version"] = str(overtaken.version)
        return _show(request, store, actor, number, judging=form, status=409)
    return redirect(request, f"/candidates/{number}", "judged")


@router.post("/candidates/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Take a proposal back, with a reason."""
    try:
        candidates.withdraw_candidate(store, actor, number, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, "back")
        return _show(request, store, actor, number, taking_back=form, status=422)
    return redirect(request, f"/candidates/{number}", "withdrawn")


@router.post("/candidates/{number}/sign")
def do_sign(request: Request, number: Number, actor: Approver, store: StoreOf, posted: PostedForm) -> Response:
    """Sign: approve, approve with conditions, or refuse."""
    shown: dict[str, Any] = {**posted.fields, "password": "", "totp": ""}
    try:
        record = signing.sign(store, actor, number, posted.fields)
    except (Faults, TooManyTries) as refused:
        return _not_signed(request, store, actor, number, shown, refused)
    except Overtaken as overtaken:
        return _show(request, store, actor, number, form=form_of(shown), status=409, overtaken=str(overtaken))
    if candidates.get_candidate(store, number).first is not None:
        return redirect(request, f"/candidates/{number}", "first-signed")
    return redirect(request, f"/records/{record}", "signed")


@router.post("/candidates/{number}/withdraw-approval")
def do_withdraw_approval(
    request: Request, number: Number, actor: Approver, store: StoreOf, posted: PostedForm
) -> Response:
    """Withdraw an approval by another signed entry."""
    shown: dict[str, Any] = {**posted.fields, "password": "", "totp": ""}
    try:
        record = signing.withdraw_approval(store, actor, number, posted.fields)
    except (Faults, TooManyTries) as refused:
        return _not_signed(request, store, actor, number, shown, refused)
    except Overtaken as overtaken:
        return _show(request, store, actor, number, form=form_of(shown), status=409, overtaken=str(overtaken))
    return redirect(request, f"/records/{record}", "signed")


def _not_signed(
    request: Request, store: Store, actor: Actor, number: int, shown: dict[str, Any], refused: Faults | TooManyTries
) -> Response:
    """The sheet again with everything typed but the password; slowed down, it says how long."""
    if isinstance(refused, Faults):
        return _show(request, store, actor, number, form=form_of(shown, refused.faults), status=422)
    return _show(request, store, actor, number, form=form_of(shown, {"password": str(refused)}), status=429)


@router.post("/candidates/{number}/remarks")
def do_remark(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Ask something, or answer."""
    photos = [(one.name, one.content) for one in posted.files.get("photos", ())]
    try:
        remarks.add_remark(store, request.app.state.files, actor, number, posted.fields, photos)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, "remark")
        return _show(request, store, actor, number, remark=form, status=422)
    return redirect(request, f"/candidates/{number}", "asked")


@router.post("/remarks/{number}/withdraw")
def do_withdraw_remark(
    request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm
) -> Response:
    """Take back what one said oneself, with a reason."""
    candidate = remarks.withdraw_remark(store, actor, number, posted.text("reason"))
    return redirect(request, f"/candidates/{candidate}", "withdrawn")


@router.get("/records/{number}")
def show_record(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """The frozen record, made for paper; nothing in it is computed anew."""
    with store.read() as session:
        frozen = load_record(session, number)
    sheet = frozen.sheet
    context = {
        "signed": frozen,
        "record": frozen.plain,
        "sheet": sheet,
        "rows": sheet.rows,
        "seal": frozen.seal,
        "drawings": [diagrams.draw(one, f"d{place}") for place, one in enumerate(frozen.drawings)],
        "bands": {row.key: diagrams.band(row.band, f"b-{row.key}") for row in sheet.rows if row.band},
        "printed_at": store.clock(),
    }
    return page(request, "candidates/record.html", f"Record {record_number(number)}", context)


@router.get("/records/{number}/marks.css")
def show_record_marks(number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """What stands in the margin of every printed page of a record: a loose page says which record it is of."""
    with store.read() as session:
        signed = load_record(session, number)
    said = f"{signed.number}, {signed.plain['signer']['name']}, {signed.signed_at:%Y-%m-%d} · {signed.digest[:16]}…"
    # a sign that means something to a style sheet is written as its number
    content = "".join(sign if sign.isalnum() else f"\\{ord(sign):06x}" for sign in said)
    style = f'@page {{ @bottom-left {{ content: "{content}"; font: 8pt sans-serif }} }}\n'
    return Response(style, media_type="text/css")


@router.get("/records/{number}/json")
def show_record_json(number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """The frozen record as a file: canonical text, its digest, the digest before it, and its seal."""
    with store.read() as session:
        body = record_json(session, load_record(session, number))
    headers = {"Content-Disposition": f'attachment; filename="record-{number:04d}.json"'}
    return Response(body, media_type="application/json", headers=headers)
