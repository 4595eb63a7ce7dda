"""The handbook: the shipped tables row by row with their sources, and the shop's own rows beside them."""

from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from starlette.responses import Response

from server.domain.equivalence import HANDBOOK
from server.domain.errors import Faults
from server.domain.handbook import SHOP_CLASSES, ShippedClaim
from server.domain.material_families import all_families
from server.domain.register import ShopRow
from server.services import handbook, handbook_tables
from server.services.handbook_tables import PAGE, ShippedRow
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Keeper, StoreOf, Viewer

router = APIRouter()

SEEN = [
    (handbook.SEEN[0].value, "the document itself was seen", "you or somebody here had it in hand"),
    (handbook.SEEN[1].value, "quoted elsewhere", "it informs and never proves alone"),
]
TITLES = {ShopRow.FIGURES: "Figures of a material", ShopRow.NAME: "Another name for a material"}


@router.get("/handbook")
def show_handbook(request: Request, _actor: Viewer, store: StoreOf) -> Response:
    """All tables, and how far each may be leaned on."""
    context = {
        "tables": list(handbook_tables.tables_and_counts()),
        "own": len(handbook.entries(store)),
        "edition": HANDBOOK,
    }
    return page(request, "handbook/handbook.html", "Handbook", context)


@router.get("/handbook/shop")
def show_shop(request: Request, _actor: Viewer, store: StoreOf) -> Response:
    """The shop's own rows, those withdrawn included."""
    return _shop_page(request, store, Form())


def _shop_page(request: Request, store: Store, form: Form, *, opened: int = 0, status: int = 200) -> Response:
    context = {
        "entries": handbook.entries(store, withdrawn=True),
        "labels": {name: label for name, (label, *_) in handbook.FIGURES.items()},
        "form": form,
        "opened": opened,
    }
    title = "The shop’s own handbook"
    return page(request, "handbook/shop.html", f"Error: {title}" if status == 422 else title, context, status=status)


@router.get("/handbook/materials/new")
def show_new_figures(request: Request, _actor: Keeper) -> Response:
    """The form for figures of a material."""
    return _form_page(request, ShopRow.FIGURES, Form())


@router.get("/handbook/names/new")
def show_new_name(request: Request, _actor: Keeper) -> Response:
    """The form for another name."""
    return _form_page(request, ShopRow.NAME, Form())


def _form_page(
    request: Request, kind: ShopRow, form: Form, *, claim: ShippedClaim | None = None, status: int = 200
) -> Response:
    context = {
        "kind": kind.value,
        "form": form,
        "held": _shipped_rows(claim) if claim else [],
        "families": sorted(((one.key, one.name) for one in all_families().values()), key=lambda pair: pair[1]),
        "forms": [(one, "every form" if one == "any" else one) for one in handbook.FORMS],
        "value_classes": [(one.value, one.value) for one in SHOP_CLASSES],
        "grades": [(one.value, one.value) for one in handbook.GRADES],
        "seen": SEEN,
    }
    title = TITLES[kind]
    title = f"Error: {title}" if status == 422 else title
    return page(request, "handbook/new.html", title, context, status=status)


def _shipped_rows(claim: ShippedClaim) -> list[ShippedRow]:
    """The shipped rows that stand in a new one's way."""
    rows = [handbook_tables.row_of_material(one.key) for one in claim.lines]
    rows += [handbook_tables.row_of_name(one.alias, one.alloy) for one in claim.meanings]
    return [one for one in rows if one is not None]


@router.post("/handbook/shop")
def do_enter(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Enter a row of the shop's own."""
    kind = ShopRow.NAME if posted.text("kind") == ShopRow.NAME.value else ShopRow.FIGURES
    try:
        handbook.add_entry(store, actor, posted.fields)
    except handbook.ShippedHolds as held:
        return _form_page(request, kind, form_of(posted.fields, held.faults), claim=held.claim, status=422)
    except Faults as refused:
        return _form_page(request, kind, form_of(posted.fields, refused.faults), status=422)
    return redirect(request, "/handbook/shop", "added")


@router.post("/handbook/shop/{number}/withdraw")
def do_withdraw(request: Request, number: Number, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Withdraw a row of the shop's own, with a reason."""
    try:
        handbook.withdraw_entry(store, actor, number, posted.fields)
    except Faults as refused:
        form = form_of(posted.fields, refused.faults, f"row{number}")
        return _shop_page(request, store, form, opened=number, status=422)
    return redirect(request, "/handbook/shop", "withdrawn")


@router.get("/handbook/{table}")
def show_table(
    request: Request,
    table: str,
    _actor: Viewer,
    words: Annotated[str, Query(max_length=100)] = "",
    shaky: Annotated[str, Query()] = "",
    after: Annotated[int, Query(ge=0)] = 0,
) -> Response:
    """The rows of one table, narrowed by the address."""
    shipped = handbook_tables.shipped_table(table)
    found = handbook_tables.find_rows(table, words, shaky_only=bool(shaky))
    shown = [one for one in found if one.number > after][: PAGE + 1]
    asked = {name: value for name, value in (("words", words.strip()), ("shaky", shaky)) if value}
    more = {**asked, "after": str(shown[PAGE - 1].number)} if len(shown) > PAGE else None
    context: dict[str, Any] = {
        "table": shipped,
        "rows": shown[:PAGE],
        "total": len(found),
        "form": Form({"words": words, "shaky": shaky}),
        "next_url": f"/handbook/{table}?{urlencode(more)}" if more else "",
        "back_url": (f"/handbook/{table}?{urlencode(asked)}" if asked else f"/handbook/{table}") if after else "",
        "edition": HANDBOOK,
    }
    return page(request, "handbook/table.html", shipped.name, context, fragment="handbook/_rows.html")


@router.get("/handbook/{table}/{number}")
def show_row(request: Request, table: str, number: Number, _actor: Viewer) -> Response:
    """One row whole, to be linked to."""
    row = handbook_tables.row_of(table, number)
    context = {"row": row, "table": handbook_tables.shipped_table(table), "edition": HANDBOOK}
    return page(request, "handbook/row.html", row.title, context)
