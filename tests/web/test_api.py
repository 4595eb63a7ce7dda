"""The API over HTTP: tokens, the same faults as the forms, pages of lists, and its description."""

from dataclasses import fields
from typing import Any

import pytest
from starlette.testclient import TestClient

from server.domain import offer, quantities, sources, specification, verdict
from server.domain import register as register_words
from server.domain.equivalence import compare
from server.domain.plain import as_plain
from server.domain.specification import Use
from server.services import accounts, candidates, check_file, finds, house_rules, needs, searching
from server.services.matching import MatchLine
from server.settings import MAX_PAPER, MAX_PHOTOS_AT_ONCE
from server.storage.finds import FindLine
from server.storage.log import LogLine, read_log
from server.storage.needs import NeedLine
from server.storage.remarks import Remark
from server.web import api_models
from tests.web.conftest import Register
from tests.web.test_roles import a_picture, routes_of

READS = [
    "/api/needs",
    "/api/needs/1",
    "/api/finds",
    "/api/finds/1",
    "/api/candidates",
    "/api/candidates/1",
    "/api/aeroplanes",
    "/api/steps",
    "/api/suppliers",
    "/api/check?need_id=1&find_id=1",
    "/api/aeroplanes/1",
    "/api/steps/1",
    "/api/suppliers/1",
    "/api/log",
    "/api/search?q=sleeving",
    "/api/files/1",
]
CREATES = ["/api/needs", "/api/finds", "/api/candidates", "/api/aeroplanes", "/api/steps", "/api/suppliers"]
WRITES = [
    *CREATES,
    *(f"/api/needs/1/{verb}" for verb in ("edit", "withdraw", "designations", "requirements", "enquiries", "joint")),
    "/api/needs/1/attach",
    "/api/needs/entries/requirement/1/decide",
    "/api/needs/entries/designation/1/withdraw",
    *(f"/api/finds/1/{verb}" for verb in ("edit", "withdraw", "statements", "evidence", "attach")),
    "/api/finds/entries/statement/1/withdraw",
    *(f"/api/candidates/1/{verb}" for verb in ("check", "authenticity", "remarks", "withdraw")),
    "/api/candidates/remarks/1/withdraw",
    "/api/files/1/withdraw",
    *(f"/api/{kind}/1/{verb}" for kind in ("aeroplanes", "steps", "suppliers") for verb in ("edit", "withdraw")),
    *(f"/api/steps/1/{verb}" for verb in ("done", "ahead")),
    "/api/suppliers/1/confirmed",
]
NEED = {"item": "Bush", "part_class": "general", "aeroplane_id": 1, "role": "furnishing"}


def _program(register: Register, role: str = "restorer", *, may_write: bool = True) -> TestClient:
    client = register.client(Authorization=f"Bearer {register.token(role, may_write=may_write)}")
    client.headers.pop("Origin")
    return client


def _filled(register: Register) -> None:
    plane = register.aeroplane()
    step = register.step(plane)
    register.supplier()
    need, find = register.need(plane, step_id=str(step)), register.find(supplier_id="1")
    photo = [("a.png", a_picture())]
    finds.attach(register.store, register.files, register.actor("restorer"), photos=photo, find_id=find)
    candidates.propose(register.store, register.actor("restorer"), need, find)


# --- who gets in ---------------------------------------------------------


@pytest.mark.parametrize("path", READS)
def test_nothing_is_read_without_a_good_token(register: Register, path: str) -> None:
    _filled(register)
    signed_in = register.client_as("keeper")
    ended = register.token("keeper")
    number = accounts.get_account(register.store, register.actor("keeper").id).tokens[0].id
    accounts.revoke_token(register.store, register.actor("keeper"), number)
    for headers in (
        {},
        {"Authorization": "Bearer mg_wrong"},
        {"Authorization": f"Bearer {ended}"},
        {"Authorization": f"Basic {ended}"},
    ):
        answer = signed_in.get(path, headers=headers)
        assert answer.status_code == 401, "a cookie opens nothing here"
        assert answer.headers["www-authenticate"] == "Bearer"
        assert set(answer.json()) == {"refused", "reference"}
    assert _program(register, "viewer", may_write=False).get(path).status_code == 200


@pytest.mark.parametrize("path", WRITES)
def test_a_token_that_may_read_only_never_writes(register: Register, path: str) -> None:
    answer = _program(register, "keeper", may_write=False).post(path, json={})
    assert answer.status_code == 403
    assert "may read only" in answer.json()["refused"]


def test_a_token_may_not_do_more_than_its_account(register: Register) -> None:
    register.aeroplane()
    program = _program(register, "viewer")
    for path, body in (
        ("/api/needs", NEED),
        ("/api/finds", {"text": "x"}),
        ("/api/candidates", {"need_id": 1, "find_id": 1}),
    ):
        answer = program.post(path, json=body)
        assert answer.status_code == 403
        assert "restorer" in answer.json()["refused"]


def test_a_cookie_alone_writes_nothing(register: Register) -> None:
    register.aeroplane()
    assert register.client_as("keeper").post("/api/needs", json=NEED).status_code == 401


def test_a_token_from_a_page_of_another_site_is_refused(register: Register) -> None:
    register.aeroplane()
    answer = _program(register).post("/api/needs", json=NEED, headers={"Origin": "http://evil.example"})
    assert answer.status_code == 403


# --- needs and finds -----------------------------------------------------


