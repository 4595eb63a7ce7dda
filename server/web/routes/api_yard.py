"""The API: aeroplanes, steps of assembly, suppliers."""

from typing import Annotated, Any

from fastapi import APIRouter, Query, Request, Response

from server.domain.plain import as_plain
from server.domain.register import Aeroplane, Step, Supplier
from server.services import clocks, steps, suppliers
from server.services import yard as services
from server.storage import yard
from server.storage.engine import Store
from server.web.addresses import LAST, After, Number
from server.web.api_bodies import (
    AeroplaneEdit,
    AeroplaneIn,
    ReasonIn,
    StepEdit,
    StepFields,
    StepIn,
    StepStateIn,
    SupplierEdit,
    SupplierIn,
)
from server.web.api_change import over, saved, typed_fields
from server.web.api_kit import (
    CREATED,
    MOST,
    OVERTAKEN,
    REFUSALS,
    ApiKeeper,
    ApiReader,
    ApiRestorer,
    address_of,
    page_of,
)
from server.web.api_models import AeroplaneOut, Page, StepOnBoard, StepOut, SupplierOut
from server.web.who import StoreOf

router = APIRouter(prefix="/api", tags=["yard"], responses=REFUSALS)

Most = Annotated[int, Query(ge=1, le=MOST)]


def _from(records: list[Any], after: int, most: int) -> list[Any]:
    """The records of a page and one more, in order of their number."""
    return sorted((one for one in records if one.id > after), key=lambda one: one.id)[: most + 1]


def _aeroplane(store: Store, number: int) -> Aeroplane:
    with store.read() as session:
        return yard.aeroplane_of(yard.get_aeroplane(session, number))


def _supplier(store: Store, number: int) -> Supplier:
    with store.read() as session:
        return yard.supplier_of(yard.get_supplier(session, number))


def _step(store: Store, number: int) -> Step:
    with store.read() as session:
        row = yard.get_step(session, number)
        return yard.step_of(row, yard.steps_before(session, [number]).get(number, ()))


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


@router.post(
    "/aeroplanes", summary="Enter an aeroplane", status_code=201, response_model=AeroplaneOut, responses=CREATED
)
def enter_aeroplane(request: Request, response: Response, actor: ApiKeeper, store: StoreOf, body: AeroplaneIn) -> Any:
    """Enter an aeroplane. Needs the role “keeper”."""
    number = services.save_aeroplane(store, actor, body.given())
    response.headers["Location"] = address_of(request, f"/api/aeroplanes/{number}")
    return as_plain(_aeroplane(store, number))


@router.get("/aeroplanes/{number}", summary="Read an aeroplane", response_model=AeroplaneOut)
def read_aeroplane(number: Number, _actor: ApiReader, store: StoreOf) -> Any:
    """One aeroplane, withdrawn or not."""
    return as_plain(_aeroplane(store, number))


@router.post(
    "/aeroplanes/{number}/edit", summary="Change an aeroplane", response_model=AeroplaneOut, responses=OVERTAKEN
)
def change_aeroplane(number: Number, actor: ApiKeeper, store: StoreOf, body: AeroplaneEdit) -> Any:
    """Change an aeroplane; what is left out stays as it is. Needs the role “keeper”."""
    held = typed_fields(_aeroplane(store, number), list(AeroplaneIn.model_fields))
    given = over(held, body.given())
    saved(store, "aeroplane", number, given, lambda: services.save_aeroplane(store, actor, given, number))
    return as_plain(_aeroplane(store, number))


@router.post("/aeroplanes/{number}/withdraw", summary="Withdraw an aeroplane", response_model=AeroplaneOut)
def withdraw_aeroplane(number: Number, actor: ApiKeeper, store: StoreOf, body: ReasonIn) -> Any:
    """Withdraw an aeroplane with a reason. Needs the role “keeper”."""
    services.withdraw(store, actor, "aeroplane", number, str(body.given().get("reason", "")))
    return as_plain(_aeroplane(store, number))


@router.post("/suppliers", summary="Enter a supplier", status_code=201, response_model=SupplierOut, responses=CREATED)
def enter_supplier(request: Request, response: Response, actor: ApiRestorer, store: StoreOf, body: SupplierIn) -> Any:
    """Enter a supplier. Needs the role “restorer”."""
    number = services.save_supplier(store, actor, body.given())
    response.headers["Location"] = address_of(request, f"/api/suppliers/{number}")
    return as_plain(_supplier(store, number))


