"""Finds: logging one on a phone with its matches at once, the list, one find, measuring it."""

import secrets
from collections.abc import Sequence
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import Faults, NotFound
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Evidence, Origin, Stage, Statement
from server.domain.parts import part_class, part_classes
from server.domain.register import Actor, Attached, Find, Supplier, find_title
from server.services import candidates, finds
from server.services.duplicates import Alike, finds_like, was_captured
from server.services.held_photos import HeldPhoto, hold_photos, small_held
from server.services.joining import join_find
from server.services.matching import MatchAnswer, matches_for_find, needs_for_text
from server.services.pictures import kept_small
from server.services.typed import Typed
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import FindFilter, count_finds, list_finds
from server.storage.log import read_log
from server.storage.tables import AttachmentRow
from server.storage.withdrawn import by_kind, withdrawn_of
from server.storage.yard import list_suppliers
from server.web.addresses import After, Number, number_in
from server.web.log_words import log_words
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.routes.needs import show_need_again
from server.web.who import Restorer, StoreOf, Viewer
from server.web.wording import doubt

router = APIRouter()

PAGE = 50
MEASURE_ROWS = 3
STATES = [("here", "here"), ("unproposed", "proposed for nothing yet"), ("withdrawn", "withdrawn"), ("all", "all")]


def _pairs(words: Any) -> list[tuple[str, str]]:
    return [(one.value, one.value) for one in words]


def _choices(store: Store, held: Supplier | None = None) -> dict[str, Any]:
    """What the choices of a find's forms are made of; `held` is the supplier it has, withdrawn or not."""
    with store.read() as session:
        suppliers = [(one.id, one.name) for one in list_suppliers(session)]
    if held is not None and held.withdrawn_reason:
        suppliers.append((held.id, f"{held.name}, withdrawn"))
    return {
        "classes": [(one.key, one.name) for one in sorted(part_classes().values(), key=lambda one: one.name)],
        "origins": _pairs(Origin),
        "suppliers": suppliers,
        "evidences": _pairs(Evidence),
        "bases": _pairs(Basis),
        "stages": _pairs(Stage),
        "instruments": [(one.key, one.name) for one in INSTRUMENTS.values()],
    }


def _characteristics(class_key: str) -> list[tuple[str, str]]:
    known = part_classes().get(class_key) or part_class("general")
    return [(one.key, one.label) for one in known.characteristics if not one.of_place]


@router.get("/finds")
def show_finds(
    request: Request,
    _actor: Viewer,
    store: StoreOf,
    part_class: Annotated[str, Query()] = "",
    origin: Annotated[str, Query()] = "",
    supplier: Annotated[str, Query()] = "",
    place: Annotated[str, Query(max_length=100)] = "",
    state: Annotated[str, Query()] = "here",
    before: After = 0,
) -> Response:
    """The list of finds, newest first, narrowed by the address."""
    chosen = FindFilter(
        part_class=part_class,
        origin=origin,
        supplier_id=number_in(supplier),
        place=place.strip(),
        state=state if state in dict(STATES) else "here",
    )
    with store.read() as session:
        total = count_finds(session, chosen)
        lines = list_finds(session, chosen, before=before, most=PAGE + 1)
    more = request.url.include_query_params(before=lines[PAGE - 1].id) if len(lines) > PAGE else None
    typed = {"part_class": part_class, "origin": origin, "supplier": supplier, "place": place, "state": chosen.state}
    context = {
        **_choices(store),
        "lines": lines[:PAGE],
        "total": total,
        "form": Form(typed, {}, {}),
        "states": STATES,
        "next_url": f"{more.path}?{more.query}" if more else "",
        "back_url": "/finds" if before else "",
    }
    return page(request, "finds/list.html", "Finds", context)


@router.get("/finds/new")
def show_log(request: Request, _actor: Restorer, store: StoreOf, text: str = "") -> Response:
    """The form for logging a find, made for a phone."""
    typed = {"capture_id": secrets.token_urlsafe(12), "text": text}
    return _log_page(request, store, Form(typed, {}, {}))


def _log_page(
    request: Request,
    store: Store,
    form: Form,
    status: int = 200,
    *,
    held: Sequence[HeldPhoto] = (),
    alike: Sequence[Alike] = (),
) -> Response:
    answer = needs_for_text(store, _match_text(form.typed), part_class=form.typed.get("part_class", ""))
    context = {
        **_choices(store),
        "form": form,
        "characteristics": _characteristics(form.typed.get("part_class", "")),
        "measures": _rows_of(form.typed),
        "answer": answer,
        "find_id": 0,
        "held": held,
        "alike_here": alike,
        "looks_like": (),
    }
    title = "Error: Log a find" if status == 422 else "Is it here already? Log a find" if alike else "Log a find"
    return page(request, "finds/new.html", title, context, status=status)


