"""The bench: what holds up the next steps, what waits for somebody, what turned up."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.services import clocks
from server.services.bench import bench_of, set_aside
from server.web.addresses import Number
from server.web.respond import page, redirect
from server.web.who import Restorer, StoreOf, Viewer

router = APIRouter()


@router.get("/")
def show_bench(request: Request, actor: Viewer, store: StoreOf) -> Response:
    """The first page after signing in."""
    context = {"bench": bench_of(store, actor), "today": clocks.today(store)}
    return page(request, "bench/bench.html", "Bench", context)


@router.post("/turned-up/{need_id}/{find_id}/set-aside")
def do_set_aside(request: Request, need_id: Number, find_id: Number, actor: Restorer, store: StoreOf) -> Response:
    """This find is not for that need."""
    set_aside(store, actor, need_id, find_id)
    return redirect(request, "/", "set-aside")
