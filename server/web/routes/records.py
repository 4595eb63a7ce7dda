"""Records that leave the register: on paper, as an archive, bound for an aeroplane; and what is fitted under them."""

from fastapi import APIRouter, Request
from starlette.responses import Response

from server.domain.register import Actor
from server.services import clocks
from server.services.aeroplanes import get_aeroplane_sheet
from server.services.archive import archive_files, zip_of
from server.services.records import fitted_of, load_record, standing_records
from server.storage.engine import Store
from server.web.addresses import Number
from server.web.paper import Imprint, record_drawings, record_pdf, volume_pdf
from server.web.respond import page
from server.web.who import StoreOf, Viewer

router = APIRouter()


def _imprint(request: Request, store: Store, actor: Actor) -> Imprint:
    shop = request.app.state.shop()
    address = str(request.base_url).rstrip("/")
    return Imprint(shop.name, shop.is_demo, actor.name, store.clock(), address, shop.zone)


def _download(content: bytes, media_type: str, name: str, how: str = "attachment") -> Response:
    return Response(content, media_type=media_type, headers={"Content-Disposition": f'{how}; filename="{name}"'})


@router.get("/records/{number}/pdf")
def show_pdf(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """One record on paper."""
    with store.read() as session:
        record = load_record(session, number)
    made = record_pdf(record, request.app.state.files, _imprint(request, store, actor))
    return _download(made, "application/pdf", f"record-{number:04d}.pdf", "inline")


@router.get("/records/{number}/archive")
def show_archive(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """One record with everything it rests on, as a zip that can be proven without the register."""
    files, imprint = request.app.state.files, _imprint(request, store, actor)
    held = archive_files(
        store,
        files,
        lambda record: {".pdf": record_pdf(record, files, imprint), **record_drawings(record)},
        [number],
    )
    return _download(zip_of(held, store.clock()), "application/zip", f"record-{number:04d}.zip")


@router.get("/aeroplanes/{number}/volume.pdf")
def show_volume(request: Request, number: Number, actor: Viewer, store: StoreOf) -> Response:
    """Every standing record of an aeroplane, bound."""
    plane = get_aeroplane_sheet(store, number, clocks.today(store)).aeroplane
    with store.read() as session:
        records = standing_records(session, number)
    made = volume_pdf(plane, records, request.app.state.files, _imprint(request, store, actor))
    return _download(made, "application/pdf", f"aeroplane-{number}-records.pdf", "inline")


@router.get("/aeroplanes/{number}/fitted")
def show_fitted(request: Request, number: Number, _actor: Viewer, store: StoreOf) -> Response:
    """What is on the aeroplane that is not the original, for whoever has to tell it apart later."""
    plane = get_aeroplane_sheet(store, number, clocks.today(store)).aeroplane
    with store.read() as session:
        fitted = [fitted_of(record) for record in standing_records(session, number)]
    fitted.sort(key=lambda one: (one.position.casefold(), one.was.casefold(), one.record))
    context = {"plane": plane, "fitted": fitted, "printed_at": store.clock()}
    return page(request, "yard/fitted.html", f"What is not original on {plane.label}", context)
