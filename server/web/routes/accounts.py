"""One's own account with its API tokens; and, for the keeper, everybody's."""

from typing import Any

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults, Overtaken
from server.domain.register import Actor, UserRole
from server.services import accounts, clocks, second_factor
from server.services.accounts import TooManyTries
from server.storage.engine import Store
from server.web import diagrams
from server.web.addresses import Number
from server.web.posted import Form, Posted, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Keeper, StoreOf, Viewer, keep_cookie

router = APIRouter()

ROLES = [
    (UserRole.VIEWER.value, "viewer", "reads everything, changes nothing"),
    (UserRole.RESTORER.value, "restorer", "opens needs, logs and measures finds, proposes"),
    (UserRole.APPROVER.value, "approver", "does all that, and signs what others proposed"),
    (UserRole.KEEPER.value, "keeper", "does all that, and keeps accounts, aeroplanes and the shop's rules"),
]
SECRETS = ("password", "totp", "old_password", "new_password", "again")


def _shown_again(posted: Posted, faults: dict[str, str], prefix: str = "f") -> Form:
    """The form with everything typed but the passwords."""
    return form_of({name: value for name, value in posted.fields.items() if name not in SECRETS}, faults, prefix)


def _own(
    request: Request,
    store: Store,
    actor: Actor,
    *,
    password: Form | None = None,
    token: Form | None = None,
    code: Form | None = None,
    made: str = "",
    offered: second_factor.Offer | None = None,
    title: str = "Your account",
    status: int = 200,
) -> Response:
    account = accounts.get_account(store, actor.id)
    context = {
        "account": account,
        "password_form": password or Form(prefix="password"),
        "token_form": token or Form(prefix="token"),
        "code_form": code or Form(prefix="code"),
        "made": made,
        "offered": offered,
        "picture": diagrams.dots(offered.address) if offered else "",
        "today": clocks.today(store),
    }
    return page(request, "accounts/own.html", title, context, status=status)


@router.get("/account")
def show_own(request: Request, actor: Viewer, store: StoreOf) -> Response:
    """One's own account."""
    return _own(request, store, actor)


@router.post("/account/password")
def do_change_password(request: Request, actor: Viewer, store: StoreOf, posted: PostedForm) -> Response:
    """Another password; this browser gets a new cookie, all others are signed out."""
    try:
        token = accounts.change_password(
            store, actor, posted.text("old_password"), posted.text("new_password"), posted.text("again")
        )
    except (Faults, TooManyTries) as refused:
        faults = refused.faults if isinstance(refused, Faults) else {"old_password": str(refused)}
        status = 422 if isinstance(refused, Faults) else 429
        form = _shown_again(posted, faults, "password")
        return _own(request, store, actor, password=form, title="Error: Your account", status=status)
    response = redirect(request, "/account", "password-changed")
    keep_cookie(request, response, token)
    return response


@router.post("/account/tokens")
def do_make_token(request: Request, actor: Viewer, store: StoreOf, posted: PostedForm) -> Response:
    """A new API token, shown on this answer and never again."""
    try:
        made = accounts.make_token(store, actor, posted.text("name"), may_write=posted.text("may_write") == "yes")
    except Faults as refused:
        form = form_of(posted.fields, refused.faults, "token")
        return _own(request, store, actor, token=form, title="Error: Your account", status=422)
    return _own(request, store, actor, made=made, title="Your new token")


