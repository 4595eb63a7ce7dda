"""What somebody with bad intent tries, over HTTP, nothing replaced: each is refused, or is harmless.

The list follows common practice (OWASP cheat sheets on session management, request forgery, cross-site
scripting, file upload; OWASP's page on CSV injection); each register here is the test's own.
"""

import csv
import io
import logging
import re
import threading
import time
import zlib
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from html import unescape
from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlsplit

import pytest
from fastapi import FastAPI
from PIL import Image
from sqlalchemy.exc import IntegrityError
from starlette.testclient import TestClient

from server.app import create_app, serve
from server.domain.register import Actor
from server.services import accounts, candidates, exporting, finds, needs, remarks, signing, verifying, yard
from server.settings import MAX_BODY, Settings
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.finds import FindFilter, list_finds
from server.storage.tables import AccountRow
from tests.builders import CHANGE, Shop, shop
from tests.builders import PASSWORD as WORD
from tests.web.conftest import OURS, PASSWORD, Register
from tests.web.test_roles import LINES, a_picture, fill, refused

EVIL = "http://elsewhere.example"
STRANGERS = [
    {"Origin": EVIL},
    {"Origin": "null"},
    {"Origin": OURS + ".elsewhere.example"},
    {"Origin": "https://testserver"},
    {"Origin": OURS, "Sec-Fetch-Site": "cross-site"},
    {"Origin": OURS, "Sec-Fetch-Site": "same-site"},
    {"Sec-Fetch-Site": "cross-site"},
]


# --- a register on either database -----------------------------------------


@dataclass(frozen=True)
class House:
    """A shop with its application, on the database of this test."""

    made: Shop
    app: FastAPI

    def client(self, actor: Actor | None = None) -> TestClient:
        """A browser on our own pages; to it a fault of ours is a page 500 and no exception."""
        client = TestClient(
            self.app, OURS, headers={"Origin": OURS}, follow_redirects=False, raise_server_exceptions=False
        )
        if actor is not None:
            answer = client.post("/sign-in", data={"sign_in": actor.sign_in, "password": WORD})
            assert answer.status_code == 303, answer.text
        return client

    def candidate(self) -> int:
        """A semi-tubular rivet offered for a tubular one: rows to answer, and a decision to take."""
        need = self.made.need()
        self.made.require(need, "body_diameter", "2.95 to 3.05 mm")
        find = self.made.find("semi-tubular rivets, brass", part_class="semi_tubular_rivet")
        self.made.measure(find, "body_diameter", "3.00 mm", instrument="micrometer")
        return self.made.propose(need, find)


@pytest.fixture
def house(application: FastAPI, store: Store, files: Files, tmp_path: Any) -> House:
    settings = Settings(folder=tmp_path)
    serve(application, settings, store)
    return House(shop(store, Files(settings.files)), application)


def form_of_sheet(page: str, **more: str) -> dict[str, str]:
    """The signing form as it stands on the page, filled in by a careful person."""
    part = page[page.index('id="sign"') :]
    shown = re.search(r'name="shown" value="([0-9a-f]{64})"', part)
    assert shown is not None
    named = set(re.findall(r'name="(reason_[a-z_0-9.]+)"', part))
    return {
        "shown": shown.group(1),
        "decision": "approved with conditions",
        "conditions": "for display only",
        "password": WORD,
        **CHANGE,
        **dict.fromkeys(named, "Looked at by two of us; it carries no load there."),
        **more,
    }


# --- the session -------------------------------------------------------------


def test_a_cookie_from_before_signing_in_never_becomes_good(register: Register) -> None:
    for planted in ("chosen-by-somebody-else", "", "a" * 4000, "%00", "../../x"):
        victim = register.client()
        victim.cookies.set("makegood", planted, domain="testserver.local")
        answer = victim.post("/sign-in", data={"sign_in": "restorer", "password": PASSWORD})
        assert answer.status_code == 303
        drawn = re.search(r"makegood=([^;]*)", answer.headers["set-cookie"])
        assert drawn is not None
        assert len(drawn.group(1)) >= 43  # 32 octets, base64url
        assert drawn.group(1) != planted
        thief = register.client()
        thief.cookies.set("makegood", planted, domain="testserver.local")
        assert thief.get("/account").headers["location"].startswith("/sign-in")