@router.get("/suppliers/{number}", summary="Read a supplier", response_model=SupplierOut)
def read_supplier(number: Number, _actor: ApiReader, store: StoreOf) -> Any:
    """One supplier, withdrawn or not."""
    return as_plain(_supplier(store, number))


@router.post("/suppliers/{number}/edit", summary="Change a supplier", response_model=SupplierOut, responses=OVERTAKEN)
def change_supplier(number: Number, actor: ApiRestorer, store: StoreOf, body: SupplierEdit) -> Any:
    """Change a supplier; what is left out stays as it is. Needs the role “restorer”."""
    held = typed_fields(_supplier(store, number), list(SupplierIn.model_fields))
    given = over(held, body.given())
    saved(store, "supplier", number, given, lambda: services.save_supplier(store, actor, given, number))
    return as_plain(_supplier(store, number))


@router.post("/suppliers/{number}/withdraw", summary="Withdraw a supplier", response_model=SupplierOut)
def withdraw_supplier(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> Any:
    """Withdraw a supplier with a reason. Needs the role “restorer”."""
    services.withdraw(store, actor, "supplier", number, str(body.given().get("reason", "")))
    return as_plain(_supplier(store, number))


@router.post("/steps", summary="Enter a step", status_code=201, response_model=StepOut, responses=CREATED)
def enter_step(request: Request, response: Response, actor: ApiRestorer, store: StoreOf, body: StepIn) -> Any:
    """Enter a step. Needs the role “restorer”."""
    number = services.save_step(store, actor, body.given())
    response.headers["Location"] = address_of(request, f"/api/steps/{number}")
    return as_plain(_step(store, number))


@router.get("/steps/{number}", summary="Read a step", response_model=StepOut)
def read_step(number: Number, _actor: ApiReader, store: StoreOf) -> Any:
    """One step, withdrawn or not."""
    return as_plain(_step(store, number))


@router.post("/steps/{number}/edit", summary="Change a step", response_model=StepOut, responses=OVERTAKEN)
def change_step(number: Number, actor: ApiRestorer, store: StoreOf, body: StepEdit) -> Any:
    """Change a step; what is left out stays as it is. Needs the role “restorer”."""
    held = typed_fields(_step(store, number), list(StepFields.model_fields))
    given = over(held, body.given())
    saved(store, "step", number, given, lambda: services.save_step(store, actor, given, number))
    return as_plain(_step(store, number))


@router.post("/steps/{number}/withdraw", summary="Withdraw a step", response_model=StepOut)
def withdraw_step(number: Number, actor: ApiRestorer, store: StoreOf, body: ReasonIn) -> Any:
    """Withdraw a step with a reason. Needs the role “restorer”."""
    services.withdraw(store, actor, "step", number, str(body.given().get("reason", "")))
    return as_plain(_step(store, number))


@router.post("/suppliers/{number}/confirmed", summary="Note that a supplier answered", response_model=SupplierOut)
def confirm_supplier(number: Number, actor: ApiRestorer, store: StoreOf) -> Any:
    """Note that a supplier answered today. Needs the role “restorer”."""
    suppliers.confirm_supplier(store, actor, number)
    return as_plain(_supplier(store, number))


@router.post("/steps/{number}/done", summary="Mark a step done", response_model=StepOut, responses=OVERTAKEN)
def finish_step(number: Number, actor: ApiRestorer, store: StoreOf, body: StepStateIn) -> Any:
    """Mark a step done; with a reason, where something still holds it up. Needs the role “restorer”."""
    given = over({}, body.given())
    saved(store, "step", number, given, lambda: steps.finish_step(store, actor, number, given))
    return as_plain(_step(store, number))


@router.post("/steps/{number}/ahead", summary="Take a step back", response_model=StepOut, responses=OVERTAKEN)
def reopen_step(number: Number, actor: ApiRestorer, store: StoreOf, body: StepStateIn) -> Any:
    """Say that a step is ahead again, with a reason. Needs the role “restorer”."""
    given = over({}, body.given())
    saved(store, "step", number, given, lambda: steps.reopen_step(store, actor, number, given))
    return as_plain(_step(store, number))
