"""Every route against every role, by the one table roles.csv: real requests, nothing replaced.

Common practice: deny by default, and prove it for every route (OWASP, authorization cheat sheet).
"""

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from PIL import Image
from starlette.testclient import TestClient

from server.domain.register import UserRole
from server.services import (
    accounts,
    candidates,
    finds,
    handbook,
    handbook_tables,
    held_photos,
    needs,
    remarks,
    signing,
    watches,
    words,
)
from tests.builders import CHANGE
from tests.web.conftest import PASSWORD, Register
from tests.web.test_handbook import FIGURES as SHOP_FIGURES

LADDER = ["nobody", *(role.value for role in UserRole)]
PROGRAMS = ["no token", "token", "writing token", "keeper's writing token"]
TABLE = Path(__file__).with_name("roles.csv")
LAST = ("/sign-out", "/account/password")
"""Asked at the end: they end the session that asks."""


@dataclass(frozen=True)
class Line:
    """One route, and the least role that gets in."""

    method: str
    path: str
    least: str

    @property
    def is_api(self) -> bool:
        return self.least.endswith("token")


def read_lines() -> list[Line]:
    text = [one for one in TABLE.read_text(encoding="utf-8").splitlines() if not one.startswith("#")]
    return [Line(**row) for row in csv.DictReader(text)]


LINES = read_lines()


def routes_of(app: Any) -> Iterator[tuple[str, str]]:
    """Method and path of all an application answers, with what is mounted and included."""
    for route in app.routes:
        if hasattr(route, "effective_route_contexts"):  # a router taken in whole
            for one in route.effective_route_contexts():
                yield from ((method, one.path) for method in one.methods)
        elif getattr(route, "methods", None):
            yield from ((method, route.path) for method in route.methods)
        else:  # a mounted application: one address below it stands for all
            below = list(getattr(route, "routes", None) or ())
            if below:
                yield from ((method, route.path + path) for method, path in routes_of(route))
            else:
                yield "GET", f"{route.path}/{{path}}"


def test_every_route_has_its_line_and_every_line_its_route(register: Register) -> None:
    served, listed = sorted(routes_of(register.app)), sorted((line.method, line.path) for line in LINES)
    assert len(served) > 90
    assert [one for one in served if one not in listed] == []
    assert [one for one in listed if one not in served] == []
    assert len(listed) == len(set(listed))
    assert {line.least for line in LINES} <= {*LADDER, *PROGRAMS}


def test_a_route_without_a_line_is_noticed() -> None:
    app = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    app.add_api_route("/quiet/door", a_picture, methods=["DELETE"])
    assert list(routes_of(app)) == [("DELETE", "/quiet/door")]


# --- a small register with one of everything -------------------------------


def a_picture() -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (30, 20), "teal").save(written, "PNG")
    return written.getvalue()


@dataclass(frozen=True)
class Ids:
    """The numbers that go into the addresses."""

    by_path: dict[str, dict[str, object]]
    usual: dict[str, object]

    def address(self, path: str) -> str:
        """The path with real numbers in it."""
        family = path.split("/")[1]
        return path.format(**{**self.usual, **self.by_path.get(family, {}), **self.by_path.get(path, {})})


def fill(register: Register, who: str) -> Ids:
    """One of everything; tokens and candidates such that `who` may get as far as the form."""
    store, restorer = register.store, register.actor("restorer")
    plane = register.aeroplane(use="static display")  # no licence is asked for: the role alone decides
    step = register.step(plane)
    supplier = register.supplier()
    own = register.actor(who if who in LADDER[1:] else "viewer")
    watches.open_watch(store, own, {"q": "black sleeving"})
    need, find = register.need(plane, step_id=str(step)), register.find(supplier_id=str(supplier))
    other_need, other_find = register.need(plane), register.find(text="Brown sleeving")
    asked = {
        "characteristic": "length_over_all",
        "text": "30 mm",
        "known_from": "drawing",
        "reference": "drawing 41-207",
    }
    needs.add_requirement(store, restorer, need, asked)
    needs.add_designation(store, restorer, need, {"text": "X 41", "kind": "drawing", "reading": "read surely"})
    needs.add_enquiry(store, restorer, need, {"kind": "tried", "text": "asked at the fair"})
    finds.add_evidence(store, restorer, find, {"kind": "letter", "note": "from the seller"})
    finds.attach(store, register.files, restorer, photos=[("a.png", a_picture())], find_id=find)
    (held,) = held_photos.hold_photos(store, register.files, own, [("b.png", a_picture())])
    words.propose_word(store, restorer, {"word": "wurzelkram", "means": "washer"})
    handbook.add_entry(store, register.actor("keeper"), SHOP_FIGURES)
    waiting = candidates.propose(store, restorer, need, find)
    signed = candidates.propose(store, restorer, other_need, other_find)
    shown = candidates.get_candidate(store, signed)
    answers = {
        signing.reason_field(row): "Looked at by two of us; carries nothing there." for row in shown.sheet.to_answer
    }
    form = {
        "decision": "approved with conditions",
        "conditions": "display only",
        "shown": shown.shown_digest,
        "password": PASSWORD,
        "used": "1",
        **CHANGE,
        **answers,
    }
    record = signing.sign(store, register.actor("approver"), signed, form)
    accounts.make_token(store, own, "to be ended", may_write=False)
    token = accounts.get_account(store, own.id).tokens[0].id
    asking = who if who in {"approver", "keeper"} else "restorer"
    remarks.add_remark(store, register.files, register.actor(asking), waiting, {"text": "Which tin was it in?"})
    usual: dict[str, object] = {
        "number": 1,
        "need_id": need,
        "find_id": find,
        "attachment_id": 1,
        "remark_id": 1,
        "entry_id": 1,
        "kind": "designation",
        "key": "general",
        "class_key": "general",
        "digest": held.digest,
        "table": handbook_tables.shipped_tables()[0].key,
        "path": "css/base.css",
    }
    return Ids(
        {
            "candidates": {"number": waiting},
            "/candidates/{number}/withdraw-approval": {"number": signed},
            "/finds/entries/{kind}/{entry_id}/withdraw": {"kind": "evidence"},
            "/api/finds/entries/{kind}/{entry_id}/withdraw": {"kind": "evidence"},
            "records": {"number": record},
            "accounts": {"number": register.actor("second").id},
            "account": {"number": token},
        },
        usual,
    )