def test_a_cookie_from_before_signing_out_is_worth_nothing_afterwards(register: Register) -> None:
    client = register.client()
    client.post("/sign-in", data={"sign_in": "approver", "password": PASSWORD})
    kept = client.cookies["makegood"]
    assert client.post("/sign-out").status_code == 303
    replayed = register.client()
    replayed.cookies.set("makegood", kept, domain="testserver.local")
    for method, address in (("GET", "/account"), ("POST", "/account/tokens"), ("POST", "/finds"), ("GET", "/files/1")):
        answer = replayed.request(method, address)
        # a page leads to the door; what was typed into a form is not thrown away by leading away from it
        assert answer.status_code == 401 if method == "POST" else refused(answer), address


# --- other sites -------------------------------------------------------------

POSTS = [line.path for line in LINES if line.method == "POST"]


def test_no_change_is_taken_from_a_page_of_another_site(register: Register) -> None:
    ids = fill(register, "keeper")
    client = register.client_as("keeper")
    cookie = client.cookies["makegood"]
    del client.headers["Origin"]
    assert len(POSTS) > 40
    for path in POSTS:
        for headers in STRANGERS:
            assert client.post(ids.address(path), headers=headers).status_code == 403, (path, headers)
        # neither header, but the cookie is there: an old browser, or somebody else's page in one
        answer = client.post(ids.address(path), headers={"Cookie": f"makegood={cookie}"})
        assert answer.status_code == 403, path
    assert client.get("/account").status_code == 200  # the session still stands: nothing was done


def test_reading_from_another_site_is_harmless_and_in_no_frame(register: Register) -> None:
    answer = register.client_as("keeper").get("/account", headers={"Origin": EVIL, "Sec-Fetch-Site": "cross-site"})
    assert "access-control-allow-origin" not in answer.headers
    policy = answer.headers["content-security-policy"]
    assert "frame-ancestors 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["cache-control"] == "no-store"


# --- the signature -----------------------------------------------------------


def test_the_same_form_sent_twice_makes_one_record(house: House) -> None:
    number = house.candidate()
    client = house.client(house.made.approver)
    form = form_of_sheet(client.get(f"/candidates/{number}").text)
    first = client.post(f"/candidates/{number}/sign", data=form)
    assert first.headers["location"].startswith("/records/")
    assert client.post(f"/candidates/{number}/sign", data=form).status_code == 403
    assert verifying.verify(house.made.store, house.made.files) == (1, [])


def test_two_approvers_at_once_make_one_record(house: House) -> None:
    made = house.made
    number = house.candidate()
    clients = [house.client(made.approver), house.client(made.keeper)]
    forms = [form_of_sheet(client.get(f"/candidates/{number}").text) for client in clients]
    ready = threading.Barrier(2)

    def sign(client: TestClient, form: dict[str, str]) -> int:
        ready.wait(timeout=20)
        return client.post(f"/candidates/{number}/sign", data=form).status_code

    with ThreadPoolExecutor(2) as pool:
        answers = sorted(pool.map(sign, clients, forms))
    assert answers[0] == 303
    assert answers[1] in {403, 409}  # decided already, or the sheet is another now
    assert verifying.verify(made.store, made.files) == (1, [])
    need = candidates.get_candidate(made.store, number).need
    assert need.is_met


def test_two_withdrawals_at_once_make_one_record(house: House) -> None:
    made = house.made
    number = house.candidate()
    clients = [house.client(made.approver), house.client(made.keeper)]
    form = form_of_sheet(clients[0].get(f"/candidates/{number}").text)
    assert clients[0].post(f"/candidates/{number}/sign", data=form).status_code == 303
    ready = threading.Barrier(2)

    def withdraw(client: TestClient) -> int:
        ready.wait(timeout=20)
        said = {"reason": "The same bag cracked on the sister aeroplane.", "password": WORD}
        return client.post(f"/candidates/{number}/withdraw-approval", data=said).status_code

    with ThreadPoolExecutor(2) as pool:
        answers = sorted(pool.map(withdraw, clients))
    assert answers[0] == 303
    assert answers[1] in {409, 422}
    assert verifying.verify(made.store, made.files) == (2, [])


def test_two_candidates_signed_at_once_stay_one_chain(house: House) -> None:
    made = house.made
    numbers = [house.candidate() for _ in range(2)]
    clients = [house.client(made.approver), house.client(made.keeper)]
    forms = [form_of_sheet(one.get(f"/candidates/{number}").text) for one, number in zip(clients, numbers, strict=True)]
    ready = threading.Barrier(2)

    def sign(client: TestClient, number: int, form: dict[str, str]) -> int:
        ready.wait(timeout=20)
        return client.post(f"/candidates/{number}/sign", data=form).status_code

    with ThreadPoolExecutor(2) as pool:
        answers = list(pool.map(sign, clients, numbers, forms))
    assert set(answers) <= {303, 409}
    assert verifying.verify(made.store, made.files) == (answers.count(303), [])


