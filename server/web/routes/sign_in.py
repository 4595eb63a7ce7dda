"""Signing in and out."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults
from server.services.accounts import TooManyTries, sign_in, sign_out
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import COOKIE, StoreOf, keep_cookie

router = APIRouter()


def _inside(url: str) -> str:
    """A target on this register, else the bench: nobody is sent elsewhere after signing in."""
    is_path = url.startswith("/") and not url.startswith("//")
    # a browser reads "\\" as "/" and drops tabs and line ends: both could make a path another site
    return url if is_path and "\\" not in url and url.isprintable() else "/"


@router.get("/sign-in")
def show_sign_in(request: Request, next: str = "/") -> Response:  # noqa: A002  (the word in the address)
    """The sign-in page."""
    return page(request, "accounts/sign_in.html", "Sign in", {"form": Form(), "next": _inside(next)})


@router.post("/sign-in")
def do_sign_in(request: Request, posted: PostedForm, store: StoreOf) -> Response:
    """Check the pair and start a signed-in browser; the old session, if any, ends."""
    target = _inside(posted.text("next") or "/")
    try:
        token, _ = sign_in(store, posted.text("sign_in"), posted.text("password"))
    except (Faults, TooManyTries) as refused:
        faults = refused.faults if isinstance(refused, Faults) else {"password": str(refused)}
        shown = {**posted.fields, "password": ""}
        status = 422 if isinstance(refused, Faults) else 429
        context = {"form": form_of(shown, faults), "next": target}
        return page(request, "accounts/sign_in.html", "Error: Sign in", context, status=status)
    if before := request.cookies.get(COOKIE):
        sign_out(store, before)
    response = redirect(request, target)
    keep_cookie(request, response, token)
    return response


@router.post("/sign-out")
def do_sign_out(request: Request, store: StoreOf) -> Response:
    """End this signed-in browser."""
    sign_out(store, request.cookies.get(COOKIE, ""))
    response = redirect(request, "/sign-in", "signed-out")
    response.delete_cookie(COOKIE, path="/")
    return response
