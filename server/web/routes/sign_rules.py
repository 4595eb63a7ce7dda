"""Who may sign what, for the keeper; and the conditions of approvals, for whoever closes them."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults
from server.domain.evidence_depth import ASKED_FOR
from server.domain.register import Actor
from server.domain.specification import Role
from server.services import conditions, second_factor, sign_rules
from server.services.accounts import TooManyTries
from server.services.sign_rules import RuleLine, in_words
from server.storage.conditions import get_condition_row
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Approver, Keeper, StoreOf, Viewer

router = APIRouter()


def _show(request: Request, store: Store, form: Form, status: int = 200) -> Response:
    tables: dict[str, list[RuleLine]] = {}
    for line in sign_rules.rule_lines(store):
        tables.setdefault(line.where, []).append(line)
    with store.read() as session:
        signers = [(str(one.id), one.name) for one in sign_rules.signers_of(session)]
    context = {
        "form": form,
        "tables": list(tables.items()),
        "places": sign_rules.places(store),
        "roles": [(one.value, one.value) for one in Role],
        "choices": [(one.value, one.value) for one in ASKED_FOR],
        "grades": [one.value for one in ASKED_FOR],
        "in_words": in_words,
        "signers": signers,
    }
    title = "Error: Who may sign" if status != 200 else "Who may sign"
    return page(request, "settings/signing.html", title, context, status=status)


@router.get("/settings/signing")
def show_rules(request: Request, _actor: Keeper, store: StoreOf) -> Response:
    """Every rule in force, and the form to tighten one."""
    return _show(request, store, Form())


@router.post("/settings/signing")
def do_tighten(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Tighten a rule, with a reason."""
    try:
        changed = sign_rules.tighten_rule(store, actor, posted.fields)
    except Faults as refused:
        return _show(request, store, form_of(posted.fields, refused.faults), 422)
    return redirect(request, "/settings/signing", "rule-changed" if changed else "unchanged")


def _show_conditions(
    request: Request,
    store: Store,
    actor: Actor,
    number: int,
    *,
    closing: int = 0,
    form: Form | None = None,
    status: int = 200,
) -> Response:
    sheet = conditions.conditions_of(store, number)
    forms = {one.id: Form(prefix=f"c{one.id}") for one in sheet.open}
    if form is not None:
        forms[closing] = form
    title = f"{'Error: ' if form else ''}Conditions of {sheet.aeroplane.label}"
    context = {
        "sheet": sheet,
        "forms": forms,
        "closing": closing,
        "asks_code": second_factor.since_when(store, actor) is not None,
    }
    return page(request, "yard/conditions.html", title, context, status=status)


@router.get("/aeroplanes/{number}/conditions")
def show_conditions(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """The open conditions of an aeroplane, overdue first, and the closed ones."""
    return _show_conditions(request, store, actor, number)


@router.post("/conditions/{number}/close")
def do_close(request: Request, number: Number, actor: Approver, store: StoreOf, posted: PostedForm) -> Response:
    """Close a condition by a signed entry."""
    try:
        plane = conditions.close_condition(store, actor, number, posted.fields)
    except (Faults, TooManyTries) as refused:
        with store.read() as session:
            plane = get_condition_row(session, number).aeroplane_id
        faults, status = (refused.faults, 422) if isinstance(refused, Faults) else ({"password": str(refused)}, 429)
        form = form_of({**posted.fields, "password": "", "totp": ""}, faults, f"c{number}")
        return _show_conditions(request, store, actor, plane, closing=number, form=form, status=status)
    return redirect(request, f"/aeroplanes/{plane}/conditions", "condition-closed")