def test_a_need_is_opened_and_read_back_whole(register: Register) -> None:
    plane = register.aeroplane(drawing_unit="in")
    step = register.step(plane)
    program = _program(register)
    body = {
        **NEED,
        "aeroplane_id": plane,
        "step_id": step,
        "quantity_text": "2 off",
        "wrong": ["corroded", "worn"],
        "mark": ["K3-52-117"],
        "mark_kind": ["drawing"],
        "r1_characteristic": "material",
        "r1_text": "brass",
        "r1_known_from": "estimate",
    }
    answer = program.post("/api/needs", json=body)
    assert answer.status_code == 201, answer.text
    need = answer.json()
    assert answer.headers["location"] == f"http://testserver/api/needs/{need['id']}"
    assert program.get(answer.headers["location"]).json() == need
    assert need["number"] == f"N {need['id']:04d}"
    assert need["wrong"] == ["corroded", "worn"]
    assert need["quantity"] == 2
    assert need["designations"][0]["text"] == "K3-52-117"
    assert need["requirements"][0]["words"] == ["brass"]
    assert need["step"]["id"] == step
    with register.store.read() as session:
        assert read_log(session, f"need/{need['id']}")[0].who == "A Restorer"


def test_a_refused_need_has_the_faults_of_the_form(register: Register) -> None:
    register.aeroplane()
    body = {"item": "", "part_class": "cabbage", "aeroplane_id": 99, "role": "hat stand", "chapter": "1"}
    program = _program(register)
    answer = program.post("/api/needs", json=body)
    assert answer.status_code == 422
    said = answer.json()
    assert said["refused"] == "Some fields need another look."
    assert {"item", "part_class", "aeroplane_id", "role", "chapter"} <= set(said["faults"])
    form = register.client_as("restorer").post("/needs", data={name: str(value) for name, value in body.items()})
    assert form.status_code == 422
    for sentence in said["faults"].values():
        assert sentence in form.text.replace("&#39;", "'")
    assert program.get("/api/needs").json()["items"] == []


def test_a_field_that_there_is_not_is_named_and_nothing_is_dropped(register: Register) -> None:
    register.aeroplane()
    program = _program(register)
    for name in ("itme", "r13_text", "r1_colour", "capture_id", "version"):
        answer = program.post("/api/needs", json={**NEED, name: "x"})
        assert answer.status_code == 422
        assert answer.json()["faults"] == {name: f"There is no field “{name}” here."}
    assert program.get("/api/needs").json()["items"] == []


@pytest.mark.parametrize("body", ['{"item": {"deep": 1}}', '{"mark": [["x"]]}', "[]", "no json", '"text"', ""])
def test_what_is_no_flat_object_is_refused(register: Register, body: str) -> None:
    answer = _program(register).post("/api/needs", content=body, headers={"Content-Type": "application/json"})
    assert answer.status_code == 422
    assert answer.json()["faults"]


def test_a_find_is_logged_once_however_often_it_is_sent(register: Register) -> None:
    program = _program(register)
    body = {
        "text": "Brass bush from the tin marked D",
        "part_class": "general",
        "origin": "old stock",
        "finish_to_come": True,
        "quantity": 4,
        "evidence": ["tag", "photograph"],
        "capture_id": "tablet-7-00031",
    }
    first, second = program.post("/api/finds", json=body), program.post("/api/finds", json=body)
    assert first.status_code == second.status_code == 201
    assert first.json() == second.json() == program.get(first.headers["location"]).json()
    find = first.json()
    assert find["finish_to_come"] is True
    assert find["quantity"] == 4
    assert [proof["kind"] for proof in find["proofs"]] == ["tag", "photograph"]
    assert len(program.get("/api/finds").json()["items"]) == 1


SAME_NEED = {**NEED, "item": "Clevis pin steel 3/16 x 3/4, rudder pedal", "part_class": "pin"}
SAME_FIND = {"text": "clevis pins, steel, 3/16 x 3/4, a small bag", "part_class": "pin", "quantity_text": "12 off"}


@pytest.mark.parametrize(("path", "body"), [("/api/needs", SAME_NEED), ("/api/finds", SAME_FIND)])
def test_what_looks_like_one_that_is_here_is_asked_about(register: Register, path: str, body: dict[str, Any]) -> None:
    """Own rule: as on the pages, a person answers; nothing is kept until then."""
    register.aeroplane()
    program = _program(register)
    first = program.post(path, json=body)
    assert first.status_code == 201, first.text
    again = program.post(path, json=body)
    assert again.status_code == 409
    (alike,) = again.json()["alike"]
    assert again.json()["refused"]
    assert (alike["id"], alike["number"]) == (first.json()["id"], first.json()["number"])
    assert alike["because"]
    assert set(alike) == set(api_models.AlikeOut.model_fields)
    assert len(program.get(path).json()["items"]) == 1
    assert program.post(path, json={**body, "anyway": False}).status_code == 409
    assert program.post(path, json={**body, "anyway": True}).status_code == 201
    assert len(program.get(path).json()["items"]) == 2
    said = program.post(path, json={**body, "anyway": "perhaps"})
    assert (said.status_code, list(said.json()["faults"])) == (422, ["anyway"])
    # who may not open it is not told what is here either
    assert _program(register, "viewer").post(path, json=body).status_code == 403


def test_a_capture_sent_again_is_not_asked_about(register: Register) -> None:
    program = _program(register)
    body = {**SAME_FIND, "capture_id": "tablet-7-00032"}
    first = program.post("/api/finds", json=body)
    assert program.post("/api/finds", json=body).json() == first.json()
    assert program.post("/api/finds", json={**body, "capture_id": "tablet-7-00033"}).status_code == 409