def _rows_of(typed: dict[str, str]) -> range:
    """The places of the measuring rows: as many as hold something, three at least."""
    filled = [
        place
        for place in range(1, finds.MOST_STATEMENTS + 1)
        if any(typed.get(f"m{place}_{name}") for name in ("characteristic", "text", "uncertainty"))
    ]
    return range(1, max([MEASURE_ROWS, *filled]) + 1)


def _match_text(typed: dict[str, str]) -> str:
    """All words of the form that can match: what it is, and what was measured so far."""
    measured = [typed.get(f"m{place}_text", "") for place in _rows_of(typed)]
    return " ".join(part for part in [typed.get("text", ""), *measured] if part)


@router.get("/finds/matches")
def show_matches(request: Request, _actor: Restorer, store: StoreOf) -> Response:
    """The open needs that the form as typed so far may meet (a piece of the form)."""
    typed = dict(request.query_params)
    answer = needs_for_text(store, _match_text(typed)[:2000], part_class=typed.get("part_class", ""))
    context = {"answer": answer, "find_id": 0, "looks_like": finds_like(store, {**typed})}
    return page(request, "finds/_as_typed.html", "It may meet", context)


@router.get("/finds/rows")
def show_rows(request: Request, _actor: Restorer, store: StoreOf) -> Response:
    """The measuring rows for the chosen part class, with what was typed kept (a piece of the form)."""
    typed = dict(request.query_params)
    context = {
        **_choices(store),
        "form": Form(typed, {}, {}),
        "characteristics": _characteristics(typed.get("part_class", "")),
        "measures": _rows_of(typed),
    }
    return page(request, "finds/_measures.html", "Measured", context)


