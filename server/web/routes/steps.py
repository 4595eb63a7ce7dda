"""Steps of assembly: the board, one step with what must be there before it, entering, changing, done, withdrawn."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import Faults, Overtaken
from server.domain.register import Aeroplane, Step
from server.services import clocks, steps, yard
from server.storage.engine import Store
from server.web.addresses import LAST, Number
from server.web.overtaken import Meanwhile, form_overtaken
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Restorer, StoreOf, Viewer

router = APIRouter()

APART = 10
"""New steps are numbered this far apart, so that one fits between."""


@router.get("/steps")
def show_board(
    request: Request,
    _actor: Viewer,
    store: StoreOf,
    aeroplane: Annotated[str, Query(max_length=10)] = "",
    done: Annotated[str, Query(max_length=10)] = "",
) -> Response:
    """The board of steps, aeroplane by aeroplane."""
    today = clocks.today(store)
    chosen = int(aeroplane) if aeroplane.isdecimal() else None
    boards = steps.list_boards(store, today)
    context = {
        "boards": [one for one in boards if chosen is None or one.aeroplane.id == chosen],
        "planes": [(one.aeroplane.id, one.aeroplane.label) for one in boards],
        "chosen": chosen,
        "with_done": bool(done),
        "today": today,
    }
    return page(request, "yard/steps.html", "Steps of assembly", context)


@router.get("/steps/new")
def show_entering(
    request: Request, _actor: Restorer, store: StoreOf, aeroplane: Annotated[str, Query(max_length=10)] = ""
) -> Response:
    """The form for another step; first the aeroplane, where there are several."""
    boards = steps.list_boards(store, clocks.today(store))
    planes = [one.aeroplane for one in boards]
    chosen = next((one for one in boards if str(one.aeroplane.id) == aeroplane), None)
    if chosen is None and len(boards) != 1:
        return page(request, "yard/step_where.html", "Enter a step", {"planes": planes})
    board = chosen or boards[0]
    place = max((line.step.place_in_order for line in board.lines), default=0) + APART
    last = [str(line.step.id) for line in board.lines[-1:]]
    form = form_of({"aeroplane_id": str(board.aeroplane.id), "place_in_order": str(place), "after": last})
    return _form(request, store, form, board.aeroplane.id, None)


def _form(
    request: Request,
    store: Store,
    form: Form,
    aeroplane_id: int,
    step: Step | None,
    changed: list[Meanwhile] | None = None,
    status: int = 200,
) -> Response:
    boards = steps.list_boards(store, clocks.today(store), aeroplane_id)
    plane: Aeroplane | None = boards[0].aeroplane if boards else None
    others = [line.step for board in boards for line in board.lines if step is None or line.step.id != step.id]
    context = {
        "form": form,
        "plane": plane,
        "step": step,
        "others": [(one.id, one.name, f"place {one.place_in_order}, {one.state.value}") for one in others],
        "changed": changed or [],
    }
    title = f"Change “{step.name}”" if step else "Enter a step"
    return page(request, "yard/step_form.html", f"{'Error: ' if status != 200 else ''}{title}", context, status=status)


@router.post("/steps")
def do_enter(request: Request, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Enter a step."""
    try:
        number = yard.save_step(store, actor, posted.fields)
    except Faults as refused:
        text = posted.text("aeroplane_id")
        plane = int(text) if text.isdecimal() and int(text) <= LAST else 0
        return _form(request, store, form_of(posted.fields, refused.faults), plane, None, status=422)
    return redirect(request, f"/steps/{number}", "saved")


@router.get("/steps/{number}")
def show_step(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """One step with what must be there before it."""
    return _show(request, store, number)


def _show(
    request: Request,
    store: Store,
    number: int,
    *,
    finishing: Form | None = None,
    reopening: Form | None = None,
    withdrawing: Form | None = None,
    status: int = 200,
) -> Response:
    today = clocks.today(store)
    sheet = steps.get_step_sheet(store, number, today)
    context = {
        "sheet": sheet,
        "today": today,
        "step": sheet.line.step,
        "held_up": steps.standing_in_the_way(sheet),
        "finishing": finishing or Form(prefix="done"),
        "reopening": reopening or Form(prefix="back"),
        "withdrawing": withdrawing or Form(prefix="withdraw"),
    }
    title = f"{'Error: ' if status != 200 else ''}{sheet.line.step.name}"
    return page(request, "yard/step.html", title, context, status=status)


@router.get("/steps/{number}/edit")
def show_changing(request: Request, number: Number, _actor: Restorer, store: StoreOf) -> Response:
    """The form for changing a step."""
    step = _step(store, number)
    fields: dict[str, str | list[str]] = {
        "aeroplane_id": str(step.aeroplane_id),
        "place_in_order": str(step.place_in_order),
        "name": step.name,
        "closes": step.closes,
        "due": step.due.isoformat() if step.due else "",
        "note": step.note,
        "after": [str(one) for one in step.after],
        "version": str(step.version),
    }
    return _form(request, store, form_of(fields), step.aeroplane_id, step)


def _step(store: Store, number: int) -> Step:
    return steps.get_step_sheet(store, number, clocks.today(store)).line.step


@router.post("/steps/{number}/edit")
def do_change(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Change a step."""
    step = _step(store, number)
    try:
        yard.save_step(store, actor, posted.fields, number)
    except Faults as refused:
        form = form_of(posted.fields, refused.faults)
        return _form(request, store, form, step.aeroplane_id, step, status=422)
    except Overtaken:
        form, changed = form_overtaken(store, "step", number, posted)
        return _form(request, store, form, step.aeroplane_id, step, changed, 409)
    return redirect(request, f"/steps/{number}", "saved")


@router.post("/steps/{number}/done")
def do_finish(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Mark a step done; with a reason, where something still holds it up."""
    try:
        steps.finish_step(store, actor, number, posted.fields)
    except Faults as refused:
        return _show(request, store, number, finishing=form_of(posted.fields, refused.faults, "done"), status=422)
    return redirect(request, f"/steps/{number}", "step-done")


@router.post("/steps/{number}/ahead")
def do_reopen(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Say that a step is ahead again, with a reason."""
    try:
        steps.reopen_step(store, actor, number, posted.fields)
    except Faults as refused:
        return _show(request, store, number, reopening=form_of(posted.fields, refused.faults, "back"), status=422)
    return redirect(request, f"/steps/{number}", "step-ahead")


@router.post("/steps/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw a step with a reason."""
    try:
        yard.withdraw(store, actor, "step", number, posted.text("reason"))
    except Faults as refused:
        return _show(request, store, number, withdrawing=form_of(posted.fields, refused.faults, "withdraw"), status=422)
    return redirect(request, f"/steps/{number}", "withdrawn")
