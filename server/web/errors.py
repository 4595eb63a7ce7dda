"""Refusals and faults as pages (or as JSON for the API): one handler for all of them."""

import logging
import secrets
from urllib.parse import quote

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from server.domain.errors import Faults, NotAllowed, NotFound, Overtaken, Refused
from server.services.accounts import TooManyTries, who_is
from server.web.api_change import overtaken_answer
from server.web.respond import page, redirect, wants_fragment
from server.web.who import COOKIE, NotSignedIn

LOG = logging.getLogger("makegood")

TITLES = {
    400: "This could not be read",
    401: "You are signed out",
    403: "Not with this account",
    404: "Not in this register",
    405: "This page can't do that",
    409: "Somebody was faster",
    413: "Too large",
    422: "Something is missing",
    429: "Wait a little",
    500: "Something broke here",
}


WITH_WORDS = frozenset({400, 401, 403, 404, 409, 413, 422, 500})
"""Statuses with a page of their own; the rest say their title and sentence."""


def status_of(refused: Refused) -> int:
    """The HTTP status of a refusal."""
    for kind, status in ((NotFound, 404), (NotAllowed, 403), (Overtaken, 409), (TooManyTries, 429)):
        if isinstance(refused, kind):
            return status
    return 422


def error_page(request: Request, status: int, sentence: str, reference: str = "") -> Response:
    """The page of an error; JSON under /api."""
    if request.url.path.startswith("/api/"):
        return JSONResponse({"refused": sentence, "reference": reference}, status)
    if status != 500 and not hasattr(request.state, "actor"):  # no route asked who it is: an address that leads nowhere
        request.state.actor = who_is(request.app.state.store, request.cookies.get(COOKIE, ""))
    title = TITLES.get(status, TITLES[400])
    template = f"errors/{status}.html" if status in WITH_WORDS else "errors/error.html"
    context = {"detail": sentence, "reference": reference, "fragment": wants_fragment(request)}
    return page(request, template, title, context, status=status)


def add_handlers(app: FastAPI) -> None:
    """Give the application its one way of saying no."""

    @app.exception_handler(NotSignedIn)
    def not_signed_in(request: Request, error: NotSignedIn) -> Response:
        if request.url.path.startswith("/api/"):
            return JSONResponse({"refused": str(error), "reference": ""}, 401, {"WWW-Authenticate": "Bearer"})
        if wants_fragment(request) or request.method != "GET":
            # somebody is in the middle of a form: to be led away would lose what they typed
            return error_page(request, 401, "Your time at this browser was up.")
        return redirect(request, f"/sign-in?next={quote(request.url.path)}")

    @app.exception_handler(Refused)
    def refused(request: Request, error: Refused) -> Response:
        if isinstance(error, Faults) and request.url.path.startswith("/api/"):
            return JSONResponse({"refused": "Some fields need another look.", "faults": error.faults}, 422)
        if isinstance(error, Overtaken) and request.url.path.startswith("/api/"):
            return overtaken_answer(error)
        return error_page(request, status_of(error), str(error))

    @app.exception_handler(HTTPException)
    def http_error(request: Request, error: HTTPException) -> Response:
        sentences = {404: "There is nothing at this address.", 405: "This address does not take that kind of request."}
        return error_page(request, error.status_code, sentences.get(error.status_code, str(error.detail)))

    @app.exception_handler(RequestValidationError)
    def unreadable(request: Request, error: RequestValidationError) -> Response:
        fields = ", ".join(str(fault["loc"][-1]) for fault in error.errors())
        if request.url.path.startswith("/api/"):
            faults = {str(fault["loc"][-1]): str(fault["msg"]) for fault in error.errors()}
            return JSONResponse({"refused": "Some fields need another look.", "faults": faults}, 422)
        status = 404 if any(fault["loc"][0] == "path" for fault in error.errors()) else 422
        return error_page(request, status, f"This part of the address or form could not be read: {fields}.")

    @app.exception_handler(Exception)
    def broken(request: Request, error: Exception) -> Response:
        reference = secrets.token_hex(4)
        LOG.error("fault %s at %s %s", reference, request.method, request.url.path, exc_info=error)
        return error_page(request, 500, "Nothing was saved. Tell the keeper of the register this reference.", reference)
