"""Needs: the list, one need with all that is known of its original, and entering into it."""

import re
from collections.abc import Sequence
from itertools import combinations
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.errors import Faults, NotFound
from server.domain.instruments import INSTRUMENTS, instruments_for
from server.domain.parts import part_class, part_classes
from server.domain.register import Actor, DesignationKind, Enquired, Fault, Need, Reading
from server.domain.specification import Access, KnownFrom, Layer, Requirement, Role, Weight, may_both_hold
from server.domain.specification import Form as Binding
from server.services import candidates, finds, needs
from server.services.duplicates import Alike, needs_like
from server.services.joining import join_need
from server.services.matching import matches_for_need, read_line
from server.services.place import MOST_PLIES
from server.services.precedents import precedents_for
from server.storage.accounts import list_accounts
from server.storage.engine import Store
from server.storage.log import read_log
from server.storage.needs import NeedFilter, count_needs, deciders_of, list_needs
from server.storage.tables import RequirementRow
from server.storage.withdrawn import by_kind, withdrawn_of
from server.storage.yard import list_aeroplanes, list_steps, list_suppliers
from server.web.addresses import After, Number, number_in
from server.web.log_words import field_label, log_words
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Restorer, StoreOf, Viewer

router = APIRouter()

PAGE = 50
STATES = [("open", "open"), ("met", "met"), ("withdrawn", "withdrawn"), ("all", "all")]


def _pairs(words: Any) -> list[tuple[str, str]]:
    return [(one.value, one.value) for one in words]


def _yard(store: Store, held: Need | None = None) -> dict[str, Any]:
    """What the choices of a need's form are made of; what the need has is among them, withdrawn or shut or not."""
    with store.read() as session:
        planes = list_aeroplanes(session)
        steps = list_steps(session)
        people = [(row.id, row.name) for row in list_accounts(session) if row.is_active]
    names = {plane.id: plane.label for plane in planes}
    several = len(planes) > 1
    aeroplanes = [(plane.id, plane.label) for plane in planes]
    named = [(step.id, f"{names.get(step.aeroplane_id, '')}: {step.name}" if several else step.name) for step in steps]
    if held is not None and held.aeroplane.withdrawn_reason:
        aeroplanes.append((held.aeroplane.id, f"{held.aeroplane.label}, withdrawn"))
    if held is not None and held.step is not None and held.step.withdrawn_reason:
        named.append((held.step.id, f"{held.step.name}, withdrawn"))
    if held is not None and held.owner_id is not None and held.owner_id not in dict(people):
        people.append((held.owner_id, f"{held.owner}, account shut"))
    return {
        "classes": [(one.key, one.name) for one in sorted(part_classes().values(), key=lambda one: one.name)],
        "aeroplanes": aeroplanes,
        "steps": named,
        "people": people,
        "roles": _pairs(Role),
        "faults": _pairs(Fault),
        "sides": [("left", "left"), ("right", "right"), ("centre", "centre")],
    }


@router.get("/needs")
def show_needs(
    request: Request,
    _actor: Viewer,
    store: StoreOf,
    aeroplane: Annotated[str, Query()] = "",
    step: Annotated[str, Query()] = "",
    part_class: Annotated[str, Query()] = "",
    role: Annotated[str, Query()] = "",
    state: Annotated[str, Query()] = "open",
    place: Annotated[str, Query(max_length=100)] = "",
    mine: Annotated[str, Query()] = "",
    after: After = 0,
) -> Response:
    """The list of needs, narrowed by the address."""
    chosen = NeedFilter(
        aeroplane_id=number_in(aeroplane),
        step_id=number_in(step),
        part_class=part_class,
        role=role,
        state=state if state in dict(STATES) else "open",
        place=place.strip(),
        owner_id=_actor.id if mine else None,
    )
    with store.read() as session:
        total = count_needs(session, chosen)
        lines = list_needs(session, chosen, after=after, most=PAGE + 1)
    more = request.url.include_query_params(after=lines[PAGE - 1].id) if len(lines) > PAGE else None
    typed = {
        "aeroplane": aeroplane,
        "step": step,
        "part_class": part_class,
        "role": role,
        "state": chosen.state,
        "place": place,
        "mine": mine,
    }
    context = {
        **_yard(store),
        "lines": lines[:PAGE],
        "total": total,
        "form": Form(typed, {}, {}),
        "states": STATES,
        "next_url": f"{more.path}?{more.query}" if more else "",
        "back_url": "/needs" if after else "",
    }
    return page(request, "needs/list.html", "Needs", context, fragment="needs/_lines.html")


