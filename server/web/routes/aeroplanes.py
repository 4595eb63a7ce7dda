"""Aeroplanes: the list, one with its needs and steps, entering, changing, withdrawing."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import Faults, Overtaken
from server.domain.register import Aeroplane
from server.domain.specification import Use
from server.services import aeroplanes, clocks, yard
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.overtaken import Meanwhile, form_overtaken
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Keeper, StoreOf, Viewer

router = APIRouter()

USES = [
    (Use.DISPLAY.value, "static display", "fit governs; strength and function contribute"),
    (Use.PERMIT.value, "flying under a permit or experimental certificate", "strength, fit and function govern"),
    (Use.CERTIFIED.value, "flying under a type certificate", "strength, fit and function govern"),
]
UNITS = [("mm", "millimetres"), ("in", "inches"), ("", "not known, or both")]


@router.get("/aeroplanes")
def show_aeroplanes(
    request: Request, _actor: Viewer, store: StoreOf, withdrawn: Annotated[str, Query(max_length=10)] = ""
) -> Response:
    """All aeroplanes with their needs by state."""
    every = aeroplanes.list_aeroplane_sheets(store, clocks.today(store), withdrawn=True)
    shown = [one for one in every if withdrawn or not one.aeroplane.withdrawn_reason]
    context = {"sheets": shown, "hidden": len(every) - len(shown)}
    return page(request, "yard/aeroplanes.html", "Aeroplanes", context)


@router.get("/aeroplanes/new")
def show_entering(request: Request, _actor: Keeper) -> Response:
    """The form for another aeroplane."""
    return _form(request, form_of({}), None)


def _form(
    request: Request, form: Form, plane: Aeroplane | None, changed: list[Meanwhile] | None = None, status: int = 200
) -> Response:
    title = f"Change {plane.label}" if plane else "Enter an aeroplane"
    context = {"form": form, "plane": plane, "uses": USES, "units": UNITS, "changed": changed or []}
    return page(
        request, "yard/aeroplane_form.html", f"{'Error: ' if status != 200 else ''}{title}", context, status=status
    )


@router.post("/aeroplanes")
def do_enter(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Enter an aeroplane."""
    try:
        number = yard.save_aeroplane(store, actor, posted.fields)
    except Faults as refused:
        return _form(request, form_of(posted.fields, refused.faults), None, status=422)
    return redirect(request, f"/aeroplanes/{number}", "saved")


@router.get("/aeroplanes/{number}")
def show_aeroplane(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """One aeroplane."""
    return _show(request, store, number, Form())


def _show(request: Request, store: Store, number: int, withdrawing: Form, status: int = 200) -> Response:
    sheet = aeroplanes.get_aeroplane_sheet(store, number, clocks.today(store))
    context = {"sheet": sheet, "plane": sheet.aeroplane, "withdrawing": withdrawing}
    title = f"{'Error: ' if status != 200 else ''}{sheet.aeroplane.label}"
    return page(request, "yard/aeroplane.html", title, context, status=status)


@router.get("/aeroplanes/{number}/edit")
def show_changing(request: Request, number: Number, _actor: Keeper, store: StoreOf) -> Response:
    """The form for changing an aeroplane."""
    plane = _plane(store, number)
    fields = {
        "type": plane.type,
        "maker": plane.maker,
        "serial": plane.serial,
        "registration": plane.registration,
        "built": plane.built,
        "use": plane.use.value,
        "authority": plane.authority,
        "drawing_unit": plane.drawing_unit,
        "note": plane.note,
        "version": str(plane.version),
    }
    return _form(request, form_of(fields), plane)


def _plane(store: Store, number: int) -> Aeroplane:
    return aeroplanes.get_aeroplane_sheet(store, number, clocks.today(store)).aeroplane


@router.post("/aeroplanes/{number}/edit")
def do_change(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Change an aeroplane."""
    try:
        yard.save_aeroplane(store, actor, posted.fields, number)
    except Faults as refused:
        return _form(request, form_of(posted.fields, refused.faults), _plane(store, number), status=422)
    except Overtaken:
        form, changed = form_overtaken(store, "aeroplane", number, posted)
        return _form(request, form, _plane(store, number), changed, 409)
    return redirect(request, f"/aeroplanes/{number}", "saved")


@router.post("/aeroplanes/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw an aeroplane with a reason."""
    try:
        yard.withdraw(store, actor, "aeroplane", number, posted.text("reason"))
    except Faults as refused:
        return _show(request, store, number, form_of(posted.fields, refused.faults), 422)
    return redirect(request, f"/aeroplanes/{number}", "withdrawn")
