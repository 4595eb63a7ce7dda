"""The API: finds."""

from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.domain.register import Find, UserRole
from server.services import finds
from server.services.duplicates import finds_like, was_captured
from server.services.typed import Typed
from server.services.yard import require
from server.storage.engine import Store
from server.storage.finds import FindFilter, list_finds
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import (
    STATEMENT_FIELDS,
    EvidenceIn,
    FindEdit,
    FindIn,
    Given,
    ReasonIn,
    StatementIn,
    numbered,
)
from server.web.api_change import ATTACHED, over, sent_of, typed_fields
from server.web.api_kit import (
    ASKED,
    CREATED,
    MOST,
    OVERTAKEN,
    REFUSALS,
    ApiReader,
    ApiRestorer,
    ApiWriter,
    address_of,
    asked,
    page_of,
)
from server.web.api_models import FindLineOut, FindOut, Page
from server.web.posted import PostedForm
from server.web.who import StoreOf

router = APIRouter(prefix="/api/finds", tags=["finds"], responses=REFUSALS)

State = Literal["here", "unproposed", "withdrawn", "all"]
Kind = Literal["statement", "evidence"]
_OWN = (
    "text",
    "part_class",
    "origin",
    "condition",
    "quantity_text",
    "quantity",
    "smallest_lot",
    "price_text",
    "lead_time",
    "bin",
    "finish_to_come",
    "note",
    "ref",
)
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


def _whole(store: Store, number: int) -> dict[str, Any]:
    return plain_find(finds.get_find(store, number))


def _held(find: Find, given: Given) -> Given:
    """A find's own fields as its form holds them; the pieces are counted anew where another quantity is sent."""
    held = typed_fields(find, _OWN)
    if "quantity_text" in given and given["quantity_text"] != find.quantity_text:
        held.pop("quantity")
    # a name that is sent stands instead of the supplier that is held
    kept = str(find.supplier.id) if find.supplier and not given.get("from_whom") else ""
    return held | {"supplier_id": kept}


@router.post("/{number}/edit", summary="Change a find", response_model=FindOut, responses=OVERTAKEN)
def change_one(number: Number, actor: ApiRestorer, store: StoreOf, body: FindEdit) -> dict[str, Any]:
    """Change a find's own fields; what is left out stays as it is. Needs the role “restorer”."""
    given = body.given()
    finds.change_find(store, actor, number, over(_held(finds.get_find(store, number), given), given))
    return _whole(store, number)


@router.post("/{number}/withdraw", summary="Withdraw a find", response_model=FindOut)
def withdraw_one(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Withdraw a find with a reason. Needs the role “restorer”."""
    finds.withdraw_find(store, actor, number, str(body.given().get("reason", "")))
    return _whole(store, number)


@router.post("/{number}/statements", summary="Add what is claimed or was measured", response_model=FindOut)
def add_statement(number: Number, actor: ApiRestorer, store: StoreOf, body: StatementIn) -> dict[str, Any]:
    """Add one characteristic, claimed or measured; the find with it. Needs the role “restorer”."""
    finds.add_statement(store, actor, number, body.given())
    return _whole(store, number)


@router.post("/{number}/evidence", summary="Add a piece of provenance", response_model=FindOut)
def add_evidence(number: Number, actor: ApiRestorer, store: StoreOf, body: EvidenceIn) -> dict[str, Any]:
    """Add a piece of provenance; the find with it. Needs the role “restorer”."""
    finds.add_evidence(store, actor, number, body.given())
    return _whole(store, number)


@router.post(
    "/{number}/attach", summary="Attach photographs and papers", response_model=FindOut, openapi_extra=ATTACHED
)
def attach(request: Request, number: Number, actor: ApiRestorer, store: StoreOf, posted: PostedForm) -> dict[str, Any]:
    """Attach photographs and papers to a find; the find with them. Needs the role “restorer”."""
    sent = sent_of(posted)
    finds.attach(
        store,
        request.app.state.files,
        actor,
        photos=sent.photos,
        papers=sent.papers,
        find_id=number,
        caption=sent.caption,
    )
    return _whole(store, number)


@router.post("/entries/{kind}/{entry_id}/withdraw", summary="Withdraw an entry of a find", response_model=FindOut)
def withdraw_entry(kind: Kind, entry_id: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Withdraw a statement or a piece of provenance with a reason; its find. Needs the role “restorer”."""
    number = finds.withdraw_entry(store, actor, kind, entry_id, str(body.given().get("reason", "")))
    return _whole(store, number)
