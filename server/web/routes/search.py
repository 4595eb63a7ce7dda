"""The one search box: open needs first, then finds, from whatever somebody has in mind."""

import re
from time import perf_counter
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import NotFound
from server.domain.parts import part_classes
from server.domain.specification import Role
from server.services.matching import first_hits, read_number
from server.services.needs import get_need
from server.services.searching import FINDS_AT_ONCE, NEEDS_AT_ONCE, WINDOW, Ranked, SearchFilter, search
from server.storage.engine import Store
from server.storage.finds import get_find_row
from server.storage.yard import list_aeroplanes, list_steps, list_suppliers
from server.web.posted import Form
from server.web.respond import page, redirect, wants_fragment
from server.web.who import StoreOf, Viewer

router = APIRouter()

LONGEST = 2000
STATES = [("open", "open"), ("met", "met"), ("withdrawn", "withdrawn"), ("all", "all")]
FILTERS = ("part_class", "aeroplane", "step", "role", "state", "place", "supplier")


@router.get("/search")
def show_search(
    request: Request,
    _actor: Viewer,
    store: StoreOf,
    q: Annotated[str, Query()] = "",
    needs: Annotated[int, Query(ge=1, le=WINDOW * 4)] = NEEDS_AT_ONCE,
    finds: Annotated[int, Query(ge=1, le=WINDOW * 4)] = FINDS_AT_ONCE,
) -> Response:
    """Needs and finds for a text in any words, units and spellings; a running number goes straight there.

    The whole question stands in the address. How long the answer took is in the header Server-Timing.
    """
    started = perf_counter()
    text = q.replace("\x00", " ")[:LONGEST]
    if (there := _straight_there(request, store, text)) is not None:
        return there
    typed = {name: request.query_params.get(name, "").strip()[:100] for name in FILTERS}
    if typed["state"] not in dict(STATES):
        typed["state"] = "all" if request.query_params.get("closed") else "open"
    found = search(store, text, _chosen(typed), needs_shown=needs, finds_shown=finds)
    context = {
        "text": text,
        "needs": found.needs,
        "finds": found.finds,
        "meant": found.meant,
        "closed": typed["state"] != "open",
        "form": Form(typed, {}, {}, "n"),
        "narrowed": any(typed[name] for name in FILTERS if name != "state") or typed["state"] != "open",
        "cut": len(q) > LONGEST,
        "more_needs": _more(request, "needs", needs, NEEDS_AT_ONCE, found.needs),
        "more_finds": _more(request, "finds", finds, FINDS_AT_ONCE, found.finds),
        **({} if wants_fragment(request) else _choices(store)),
    }
    title = f"Search: {text[:60]}" if text.strip() else "Search"
    response = page(request, "search/search.html", title, context, fragment="search/_results.html")
    took = {**found.took, "total": (perf_counter() - started) * 1000}
    response.headers["Server-Timing"] = ", ".join(f"{name};dur={time:.1f}" for name, time in took.items())
    return response


@router.get("/search/hits")
def show_hits(request: Request, _actor: Viewer, store: StoreOf, q: Annotated[str, Query()] = "") -> Response:
    """The first hits for what is being typed into the search box of every page: a piece of it."""
    text = q.replace("\x00", " ")[:LONGEST]
    needs, finds = first_hits(store, text)
    context = {"text": text, "needs": needs.hits, "finds": finds.hits}
    return page(request, "search/_hits.html", "Hits", context)


def _straight_there(request: Request, store: Store, text: str) -> Response | None:
    """The record of a running number: "N 147", "f12"; None where the text is none or there is no such record."""
    named = read_number(text)
    if named is None or wants_fragment(request):
        return None
    kind, number = named
    try:
        if kind == "need":
            get_need(store, number)
            return redirect(request, f"/needs/{number}")
        with store.read() as session:
            get_find_row(session, number)
        return redirect(request, f"/finds/{number}")
    except NotFound:
        return None


def _chosen(typed: dict[str, str]) -> SearchFilter:
    """The filters of the address; what can't be one narrows nothing."""
    numbers = {name: int(typed[name]) if re.fullmatch(r"\d{1,9}", typed[name]) else None for name in FILTERS}
    return SearchFilter(
        part_class=typed["part_class"] if typed["part_class"] in part_classes() else "",
        aeroplane_id=numbers["aeroplane"],
        step_id=numbers["step"],
        role=typed["role"] if typed["role"] in set(Role) else "",
        state=typed["state"],
        supplier_id=numbers["supplier"],
        place=typed["place"],
    )


def _more(request: Request, name: str, shown: int, at_once: int, ranked: Ranked) -> str:
    """The address with the next lines too; "" where there are none."""
    if ranked.total <= shown:
        return ""
    more = request.url.include_query_params(**{name: shown + at_once})
    return f"{more.path}?{more.query}#{name[0]}{shown + 1}"


def _choices(store: Store) -> dict[str, Any]:
    """What the filters' choices are made of."""
    with store.read() as session:
        planes, steps, suppliers = list_aeroplanes(session), list_steps(session), list_suppliers(session)
    names = {plane.id: plane.label for plane in planes}
    several = len(planes) > 1
    return {
        "classes": [(one.key, one.name) for one in sorted(part_classes().values(), key=lambda one: one.name)],
        "aeroplanes": [(plane.id, plane.label) for plane in planes],
        "steps": [
            (step.id, f"{names.get(step.aeroplane_id, '')}: {step.name}" if several else step.name) for step in steps
        ],
        "roles": [(one.value, one.value) for one in Role],
        "states": STATES,
        "suppliers": [(one.id, one.name) for one in suppliers],
    }