def test_a_measurement_that_comes_while_the_sheet_is_open_stops_the_signature(house: House) -> None:
    made = house.made
    number = house.candidate()
    client = house.client(made.approver)
    form = form_of_sheet(client.get(f"/candidates/{number}").text)
    find = candidates.get_candidate(made.store, number).find.id
    restorer = house.client(made.restorer)
    reading = {"characteristic": "body_diameter", "text": "3.09 mm", "basis": "measured"}
    more = {"stage": "bare, will stay so", "instrument": "micrometer"}
    assert restorer.post(f"/finds/{find}/statements", data=reading | more).status_code == 303
    answer = client.post(f"/candidates/{number}/sign", data=form)
    assert answer.status_code == 409
    assert "Looked at by two of us" in answer.text  # what was typed is kept
    assert WORD not in answer.text
    assert verifying.verify(made.store, made.files) == (0, [])


def test_wrong_passwords_at_the_signature_are_slowed_down_on_the_page(house: House) -> None:
    number = house.candidate()
    client = house.client(house.made.approver)
    form = form_of_sheet(client.get(f"/candidates/{number}").text, password="not this one")
    address = f"/candidates/{number}/sign"
    assert [client.post(address, data=form).status_code for _ in range(4)] == [422, 422, 422, 429]
    answer = client.post(address, data=form | {"password": WORD})
    assert answer.status_code == 429
    assert "try again in" in answer.text
    assert "Looked at by two of us" in answer.text
    assert verifying.verify(house.made.store, house.made.files) == (0, [])


# --- addresses ---------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "/files/../register.sqlite3",
        "/files/..%2f..%2fregister.sqlite3",
        "/files/%2e%2e/%2e%2e/etc/passwd",
        "/files/1%00.jpg",
        "/files/1/../../register.sqlite3",
        "/files//etc/passwd",
        "/static/../register.sqlite3",
        "/static/..%2f..%2fpyproject.toml",
        "/static/%2e%2e/%2e%2e/pyproject.toml",
        "/static//etc/passwd",
        "/static/css/../../../pyproject.toml",
        "/static/..%5c..%5cpyproject.toml",
    ],
)
def test_no_address_leads_out_of_its_folder(register: Register, path: str) -> None:
    answer = register.client_as("keeper").get(path)
    assert answer.status_code in {400, 404, 405}
    assert b"SQLite format" not in answer.content
    assert b"root:" not in answer.content
    assert b"[project]" not in answer.content


@pytest.mark.parametrize("digest", ["../" * 21 + "x", "/etc/passwd", "a" * 63 + "/", "A" * 64, "", "." * 64])
def test_a_digest_is_never_a_path(files: Files, digest: str) -> None:
    with pytest.raises(Exception, match="no such file"):
        files.path(digest)


NUMBERS = ["0", "-1", "2147483648", "9223372036854775808", "9" * 40, "1e3", "²", "٣", "%00"]


@pytest.mark.parametrize("number", NUMBERS)
def test_no_number_in_an_address_breaks_a_page(house: House, number: str) -> None:
    client = house.client(house.made.keeper)
    broken = [
        address
        for line in LINES
        if not line.is_api and "{" in line.path and "static" not in line.path
        for address in [re.sub(r"\{[^}]+\}", number, line.path.replace("{kind}", "designation"))]
        if client.request(
            line.method, address, data={"reason": "a reason that is long enough"} if line.method == "POST" else None
        ).status_code
        >= 500
    ]
    assert broken == []


QUERIES = [
    "/needs?aeroplane={}",
    "/needs?step={}",
    "/needs?after={}",
    "/needs?place={}",
    "/needs?part_class={}",
    "/needs?role={}",
    "/finds?supplier={}",
    "/finds?before={}",
    "/finds?place={}",
    "/finds?origin={}",
    "/finds/new?text={}",
    "/finds/matches?text={}&part_class={}",
    "/finds/rows?part_class={}",
    "/needs/new?text={}",
    "/steps?aeroplane={}",
    "/steps/new?aeroplane={}",
    "/log?about={}",
    "/log?before={}",
    "/search?q={}",
    "/search/hits?q={}",
    "/search?q=N{}",
    "/suppliers?withdrawn={}",
    "/classes/general/instruments?characteristic={}",
    "/sign-in?next={}",
    "/?said={}",
]


@pytest.mark.parametrize("value", [*NUMBERS, "a%00b", "%ff%fe", "%ed%a0%80", "'; DROP TABLE need; --", "x" * 5000])
def test_no_query_breaks_a_page(house: House, value: str) -> None:
    client = house.client(house.made.keeper)
    broken = [address for query in QUERIES if client.get(address := query.replace("{}", value)).status_code >= 500]
    assert broken == []