@pytest.mark.parametrize("path", ["/api/needs", "/api/finds"])
def test_the_question_is_described(description: dict[str, Any], path: str) -> None:
    asked = description["paths"][path]["post"]["responses"]["409"]
    assert asked["content"]["application/json"]["schema"]["$ref"].endswith("/AlikeHere")
    assert "anyway" in asked["description"]
    name = description["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]["$ref"]
    assert "anyway" in description["components"]["schemas"][name.rpartition("/")[2]]["properties"]


def test_the_answers_hold_everything_that_is_known(register: Register) -> None:
    """Nothing of a record is lost on its way out: the answer is the record's plain form and its number."""
    _filled(register)
    program = _program(register)
    need, find = needs.get_need(register.store, 1), finds.get_find(register.store, 1)
    assert program.get("/api/needs/1").json() == {**as_plain(need), "number": "N 0001"} | _times(as_plain(need))
    assert program.get("/api/finds/1").json() == {**as_plain(find), "number": "F 0001"} | _times(as_plain(find))


@pytest.mark.parametrize(
    ("record", "answer"),
    [
        (verdict.Row, api_models.RowOut),
        (verdict.Sheet, api_models.SheetOut),
        (verdict.Band, api_models.BandOut),
        (verdict.MeasureNext, api_models.MeasureOut),
        (sources.Source, api_models.SourceOut),
        (register_words.Need, api_models.NeedOut),
        (register_words.Find, api_models.FindOut),
        (register_words.Step, api_models.StepOut),
        (register_words.Supplier, api_models.SupplierOut),
        (register_words.Aeroplane, api_models.AeroplaneOut),
        (register_words.Designation, api_models.DesignationOut),
        (register_words.Enquiry, api_models.EnquiryOut),
        (register_words.Attachment, api_models.AttachmentOut),
        (register_words.Proof, api_models.ProofOut),
        (specification.Requirement, api_models.RequirementOut),
        (specification.Joint, api_models.JointOut),
        (specification.Ply, api_models.PlyOut),
        (specification.Known, api_models.KnownOut),
        (offer.Statement, api_models.StatementOut),
        (quantities.Quantity, api_models.QuantityOut),
        (candidates.CandidateLine, api_models.CandidateLineOut),
        (Remark, api_models.RemarkOut),
        (LogLine, api_models.LogOut),
        (MatchLine, api_models.HitOut),
        (searching.Ranked, api_models.RankedOut),
        (NeedLine, api_models.NeedLineOut),
        (FindLine, api_models.FindLineOut),
    ],
)
def test_an_answer_has_every_field_of_its_record(record: Any, answer: Any) -> None:
    held = {field.name for field in fields(record)}
    assert held | {"number"} == set(answer.model_fields) | {"number"}


def _times(plain: dict[str, Any]) -> dict[str, Any]:
    """UTC is written Z by the API and +00:00 in the records."""
    return {name: value.replace("+00:00", "Z") for name, value in plain.items() if name.endswith("_at") and value}


# --- changes -------------------------------------------------------------

FULL_NEED: dict[str, Any] = {
    "zone": "left wing",
    "side": "left",
    "arm": "1.85 m aft of datum",
    "quantity_text": "a tin of them",
    "quantity": "250",
    "still_wanted": "12",
    "wrong": ["corroded", "worn"],
    "touches": "Alclad, spruce",
    "note": "two lines\nof it",
    "ref": "A-1",
}
FULL_FIND: dict[str, Any] = {
    "origin": "old stock",
    "quantity_text": "a tin of them",
    "quantity": "250",
    "price_text": "GBP 2",
    "finish_to_come": "yes",
    "bin": "B 4",
}


def _full(register: Register) -> dict[str, str]:
    """One of everything that can be changed, with every field in use; where each is."""
    plane = register.aeroplane(maker="Testbird", built="1936", authority="nobody", note="on floats")
    before = register.step(plane, name="Before it")
    step = register.step(plane, name="After it", after=[str(before)], due="2026-12-09", closes="the wing")
    supplier = register.supplier(place="Kelpmoor", last_confirmed="2026-01-12", state="silent")
    need = register.need(plane, step_id=str(step), **FULL_NEED)
    find = register.find(supplier_id=str(supplier), **FULL_FIND)
    numbers = {"aeroplanes": plane, "steps": step, "suppliers": supplier, "needs": need, "finds": find}
    return {kind: f"/api/{kind}/{number}" for kind, number in numbers.items()}


CHANGED = {
    "needs": {"zone": "cabin"},
    "finds": {"bin": "B 5"},
    "aeroplanes": {"maker": "Others"},
    "steps": {"closes": "nothing"},
    "suppliers": {"place": "elsewhere"},
}


@pytest.mark.parametrize("kind", CHANGED)
def test_a_change_leaves_alone_what_it_does_not_name(register: Register, kind: str) -> None:
    """Own rule: a program that sends one field changes one field."""
    where = _full(register)[kind]
    program = _program(register, "keeper")
    before = program.get(where).json()
    with register.store.read() as session:
        lines = len(read_log(session))
    same = program.post(f"{where}/edit", json={"version": before["version"]})
    assert (same.status_code, same.json()) == (200, before)
    with register.store.read() as session:
        assert len(read_log(session)) == lines, "nothing changed, nothing is said"
    answer = program.post(f"{where}/edit", json={"version": before["version"], **CHANGED[kind]})
    assert answer.status_code == 200, answer.text
    told = {"version": before["version"] + 1, **CHANGED[kind]}
    after = {name: value for name, value in answer.json().items() if name != "changed_at"}
    assert after == {name: value for name, value in before.items() if name != "changed_at"} | told
    assert program.get(where).json() == answer.json()


@pytest.mark.parametrize("kind", CHANGED)
def test_whoever_was_faster_is_not_overwritten(register: Register, kind: str) -> None:
    """Own rule: 409 with what the other changed, and nothing kept; sent anew with the new version it is."""
    where = _full(register)[kind]
    program, other = _program(register, "keeper"), _program(register, "keeper")
    version = program.get(where).json()["version"]
    ((name, value),) = CHANGED[kind].items()
    was = program.get(where).json()[name]
    theirs = other.post(f"{where}/edit", json={"version": version, name: value}).json()
    mine = {"note": "mine"} if kind != "steps" else {"due": "2026-12-10"}
    late = program.post(f"{where}/edit", json={"version": version, **mine})
    assert late.status_code == 409
    said = late.json()
    assert said["version"] == theirs["version"]
    assert said["changes"] == {name: {"was": was, "now": value, "who": "A Keeper"}}
    assert set(said) == set(api_models.Overtaken.model_fields)
    assert program.get(where).json() == theirs
    again = program.post(f"{where}/edit", json={"version": said["version"], **mine}).json()
    assert again[name] == value
    assert {key: again[key] for key in mine} == mine


@pytest.mark.parametrize("kind", CHANGED)
@pytest.mark.parametrize("version", [{}, {"version": ""}, {"version": None}, {"version": "newest"}, {"version": -1}])
def test_a_change_says_what_it_was_made_to(register: Register, kind: str, version: dict[str, Any]) -> None:
    where = _full(register)[kind]
    program = _program(register, "keeper")
    before = program.get(where).json()
    answer = program.post(f"{where}/edit", json={**CHANGED[kind], **version})
    assert (answer.status_code, list(answer.json()["faults"])) == (422, ["version"])
    assert program.get(where).json() == before


@pytest.mark.parametrize("kind", CHANGED)
def test_a_refused_change_names_its_fields(register: Register, kind: str) -> None:
    where = _full(register)[kind]
    program = _program(register, "keeper")
    before = program.get(where).json()
    name = {"needs": "item", "finds": "text", "aeroplanes": "type"}.get(kind, "name")
    for body in ({name: ""}, {"colour": "red"}):
        answer = program.post(f"{where}/edit", json={"version": before["version"], **body})
        assert (answer.status_code, set(answer.json()["faults"])) == (422, set(body))
    assert program.get(where).json() == before


@pytest.mark.parametrize("kind", CHANGED)
def test_what_is_withdrawn_keeps_its_reason(register: Register, kind: str) -> None:
    _full(register)
    where = f"/api/{kind}/1"
    program = _program(register, "keeper")
    if kind == "steps":
        program.post("/api/needs/1/withdraw", json={"reason": "in the way"})
    refused = program.post(f"{where}/withdraw", json={})
    assert (refused.status_code, list(refused.json()["faults"])) == (422, ["reason"])
    answer = program.post(f"{where}/withdraw", json={"reason": "entered twice"})
    assert answer.status_code == 200, answer.text
    assert answer.json()["withdrawn_reason"] == "entered twice"
    assert program.get(where).json() == answer.json()


def test_another_quantity_is_counted_anew(register: Register) -> None:
    """Own rule: the pieces belong to the text they were read from."""
    places = _full(register)
    program = _program(register)
    for kind in ("needs", "finds"):
        version = program.get(places[kind]).json()["version"]
        said = program.post(f"{places[kind]}/edit", json={"version": version, "quantity_text": "7 off"}).json()
        assert (said["quantity_text"], said["quantity"]) == ("7 off", 7)


REQUIRED = {"characteristic": "material", "text": "brass", "known_from": "drawing", "reference": "41-207"}
ENTRIES = [
    ("needs", "designations", "designations", {"text": "K 41", "kind": "drawing", "reading": "a guess"}, "kind"),
    ("needs", "requirements", "requirements", REQUIRED, "known_from"),
    ("needs", "enquiries", "enquiries", {"kind": "tried", "text": "the loft", "on": "2026-11-01"}, "kind"),
    (
        "finds",
        "statements",
        "statements",
        {"characteristic": "material", "text": "brass", "basis": "measured"},
        "basis",
    ),
    ("finds", "evidence", "proofs", {"kind": "letter", "note": "from the seller"}, "kind"),
]


@pytest.mark.parametrize(("kind", "path", "under", "body", "word"), ENTRIES)
def test_an_entry_is_made_and_withdrawn(
    register: Register, kind: str, path: str, under: str, body: dict[str, Any], word: str
) -> None:
    where = _full(register)[kind]
    program = _program(register)
    for bad in ({**body, word: "hearsay"}, {**body, "colour": "red"}):
        refused = program.post(f"{where}/{path}", json=bad)
        assert (refused.status_code, len(refused.json()["faults"])) == (422, 1)
    answer = program.post(f"{where}/{path}", json=body)
    assert answer.status_code == 200, answer.text
    assert answer.json() == program.get(where).json()
    (entry,) = answer.json()[under]
    said = {name: value for name, value in body.items() if name not in {"known_from", "reference"}}
    assert {name: entry[name] for name in said} == said
    called = {"proofs": "evidence", "enquiries": "enquiry"}.get(under, under.removesuffix("s"))
    away = f"/api/{kind}/entries/{called}/{entry['id']}/withdraw"
    assert list(program.post(away, json={}).json()["faults"]) == ["reason"]
    assert program.post(away, json={"reason": "wrong drawer"}).json()[under] == []
    assert program.post(away, json={"reason": "wrong drawer"}).status_code == 403
    with register.store.read() as session:
        did = read_log(session, where.removeprefix("/api/").replace("s/", "/"))[0]
    assert did.who == "A Restorer"
    assert "wrong drawer" in did.did


def test_one_of_two_sources_is_decided_for(register: Register) -> None:
    where = _full(register)["needs"]
    program = _program(register)
    for text in ("brass", "bronze"):
        need = program.post(f"{where}/requirements", json={**REQUIRED, "text": text}).json()
    number = need["requirements"][1]["id"]
    decide = f"/api/needs/entries/requirement/{number}/decide"
    assert list(program.post(decide, json={}).json()["faults"]) == ["reason"]
    said = program.post(decide, json={"reason": "The later sheet."}).json()["requirements"]
    assert [one["decided"] for one in said] == ["", "The later sheet."]


def test_a_joint_is_entered_with_its_sheets(register: Register) -> None:
    where = _full(register)["needs"]
    program = _program(register)
    body = {"ply1_name": "rail", "ply1_thickness": "1/4 in", "hole": "3.2 mm", "joint_known_from": "estimate"}
    assert list(program.post(f"{where}/joint", json={**body, "hole": "wide"}).json()["faults"]) == ["hole"]
    assert list(program.post(f"{where}/joint", json={**body, "ply9_name": "x"}).json()["faults"]) == ["ply9_name"]
    said = program.post(f"{where}/joint", json=body).json()
    assert said == program.get(where).json()
    assert said["joint"]["plies"][0]["thickness"]["value"] == "127/20"
    assert said["joint"]["hole"]["text"] == "3.2 mm"


def test_how_surely_a_number_was_read_is_said_at_once(register: Register) -> None:
    register.aeroplane()
    marks = {"mark": ["K?1", "", "41-207"], "mark_kind": ["stamped"], "mark_reading": ["a guess"]}
    program = _program(register)
    need = program.post("/api/needs", json={**NEED, **marks}).json()
    assert [(one["text"], one["kind"], one["reading"]) for one in need["designations"]] == [
        ("K?1", "as stamped on the part", "a guess"),
        ("41-207", "drawing", "read surely"),
    ]
    refused = program.post("/api/needs", json={**NEED, **marks, "mark_reading": ["hearsay"], "anyway": True})
    assert (refused.status_code, list(refused.json()["faults"])) == (422, ["mark_reading"])


@pytest.mark.parametrize("kind", ["needs", "finds"])
def test_photographs_and_papers_take_the_same_checks_as_on_the_page(register: Register, kind: str) -> None:
    where = _full(register)[kind]
    program = _program(register)
    photo, paper = ("photos", ("a.png", a_picture())), ("papers", ("b.pdf", b"%PDF-1.7 x"))
    said = program.post(f"{where}/attach", files=[photo, paper], data={"caption": "as found"})
    assert said.status_code == 200, said.text
    assert said.json() == program.get(where).json()
    kept = {one["kind"]: one for one in said.json()["attachments"]}
    assert [one["caption"] for one in kept.values()] == ["as found", "as found"]
    shown = program.get(f"/api/files/{kept['photograph']['id']}")
    assert shown.headers["content-type"] == "image/jpeg"
    served = program.get(f"/api/files/{kept['paper']['id']}")
    assert served.content == b"%PDF-1.7 x"
    assert served.headers["content-disposition"].startswith("attachment")
    bad: list[tuple[list[Any], dict[str, str], str]] = [
        ([("photos", ("a.png", b"none"))], {}, "photos"),
        ([photo] * (MAX_PHOTOS_AT_ONCE + 1), {}, "photos"),
        ([("papers", ("c.html", b"<html>"))], {}, "papers"),
        ([("papers", ("d.pdf", b"%PDF-" + bytes(MAX_PAPER)))], {}, "papers"),
        ([], {}, "photos"),
        ([photo], {"caption": "x" * 301}, "caption"),
        ([photo], {"captoin": "x"}, "captoin"),
        ([("pictures", ("a.png", a_picture()))], {}, "pictures"),
    ]
    for files, fields_, name in bad:
        refused = program.post(f"{where}/attach", files=files or None, data=fields_)
        assert refused.status_code == 422, name
        assert name in refused.json()["faults"]
    assert program.get(where).json() == said.json()
    away = f"/api/files/{kept['paper']['id']}/withdraw"
    assert list(program.post(away, json={}).json()["faults"]) == ["reason"]
    assert len(program.post(away, json={"reason": "of another part"}).json()["attachments"]) == 1


def test_a_proposal_is_judged_asked_about_and_taken_back(register: Register) -> None:
    _filled(register)
    program = _program(register)
    where = "/api/candidates/1"
    assert set(program.post(f"{where}/authenticity", json={"answer": "perhaps"}).json()["faults"]) == {
        "answer",
        "reason",
    }
    judged = program.post(f"{where}/authenticity", json={"answer": "will do", "reason": "A shade greener."}).json()
    assert (judged["authenticity"], judged["authenticity_by"]) == ("will do", "A Restorer")
    asked = program.post(f"{where}/remarks", json={"text": "Which tin?"}).json()["remarks"]
    answered = program.post(f"{where}/remarks", json={"text": "The blue one", "answered_to": asked[0]["id"]}).json()
    assert [(one["text"], one["answers"]) for one in answered["remarks"]] == [
        ("Which tin?", None),
        ("The blue one", asked[0]["id"]),
    ]
    back = f"/api/candidates/remarks/{answered['remarks'][1]['id']}/withdraw"
    assert _program(register, "approver").post(back, json={"reason": "not mine"}).status_code == 403
    assert len(program.post(back, json={"reason": "the red one"}).json()["remarks"]) == 1
    needs.add_requirement(register.store, register.actor("restorer"), 1, REQUIRED)
    before = program.get(where).json()
    assert before["sheet_then"] != before["sheet"]
    checked = program.post(f"{where}/check").json()
    assert checked["sheet_then"] == before["sheet_then"], "what it was proposed on stays beside it"
    assert checked["sheet"] == before["sheet"]
    assert list(program.post(f"{where}/withdraw", json={}).json()["faults"]) == ["reason"]
    taken = program.post(f"{where}/withdraw", json={"reason": "sold"}).json()
    assert taken["withdrawn_reason"] == "sold"


def test_a_step_is_done_and_taken_back(register: Register) -> None:
    where = _full(register)["steps"]
    program = _program(register)
    version = program.get(where).json()["version"]
    held = program.post(f"{where}/done", json={"version": version})
    assert (held.status_code, list(held.json()["faults"])) == (422, ["reason"])
    assert list(program.post(f"{where}/done", json={"reason": "x"}).json()["faults"]) == ["version"]
    reason = "The rest goes in through the hatch; looked at with Bertil."
    done = program.post(f"{where}/done", json={"version": version, "reason": reason}).json()
    assert (done["state"], done["version"]) == ("done", version + 1)
    assert program.post(f"{where}/ahead", json={"version": version, "reason": reason}).status_code == 409
    back = program.post(f"{where}/ahead", json={"version": version + 1, "reason": reason}).json()
    assert back["state"] == "ahead"


def test_the_yard_is_entered_from_outside(register: Register) -> None:
    program, keeper = _program(register), _program(register, "keeper")
    assert program.post("/api/aeroplanes", json={"type": "T", "use": "static display"}).status_code == 403
    made = keeper.post("/api/aeroplanes", json={"type": "T", "use": "static display"})
    step = program.post("/api/steps", json={"aeroplane_id": made.json()["id"], "name": "Close it", "after": []})
    supplier = program.post("/api/suppliers", json={"name": "Tolmarsh", "state": "silent"})
    for answer in (made, step, supplier):
        assert answer.status_code == 201, answer.text
        assert program.get(answer.headers["location"]).json() == answer.json()
    where = supplier.headers["location"]
    assert program.post(f"{where}/confirmed").json()["state"] == "answers"
    assert list(program.post("/api/suppliers", json={}).json()["faults"]) == ["name"]
    assert set(program.post("/api/steps", json={}).json()["faults"]) == {"name", "aeroplane_id"}


@pytest.mark.parametrize("path", WRITES)
def test_what_is_not_there_is_not_written_to(register: Register, path: str) -> None:
    if path in CREATES:
        return
    good = {"reason": "x", "version": 1, "text": "x", "kind": "tag", "answer": "right", "name": "x"}
    kind = {"/designations": "drawing", "/enquiries": "tried"}.get(f"/{path.rpartition('/')[2]}", "tag")
    keys = {
        "edit": ["version"],
        "designations": ["text", "kind"],
        "requirements": [],
        "enquiries": ["text", "kind"],
        "joint": [],
        "statements": [],
        "evidence": ["kind"],
        "authenticity": ["answer", "reason"],
        "remarks": ["text"],
        "done": ["version", "reason"],
        "ahead": ["version", "reason"],
        "check": [],
        "confirmed": [],
    }.get(path.rpartition("/")[2], ["reason"])
    body = {name: {**good, "kind": kind}[name] for name in keys}
    program = _program(register, "keeper")
    answer = (
        program.post(path, files=[("photos", ("a.png", a_picture()))])
        if path.endswith("/attach")
        else program.post(path, json=body)
    )
    # an entry that never was is told from one that was withdrawn by nobody: both are refused
    assert answer.status_code in ({403, 404} if "/entries/" in path or "/files/" in path else {404}), answer.text
    assert answer.json()["refused"]


# --- the log and the search ----------------------------------------------


def test_the_log_comes_in_pages_of_all_or_of_one_record(register: Register) -> None:
    _filled(register)
    program = _program(register, "viewer", may_write=False)
    whole = program.get("/api/log?most=200").json()["items"]
    with register.store.read() as session:
        lines = read_log(session, most=200)
    assert [(one["id"], one["who"], one["did"], one["subject"]) for one in whole] == [
        (line.id, line.who, line.did, line.subject) for line in lines
    ]
    seen: list[int] = []
    after: int | None = 0
    while after is not None:
        page = program.get("/api/log", params={"after": after, "most": 3}).json()
        seen += [one["id"] for one in page["items"]]
        after = page["next"]
    assert seen == [one["id"] for one in whole]
    for about in ("N 1", "need/1", "N 0001"):
        said = program.get("/api/log", params={"about": about}).json()["items"]
        assert said
        assert {one["subject"] for one in said} == {"need/1"}
    assert list(program.get("/api/log?about=everything").json()["faults"]) == ["about"]


def test_the_log_says_what_was_and_what_is(register: Register) -> None:
    where = _full(register)["needs"]
    program = _program(register)
    program.post(f"{where}/edit", json={"version": 1, "zone": "cabin"})
    line = program.get("/api/log", params={"about": "N 1"}).json()["items"][0]
    assert line["said"] == {"version": 2, "changes": {"zone": ["left wing", "cabin"]}}


def test_the_search_answers_as_the_box_does(register: Register) -> None:
    _filled(register)
    program = _program(register, "viewer", may_write=False)
    found = searching.search(register.store, "black sleeving", searching.SearchFilter())
    said = program.get("/api/search?q=black sleeving").json()
    assert said["finds"]["hits"]
    for side, ranked in (("needs", found.needs), ("finds", found.finds)):
        assert [hit["id"] for hit in said[side]["hits"]] == [hit.id for hit in ranked.hits]
        assert said[side]["total"] == ranked.total
        assert all("\u00a0" not in hit["number"] for hit in said[side]["hits"])
    assert program.get("/api/search?q=black sleeving&part_class=bolt").json()["finds"]["hits"] == []
    assert program.get("/api/search?q=black sleeving&finds=1&supplier_id=99").json()["finds"]["total"] == 0
    for query, name in (
        ("", "q"),
        ("q=x&part_class=cabbage", "part_class"),
        ("q=x&role=hat", "role"),
        ("q=x&state=?", "state"),
    ):
        answer = program.get(f"/api/search?{query}")
        assert (answer.status_code, list(answer.json()["faults"])) == (422, [name])


def test_nothing_is_signed_here_and_the_description_says_so(description: dict[str, Any]) -> None:
    """Own rule: a signature needs a person, the password again, and what the screen shows."""
    assert "nothing is signed here" in description["info"]["description"]
    assert "password" in description["info"]["description"]
    said = {part for path in description["paths"] for part in path.split("/")}
    assert said.isdisjoint({"sign", "withdraw-approval", "close"})


def test_a_stale_version_is_described(description: dict[str, Any]) -> None:
    for path in (f"/api/{kind}/{{number}}/edit" for kind in CHANGED):
        answer = description["paths"][path]["post"]["responses"]["409"]["content"]["application/json"]["schema"]
        assert answer["$ref"].endswith("/Overtaken")
        body = description["paths"][path]["post"]["requestBody"]["content"]["application/json"]["schema"]["$ref"]
        assert "version" in description["components"]["schemas"][body.rpartition("/")[2]]["properties"]
    attach = description["paths"]["/api/needs/{number}/attach"]["post"]["requestBody"]["content"]
    assert set(attach["multipart/form-data"]["schema"]["properties"]) == {"photos", "papers", "caption"}


# --- pages ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("path", "down"),
    [
        ("needs", False),
        ("finds", True),
        ("suppliers", False),
        ("aeroplanes", False),
        ("steps", False),
        ("candidates", False),
    ],
)
def test_a_list_comes_in_pages_and_misses_nothing(register: Register, path: str, down: bool) -> None:
    plane = register.aeroplane()
    for place in range(7):
        register.aeroplane(type=f"Type {place}")
        register.supplier(name=f"Supplier {9 - place}")
        register.step(plane, place_in_order=str(90 - place))
        need, find = register.need(plane), register.find()
        candidates.propose(register.store, register.actor("restorer"), need, find)
    program = _program(register, "viewer", may_write=False)
    whole = program.get(f"/api/{path}").json()
    assert whole["next"] is None
    seen: list[int] = []
    after: int | None = 0
    for _ in range(10):
        page = program.get(f"/api/{path}", params={"after": after, "most": 3}).json()
        assert len(page["items"]) <= 3
        seen += [one["id"] for one in page["items"]]
        after = page["next"]
        if after is None:
            break
    assert seen == [one["id"] for one in whole["items"]]
    assert seen == sorted(seen, reverse=down)
    assert len(seen) == (8 if path == "aeroplanes" else 7)


