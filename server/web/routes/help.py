"""Help: what the register answers, how, and what it never decides. Open to everybody."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.web.respond import page
from server.web.who import NotSignedIn, signed_in

router = APIRouter()


@router.get("/help")
def show_help(request: Request) -> Response:
    """The help page; whoever is signed in keeps the account's menu."""
    try:
        signed_in(request)
    except NotSignedIn:
        request.state.actor = None
    return page(request, "help/help.html", "Help", {})
