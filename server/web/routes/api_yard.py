"""The API: aeroplanes, steps of assembly, suppliers. To read; they are kept on the pages."""

from typing import Annotated, Any

from fastapi import APIRouter, Query

from server.domain.plain import as_plain
from server.services import clocks, steps
from server.storage import yard
from server.web.addresses import LAST, After
from server.web.api_kit import MOST, REFUSALS, ApiReader, page_of
from server.web.api_models import AeroplaneOut, Page, StepOnBoard, SupplierOut
from server.web.who import StoreOf

router = APIRouter(prefix="/api", tags=["yard"], responses=REFUSALS)

Most = Annotated[int, Query(ge=1, le=MOST)]


def _from(records: list[Any], after: int, most: int) -> list[Any]:
    """The records of a page and one more, in order of their number."""
    return sorted((one for one in records if one.id > after), key=lambda one: one.id)[: most + 1]


@router.get("/aeroplanes", summary="List aeroplanes", response_model=Page[AeroplaneOut])
def list_aeroplanes(_actor: ApiReader, store: StoreOf, after: After = 0, most: Most = 50) -> dict[str, Any]:
    """Aeroplanes in order of their number, without those that were withdrawn."""
    with store.read() as session:
        found = _from(yard.list_aeroplanes(session), after, most)
    return page_of(found, most, [as_plain(one) for one in found])


@router.get("/suppliers", summary="List suppliers", response_model=Page[SupplierOut])
def list_suppliers(_actor: ApiReader, store: StoreOf, after: After = 0, most: Most = 50) -> dict[str, Any]:
    """Suppliers in order of their number, without those that were withdrawn."""
    with store.read() as session:
        found = _from(yard.list_suppliers(session), after, most)
    return page_of(found, most, [as_plain(one) for one in found])


@router.get("/steps", summary="List steps of assembly", response_model=Page[StepOnBoard])
def list_steps(
    _actor: ApiReader,
    store: StoreOf,
    aeroplane_id: Annotated[int | None, Query(ge=1, le=LAST)] = None,
    after: After = 0,
    most: Most = 50,
) -> dict[str, Any]:
    """Steps in order of their number, with what holds each one up; `place_in_order` says how they follow."""
    boards = steps.list_boards(store, clocks.today(store), aeroplane_id)
    lines = {line.step.id: line for board in boards for line in board.lines}
    found = _from([line.step for line in lines.values()], after, most)
    plain = [
        {
            **as_plain(one),
            "open_needs": lines[one.id].open_needs,
            "waits_for": [before.id for before in lines[one.id].waits_for],
            "days_late": lines[one.id].days_late,
        }
        for one in found
    ]
    return page_of(found, most, plain)