@router.get("/needs/new")
def show_opening(
    request: Request, _actor: Restorer, store: StoreOf, text: Annotated[str, Query(max_length=1000)] = ""
) -> Response:
    """Open a need: one line of text, then what was read out of it for confirming."""
    context: dict[str, Any] = {**_yard(store), "line": None, "alike": [], "alike_here": (), "text": text}
    if text.strip():
        line = read_line(store, text)
        context |= {"line": line, "alike": line.alike, "form": Form(line.typed, line.many, {})}
    else:
        context["form"] = Form()
    context |= _readable(context["form"])
    return page(request, "needs/new.html", "Open a need", context)


def _readable(form: Form) -> dict[str, Any]:
    """The characteristics of the chosen class, for the rows of the opening form."""
    key = form.typed.get("part_class", "")
    known = part_classes().get(key)
    return {
        "characteristics": [(one.key, one.label) for one in known.characteristics] if known else [],
        "known": _pairs(KnownFrom),
        "layers": _pairs(Layer),
        "kinds": _pairs(DesignationKind),
        "readings": _pairs(Reading),
    }


@router.post("/needs")
def do_open(request: Request, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Open the need as confirmed.

    Where it looks like one that is open the form comes back first (409) with everything typed: to add it
    there (`join`), or to open it `anyway`.
    """
    join = number_in(posted.text("join"))
    try:
        if join is not None:
            number = join_need(store, actor, join, posted.fields)
            return redirect(request, f"/needs/{number}", "joined")
        alike = needs_like(store, posted.fields) if posted.text("anyway") != "yes" else ()
        if alike:
            return _open_again(request, store, form_of(posted.fields), "Is it open already? Open a need", 409, alike)
        number = needs.open_need(store, actor, posted.fields)
    except Faults as faults:
        return _open_again(request, store, form_of(posted.fields, faults.faults), "Error: Open a need", 422)
    return redirect(request, f"/needs/{number}", "opened")


def _open_again(
    request: Request, store: Store, form: Form, title: str, status: int, alike: Sequence[Alike] = ()
) -> Response:
    """The opening form once more, with everything typed."""
    text = form.typed.get("text", "")
    line = read_line(store, text) if text else None
    context = {**_yard(store), "line": line, "alike": [], "alike_here": alike, "text": text, "form": form}
    return page(request, "needs/new.html", title, context | _readable(form), status=status)


@router.get("/needs/{number}")
def show_need(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """One need, whole."""
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
    theirs: list[tuple[str, str, str, str]] | None = None,
    status: int = 200,
) -> Response:
    need = needs.get_need(store, number)
    known = part_class(need.part_class)
    with store.read() as session:
        offered = candidates.list_candidates(session, need_id=number)
        lines = read_log(session, f"need/{number}", most=30)
        gone = withdrawn_of(session, need_id=number)
        deciders = deciders_of(session, number)
        suppliers = [(one.id, one.name) for one in list_suppliers(session)]
        precedents = precedents_for(session, need) if need.is_open else ()
    hits = matches_for_need(store, number) if need.is_open else []
    shown_above = {line.find_id for line in offered} | {one.find_id for one in precedents}
    names = ("designation", "requirement", "enquiry", "joint", "attach", "withdraw")
    forms = {name: Form(prefix=name) for name in names}
    forms["joint"] = _joint_form(need)
    if which and form is not None:
        forms[which] = form
    context = {
        "need": need,
        "known": known,
        "groups": _by_characteristic(need),
        "deciders": deciders,
        "offered": offered,
        "precedents": precedents,
        "hits": [hit for hit in hits if hit.id not in shown_above][:8],
        "log": [log_words(line, is_keeper=False) for line in lines],
        "suppliers": suppliers,
        "forms": forms,
        "withdrawn": by_kind(gone),
        "opened": which,
        "theirs": theirs,
        "entry_form": entry_form,
        "withdrawals": _withdrawals(need),
        "characteristics": [(one.key, one.label) for one in known.characteristics],
        "labels": {one.key: one.label for one in known.characteristics},
        "bindings": _pairs(Binding),
        "layers": _pairs(Layer),
        "known_froms": _pairs(KnownFrom),
        "weights": _pairs(Weight),
        "kinds": _pairs(DesignationKind),
        "readings": _pairs(Reading),
        "enquired": _pairs(Enquired),
        "accesses": _pairs(Access),
        "instruments": [(one.key, one.name) for one in INSTRUMENTS.values()],
        "sides": [("left", "left"), ("right", "right")],
        "plies": range(1, min(MOST_PLIES, max(3, _sheets_in(_joint_form(need)) + 1, _sheets_in(forms["joint"]))) + 1),
    }
    title = f"{need.number} {need.item}"
    return page(request, "needs/need.html", f"Error: {title}" if status == 422 else title, context, status=status)


def show_need_again(request: Request, store: Store, actor: Actor, number: int, entry_form: Form) -> Response:
    """The page of a need with the form of one of its entries come back."""
    return _show(request, store, actor, number, entry_form=entry_form, status=422)


def _by_characteristic(need: Need) -> list[dict[str, Any]]:
    """The requirements by characteristic in the class's order, with those where sources disagree undecided.

    `disagree` holds their ids, `told` the first of each scope of serials and side: there the page says so.
    """
    known = part_class(need.part_class)
    groups: list[dict[str, Any]] = []
    for one in known.characteristics:
        rows = [row for row in need.requirements if row.characteristic == one.key]
        if rows:
            disagree = _disagreeing(rows)
            first = {(row.serials, row.side): row.id for row in reversed(rows) if row.id in disagree}
            groups.append({"characteristic": one, "rows": rows, "disagree": disagree, "told": set(first.values())})
    strays = [row for row in need.requirements if known.characteristic(row.characteristic) is None]
    groups.extend({"characteristic": None, "rows": [row], "disagree": set(), "told": set()} for row in strays)
    return groups


def _disagreeing(rows: Sequence[Requirement]) -> set[str]:
    """Ids of what was drawn of one characteristic twice over: for the same serials and side, and nobody decided."""
    designed = [row for row in rows if row.layer is Layer.DESIGNED]
    decided = [row for row in rows if row.decided]
    found: set[str] = set()
    for one, other in combinations(designed, 2):
        if one.text.casefold() == other.text.casefold() or not may_both_hold(one, other):
            continue
        if not any(may_both_hold(row, one) and may_both_hold(row, other) for row in decided):
            found |= {one.id, other.id}
    return found


def _withdrawals(need: Need) -> dict[str, list[tuple[str, str, str]]]:
    """What can be withdrawn from a need, by kind: where to, a name for its form, and what it is in words."""
    labels = {one.key: one.label for one in part_class(need.part_class).characteristics}
    entries: dict[str, list[tuple[int | str, str]]] = {
        "designation": [(one.id, f"“{one.text}”") for one in need.designations],
        "requirement": [
            (one.id, f"“{labels.get(one.characteristic, one.characteristic)}: {one.text}”") for one in need.requirements
        ],
        "enquiry": [(one.id, f"“{one.kind}: {one.text or one.answer or one.supplier}”") for one in need.enquiries],
    }
    return {
        kind: [(f"/needs/entries/{kind}/{number}/withdraw", f"{kind}-{number}", said) for number, said in several]
        for kind, several in entries.items()
    }


def _sheets_in(form: Form) -> int:
    """The last sheet that something was typed for; 0 for none."""
    places = [found for name, text in form.typed.items() if text and (found := re.match(r"ply(\d)_", name))]
    return max((int(found.group(1)) for found in places), default=0)


def _joint_form(need: Need) -> Form:
    joint = need.joint
    typed: dict[str, str] = {"version": str(need.version)}
    if joint is None:
        return Form(typed, {}, {}, "joint")
    for place, ply in enumerate(joint.plies, start=1):
        typed[f"ply{place}_name"] = ply.name
        typed[f"ply{place}_material"] = ply.material
        typed[f"ply{place}_thickness"] = ply.thickness.text if ply.thickness else ""
        typed[f"ply{place}_uncertainty"] = f"{float(ply.expanded):g} mm" if ply.expanded is not None else ""
    sizes = (
        ("hole", joint.hole),
        ("edge_distance", joint.edge_distance),
        ("pitch", joint.pitch),
        ("seat_angle", joint.seat_angle),
    )
    typed |= {name: size.text for name, size in sizes if size is not None}
    if joint.hole_expanded is not None:
        typed["hole_uncertainty"] = f"{float(joint.hole_expanded):g} mm"
    typed |= {
        "access": joint.access.value,
        "joint_known_from": joint.known.how.value,
        "joint_reference": joint.known.reference,
        "joint_instrument": joint.known.instrument,
    }
    return Form(typed, {}, {}, "joint")


@router.get("/needs/{number}/edit")
def show_edit(request: Request, number: Number, _actor: Restorer, store: StoreOf) -> Response:
    """The form of a need's own fields."""
    need = needs.get_need(store, number)
    return _edit_page(request, store, number, _form_of_need(need), need.item)


def _form_of_need(need: Need) -> Form:
    typed = {
        "item": need.item,
        "part_class": need.part_class,
        "aeroplane_id": str(need.aeroplane.id),
        "zone": need.zone,
        "side": need.side,
        "station": need.station,
        "arm": need.arm,
        "chapter": need.chapter,
        "quantity_text": need.quantity_text,
        "still_wanted": "" if need.still_wanted is None else str(need.still_wanted),
        "role": need.role.value,
        "step_id": str(need.step.id) if need.step else "",
        "touches": ", ".join(need.touches),
        "note": need.note,
        "owner_id": str(need.owner_id or ""),
        "ref": need.ref,
        "version": str(need.version),
    }
    return Form(typed, {"wrong": list(need.wrong)}, {})


def _edit_page(
    request: Request,
    store: Store,
    number: int,
    form: Form,
    item: str,
    *,
    status: int = 200,
    overtaken: needs.NeedOvertaken | None = None,
) -> Response:
    yard = _yard(store, needs.get_need(store, number))
    theirs: list[tuple[str, str, str, str]] = []
    if overtaken is not None:
        theirs = _theirs(yard, overtaken)
        form.typed["version"] = str(overtaken.version)
    context = {
        **yard,
        "form": form,
        "number": number,
        "item": item,
        "theirs": theirs,
        "overtaken": overtaken is not None,
    }
    title = f"Change {item}"
    return page(request, "needs/edit.html", title if status == 200 else f"Error: {title}", context, status=status)


def _theirs(yard: dict[str, Any], overtaken: needs.NeedOvertaken) -> list[tuple[str, str, str, str]]:
    """What somebody else changed meanwhile, in words: field, was, is now, who."""
    names = {
        "aeroplane_id": dict(yard["aeroplanes"]),
        "step_id": dict(yard["steps"]),
        "owner_id": dict(yard["people"]),
        "part_class": dict(yard["classes"]),
    }
    theirs: list[tuple[str, str, str, str]] = []
    for name, (was, now, who) in overtaken.changes.items():
        said = names.get(name, {})
        theirs.append((field_label("need", name), _said(said.get(was, was)), _said(said.get(now, now)), who))
    return theirs


def _said(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(str(one) for one in value) or "nothing"
    return "nothing" if value in (None, "") else str(value)


@router.post("/needs/{number}/edit")
def do_edit(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Save; where somebody else was faster, show what they changed and keep the typing."""
    try:
        needs.change_need(store, actor, number, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults)
        return _edit_page(request, store, number, form, posted.text("item"), status=422)
    except needs.NeedOvertaken as overtaken:
        form = form_of(posted.fields)
        return _edit_page(request, store, number, form, posted.text("item"), status=409, overtaken=overtaken)
    return redirect(request, f"/needs/{number}", "saved")


def _entry(
    request: Request, store: Store, actor: Actor, number: int, which: str, posted: PostedForm, add: Any
) -> Response:
    """Add one entry under a need; show its form again with what was wrong."""
    try:
        add(store, actor, number, posted.fields)
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, which)
        return _show(request, store, actor, number, form=form, which=which, status=422)
    return redirect(request, f"/needs/{number}", "added")


@router.post("/needs/{number}/designations")
def do_designation(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Add a number or name."""
    return _entry(request, store, actor, number, "designation", posted, needs.add_designation)


@router.post("/needs/{number}/requirements")
def do_requirement(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Add what a source says of the original."""
    return _entry(request, store, actor, number, "requirement", posted, needs.add_requirement)


@router.post("/needs/{number}/enquiries")
def do_enquiry(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Note what was tried or who was asked."""
    return _entry(request, store, actor, number, "enquiry", posted, needs.add_enquiry)


@router.post("/needs/{number}/joint")
def do_joint(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Enter the joint; where somebody else was faster, show what they changed and keep the typing."""
    try:
        return _entry(request, store, actor, number, "joint", posted, needs.set_joint)
    except needs.NeedOvertaken as overtaken:
        form = form_of(posted.fields, prefix="joint")
        form.typed["version"] = str(overtaken.version)
        theirs = _theirs(_yard(store), overtaken)
        return _show(request, store, actor, number, form=form, which="joint", theirs=theirs, status=409)


@router.post("/needs/{number}/attach")
def do_attach(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Attach photographs and papers."""

    def add(store: Store, actor: Actor, number: int, _given: Any) -> None:
        finds.attach(
            store,
            request.app.state.files,
            actor,
            photos=[(one.name, one.content) for one in posted.files.get("photos", ())],
            papers=[(one.name, one.content) for one in posted.files.get("papers", ())],
            need_id=number,
            caption=posted.text("caption"),
        )

    return _entry(request, store, actor, number, "attach", posted, add)


@router.post("/needs/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw the need, with a reason."""
    try:
        needs.withdraw_need(store, actor, number, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, "withdraw")
        return _show(request, store, actor, number, form=form, which="withdraw", status=422)
    return redirect(request, f"/needs/{number}", "withdrawn")


@router.post("/requirements/{entry_id}/decide")
def do_decide(request: Request, entry_id: Number, actor: Restorer, store: StoreOf, posted: PostedForm) -> Response:
    """Where sources disagree: this one stands, with a reason."""
    try:
        number = needs.decide_requirement(store, actor, entry_id, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, f"decide-{entry_id}")
        number = owner_of(store, RequirementRow, entry_id).need_id
        return _show(request, store, actor, number, entry_form=form, status=422)
    return redirect(request, f"/needs/{number}", "decided")


def owner_of(store: Store, table: type[Any], entry_id: int) -> Any:
    """The row of an entry, for the record it belongs to. Raises NotFound."""
    with store.read() as session:
        row = session.get(table, entry_id)
    if row is None:
        raise NotFound("There is no such entry in this register.")
    return row


@router.post("/needs/entries/{kind}/{entry_id}/withdraw")
def do_withdraw_entry(
    request: Request, kind: str, entry_id: Number, actor: Restorer, store: StoreOf, posted: PostedForm
) -> Response:
    """Withdraw a designation, requirement or enquiry of a need, with a reason."""
    if kind not in needs.WITHDRAWABLE:
        raise NotFound("There is no such kind of entry.")
    try:
        number = needs.withdraw_entry(store, actor, kind, entry_id, posted.text("reason"))
    except Faults as faults:
        form = form_of(posted.fields, faults.faults, f"{kind}-{entry_id}")
        number = owner_of(store, needs.WITHDRAWABLE[kind], entry_id).need_id
        return _show(request, store, actor, number, entry_form=form, status=422)
    return redirect(request, f"/needs/{number}", "withdrawn")


@router.get("/classes/{key}/instruments")
def show_instruments(request: Request, key: str, _actor: Viewer, characteristic: str = "") -> Response:
    """For a characteristic of a class: what it is, and the instruments that measure it (a piece for a form)."""
    one = part_class(key).characteristic(characteristic)
    fitting = instruments_for(one.kind) if one and one.kind else ()
    context = {"one": one, "fitting": fitting}
    return page(request, "needs/_characteristic.html", "Characteristic", context)