def test_redirects_carry_no_headers_of_others(house: House) -> None:
    injected = "/needs\r\nSet-Cookie: makegood=stolen\r\n\r\n<script>"
    client = house.client()
    fields = {"sign_in": house.made.viewer.sign_in, "password": WORD, "next": injected}
    answer = client.post("/sign-in", data=fields)
    assert answer.headers["location"] == "/"
    assert "stolen" not in str(answer.headers)
    for path in ("/needs/%0d%0aSet-Cookie:%20makegood=stolen", "/%0d%0aLocation:%20//elsewhere.example"):
        for one in (house.client(), client):
            answer = one.get(path)
            assert "stolen" not in answer.headers.get("set-cookie", "")
            assert not answer.headers.get("location", "").startswith("//")
            assert "\n" not in answer.headers.get("location", "")
    said = client.get("/", params={"said": "signed\r\nX: y<script>alert(1)</script>"})
    assert said.status_code == 200
    assert "alert(1)" not in said.text
    assert "x" not in said.headers


# --- what comes in too large, too many, or not as text -------------------------


def test_a_body_that_is_too_long_is_refused_before_it_is_read(
    register: Register, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("server.app.MAX_BODY", 1000)
    client = register.client_as("restorer")
    small = TestClient(create_app(register.settings, register.store), OURS, headers=dict(client.headers))
    small.cookies = client.cookies

    def chunks() -> Iterator[bytes]:
        for _ in range(1000):
            yield b"text=" + b"x" * 500 + b"&"

    form = {"Content-Type": "application/x-www-form-urlencoded"}
    assert small.post("/finds", content=chunks(), headers=form).status_code == 413
    assert small.post("/finds", content=b"text=" + b"x" * 1000, headers=form).status_code == 413
    said = small.post("/finds", content=b"text=x", headers={**form, "Content-Length": str(MAX_BODY + 1)})
    assert said.status_code == 413
    with register.store.read() as session:
        assert list_finds(session, FindFilter()) == []


def test_more_fields_than_any_form_has_are_refused_in_words(register: Register) -> None:
    client = register.client_as("restorer")
    many = {f"m{number}": "x" for number in range(1001)}
    answer = client.post("/finds", data=many)
    assert answer.status_code == 422  # read, and what is missing is said
    answer = client.post("/finds", data={f"m{number}": "x" for number in range(2001)})
    assert answer.status_code == 400
    answer = client.post("/finds", files=[("f", (None, "x"))] * 2001)
    assert answer.status_code == 400
    answer = client.post("/finds", files=[("photos", (f"{n}.png", b"x", "image/png")) for n in range(30)])
    assert answer.status_code == 422  # a person may choose too many: said at the field, nothing typed is lost
    assert "30 photographs" in answer.text
    answer = client.post("/finds", files=[("photos", (f"{n}.png", b"x", "image/png")) for n in range(1001)])
    assert answer.status_code == 400
    answer = client.post("/finds", files=[("text", (None, "x" * (1024 * 1024 + 1)))])
    assert answer.status_code in {400, 413}


LONG_OR_ODD = {
    "nul": "a\x00b",
    "long": "x" * 20_000,
    "bidi": "\u202egnp.exe\u202c",
    "odd": "\ufffe\uffff\x7f\x1b[31m",
    "sql": "x'); DROP TABLE find; --",
}


@pytest.mark.parametrize("kind", LONG_OR_ODD)
def test_no_text_breaks_a_form(house: House, kind: str) -> None:
    made, text = house.made, LONG_OR_ODD[kind]
    need, find = made.need(), made.find()
    candidate = made.propose(need, find)
    client = house.client(made.keeper)
    numbers = {"need_id": need, "find_id": find, "entry_id": 1, "attachment_id": 1, "kind": "designation"}
    names = [
        "item",
        "text",
        "note",
        "zone",
        "station",
        "chapter",
        "ref",
        "arm",
        "touches",
        "quantity_text",
        "reason",
        "reference",
        "caption",
        "name",
        "place",
        "contact",
        "type",
        "serial",
        "registration",
        "answer",
        "characteristic",
        "instrument",
        "uncertainty",
        "serials",
        "by",
        "bin",
        "condition",
        "price_text",
        "lead_time",
        "smallest_lot",
        "licence_kind",
        "sign_in",
        "password",
        "old_password",
        "new_password",
        "again",
        "shown",
        "conditions",
        "decision",
        "part_class",
        "role",
        "aeroplane_id",
        "supplier_id",
        "step_id",
        "version",
        "capture_id",
        "propose_for",
        "next",
        "mark",
        "mark_kind",
    ]
    broken: list[str] = []
    for line in LINES:
        if line.method != "POST" or line.is_api or line.path in {"/sign-out", "/accounts/{number}/password"}:
            continue
        address = line.path.format(number=candidate if "candidates" in line.path else 1, **numbers)
        answer = client.post(address, data=dict.fromkeys(names, text))
        if answer.status_code >= 500 or ("location" in answer.headers and "sign-in" in answer.headers["location"]):
            broken.append(f"{address}: {answer.status_code}")
    assert broken == []
    assert house.client(made.viewer).get("/needs").status_code == 200


@pytest.mark.parametrize("text", ["a\x00b", "\ud800", "x" * 100_000])
def test_no_text_breaks_the_api(house: House, text: str) -> None:
    made = house.made
    token = accounts.make_token(made.store, made.restorer, "tests", may_write=True)
    client = house.client()
    client.headers["Authorization"] = f"Bearer {token}"
    escaped = "".join(sign if sign.isascii() and sign.isprintable() else f"\\u{ord(sign):04x}" for sign in text)
    for path in ("/api/needs", "/api/finds", "/api/candidates", "/api/check"):
        body = '{"item": "%s", "text": "%s", "part_class": "%s", "aeroplane_id": "%s", "note": "%s"}'
        answer = client.post(path, content=body.replace("%s", escaped), headers={"Content-Type": "application/json"})
        assert answer.status_code < 500, (path, answer.text)
    good = f'{{"text": "Bush {escaped}", "part_class": "general"}}'
    answer = client.post("/api/finds", content=good, headers={"Content-Type": "application/json"})
    assert answer.status_code in {201, 422}
    assert client.get("/api/finds").status_code == 200


# --- files -------------------------------------------------------------------


def bomb(side: int) -> bytes:
    """A PNG of side × side points, all black, packed small (PNG specification, ISO/IEC 15948, 11.2)."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return len(body).to_bytes(4, "big") + kind + body + zlib.crc32(kind + body).to_bytes(4, "big")

    head = side.to_bytes(4, "big") * 2 + bytes([1, 0, 0, 0, 0])  # one bit a point, grey
    packer = zlib.compressobj(9)
    line = bytes(1 + (side + 7) // 8)
    body = b"".join(packer.compress(line * 100) for _ in range(side // 100)) + packer.flush()
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def send(client: TestClient, number: int, field: str, name: str, content: bytes, kind: str = "image/png") -> Any:
    return client.post(f"/finds/{number}/attach", files={field: (name, content, kind)}, data={"caption": ""})


def test_a_picture_that_unpacks_to_gigabytes_is_refused_at_once(register: Register) -> None:
    number = register.find()
    client = register.client_as("restorer")
    content = bomb(30_000)
    assert len(content) < 1_000_000
    started = time.monotonic()
    answer = send(client, number, "photos", "bomb.png", content)
    assert answer.status_code == 422
    assert time.monotonic() - started < 5
    assert finds.get_find(register.store, number).attachments == ()


HOSTILE = "<script>alert(document.domain)</script>"
SVG = f'<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)">{HOSTILE}</svg>'.encode()


@pytest.mark.parametrize("field", ["photos", "papers"])
@pytest.mark.parametrize(
    "content", [SVG, SVG.removeprefix(b'<?xml version="1.0"?>'), b"\xef\xbb\xbf \n" + SVG, b"<!doctype html>" + SVG]
)
def test_a_drawing_or_page_that_could_run_is_not_taken(register: Register, field: str, content: bytes) -> None:
    number = register.find()
    answer = send(register.client_as("restorer"), number, field, "a.svg", content, "image/svg+xml")
    assert answer.status_code == 422
    assert finds.get_find(register.store, number).attachments == ()


def a_jpeg(comment: bytes = b"") -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (40, 30), "navy").save(written, "JPEG", comment=comment)
    return written.getvalue()


def test_a_picture_that_is_something_else_too_is_only_a_picture_afterwards(register: Register) -> None:
    number = register.find()
    client = register.client_as("restorer")
    mixed = {
        "a.jpg": a_jpeg(HOSTILE.encode()) + HOSTILE.encode() + b"PK\x03\x04<?php echo 1;",
        "b.png.html": a_picture() + HOSTILE.encode(),
        "c.jpg": a_jpeg() + b"%PDF-1.7 " + HOSTILE.encode(),
    }
    for name, content in mixed.items():
        assert send(client, number, "photos", name, content, "text/html").status_code == 303, name
    kept = finds.get_find(register.store, number).attachments
    assert len(kept) == len(mixed)
    for one in kept:
        for address in (one.url, one.thumb_url):
            answer = client.get(address)
            assert answer.headers["content-type"] == "image/jpeg"
            assert answer.headers["x-content-type-options"] == "nosniff"
            assert b"script" not in answer.content
            assert b"PK\x03\x04" not in answer.content
            assert b"%PDF" not in answer.content


def test_a_paper_is_only_ever_downloaded(register: Register) -> None:
    number = register.find()
    client = register.client_as("restorer")
    papers = {
        'evil"; filename="x.html\r\nX-Bad: 1.pdf': b"%PDF-1.7\n" + HOSTILE.encode(),
        "page.html": b"plain words, then " + HOSTILE.encode(),
        "zip.html": b"PK\x03\x04" + HOSTILE.encode(),
    }
    for name, content in papers.items():
        assert send(client, number, "papers", name, content, "text/html").status_code == 303, name
    for one in finds.get_find(register.store, number).attachments:
        answer = client.get(one.url)
        assert re.fullmatch(r'attachment; filename="paper-\d{4}\.(pdf|txt|zip)"', answer.headers["content-disposition"])
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert "sandbox" in answer.headers["content-security-policy"]
        assert "html" not in answer.headers["content-type"]
        assert "x-bad" not in answer.headers
        assert client.get(one.thumb_url).status_code == 404


def test_files_are_for_those_who_signed_in(register: Register) -> None:
    fill(register, "viewer")
    for address in ("/files/1", "/files/1/small"):
        assert register.client().get(address).status_code == 303
        assert "private" in register.client_as("viewer").get(address).headers["cache-control"]


# --- what somebody typed, on every page ----------------------------------------

PROBE = "\"'><img src=x onerror=alert(1)><script>alert(2)</script><svg/onload=alert(3)>{{7*7}}&lt;b&gt;"
"""Breaks out of an attribute, a text, a template."""


class Seen(HTMLParser):
    """What a browser would make of a page: elements and attributes that must not be there; links to go on with."""

    def __init__(self) -> None:
        super().__init__()
        self.bad: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "script" and not str(given.get("src", "")).startswith("/static/"):
            self.bad.append("script")
        for name, value in given.items():
            if name.startswith(("on", "hx-on")) or name == "style":
                self.bad.append(f"{tag} {name}")
            if name in {"href", "src", "action", "formaction"}:
                text = (value or "").strip()
                if not text.startswith(("/", "#", "?", "mailto:", "tel:")) and "://" not in text:
                    self.bad.append(f"{tag} {name}={text[:40]}")
        if tag == "img" and given.get("src") == "x":
            self.bad.append("img")
        if tag == "a" and given.get("href"):
            self.links.append(str(given["href"]))


def seen(page: str) -> Seen:
    parser = Seen()
    parser.feed(page)
    return parser


def candidates_waiting(register: Register) -> int:
    with register.store.read() as session:
        return candidates.list_candidates(session, undecided=True)[0].id


def hostile(register: Register) -> None:
    """A register in which every text that can be typed is the probe."""
    store, restorer, keeper = register.store, register.actor("restorer"), register.actor("keeper")
    approver, p = register.actor("approver"), PROBE
    accounts.change_account(
        store,
        keeper,
        restorer.id,
        {"name": p[:100], "role": "restorer", "is_active": "yes", "licence_kind": p[:120], "licence_number": p[:60]},
    )
    restorer = register.actor("restorer")
    plane = yard.save_aeroplane(
        store,
        keeper,
        {
            "type": p,
            "maker": p,
            "serial": p[:60],
            "registration": p[:30],
            "built": p[:30],
            "authority": p,
            "note": p,
            "use": "static display",
        },
    )
    step = yard.save_step(store, restorer, {"aeroplane_id": str(plane), "name": p, "closes": p, "note": p})
    supplier = yard.save_supplier(store, restorer, {"name": p, "kind": p, "place": p, "contact": p, "note": p})

    def texts(most: int, *names: str) -> dict[str, str]:
        return dict.fromkeys(names, p[:most])

    need = needs.open_need(
        store,
        restorer,
        {
            "item": p,
            "part_class": "general",
            "aeroplane_id": str(plane),
            "role": "furnishing",
            "step_id": str(step),
            **texts(60, "zone", "station", "quantity_text", "touches", "ref"),
            "note": p,
            "text": p,
        },
    )
    needs.add_designation(store, restorer, need, {"text": p[:120], "kind": "drawing", "reading": "doubtful", "note": p})
    needs.add_requirement(
        store,
        restorer,
        need,
        {"characteristic": "look", "text": p, "known_from": "drawing", "reference": p, "serials": p[:100]},
    )
    needs.add_enquiry(store, restorer, need, {"kind": "asked", "supplier_id": str(supplier), "text": p, "answer": p})
    find = finds.log_find(
        store,
        register.files,
        restorer,
        {
            "text": p,
            "part_class": "general",
            "supplier_id": str(supplier),
            **texts(60, "condition", "quantity_text", "smallest_lot", "lead_time", "bin", "ref"),
            "note": p,
        },
        [(p + ".png", a_picture())],
    )
    finds.add_statement(
        store,
        restorer,
        find,
        {"characteristic": "look", "text": p, "basis": "claimed", "stage": "bare, will stay so", "by": p[:100]},
    )
    finds.add_evidence(store, restorer, find, {"kind": "letter", "note": p})
    finds.attach(
        store,
        register.files,
        restorer,
        photos=[(p + ".jpg", a_jpeg())],
        papers=[(p, b"words")],
        find_id=find,
        caption=p,
    )
    finds.attach(store, register.files, restorer, photos=[(p + ".jpg", a_jpeg())], need_id=need, caption=p)
    number = candidates.propose(store, restorer, need, find, p)
    candidates.judge_authenticity(store, restorer, number, {"answer": "will do", "reason": p})
    shown = candidates.get_candidate(store, number)
    signing.sign(
        store,
        approver,
        number,
        {
            "decision": "approved with conditions",
            "conditions": p,
            "reason": p,
            "shown": shown.shown_digest,
            "password": PASSWORD,
            "used": "1",
            **CHANGE,
            **{signing.reason_field(row): p for row in shown.sheet.to_answer},
        },
    )
    other = finds.log_find(store, register.files, restorer, {"text": p, "part_class": "general"})
    again = needs.open_need(
        store,
        restorer,
        {"item": p, "part_class": "general", "aeroplane_id": str(plane), "role": "furnishing", "step_id": str(step)},
    )
    candidates.propose(store, restorer, again, other, p)
    asked = remarks.add_remark(store, register.files, approver, candidates_waiting(register), {"text": p})
    given = {"text": p, "answered_to": str(asked)}
    remarks.add_remark(
        store, register.files, restorer, candidates_waiting(register), given, [(p + ".png", a_picture())]
    )
    accounts.make_token(store, keeper, p[:100], may_write=False)


ROUTES = [re.compile(re.sub(r"\{\w+\}", "[^/]+", line.path)) for line in LINES if line.method == "GET"]


def crawl(client: TestClient, start: str = "/", most: int = 4) -> Iterator[tuple[str, Any]]:
    """Every page a person could get to by links; of each route the first few addresses."""
    waiting, known, seen_of = [start], {start}, Counter[int]()
    while waiting:
        address = waiting.pop(0)
        path = urlsplit(address).path
        route = next((place for place, one in enumerate(ROUTES) if one.fullmatch(path)), -1)
        seen_of[route] += 1
        if seen_of[route] > most:
            continue
        answer = client.get(address)
        yield address, answer
        if not answer.headers.get("content-type", "").startswith("text/html"):
            continue
        for link in seen(answer.text).links:
            plain = urlsplit(link)._replace(fragment="").geturl()
            if plain.startswith("/") and not plain.startswith(("/files", "/static")) and plain not in known:
                known.add(plain)
                waiting.append(plain)


def test_whatever_was_typed_is_text_on_every_page(register: Register) -> None:
    hostile(register)
    client = register.client_as("keeper")
    visited: list[str] = []
    for address, answer in crawl(client):
        assert answer.status_code in {200, 303}, address
        if answer.headers.get("content-type", "").startswith("text/html"):
            assert seen(answer.text).bad == [], address
            assert "49&amp;lt;b" not in answer.text  # nothing typed is read as a template
            visited.append(urlsplit(address).path)
    shapes = {re.sub(r"\d+", "N", path) for path in visited}
    assert {
        "/",
        "/needs",
        "/needs/N",
        "/needs/N/edit",
        "/finds/N",
        "/finds/N/edit",
        "/candidates/N",
        "/records/N",
        "/suppliers/N",
        "/steps/N",
        "/aeroplanes/N",
        "/accounts/N",
        "/log",
        "/to-sign",
    } <= shapes
    assert any(PROBE in unescape(client.get(path).text) for path in ("/needs/1", "/finds/1"))  # it did get there


@pytest.mark.parametrize(
    "address", ["/search", "/finds/new", "/finds/matches", "/needs/new", "/log", "/sign-in", "/needs", "/finds", "/?"]
)
def test_a_query_is_text_on_its_page(register: Register, address: str) -> None:
    client = register.client_as("restorer")
    names = [
        "q",
        "text",
        "about",
        "next",
        "place",
        "part_class",
        "role",
        "state",
        "origin",
        "supplier",
        "aeroplane",
        "step",
        "said",
        "mine",
    ]
    for headers in ({}, {"HX-Request": "true"}):
        answer = client.get(address, params=dict.fromkeys(names, PROBE[:60]), headers=headers)
        assert answer.status_code in {200, 422}
        assert seen(answer.text).bad == []


def test_a_refused_form_shows_what_was_typed_as_text(register: Register) -> None:
    ids = fill(register, "keeper")
    client = register.client_as("keeper")
    names = [
        "item",
        "text",
        "note",
        "name",
        "type",
        "reason",
        "reference",
        "caption",
        "role",
        "part_class",
        "conditions",
        "decision",
        "sign_in",
    ]
    for path in (one for one in POSTS if not one.startswith(("/api", "/sign-out", "/accounts/{number}/password"))):
        answer = client.post(ids.address(path), data=dict.fromkeys(names, PROBE * 60))
        assert seen(answer.text).bad == [], path


# --- what leaves the house -------------------------------------------------------


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t=", "\r=", "\n="])
def test_no_cell_of_an_export_is_a_formula(register: Register, start: str) -> None:
    """Leading signs as listed on OWASP's page on CSV injection."""
    formula = f"{start}cmd|'/C calc'!A1"
    plane = register.aeroplane()
    register.need(plane, item=formula, zone=formula, note=formula)
    register.find(text=formula, bin=formula, note="")
    for lines in (exporting.export_needs(register.store, "csv"), exporting.export_finds(register.store, "csv")):
        heading, row = csv.reader(io.StringIO("".join(lines)))
        cells = dict(zip(heading, row, strict=True))
        assert not [cell for cell in row if cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))]
        assert cells["ref"] == ""  # what is empty stays empty


