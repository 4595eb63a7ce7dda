"""The API: needs."""

import re
from typing import Annotated, Any, Literal

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.domain.register import Need, UserRole
from server.services import finds, needs
from server.services.duplicates import needs_like
from server.services.place import MOST_PLIES
from server.services.yard import require
from server.storage.engine import Store
from server.storage.needs import NeedFilter, list_needs
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import (
    REQUIREMENT_FIELDS,
    DesignationIn,
    EnquiryIn,
    Given,
    JointIn,
    NeedEdit,
    NeedIn,
    ReasonIn,
    RequirementIn,
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
from server.web.api_models import NeedLineOut, NeedOut, Page
from server.web.posted import PostedForm
from server.web.who import StoreOf

router = APIRouter(prefix="/api/needs", tags=["needs"], responses=REFUSALS)

Id = Annotated[int | None, Query(ge=1, le=LAST)]
State = Literal["open", "met", "withdrawn", "all"]
Kind = Literal["designation", "requirement", "enquiry"]
_FURTHER = numbered("r", REQUIREMENT_FIELDS)
_PLIES = re.compile(rf"ply[1-{MOST_PLIES}]_(name|material|thickness|uncertainty)")
_OWN = (
    "item",
    "part_class",
    "zone",
    "side",
    "station",
    "arm",
    "chapter",
    "quantity_text",
    "quantity",
    "still_wanted",
    "wrong",
    "role",
    "note",
    "owner_id",
    "ref",
)


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


def _whole(store: Store, number: int) -> dict[str, Any]:
    return plain_need(needs.get_need(store, number))


def _held(need: Need, given: Given) -> Given:
    """A need's own fields as its form holds them; the pieces are counted anew where another quantity is sent."""
    held = typed_fields(need, _OWN)
    if "quantity_text" in given and given["quantity_text"] != need.quantity_text:
        held.pop("quantity")
    return held | {
        "aeroplane_id": str(need.aeroplane.id),
        "step_id": str(need.step.id) if need.step else "",
        "touches": ", ".join(need.touches),
    }


@router.post("/{number}/edit", summary="Change a need", response_model=NeedOut, responses=OVERTAKEN)
def change_one(number: Number, actor: ApiRestorer, store: StoreOf, body: NeedEdit) -> dict[str, Any]:
    """Change a need's own fields; what is left out stays as it is. Needs the role “restorer”."""
    given = body.given()
    needs.change_need(store, actor, number, over(_held(needs.get_need(store, number), given), given))
    return _whole(store, number)


@router.post("/{number}/withdraw", summary="Withdraw a need", response_model=NeedOut)
def withdraw_one(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Withdraw a need with a reason; refused while an approval stands on it. Needs the role “restorer”."""
    needs.withdraw_need(store, actor, number, str(body.given().get("reason", "")))
    return _whole(store, number)


@router.post("/{number}/designations", summary="Add a number or name", response_model=NeedOut)
def add_designation(number: Number, actor: ApiRestorer, store: StoreOf, body: DesignationIn) -> dict[str, Any]:
    """Add a number or name the part goes by; the need with it. Needs the role “restorer”."""
    needs.add_designation(store, actor, number, body.given())
    return _whole(store, number)


@router.post("/{number}/requirements", summary="Add what a source says of the original", response_model=NeedOut)
def add_requirement(number: Number, actor: ApiRestorer, store: StoreOf, body: RequirementIn) -> dict[str, Any]:
    """Add what one source says of one characteristic; the need with it. Needs the role “restorer”."""
    needs.add_requirement(store, actor, number, body.given())
    return _whole(store, number)


@router.post("/{number}/enquiries", summary="Note what was tried or who was asked", response_model=NeedOut)
def add_enquiry(number: Number, actor: ApiRestorer, store: StoreOf, body: EnquiryIn) -> dict[str, Any]:
    """Note what was tried, or who was asked with what answer; the need with it. Needs the role “restorer”."""
    needs.add_enquiry(store, actor, number, body.given())
    return _whole(store, number)


@router.post("/{number}/joint", summary="Enter the joint", response_model=NeedOut, responses=OVERTAKEN)
def set_joint(number: Number, actor: ApiRestorer, store: StoreOf, body: JointIn) -> dict[str, Any]:
    """Enter the joint in place of what was entered before; the need with it. Needs the role “restorer”."""
    needs.set_joint(store, actor, number, body.given(_PLIES))
    return _whole(store, number)


@router.post(
    "/{number}/attach", summary="Attach photographs and papers", response_model=NeedOut, openapi_extra=ATTACHED
)
def attach(request: Request, number: Number, actor: ApiRestorer, store: StoreOf, posted: PostedForm) -> dict[str, Any]:
    """Attach photographs and papers to a need; the need with them. Needs the role “restorer”."""
    sent = sent_of(posted)
    finds.attach(
        store,
        request.app.state.files,
        actor,
        photos=sent.photos,
        papers=sent.papers,
        need_id=number,
        caption=sent.caption,
    )
    return _whole(store, number)


@router.post("/entries/{kind}/{entry_id}/withdraw", summary="Withdraw an entry of a need", response_model=NeedOut)
def withdraw_entry(kind: Kind, entry_id: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Withdraw a designation, requirement or enquiry with a reason; its need. Needs the role “restorer”."""
    number = needs.withdraw_entry(store, actor, kind, entry_id, str(body.given().get("reason", "")))
    return _whole(store, number)


@router.post("/entries/requirement/{entry_id}/decide", summary="Decide between sources", response_model=NeedOut)
def decide(entry_id: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Where sources disagree: this requirement stands, with a reason; its need. Needs the role “restorer”."""
    number = needs.decide_requirement(store, actor, entry_id, str(body.given().get("reason", "")))
    return _whole(store, number)