@pytest.mark.parametrize(
    "query", ["after=-1", "after=x", "most=0", "most=201", "state=lost", "aeroplane_id=99999999999999999999"]
)
def test_a_question_that_cannot_be_read_is_answered_field_by_field(register: Register, query: str) -> None:
    answer = _program(register).get(f"/api/needs?{query}")
    assert answer.status_code == 422
    assert list(answer.json()["faults"]) == [query.partition("=")[0]]


def test_lists_are_narrowed(register: Register) -> None:
    _filled(register)
    other = register.aeroplane(type="Other")
    register.need(other, item="Elsewhere", zone="tail")
    program = _program(register)

    def items(path: str) -> list[int]:
        return [one["id"] for one in program.get(path).json()["items"]]

    assert items("/api/needs?aeroplane_id=2") == [2]
    assert items("/api/needs?step_id=1") == [1]
    assert items("/api/needs?place=TAIL") == [2]
    assert items("/api/needs?state=met") == []
    assert items("/api/candidates?need_id=2") == []
    assert items("/api/candidates?undecided=true&find_id=1") == [1]
    assert items("/api/steps?aeroplane_id=2") == []
    step = program.get("/api/steps").json()["items"][0]
    assert (step["open_needs"], step["waits_for"], step["days_late"]) == (1, [], 0)


