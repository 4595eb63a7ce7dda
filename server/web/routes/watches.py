"""Watches: saved searches, and what turned up for them."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults
from server.services.watches import end_watch, open_watch, own_watches, set_aside, watched_for
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import StoreOf, Viewer

router = APIRouter()


@router.get("/watches")
def show_watches(request: Request, actor: Viewer, store: StoreOf) -> Response:
    """One's own watches, and what turned up for them."""
    return _show(request, store, actor, Form())


def _show(request: Request, store: Store, actor: Viewer, form: Form, status: int = 200) -> Response:
    with store.read() as session:
        watched = watched_for(session, actor, most=60)
    context = {"watches": own_watches(store, actor), "watched": watched, "form": form}
    title = "Your watches"
    return page(request, "watches/watches.html", f"Error: {title}" if status == 422 else title, context, status=status)


@router.post("/watches")
def do_watch(request: Request, actor: Viewer, store: StoreOf, posted: PostedForm) -> Response:
    """Keep a search, and be told when something turns up for it."""
    try:
        open_watch(store, actor, posted.fields)
    except Faults as faults:
        return _show(request, store, actor, form_of(posted.fields, faults.faults), 422)
    return redirect(request, "/watches", "watching")


@router.post("/watches/{number}/end")
def do_end(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """End a watch."""
    end_watch(store, actor, number)
    return redirect(request, "/watches", "watch-ended")


@router.post("/watches/{number}/finds/{find_id}/set-aside")
def do_set_aside(
    request: Request, number: Number, find_id: Number, actor: Viewer, store: StoreOf, posted: PostedForm
) -> Response:
    """This find is not what the watch is for."""
    set_aside(store, actor, number, find_id)
    return redirect(request, "/watches" if posted.text("from") == "watches" else "/", "set-aside")
