"""Suppliers: the list, one with what came of asking them, entering, changing, withdrawing."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults, Overtaken
from server.domain.register import Supplier, SupplierState
from server.services import clocks, suppliers, yard
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.overtaken import Meanwhile, form_overtaken
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Restorer, StoreOf, Viewer

router = APIRouter()

STATES = [
    (SupplierState.ANSWERS.value, "answers"),
    (SupplierState.SILENT.value, "silent: does not answer"),
    (SupplierState.GONE.value, "gone: closed or died"),
]
LONG_AGO = 365
"""Days after which a page says that a supplier has not been heard of for long."""


@router.get("/suppliers")
def show_suppliers(request: Request, _actor: Viewer, store: StoreOf) -> Response:
    """All suppliers."""
    lines = suppliers.list_supplier_lines(store, clocks.today(store))
    return page(request, "yard/suppliers.html", "Suppliers", {"lines": lines, "long_ago": LONG_AGO})


@router.get("/suppliers/new")
def show_entering(request: Request, _actor: Restorer) -> Response:
    """The form for another supplier."""
    return _form(request, form_of({"state": SupplierState.ANSWERS.value}), None)


def _form(
    request: Request,
    form: Form,
    supplier: Supplier | None,
    changed: list[Meanwhile] | None = None,
    status: int = 200,
) -> Response:
    title = f"Change {supplier.name}" if supplier else "Enter a supplier"
    context = {"form": form, "supplier": supplier, "states": STATES, "changed": changed or []}
    return page(
        request, "yard/supplier_form.html", f"{'Error: ' if status != 200 else ''}{title}", context, status=status
    )


@router.post("/suppliers")
def do_enter(request: Request, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Enter a supplier."""
    try:
        number = yard.save_supplier(store, actor, posted.fields)
    except Faults as refused:
        return _form(request, form_of(posted.fields, refused.faults), None, status=422)
    return redirect(request, f"/suppliers/{number}", "saved")


@router.get("/suppliers/{number}")
def show_supplier(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """One supplier."""
    return _show(request, store, number, Form())


def _show(request: Request, store: Store, number: int, withdrawing: Form, status: int = 200) -> Response:
    sheet = suppliers.get_supplier_sheet(store, number, clocks.today(store))
    context = {"sheet": sheet, "supplier": sheet.supplier, "withdrawing": withdrawing, "long_ago": LONG_AGO}
    title = f"{'Error: ' if status != 200 else ''}{sheet.supplier.name}"
    return page(request, "yard/supplier.html", title, context, status=status)


@router.get("/suppliers/{number}/edit")
def show_changing(request: Request, number: Number, _actor: Restorer, store: StoreOf) -> Response:
    """The form for changing a supplier."""
    supplier = _supplier(store, number)
    fields = {
        "name": supplier.name,
        "kind": supplier.kind,
        "place": supplier.place,
        "contact": supplier.contact,
        "state": supplier.state.value,
        "last_confirmed": supplier.last_confirmed.isoformat() if supplier.last_confirmed else "",
        "note": supplier.note,
        "version": str(supplier.version),
    }
    return _form(request, form_of(fields), supplier)


def _supplier(store: Store, number: int) -> Supplier:
    return suppliers.get_supplier_sheet(store, number, clocks.today(store)).supplier


@router.post("/suppliers/{number}/edit")
def do_change(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Change a supplier."""
    try:
        yard.save_supplier(store, actor, posted.fields, number)
    except Faults as refused:
        return _form(request, form_of(posted.fields, refused.faults), _supplier(store, number), status=422)
    except Overtaken:
        form, changed = form_overtaken(store, "supplier", number, posted)
        return _form(request, form, _supplier(store, number), changed, 409)
    return redirect(request, f"/suppliers/{number}", "saved")


@router.post("/suppliers/{number}/confirmed")
def do_confirm(request: Request, number: Number, actor: Restorer, store: StoreOf) -> Response:
    """Note that they answered today."""
    suppliers.confirm_supplier(store, actor, number)
    return redirect(request, f"/suppliers/{number}", "confirmed")


@router.post("/suppliers/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw a supplier with a reason."""
    try:
        yard.withdraw(store, actor, "supplier", number, posted.text("reason"))
    except Faults as refused:
        return _show(request, store, number, form_of(posted.fields, refused.faults), 422)
    return redirect(request, f"/suppliers/{number}", "withdrawn")
