"""The shop's own rules, for the keeper: the register's name, and what counts."""

from typing import Any
from zoneinfo import available_timezones

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.errors import Faults
from server.domain.specification import Role, Use
from server.domain.verdict import Concern
from server.services import house_rules
from server.services.house_rules import CountingCell
from server.storage.engine import Store
from server.web.posted import Form, PostedForm, form_of
from server.web.respond import page, redirect
from server.web.who import Keeper, StoreOf

router = APIRouter()


def _show(
    request: Request,
    store: Store,
    *,
    naming: Form | None = None,
    clocks: Form | None = None,
    counting: Form | None = None,
    status: int = 200,
) -> Response:
    shop = house_rules.shop_of(store)
    cells = house_rules.counting_table(store)
    context = {
        "naming": naming or form_of({"name": shop.name}, prefix="name"),
        "clocks": clocks or form_of({"zone": shop.zone.key}, prefix="clocks"),
        "zones": sorted(available_timezones()),
        "counting": counting or form_of({cell.name: cell.weight.value for cell in cells}, prefix="counts"),
        "tables": _tables(cells),
        "concerns": [one.value for one in Concern],
        "tightened": [cell for cell in cells if cell.is_tightened],
    }
    title = "Error: The shop’s rules" if status != 200 else "The shop’s rules"
    return page(request, "settings/settings.html", title, context, status=status)


def _tables(cells: list[CountingCell]) -> list[dict[str, Any]]:
    return [
        {
            "use": use.value,
            "rows": [
                {"role": role.value, "cells": [cell for cell in cells if (cell.use, cell.role) == (use, role)]}
                for role in Role
            ],
        }
        for use in Use
    ]


@router.get("/settings")
def show_settings(request: Request, _actor: Keeper, store: StoreOf) -> Response:
    """The shop's rules."""
    return _show(request, store)


@router.post("/settings/name")
def do_rename(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Give the register another name."""
    try:
        house_rules.rename_register(store, actor, posted.fields)
    except Faults as refused:
        return _show(request, store, naming=form_of(posted.fields, refused.faults, "name"), status=422)
    return redirect(request, "/settings", "renamed")


@router.post("/settings/zone")
def do_set_zone(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Set the zone whose clocks times are shown by."""
    try:
        house_rules.set_zone(store, actor, posted.fields)
    except Faults as refused:
        return _show(request, store, clocks=form_of(posted.fields, refused.faults, "clocks"), status=422)
    return redirect(request, "/settings", "zone-set")


@router.post("/settings/counts")
def do_tighten(request: Request, actor: Keeper, store: StoreOf, posted: PostedForm) -> Response:
    """Tighten what counts, with a reason."""
    try:
        changed = house_rules.tighten(store, actor, posted.fields)
    except Faults as refused:
        return _show(request, store, counting=form_of(posted.fields, refused.faults, "counts"), status=422)
    return redirect(request, "/settings", "tightened" if changed else "unchanged")