@pytest.mark.parametrize(
    "path", ["/api/needs/9", "/api/finds/9", "/api/candidates/9", "/api/nothing", "/api/check?need_id=9&find_id=9"]
)
def test_what_is_not_there_is_404_as_json(register: Register, path: str) -> None:
    answer = _program(register).get(path)
    assert answer.status_code == 404
    assert answer.json()["refused"]


# --- proposals and the check ---------------------------------------------


def test_a_proposal_has_its_sheet_as_the_register_computes_it(register: Register) -> None:
    plane = register.aeroplane()
    need, find = register.need(plane), register.find()
    program = _program(register)
    answer = program.post("/api/candidates", json={"need_id": need, "find_id": find, "note": "from the tin"})
    assert answer.status_code == 201, answer.text
    said = answer.json()
    sheet = candidates.get_candidate(register.store, said["id"]).sheet
    assert said["sheet"] == as_plain(sheet) == said["sheet_then"]
    assert program.get(answer.headers["location"]).json() == said
    assert program.get("/api/check", params={"need_id": need, "find_id": find}).json() == said["sheet"]
    assert said["decisions"] == []
    again = program.post("/api/candidates", json={"need_id": need, "find_id": find})
    assert again.status_code == 422
    assert "waits for a decision" in again.json()["faults"]["note"]


