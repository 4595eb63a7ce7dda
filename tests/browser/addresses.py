"""Every address of the register that answers to GET, and real numbers from the demonstration to fill it with."""

from collections.abc import Callable, Iterator
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from fastapi.routing import APIRoute
from sqlmodel import Session, col, select

from server.storage.tables import (
    AccountRow,
    AeroplaneRow,
    AttachmentRow,
    CandidateRow,
    FindRow,
    NeedRow,
    SignOffRow,
    StepRow,
    SupplierRow,
)
from server.web import routes

PAGE, PIECE, FILE = "page", "piece", "file"
"""A whole page; a piece that htmx puts into one; a file to look at or keep."""

WORDS = "seat bucket casting left, no cracks, two lugs 8 mm holes"
LINE = "semi tubular rivet brass oval hd 3/32 x 5/16, door lining, 40 off"


def get_routes() -> Iterator[str]:
    """The paths of all GET routes, the API's apart: that one is for programs."""
    for module in iter_modules(routes.__path__):
        for route in import_module(f"{routes.__name__}.{module.name}").router.routes:
            if isinstance(route, APIRoute) and "GET" in (route.methods or ()) and not route.path.startswith("/api/"):
                yield route.path


class Numbers:
    """Numbers of the demonstration's records, chosen by what they are; `held`, a photograph waiting for its form."""

    def __init__(self, session: Session, held: str) -> None:
        self.held = held

        def first(wanted: Any) -> int:
            found = session.exec(wanted).first()
            assert isinstance(found, int), f"the demonstration has nothing for {wanted}"
            return found

        def decided(word: str) -> int:
            wanted = select(SignOffRow.candidate_id).where(SignOffRow.decision == word)
            return first(wanted.order_by(col(SignOffRow.id).desc()))

        def waiting(outcome: str) -> int:
            signed = select(SignOffRow.candidate_id)
            wanted = select(CandidateRow.id).where(col(CandidateRow.id).not_in(signed), CandidateRow.outcome == outcome)
            return first(wanted.order_by(col(CandidateRow.id)))

        is_open = col(NeedRow.met_at).is_(None)
        self.open_need = first(select(NeedRow.id).where(is_open, NeedRow.part_class == "nut"))
        self.met_need = first(
            select(NeedRow.id).where(col(NeedRow.met_at).is_not(None), NeedRow.part_class == "tubular_rivet")
        )
        self.bare_need = first(select(NeedRow.id).where(is_open, NeedRow.part_class == "instrument"))
        self.find = first(select(AttachmentRow.find_id).where(col(AttachmentRow.find_id).is_not(None)))
        self.unsorted_find = first(select(FindRow.id).where(FindRow.part_class == ""))
        self.candidates = [
            waiting("not proven"),
            waiting("not equivalent"),
            decided("approved with conditions"),
            decided("refused"),
        ]
        self.records = [
            first(select(SignOffRow.id).where(SignOffRow.decision == word))
            for word in ("approved with conditions", "refused")
        ]
        self.photo = first(select(AttachmentRow.id).where(AttachmentRow.kind == "photograph"))
        self.aeroplane = first(select(AeroplaneRow.id))
        self.step = first(select(StepRow.id).where(col(StepRow.due).is_not(None)))
        self.supplier = first(select(SupplierRow.id).where(col(SupplierRow.last_confirmed).is_not(None)))
        self.account = first(select(AccountRow.id).where(AccountRow.role == "approver"))