@router.post("/account/tokens/{number}/end")
def do_end_token(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """End a token: one's own, or as the keeper anybody's."""
    whose = accounts.revoke_token(store, actor, number)
    return redirect(request, "/account" if whose == actor.id else f"/accounts/{whose}", "token-ended")


@router.post("/account/codes")
def do_offer_codes(request: Request, actor: Viewer, store: StoreOf, posted: PostedForm) -> Response:
    """A new secret for an authenticator app, shown on this answer and never again."""
    name = request.app.state.shop().name
    try:
        made = second_factor.offer(store, actor, posted.text("password"), posted.text("totp"), name)
    except (Faults, TooManyTries) as refused:
        return _codes_refused(request, store, actor, posted, refused, "password")
    return _own(request, store, actor, offered=made, title="Codes for signing")


@router.post("/account/codes/confirm")
def do_confirm_codes(request: Request, actor: Viewer, store: StoreOf, posted: PostedForm) -> Response:
    """The first code of the new device: from now on signing asks for one."""
    try:
        second_factor.confirm(store, actor, posted.text("totp"))
    except (Faults, TooManyTries) as refused:
        return _codes_refused(request, store, actor, posted, refused, "totp")
    return redirect(request, "/account", "codes-on")


def _codes_refused(
    request: Request, store: Store, actor: Actor, posted: Posted, refused: Faults | TooManyTries, field: str
) -> Response:
    faults = refused.faults if isinstance(refused, Faults) else {field: str(refused)}
    form = _shown_again(posted, faults, "code")
    status = 422 if isinstance(refused, Faults) else 429
    return _own(request, store, actor, code=form, title="Error: Your account", status=status)


@router.get("/accounts")
def show_accounts(request: Request, _actor: Keeper, store: StoreOf) -> Response:
    """Everybody who has an account."""
    context = {"accounts": accounts.list_accounts(store), "today": clocks.today(store)}
    return page(request, "accounts/list.html", "Accounts", context)


@router.get("/accounts/new")
def show_opening(request: Request, _actor: Keeper) -> Response:
    """The form for a new account."""
    form = form_of({"role": UserRole.RESTORER.value})
    return page(request, "accounts/new.html", "Open an account", {"form": form, "roles": ROLES})


@router.post("/accounts")
def do_open(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Open an account; a password that the register made is shown on this answer and never again."""
    typed = posted.text("password")
    password = typed or accounts.make_password()
    try:
        opened = accounts.open_account(store, actor, posted.fields, password=password)
    except Faults as refused:
        context = {"form": _shown_again(posted, refused.faults), "roles": ROLES}
        return page(request, "accounts/new.html", "Error: Open an account", context, status=422)
    if typed:
        return redirect(request, f"/accounts/{opened.id}", "account-opened")
    return _show_password(request, opened, password, "The account is open")


def _show_password(request: Request, whose: Actor, password: str, title: str) -> Response:
    return page(request, "accounts/password.html", title, {"whose": whose, "password": password})


@router.get("/accounts/{number}")
def show_account(request: Request, number: Number, _actor: Keeper, store: StoreOf) -> Response:
    """One account, to be changed."""
    return _show(request, store, number)


def _show(
    request: Request,
    store: Store,
    number: int,
    *,
    form: Form | None = None,
    password: Form | None = None,
    status: int = 200,
) -> Response:
    account = accounts.get_account(store, number)
    context: dict[str, Any] = {
        "account": account,
        "roles": ROLES,
        "form": form or _form_of(account),
        "password_form": password or Form(prefix="password"),
        "today": clocks.today(store),
    }
    title = f"{'Error: ' if status != 200 else ''}Account of {account.actor.name}"
    return page(request, "accounts/account.html", title, context, status=status)


def _form_of(account: accounts.Account) -> Form:
    actor = account.actor
    return form_of(
        {
            "name": actor.name,
            "role": actor.role.value,
            "licence_kind": actor.licence_kind,
            "licence_number": actor.licence_number,
            "licence_until": actor.licence_until.isoformat() if actor.licence_until else "",
            "is_active": "yes" if account.is_active else "",
            "version": str(account.version),
        }
    )


@router.post("/accounts/{number}")
def do_change(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Change name, role or licence; shut or open again."""
    try:
        accounts.change_account(store, actor, number, posted.fields)
    except (Faults, Overtaken) as refused:
        faults = refused.faults if isinstance(refused, Faults) else {"": f"{refused} Look at it and save again."}
        fields = dict(posted.fields)
        if isinstance(refused, Overtaken):
            fields["version"] = str(accounts.get_account(store, number).version)
        return _show(request, store, number, form=form_of(fields, faults), status=409 if faults.get("") else 422)
    return redirect(request, f"/accounts/{number}", "saved")


@router.post("/accounts/{number}/password")
def do_reset(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Another password for somebody who lost theirs: typed, or made and shown on this answer only."""
    typed = posted.text("password")
    password = typed or accounts.make_password()
    try:
        accounts.reset_password(store, actor, number, password)
    except Faults as refused:
        return _show(request, store, number, password=_shown_again(posted, refused.faults, "password"), status=422)
    whose = accounts.get_account(store, number).actor
    if whose.id == actor.id:
        return redirect(request, "/sign-in", "password-changed")
    if typed:
        return redirect(request, f"/accounts/{number}", "password-reset")
    return _show_password(request, whose, password, "The password is reset")


@router.post("/accounts/{number}/codes")
def do_take_off_codes(request: Request, number: Number, actor: Keeper, store: StoreOf) -> Response:
    """For somebody who lost the device: signing asks for no code until it is set up anew."""
    second_factor.take_off(store, actor, number)
    return redirect(request, f"/accounts/{number}", "codes-off")