def test_a_decision_is_seen_with_the_digest_of_its_record(register: Register) -> None:
    from server.services import signing

    _filled(register)
    shown = candidates.get_candidate(register.store, 1).shown_digest
    given = {
        "decision": "refused",
        "reason": "The cloth is brittle and sheds fibres when bent.",
        "shown": shown,
        "password": register.password,
    }
    signing.sign(register.store, register.actor("approver"), 1, given)
    program = _program(register, "viewer", may_write=False)
    decision = program.get("/api/candidates/1").json()["decisions"][0]
    assert decision["decision"] == "refused"
    assert decision["signed_by"] == "A Approver"
    assert len(decision["digest"]) == 64
    assert program.get("/api/candidates").json()["items"][0]["decision"] == "refused"
    assert program.get("/api/candidates?undecided=true").json()["items"] == []


@pytest.mark.parametrize("body", [{}, {"need_id": "x", "find_id": 1}, {"need_id": 1, "find_id": 1, "sign": True}])
def test_a_proposal_that_cannot_be_read_is_refused(register: Register, body: dict[str, Any]) -> None:
    answer = _program(register).post("/api/candidates", json=body)
    assert answer.status_code == 422
    assert answer.json()["faults"]


@pytest.mark.parametrize("key", ["solid_rivet", "bolt", "insulating_sleeving", "control_cable"])
def test_the_check_gives_the_sheet_of_the_core(register: Register, key: str) -> None:
    plain = check_file.example_of(key)
    answer = _program(register, "viewer", may_write=False).post("/api/check", json=plain)
    assert answer.status_code == 200, answer.text
    assert answer.json() == as_plain(compare(*check_file.read_check(plain)))