def test_secrets_stand_in_no_log(register: Register, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.DEBUG)
    fill(register, "approver")
    client = register.client()
    client.post("/sign-in", data={"sign_in": "approver", "password": PASSWORD})
    cookie = client.cookies["makegood"]
    client.post("/sign-in", data={"sign_in": "approver", "password": "a wrong one entirely"})
    made = client.post("/account/tokens", data={"name": "list"}).text
    token = re.search(r"mg_[\w-]{40,}", made)
    assert token is not None
    register.client(Authorization=f"Bearer {token.group(0)}").get("/api/needs")
    page = client.get("/candidates/1").text
    client.post("/candidates/1/sign", data=form_of_sheet(page, password=PASSWORD))
    client.post("/candidates/1/sign", data={"password": PASSWORD})
    client.post("/account/password", data={"old_password": PASSWORD, "new_password": "four new rivets", "again": "x"})
    secrets = [PASSWORD, "a wrong one entirely", "four new rivets", cookie, token.group(0), "$argon2"]
    assert caplog.text
    assert [one for one in secrets if one in caplog.text] == []


def test_a_fault_of_the_database_names_no_values(store: Store, files: Files, caplog: pytest.LogCaptureFixture) -> None:
    """An error page's reference leads to the log, and the log is read by more people than the accounts are."""
    made = shop(store, files)
    twice = AccountRow(
        sign_in=made.keeper.sign_in, name="K", role="keeper", password_hash="$argon2-this-one", created_at=store.clock()
    )
    with pytest.raises(IntegrityError) as raised, store.write() as session:
        session.add(twice)  # the unit of work saves it, and the database refuses
    assert "$argon2-this-one" not in str(raised.value)


def test_no_hash_and_no_digest_of_a_secret_leaves_the_register(register: Register) -> None:
    fill(register, "keeper")
    token = register.token("keeper")
    out = ["".join(exporting.export_needs(register.store, kind)) for kind in ("csv", "jsonl")]
    out += ["".join(exporting.export_finds(register.store, kind)) for kind in ("csv", "jsonl")]
    out += [answer.text for _, answer in crawl(register.client_as("keeper"))]
    program = register.client(Authorization=f"Bearer {token}")
    out += [program.get(line.path.format(number=1)).text for line in LINES if line.is_api and line.method == "GET"]
    out.append(program.get("/api/openapi.json").text)
    cookie = register.client_as("keeper").cookies["makegood"]
    kept = ["$argon2", "password_hash", "token_digest", accounts.digest_token(token), accounts.digest_token(cookie)]
    for text in out:
        assert [one for one in kept if one in text] == []
