"""How answers are made: a whole page, a fragment for htmx, or a redirect.

The only reader of the HX-* headers. A fragment is a template of its own
(_name.html) that its page includes, so that page and piece can't drift apart.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote

from fastapi import Request
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.responses import HTMLResponse, RedirectResponse, Response

from server.domain.register import Actor
from server.settings import TEMPLATES
from server.web import wording


@dataclass(frozen=True, slots=True)
class Page:
    """What every page knows of itself."""

    title: str
    account: Actor | None
    register_name: str
    is_demo: bool
    path: str
    query: str = ""
    notice: str = ""


def make_environment() -> Environment:
    """The template environment: everything escaped, every missing name an error."""
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(wording.FILTERS)
    environment.globals.update(wording.GLOBALS)
    return environment


ENVIRONMENT = make_environment()


def wants_fragment(request: Request) -> bool:
    """True where htmx asks for a piece of the page and not for a page out of its history."""
    headers = request.headers
    return headers.get("hx-request") == "true" and headers.get("hx-history-restore-request") != "true"


def page(
    request: Request,
    template: str,
    title: str,
    context: Mapping[str, Any] | None = None,
    *,
    status: int = 200,
    fragment: str = "",
) -> Response:
    """A page; or, where htmx asks and a fragment template is named, only that."""
    shop = request.app.state.shop()
    about = Page(
        title=title,
        account=getattr(request.state, "actor", None),
        register_name=shop.name,
        is_demo=shop.is_demo,
        path=request.url.path,
        query=request.query_params.get("q", ""),
        notice=NOTICES.get(request.query_params.get("said", ""), ""),
    )
    known = {"page": about, **(context or {})}
    chosen = fragment if fragment and wants_fragment(request) else template
    with wording.shown_in(shop.zone):
        body = ENVIRONMENT.get_template(chosen).render(known)
    return HTMLResponse(body, status, headers={"Vary": "HX-Request"})


def redirect(request: Request, url: str, said: str = "") -> Response:
    """Go to another page: 303 for a browser, HX-Redirect for htmx. `said` is a key of NOTICES."""
    target = url if not said else f"{url}{'&' if '?' in url else '?'}said={quote(said)}"
    if wants_fragment(request):
        return Response(status_code=204, headers={"HX-Redirect": target})
    return RedirectResponse(target, status_code=303)


NOTICES: dict[str, str] = {
    "saved": "Saved.",
    "opened": "The need is open.",
    "logged": "The find is kept.",
    "proposed": "Proposed. The check was run on what is known now.",
    "asked": "Kept. It shows on the bench of whoever has to answer.",
    "codes-on": "From now on signing asks for a code from your authenticator app.",
    "codes-off": "The codes are taken off; signing asks for the password alone until they are set up anew.",
    "signed": "Signed. The record is frozen.",
    "withdrawn": "Withdrawn, with its reason; nothing was deleted.",
    "added": "Added.",
    "decided": "Decided, with its reason.",
    "token": "The token is made. Copy it now: it is not shown again.",
    "signed-out": "Signed out.",
    "set-aside": "Set aside.",
    "joined": "Added to what is there already.",
    "rechecked": "Checked again on what is known now.",
    "judged": "Your judgement is kept.",
    "password-changed": "The password is changed. All other browsers are signed out.",
    "password-reset": "The password is reset. Their browsers are signed out.",
    "account-opened": "The account is open.",
    "token-ended": "The token is ended; nothing gets in with it any more.",
    "step-done": "Marked done.",
    "step-ahead": "Taken back: the step is ahead again.",
    "confirmed": "Noted: they answered today.",
    "zone-set": "From now on times are shown by these clocks.",
    "renamed": "The register has its new name.",
    "tightened": "What counts is changed; each change is in the log. Open proposals are judged by it from now on.",
    "unchanged": "Nothing was changed.",
    "word-proposed": "Proposed. The keeper decides; nothing is read by it before.",
    "word-accepted": "Accepted. Searches are read by it from now on, and the records that hold it are read anew.",
    "word-refused": "Refused, with its reason; it is not proposed again.",
    "words-found": "The records were read; what they suggest stands below.",
    "words-none": "The records were read; they suggest no new word.",
    "reading-on": "Reading on; look again in a moment.",
    "watching": "You will see it on your bench when something turns up for this.",
    "watch-ended": "You are no longer told about this.",
    "rule-changed": "The rule is changed; it is in the log. Open proposals are signed by it from now on.",
    "first-signed": "The first signature is kept. Another person has to give the second; the need stays open.",
    "condition-closed": "Closed by a signed entry; the record is frozen.",
}