def test_the_check_goes_by_the_rules_of_the_shop(register: Register) -> None:
    body = {
        "need": {
            "part_class": "general",
            "use": "static display",
            "role": "furnishing",
            "requirements": [{"characteristic": "material", "text": "brass", "known_from": "estimate"}],
        },
        "find": {"part_class": "general"},
    }
    program = _program(register, "viewer", may_write=False)
    before = program.post("/api/check", json=body).json()
    tightened = {cell.name: "governs" for cell in house_rules.counting_table(register.store) if cell.use is Use.DISPLAY}
    house_rules.tighten(register.store, register.actor("keeper"), {**tightened, "reason": "a test of the rules"})
    after = program.post("/api/check", json=body).json()
    assert {row["weight"] for row in before["rows"]} != {"governs"}
    assert {row["weight"] for row in after["rows"]} == {"governs"}


def test_a_check_that_cannot_be_read_names_every_fault_by_its_path(register: Register) -> None:
    body = {"need": {"part_class": "cabbage", "colour": "red"}, "find": {"statements": [{"text": "3 mm"}]}, "more": 1}
    answer = _program(register).post("/api/check", json=body)
    assert answer.status_code == 422
    assert {"need.part_class", "need.colour", "find.statements[0].characteristic", "more"} <= set(
        answer.json()["faults"]
    )


