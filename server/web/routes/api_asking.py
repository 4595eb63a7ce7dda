"""The API: the log, and the one question that goes over needs and finds."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query

from server.domain.errors import Faults
from server.domain.parts import part_classes
from server.domain.plain import as_plain
from server.domain.specification import Role
from server.services.searching import FINDS_AT_ONCE, NEEDS_AT_ONCE, WINDOW, SearchFilter, search
from server.storage.log import read_log
from server.web.addresses import LAST, After
from server.web.api_kit import MOST, REFUSALS, ApiReader, page_of
from server.web.api_models import FoundOut, LogOut, Page
from server.web.log_words import read_about
from server.web.who import StoreOf

router = APIRouter(prefix="/api", responses=REFUSALS)

Id = Annotated[int | None, Query(ge=1, le=LAST)]
Shown = Annotated[int, Query(ge=1, le=WINDOW * 4)]
State = Literal["open", "met", "withdrawn", "all"]


@router.get("/log", summary="Read the log", tags=["log"], response_model=Page[LogOut])
def read_it(
    _actor: ApiReader,
    store: StoreOf,
    about: Annotated[str, Query(max_length=60, description="A record: “N 147”, “F 312”, “step 4”, “need/147”.")] = "",
    after: After = 0,
    most: Annotated[int, Query(ge=1, le=MOST)] = 50,
) -> dict[str, Any]:
    """Every change, the newest first, of the whole register or of one record; numbers go down from page to page."""
    subject = read_about(about)
    if subject is None:
        raise Faults({"about": f"“{about}” names no record; write it as N 147, F 312, step 4 or supplier 9."})
    with store.read() as session:
        lines = read_log(session, subject, before=after, most=most + 1)
    return page_of(lines, most, [as_plain(line) for line in lines])


@router.get("/search", summary="Search needs and finds", tags=["search"], response_model=FoundOut)
def search_them(
    _actor: ApiReader,
    store: StoreOf,
    q: Annotated[str, Query(min_length=1, max_length=2000, description="In any words, units and spellings.")],
    part_class: Annotated[str, Query(max_length=60)] = "",
    aeroplane_id: Id = None,
    step_id: Id = None,
    role: Annotated[str, Query(max_length=60)] = "",
    state: State = "open",
    supplier_id: Id = None,
    place: Annotated[str, Query(max_length=100, description="A piece of zone or station, or of where it lies.")] = "",
    needs: Shown = NEEDS_AT_ONCE,
    finds: Shown = FINDS_AT_ONCE,
) -> Any:
    """Needs and finds that may be meant, best first, with what speaks for each: as the search box answers."""
    faults: dict[str, str] = {}
    if part_class and part_class not in part_classes():
        faults["part_class"] = f"There is no part class “{part_class}”."
    if role and role not in set(Role):
        faults["role"] = f"“{role}” is none of: {', '.join(Role)}."
    if faults:
        raise Faults(faults)
    chosen = SearchFilter(part_class, aeroplane_id, step_id, role, state, supplier_id, place.strip())
    found = search(store, q, chosen, needs_shown=needs, finds_shown=finds)
    plain = {"needs": as_plain(found.needs), "finds": as_plain(found.finds)}
    for side in plain.values():
        for hit in side["hits"]:
            hit["number"] = hit["number"].replace("\u00a0", " ")
    return plain
