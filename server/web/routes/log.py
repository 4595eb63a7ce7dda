"""The log: every change once, newest first, of the whole register or of one record."""

from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.register import UserRole
from server.storage.log import read_log
from server.web.addresses import LAST
from server.web.log_words import about_words, log_words, read_about
from server.web.posted import form_of
from server.web.respond import page
from server.web.who import StoreOf, Viewer

router = APIRouter()

PAGE = 50


@router.get("/log")
def show_log(
    request: Request,
    actor: Viewer,
    store: StoreOf,
    about: Annotated[str, Query(max_length=60)] = "",
    before: Annotated[int, Query(ge=0, le=LAST)] = 0,
) -> Response:
    """The log; of one record where the address names it."""
    subject = read_about(about)
    faults = {}
    if subject is None:
        faults["about"] = f"“{about}” names no record; write it as N 147, F 312, step 4 or supplier 9."
    with store.read() as session:
        lines = [] if subject is None else read_log(session, subject, before=before, most=PAGE + 1)
    shown = lines[:PAGE]
    narrowed = {"about": subject} if subject else {}
    more = {**narrowed, "before": shown[-1].id} if len(lines) > PAGE else {}
    context = {
        "lines": [log_words(line, is_keeper=actor.may(UserRole.KEEPER)) for line in shown],
        "subject": subject or "",
        "about": about_words(subject) if subject else "",
        "form": form_of({"about": about}, faults),
        "next_url": f"/log?{urlencode(more)}" if more else "",
        "back_url": f"/log?{urlencode(narrowed)}" if before else "",
    }
    return page(request, "log/log.html", "Error: Log" if faults else "Log", context, status=422 if faults else 200)