# --- the description -----------------------------------------------------


@pytest.fixture(name="description")
def _description(register: Register) -> dict[str, Any]:
    answer = register.client().get("/api/openapi.json")
    assert answer.status_code == 200
    described: dict[str, Any] = answer.json()
    return described


def test_every_route_of_the_api_is_described(register: Register, description: dict[str, Any]) -> None:
    assert description["openapi"].startswith("3.1")
    assert all(path.startswith("/api/") for path in description["paths"]), "pages are for people"
    wanted = {(method, path) for method, path in routes_of(register.app) if path.startswith("/api/")}
    wanted -= {("GET", "/api/openapi.json"), ("HEAD", "/api/openapi.json")}
    paths = description["paths"]
    assert wanted == {(method.upper(), path) for path, operations in paths.items() for method in operations}
    tags = {tag["name"] for tag in description["tags"]}
    for path, operations in description["paths"].items():
        for method, operation in operations.items():
            where = f"{method} {path}"
            assert operation["summary"], where
            assert operation["description"], where
            assert set(operation["tags"]) <= tags, where
            assert operation["security"] == [{"token": []}], where
            assert {"401", "403", "404", "422"} <= set(operation["responses"]), where
            good = operation["responses"]["201" if method == "post" and path in CREATES else "200"]
            assert good["content"], where
            assert all(one["schema"] for one in good["content"].values()), where
            assert path == "/api/files/{number}" or "application/json" in good["content"], where
            takes_a_body = method == "post" and not path.endswith(("{number}/check", "/confirmed"))
            assert ("requestBody" in operation) == takes_a_body, where
    assert description["components"]["securitySchemes"]["token"]["scheme"] == "bearer"


def test_every_reference_in_the_description_leads_somewhere(description: dict[str, Any]) -> None:
    schemas = description["components"]["schemas"]
    assert "HTTPValidationError" not in schemas, "our own refusals are described, not the framework's"

    def references(plain: Any) -> list[str]:
        if isinstance(plain, dict):
            own = [plain["$ref"]] if isinstance(plain.get("$ref"), str) else []
            return own + [found for value in plain.values() for found in references(value)]
        return [found for value in plain for found in references(value)] if isinstance(plain, list) else []

    for reference in references(description):
        assert reference.rpartition("/")[2] in schemas, reference
    for name, schema in schemas.items():
        assert schema.get("description"), name


def test_no_answer_of_the_api_is_kept_by_anybody(register: Register) -> None:
    answer = _program(register).get("/api/needs")
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["x-content-type-options"] == "nosniff"


def test_a_finds_supplier_is_changed_by_naming_somebody_new(register: Register) -> None:
    _filled(register)
    program = _program(register)
    held = program.get("/api/finds/1").json()
    body = {"version": held["version"], "from_whom": "Old Tom, stall 14"}
    changed = program.post("/api/finds/1/edit", json=body)
    assert changed.status_code == 200, changed.text
    assert changed.json()["supplier"]["name"] == "Old Tom, stall 14"
