"""The API: photographs and papers, whichever record they belong to."""

from typing import Any

from fastapi import APIRouter, Request, Response

from server.services import finds, needs
from server.services.finds import withdraw_attachment
from server.web.addresses import Number
from server.web.api_bodies import ReasonIn
from server.web.api_kit import REFUSALS, ApiReader, ApiRestorer
from server.web.api_models import FindOut, NeedOut
from server.web.routes.api_finds import plain_find
from server.web.routes.api_needs import plain_need
from server.web.routes.finds import get_attachment, show_file
from server.web.who import StoreOf

router = APIRouter(prefix="/api/files", tags=["files"], responses=REFUSALS)

_BYTES = {"schema": {"type": "string", "format": "binary"}}
SERVED: dict[int | str, dict[str, Any]] = {
    200: {
        "description": "The bytes: a photograph as JPEG, a paper as it came, to be kept and not shown.",
        "content": {"image/jpeg": _BYTES, "application/octet-stream": _BYTES},
    }
}


@router.get("/{number}", summary="Read a photograph or paper", response_class=Response, responses=SERVED)
def read_one(request: Request, number: Number, actor: ApiReader, store: StoreOf) -> Response:
    """The bytes of a photograph or paper; its number stands among the attachments of its record."""
    return show_file(request, number, actor, store)


@router.post("/{number}/withdraw", summary="Withdraw a photograph or paper", response_model=NeedOut | FindOut)
def withdraw_one(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> dict[str, Any]:
    """Withdraw a photograph or paper with a reason; its need or find. The bytes stay. Needs the role “restorer”."""
    withdraw_attachment(store, actor, number, str(body.given().get("reason", "")))
    row = get_attachment(store, number)
    if row.need_id is not None:
        return plain_need(needs.get_need(store, row.need_id))
    assert row.find_id is not None
    return plain_find(finds.get_find(store, row.find_id))