@router.post("/finds")
def do_log(request: Request, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Keep the find; its number at once, and the needs it may meet. “Keep and propose” proposes it too.

    Where it looks like one that is here the form comes back first (409), with everything typed and every
    photograph kept: to add it there (`join`), or to keep it `anyway`.
    """
    photos = [(one.name, one.content) for one in posted.files.get("photos", ())]
    files: Files = request.app.state.files
    held = Typed(posted.fields).all("held")
    join = number_in(posted.text("join"))
    try:
        if join is not None:
            number = join_find(store, files, actor, join, posted.fields, photos)
            return redirect(request, f"/finds/{number}", "joined")
        finds.count_photos(posted.fields, len(photos))
        if posted.text("anyway") != "yes" and not was_captured(store, posted.text("capture_id")):
            alike = finds_like(store, posted.fields)
            if alike:
                kept = hold_photos(store, files, actor, photos, held)
                return _log_page(request, store, form_of(posted.fields), 409, held=kept, alike=alike)
        number = finds.log_find(store, files, actor, posted.fields, photos)
    except Faults as faults:
        kept = hold_photos(store, files, actor, photos, held)
        return _log_page(request, store, form_of(posted.fields, faults.faults), 422, held=kept)
    wanted = number_in(posted.text("propose_for"))
    if wanted is not None:
        try:
            if candidates.refused_before(store, wanted, number):
                return redirect(request, f"/needs/{wanted}/propose/{number}", "logged")
            candidate = candidates.propose(store, actor, wanted, number)
        except (Faults, NotFound):
            return redirect(request, f"/finds/{number}", "logged")
        return redirect(request, f"/candidates/{candidate}", "proposed")
    return redirect(request, f"/finds/{number}", "logged")


@router.get("/finds/{number}")
def show_find(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """One find: what is known of it, and the needs it may meet."""
    return _show(request, store, actor, number)


def _show(
    request: Request,
    store: Store,
    _actor: Actor,
    number: int,
    *,
    form: Form | None = None,
    which: str = "",
    entry_form: Form | None = None,
    status: int = 200,
) -> Response:
    find = finds.get_find(store, number)
    with store.read() as session:
        proposed = candidates.list_candidates(session, find_id=number)
        lines = read_log(session, f"find/{number}", most=30)
        gone = withdrawn_of(session, find_id=number)
    answer = MatchAnswer()
    if not find.withdrawn_reason:
        answer = matches_for_find(store, number).without({line.need_id for line in proposed})
    forms = {name: Form(prefix=name) for name in ("statement", "evidence", "attach", "withdraw")}
    if which and form is not None:
        forms[which] = form
    known = part_classes().get(find.part_class) or part_class("general")
    labels = {one.key: one.label for one in known.characteristics}
    context = {
        **_choices(store),
        "find": find,
        "labels": labels,
        "characteristics": _characteristics(find.part_class),
        "instrument_names": {one.key: one.name for one in INSTRUMENTS.values()},
        "doubts": {one.id: _doubt(one) for one in find.statements},
        "proposed": proposed,
        "answer": answer,
        "find_id": number,
        "log": [log_words(line, is_keeper=False) for line in lines],
        "forms": forms,
        "withdrawn": by_kind(gone),
        "opened": which,
        "entry_form": entry_form,
        "withdrawals": _withdrawals(find, labels),
    }
    title = f"{find.number} {find_title(find.text)[:60]}"
    return page(request, "finds/find.html", f"Error: {title}" if status == 422 else title, context, status=status)


def _doubt(one: Statement) -> str:
    """The doubt of a reading, in words: as typed, or the usual one of its instrument; "" where neither is known."""
    if one.doubt is None or one.quantity is None or one.basis is not Basis.MEASURED:
        return ""
    said = doubt(one.doubt, one.quantity.kind)
    return said if one.expanded is not None else f"{said}, usual for the instrument"


def _withdrawals(find: Find, labels: dict[str, str]) -> dict[str, list[tuple[str, str, str]]]:
    """What can be withdrawn from a find, by kind: where to, a name for its form, and what it is in words."""
    entries: dict[str, list[tuple[Any, str]]] = {
        "statement": [
            (one.id, f"“{labels.get(one.characteristic, one.characteristic)}: {one.text}”") for one in find.statements
        ],
        "evidence": [(one.id, f"“{one.kind}{f': {one.note}' if one.note else ''}”") for one in find.proofs],
    }
    return {
        kind: [(f"/finds/entries/{kind}/{number}/withdraw", f"{kind}-{number}", said) for number, said in several]
        for kind, several in entries.items()
    }


@router.post("/finds/entries/{kind}/{entry_id}/withdraw")
def do_withdraw_entry(
    request: Request, kind: str, entry_id: Number, actor: Restorer, store: StoreOf, posted: PostedForm
) -> Response:
    """Withdraw a statement or a piece of provenance, with a reason."""
    if kind not in finds.WITHDRAWABLE:
        raise NotFound("There is no such kind of entry.")
    try:
        number = finds.withdraw_entry(store, actor, kind, entry_id, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, f"{kind}-{entry_id}")
        with store.read() as session:
            row = session.get(finds.WITHDRAWABLE[kind], entry_id)
        if row is None:
            raise NotFound("There is no such entry in this register.") from faults
        return _show(request, store, actor, row.find_id, entry_form=form, status=422)
    return redirect(request, f"/finds/{number}", "withdrawn")


@router.get("/finds/{number}/edit")
def show_edit(request: Request, number: Number, _actor: Restorer, store: StoreOf) -> Response:
    """The form of a find's own fields."""
    find = finds.get_find(store, number)
    return _edit_page(request, store, number, _form_of_find(find))


def _form_of_find(find: Find) -> Form:
    typed = {
        "text": find.text,
        "part_class": find.part_class,
        "origin": find.origin.value if find.origin else "",
        "supplier_id": str(find.supplier.id) if find.supplier else "",
        "condition": find.condition,
        "quantity_text": find.quantity_text,
        "smallest_lot": find.smallest_lot,
        "price_text": find.price_text,
        "lead_time": find.lead_time,
        "bin": find.bin,
        "finish_to_come": "yes" if find.finish_to_come else "",
        "note": find.note,
        "ref": find.ref,
        "version": str(find.version),
    }
    return Form(typed, {}, {})


def _edit_page(request: Request, store: Store, number: int, form: Form, status: int = 200) -> Response:
    context = {**_choices(store, finds.get_find(store, number).supplier), "form": form, "number": number}
    title = "Change the find" if status == 200 else "Error: Change the find"
    return page(request, "finds/edit.html", title, context, status=status)


@router.post("/finds/{number}/edit")
def do_edit(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Save the find's own fields."""
    try:
        finds.change_find(store, actor, number, posted.fields)
    except Faults as faults:
        return _edit_page(request, store, number, form_of(posted.fields, faults.faults), 422)
    except finds.FindOvertaken as overtaken:
        form = form_of(posted.fields, {"": str(overtaken)})
        form.typed["version"] = str(overtaken.version)
        return _edit_page(request, store, number, form, 409)
    return redirect(request, f"/finds/{number}", "saved")


def _entry(
    request: Request, store: Store, actor: Actor, number: int, which: str, posted: PostedForm, add: Any
) -> Response:
    try:
        add(store, actor, number, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, which)
        return _show(request, store, actor, number, form=form, which=which, status=422)
    return redirect(request, f"/finds/{number}", "added")


@router.post("/finds/{number}/statements")
def do_statement(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Enter what is claimed or was measured."""
    return _entry(request, store, actor, number, "statement", posted, finds.add_statement)


@router.post("/finds/{number}/evidence")
def do_evidence(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Enter a piece of provenance."""
    return _entry(request, store, actor, number, "evidence", posted, finds.add_evidence)


@router.post("/finds/{number}/attach")
def do_attach(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Attach photographs and papers."""

    def add(store: Store, actor: Actor, number: int, _given: Any) -> None:
        finds.attach(
            store,
            request.app.state.files,
            actor,
            photos=[(one.name, one.content) for one in posted.files.get("photos", ())],
            papers=[(one.name, one.content) for one in posted.files.get("papers", ())],
            find_id=number,
            caption=posted.text("caption"),
        )

    return _entry(request, store, actor, number, "attach", posted, add)


@router.post("/finds/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw the find, with a reason."""
    try:
        finds.withdraw_find(store, actor, number, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, "withdraw")
        return _show(request, store, actor, number, form=form, which="withdraw", status=422)
    return redirect(request, f"/finds/{number}", "withdrawn")


@router.get("/held/{digest}")
def show_held(request: Request, digest: str, actor: Restorer, store: StoreOf) -> Response:
    """One's own photograph that waits for its form to be sent again."""
    small = small_held(store, request.app.state.files, actor, digest)
    return Response(small, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=3600"})


@router.get("/finds/{number}/tag")
def show_tag(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """A tag to print and tie on: number, what it is, bin."""
    return page(request, "finds/tag.html", f"Tag {number}", {"find": finds.get_find(store, number)})


@router.post("/attachments/{attachment_id}/withdraw")
def do_withdraw_attachment(
    request: Request, attachment_id: Number, actor: Restorer, store: StoreOf, posted: PostedForm
) -> Response:
    """Withdraw a photograph or paper, with a reason."""
    try:
        record = finds.withdraw_attachment(store, actor, attachment_id, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, f"attachment-{attachment_id}")
        row = get_attachment(store, attachment_id)
        if row.find_id is not None:
            return _show(request, store, actor, row.find_id, entry_form=form, status=422)
        assert row.need_id is not None
        return show_need_again(request, store, actor, row.need_id, form)
    return redirect(request, record, "withdrawn")


def get_attachment(store: Store, number: int) -> AttachmentRow:
    """The row of a photograph or paper. Raises NotFound."""
    with store.read() as session:
        row = session.get(AttachmentRow, number)
    if row is None:
        raise NotFound("There is no such file in this register.")
    return row


@router.get("/files/{number}")
def show_file(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """A photograph to look at, or a paper to download: never anything a browser would run."""
    row = get_attachment(store, number)
    content = request.app.state.files.get(row.digest)
    headers = {"Content-Security-Policy": "default-src 'none'; sandbox", "Cache-Control": "private, max-age=86400"}
    if row.kind == Attached.PHOTO.value:
        return Response(content, media_type="image/jpeg", headers=headers)
    ending = {"application/pdf": "pdf", "application/zip": "zip", "image/png": "png", "image/jpeg": "jpg"}
    kind = row.media_type.split(";")[0]
    name = f"paper-{row.id:04d}.{ending.get(kind, 'txt' if kind == 'text/plain' else 'bin')}"
    headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return Response(content, media_type=row.media_type, headers=headers)


@router.get("/files/{number}/small")
def show_small(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """A small picture of a photograph, for lists."""
    row = get_attachment(store, number)
    if row.kind != Attached.PHOTO.value:
        raise NotFound("This is no photograph.")
    small = kept_small(request.app.state.files, row.digest)
    return Response(small, media_type="image/jpeg", headers={"Cache-Control": "private, max-age=86400"})
