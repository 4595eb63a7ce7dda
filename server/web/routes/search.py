"""The one search box: open needs first, then finds, from whatever somebody has in mind."""

import re
from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import NotFound
from server.services.matching import MatchAnswer, finds_for_text, needs_for_text
from server.services.needs import get_need
from server.storage.finds import get_find_row
from server.storage.search_index import Scope
from server.web.respond import page, redirect, wants_fragment
from server.web.who import StoreOf, Viewer

router = APIRouter()

_NUMBER = re.compile(r"\s*([NnFf])\s*[-.]?\s*0*(\d{1,9})\s*")
LONGEST = 2000


@router.get("/search")
def show_search(
    request: Request,
    _actor: Viewer,
    store: StoreOf,
    q: Annotated[str, Query()] = "",
    closed: Annotated[str, Query()] = "",
) -> Response:
    """Needs and finds for a text in any words, units and spellings; a running number goes straight there."""
    text = q.replace("\x00", " ")[:LONGEST]
    exact = _NUMBER.fullmatch(text)
    if exact and not wants_fragment(request):
        kind, number = exact.group(1).upper(), int(exact.group(2))
        try:
            if kind == "N":
                get_need(store, number)
                return redirect(request, f"/needs/{number}")
            with store.read() as session:
                get_find_row(session, number)
            return redirect(request, f"/finds/{number}")
        except NotFound:
            pass
    needs = needs_for_text(store, text, limit=20, scope=Scope("need", open_only=not closed))
    finds = finds_for_text(store, text, limit=10) if text.strip() else MatchAnswer()
    context = {"text": text, "needs": needs, "finds": finds, "closed": closed, "cut": len(q) > LONGEST}
    title = f"Search: {text[:60]}" if text.strip() else "Search"
    return page(request, "search/search.html", title, context, fragment="search/_results.html")
