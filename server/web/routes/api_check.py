"""The API: the comparison by itself. Nothing is kept."""

from typing import Annotated, Any

from fastapi import APIRouter, Query

from server.domain.plain import as_plain
from server.services.candidates import check_in
from server.services.check_file import read_check
from server.services.finds import get_find
from server.services.needs import get_need, wanted_of
from server.web.addresses import LAST
from server.web.api_bodies import CheckIn
from server.web.api_kit import REFUSALS, ApiReader
from server.web.api_models import SheetOut
from server.web.who import StoreOf

router = APIRouter(prefix="/api/check", tags=["check"], responses=REFUSALS)


@router.post("", summary="Check a need and a find given as JSON", response_model=SheetOut)
def check_given(_actor: ApiReader, store: StoreOf, body: CheckIn) -> Any:
    """The comparison sheet of a need and a find that need not be in the register; the shop's own rules hold.

    A token that may only read is enough, since nothing is kept.
    """
    wanted, offered = read_check(body.model_dump())
    with store.read() as session:
        return as_plain(check_in(session, wanted, offered))


@router.get("", summary="Check a find of the register against a need", response_model=SheetOut)
def check_known(
    _actor: ApiReader,
    store: StoreOf,
    need_id: Annotated[int, Query(ge=1, le=LAST)],
    find_id: Annotated[int, Query(ge=1, le=LAST)],
) -> Any:
    """The comparison sheet on what is known now, without proposing anything."""
    need, find = get_need(store, need_id), get_find(store, find_id)
    with store.read() as session:
        return as_plain(check_in(session, wanted_of(need), find.offered()))
