"""The API: finds."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.domain.register import Find, UserRole
from server.services import finds
from server.services.duplicates import finds_like, was_captured
from server.services.typed import Typed
from server.services.yard import require
from server.storage.finds import FindFilter, list_finds
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import STATEMENT_FIELDS, FindIn, numbered
from server.web.api_kit import ASKED, CREATED, MOST, REFUSALS, ApiReader, ApiWriter, address_of, asked, page_of
from server.web.api_models import FindLineOut, FindOut, Page
from server.web.who import StoreOf

router = APIRouter(prefix="/api/finds", tags=["finds"], responses=REFUSALS)

State = Literal["here", "unproposed", "withdrawn", "all"]
_FURTHER = numbered("m", STATEMENT_FIELDS)


def plain_find(find: Find) -> dict[str, Any]:
    """A find as the API answers it."""
    return {**as_plain(find), "number": find.number.replace("\u00a0", " ")}


@router.get("", summary="List finds", response_model=Page[FindLineOut])
def list_them(
    _actor: ApiReader,
    store: StoreOf,
    state: State = "here",
    part_class: Annotated[str, Query(max_length=60, description="“?” for finds that are not told apart.")] = "",
    supplier_id: Annotated[int | None, Query(ge=1, le=LAST)] = None,
    place: Annotated[str, Query(max_length=100, description="A piece of where it lies.")] = "",
    after: After = 0,
    most: Annotated[int, Query(ge=1, le=MOST)] = 50,
) -> dict[str, Any]:
    """Finds, the newest first; `after` is the last number of the page before, and numbers go down."""
    chosen = FindFilter(part_class=part_class, supplier_id=supplier_id, state=state, place=place.strip())
    with store.read() as session:
        lines = list_finds(session, chosen, before=after, most=most + 1)
    plain = [{**as_plain(line), "number": line.number.replace("\u00a0", " ")} for line in lines]
    return page_of(lines, most, plain)


@router.post("", summary="Log a find", status_code=201, response_model=FindOut, responses=CREATED | ASKED)
def log_one(
    request: Request, response: Response, actor: ApiWriter, store: StoreOf, body: FindIn
) -> dict[str, Any] | Response:
    """Log a find with what is claimed and measured. Needs the role “restorer”.

    With a `capture_id` sent before, the find it became comes back and nothing is kept twice. Where one in stock looks
    like it, nothing is kept and it is answered with 409 and those that do; `anyway` keeps it all the same.
    """
    require(actor, UserRole.RESTORER)
    given = body.given(_FURTHER)
    is_asked = not body.anyway and not was_captured(store, Typed(given).raw("capture_id"))
    if is_asked and (alike := finds_like(store, given)):
        return asked(alike)
    number = finds.log_find(store, request.app.state.files, actor, given)
    response.headers["Location"] = address_of(request, f"/api/finds/{number}")
    return plain_find(finds.get_find(store, number))


@router.get("/{number}", summary="Read a find", response_model=FindOut)
def read_one(number: Number, _actor: ApiReader, store: StoreOf) -> dict[str, Any]:
    """A find with all that is claimed and measured."""
    return plain_find(finds.get_find(store, number))
