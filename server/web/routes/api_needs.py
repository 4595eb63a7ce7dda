"""The API: needs."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.domain.register import Need, UserRole
from server.services import needs
from server.services.duplicates import needs_like
from server.services.yard import require
from server.storage.needs import NeedFilter, list_needs
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import REQUIREMENT_FIELDS, NeedIn, numbered
from server.web.api_kit import ASKED, CREATED, MOST, REFUSALS, ApiReader, ApiWriter, address_of, asked, page_of
from server.web.api_models import NeedLineOut, NeedOut, Page
from server.web.who import StoreOf

router = APIRouter(prefix="/api/needs", tags=["needs"], responses=REFUSALS)

Id = Annotated[int | None, Query(ge=1, le=LAST)]
State = Literal["open", "met", "withdrawn", "all"]
_FURTHER = numbered("r", REQUIREMENT_FIELDS)


def plain_need(need: Need) -> dict[str, Any]:
    """A need as the API answers it."""
    return {**as_plain(need), "number": need.number.replace("\u00a0", " ")}


@router.get("", summary="List needs", response_model=Page[NeedLineOut])
def list_them(
    _actor: ApiReader,
    store: StoreOf,
    state: State = "open",
    aeroplane_id: Id = None,
    step_id: Id = None,
    part_class: Annotated[str, Query(max_length=60)] = "",
    place: Annotated[str, Query(max_length=100, description="A piece of zone or station.")] = "",
    after: After = 0,
    most: Annotated[int, Query(ge=1, le=MOST)] = 50,
) -> dict[str, Any]:
    """Needs in order of their number."""
    chosen = NeedFilter(
        aeroplane_id=aeroplane_id, step_id=step_id, part_class=part_class, state=state, place=place.strip()
    )
    with store.read() as session:
        lines = list_needs(session, chosen, after=after, most=most + 1)
    plain = [{**as_plain(line), "number": line.number.replace("\u00a0", " ")} for line in lines]
    return page_of(lines, most, plain)


@router.post("", summary="Open a need", status_code=201, response_model=NeedOut, responses=CREATED | ASKED)
def open_one(
    request: Request, response: Response, actor: ApiWriter, store: StoreOf, body: NeedIn
) -> dict[str, Any] | Response:
    """Open a need with what is known of its original. Needs the role “restorer”.

    Where one of the same aeroplane that is open looks like it, nothing is kept and it is answered with 409 and those
    that do; `anyway` opens it all the same.
    """
    require(actor, UserRole.RESTORER)
    given = body.given(_FURTHER)
    if not body.anyway and (alike := needs_like(store, given)):
        return asked(alike)
    number = needs.open_need(store, actor, given)
    response.headers["Location"] = address_of(request, f"/api/needs/{number}")
    return plain_need(needs.get_need(store, number))


@router.get("/{number}", summary="Read a need", response_model=NeedOut)
def read_one(number: Number, _actor: ApiReader, store: StoreOf) -> dict[str, Any]:
    """A need with all that is known of its original."""
    return plain_need(needs.get_need(store, number))