ADDRESSES: dict[str, tuple[str, Callable[[Numbers], list[str]]]] = {
    "/": (PAGE, lambda _: ["/"]),
    "/sign-in": (PAGE, lambda _: ["/sign-in", "/sign-in?next=/needs"]),
    "/account": (PAGE, lambda _: ["/account"]),
    "/accounts": (PAGE, lambda _: ["/accounts"]),
    "/accounts/new": (PAGE, lambda _: ["/accounts/new"]),
    "/accounts/{number}": (PAGE, lambda n: [f"/accounts/{n.account}"]),
    "/aeroplanes": (PAGE, lambda _: ["/aeroplanes"]),
    "/aeroplanes/new": (PAGE, lambda _: ["/aeroplanes/new"]),
    "/aeroplanes/{number}": (PAGE, lambda n: [f"/aeroplanes/{n.aeroplane}"]),
    "/aeroplanes/{number}/fitted": (PAGE, lambda n: [f"/aeroplanes/{n.aeroplane}/fitted"]),
    "/aeroplanes/{number}/volume.pdf": (FILE, lambda n: [f"/aeroplanes/{n.aeroplane}/volume.pdf"]),
    "/aeroplanes/{number}/edit": (PAGE, lambda n: [f"/aeroplanes/{n.aeroplane}/edit"]),
    "/steps": (PAGE, lambda _: ["/steps"]),
    "/steps/new": (PAGE, lambda n: ["/steps/new", f"/steps/new?aeroplane={n.aeroplane}"]),
    "/steps/{number}": (PAGE, lambda n: [f"/steps/{n.step}"]),
    "/steps/{number}/edit": (PAGE, lambda n: [f"/steps/{n.step}/edit"]),
    "/suppliers": (PAGE, lambda _: ["/suppliers"]),
    "/suppliers/new": (PAGE, lambda _: ["/suppliers/new"]),
    "/suppliers/{number}": (PAGE, lambda n: [f"/suppliers/{n.supplier}"]),
    "/suppliers/{number}/edit": (PAGE, lambda n: [f"/suppliers/{n.supplier}/edit"]),
    "/log": (PAGE, lambda _: ["/log"]),
    "/settings": (PAGE, lambda _: ["/settings"]),
    "/settings/signing": (PAGE, lambda _: ["/settings/signing"]),
    "/aeroplanes/{number}/conditions": (PAGE, lambda n: [f"/aeroplanes/{n.aeroplane}/conditions"]),
    "/help": (PAGE, lambda _: ["/help"]),
    "/handbook": (PAGE, lambda _: ["/handbook"]),
    "/handbook/shop": (PAGE, lambda _: ["/handbook/shop"]),
    "/handbook/materials/new": (PAGE, lambda _: ["/handbook/materials/new"]),
    "/handbook/names/new": (PAGE, lambda _: ["/handbook/names/new"]),
    "/handbook/{table}": (PAGE, lambda _: ["/handbook/materials?words=2024", "/handbook/hazards"]),
    "/handbook/{table}/{number}": (PAGE, lambda _: ["/handbook/materials/1", "/handbook/threads/1"]),
    "/try": (PAGE, lambda _: ["/try"]),
    "/try/{class_key}": (PAGE, lambda _: ["/try/tubular_rivet", "/try/control_cable"]),
    "/needs/{number}/try": (PAGE, lambda n: [f"/needs/{n.met_need}/try"]),
    "/watches": (PAGE, lambda _: ["/watches"]),
    "/words": (PAGE, lambda _: ["/words"]),
    "/needs": (PAGE, lambda _: ["/needs", "/needs?place=nowhere-at-all"]),
    "/needs/new": (PAGE, lambda _: ["/needs/new", f"/needs/new?text={LINE}"]),
    "/needs/{number}": (PAGE, lambda n: [f"/needs/{one}" for one in (n.open_need, n.met_need, n.bare_need)]),
    "/needs/{number}/edit": (PAGE, lambda n: [f"/needs/{n.open_need}/edit"]),
    "/needs/{need_id}/propose/{find_id}": (PAGE, lambda n: [f"/needs/{n.open_need}/propose/{n.unsorted_find}"]),
    "/classes/{key}/instruments": (PIECE, lambda _: ["/classes/bolt/instruments?characteristic=shank_diameter"]),
    "/finds": (PAGE, lambda _: ["/finds", "/finds?place=nowhere-at-all"]),
    "/finds/new": (PAGE, lambda _: ["/finds/new", f"/finds/new?text={WORDS}"]),
    "/finds/matches": (PIECE, lambda _: [f"/finds/matches?text={WORDS}"]),
    "/finds/rows": (PIECE, lambda _: ["/finds/rows?part_class=casting"]),
    "/finds/{number}": (PAGE, lambda n: [f"/finds/{n.find}", f"/finds/{n.unsorted_find}"]),
    "/finds/{number}/edit": (PAGE, lambda n: [f"/finds/{n.find}/edit"]),
    "/finds/{number}/tag": (PAGE, lambda n: [f"/finds/{n.find}/tag"]),
    "/files/{number}": (FILE, lambda n: [f"/files/{n.photo}"]),
    "/held/{digest}": (FILE, lambda n: [f"/held/{n.held}"]),
    "/files/{number}/small": (FILE, lambda n: [f"/files/{n.photo}/small"]),
    "/search": (PAGE, lambda _: ["/search", "/search?q=rivet", "/search?q=nothing-is-called-so"]),
    "/search/hits": (PIECE, lambda _: ["/search/hits", "/search/hits?q=rivet", "/search/hits?q=nothing-is-called-so"]),
    "/to-sign": (PAGE, lambda _: ["/to-sign"]),
    "/candidates/{number}": (PAGE, lambda n: [f"/candidates/{one}" for one in n.candidates]),
    "/records/{number}": (PAGE, lambda n: [f"/records/{one}" for one in n.records]),
    "/records/{number}/marks.css": (FILE, lambda n: [f"/records/{n.records[0]}/marks.css"]),
    "/records/{number}/pdf": (FILE, lambda n: [f"/records/{n.records[0]}/pdf"]),
    "/records/{number}/archive": (FILE, lambda n: [f"/records/{n.records[0]}/archive"]),
    "/records/{number}/json": (FILE, lambda n: [f"/records/{n.records[0]}/json"]),
}
"""For every GET route: what it answers with, and the addresses to try it at."""