def refused(answer: Any) -> bool:
    """Turned away for who is asking: to the sign-in page, 401 or 403."""
    if answer.status_code == 303:
        return str(answer.headers["location"]).startswith("/sign-in?next=")
    return answer.status_code in {401, 403}


def let_in(answer: Any) -> bool:
    """Let in: answered, or told what is wrong with an empty form (422, 409). A wrong address proves nothing."""
    return not refused(answer) and (answer.status_code < 400 or answer.status_code in {409, 422})


def ask(client: TestClient, line: Line, ids: Ids) -> Any:
    address = ids.address(line.path)
    if line.path == "/api/check" and line.method == "GET":
        address = "/api/check?need_id=1&find_id=1"
    if line.path == "/api/search":
        address = "/api/search?q=sleeving"
    if line.method == "POST" and line.is_api:
        return client.post(address, json={})
    return client.request(line.method, address)


def calm(client: TestClient) -> TestClient:
    """The same browser, to which a fault of ours is a page 500 and no exception."""
    other = TestClient(client.app, str(client.base_url), raise_server_exceptions=False, follow_redirects=False)
    other.headers, other.cookies = client.headers, client.cookies
    return other


def in_order(lines: list[Line]) -> list[Line]:
    """What ends the session of whoever asks comes last."""
    return sorted(lines, key=lambda line: line.path in LAST)


@pytest.mark.parametrize("role", LADDER)
def test_every_page_lets_in_whom_the_table_says(register: Register, role: str) -> None:
    ids = fill(register, role)
    client = calm(register.client() if role == "nobody" else register.client_as(role))
    wrong: list[str] = []
    for line in in_order([one for one in LINES if not one.is_api]):
        answer = ask(client, line, ids)
        meant = LADDER.index(role) >= LADDER.index(line.least)
        if not (let_in(answer) if meant else refused(answer)):
            wrong.append(f"{line.method} {line.path}: {answer.status_code}, {'in' if meant else 'out'} was meant")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("program", PROGRAMS)
def test_the_api_lets_in_whom_the_table_says(register: Register, program: str) -> None:
    who = "keeper" if program.startswith("keeper") else "restorer"
    ids = fill(register, who)
    bearer = {}
    if program != "no token":
        bearer = {"Authorization": f"Bearer {register.token(who, may_write=program.endswith('writing token'))}"}
    wrong: list[str] = []
    for line in (one for one in LINES if one.is_api):
        answer = ask(calm(register.client(**bearer)), line, ids)
        meant = PROGRAMS.index(program) >= PROGRAMS.index(line.least)
        if not (let_in(answer) if meant else refused(answer)):
            wrong.append(f"{line.method} {line.path}: {answer.status_code}, {'in' if meant else 'out'} was meant")
    assert not wrong, "\n".join(wrong)


def test_a_token_may_no_more_than_its_account(register: Register) -> None:
    ids = fill(register, "viewer")
    client = register.client(Authorization=f"Bearer {register.token('viewer', may_write=True)}")
    writing = [one for one in LINES if one.least.endswith("writing token")]
    assert len(writing) >= 30
    for line in writing:
        body = {"candidates": {"need_id": 1, "find_id": 2}, "finds": {"text": "Bush", "part_class": "general"}}
        need = {"item": "Bush", "part_class": "general", "aeroplane_id": 1, "role": "furnishing"}
        given = body.get(line.path.rsplit("/", 1)[1], need)
        assert client.post(ids.address(line.path), json=given).status_code == 403, line.path


def test_a_cookie_opens_nothing_of_the_api_and_a_token_no_page(register: Register) -> None:
    ids = fill(register, "keeper")
    keeper = register.client_as("keeper")
    for line in (one for one in LINES if one.is_api):
        assert ask(keeper, line, ids).status_code == 401, line.path
    program = register.client(Authorization=f"Bearer {register.token('keeper', may_write=True)}")
    for line in (one for one in LINES if not one.is_api and one.least != "nobody"):
        assert refused(ask(program, line, ids)), line.path


def test_a_method_that_is_not_served_is_refused(register: Register) -> None:
    ids = fill(register, "viewer")
    viewer = register.client_as("viewer")
    served = {(line.method, line.path) for line in LINES}
    for path in sorted({line.path for line in LINES} - {"/static/{path}"}):
        for method in ("PUT", "PATCH", "DELETE"):
            assert (method, path) not in served
            assert viewer.request(method, ids.address(path)).status_code == 405, (method, path)
