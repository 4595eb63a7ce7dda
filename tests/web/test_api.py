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
from server.services import accounts, candidates, check_file, finds, house_rules, needs
from server.storage.finds import FindLine
from server.storage.log import read_log
from server.storage.needs import NeedLine
from server.web import api_models
from tests.web.conftest import Register

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
]
WRITES = ["/api/needs", "/api/finds", "/api/candidates"]
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
        (NeedLine, api_models.NeedLineOut),
        (FindLine, api_models.FindLineOut),
    ],
)
def test_an_answer_has_every_field_of_its_record(record: Any, answer: Any) -> None:
    assert {field.name for field in fields(record)} == set(answer.model_fields) - {"number"}


def _times(plain: dict[str, Any]) -> dict[str, Any]:
    """UTC is written Z by the API and +00:00 in the records."""
    return {name: value.replace("+00:00", "Z") for name, value in plain.items() if name.endswith("_at") and value}


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
    wanted = {path.partition("?")[0].replace("/1", "/{number}") for path in READS}
    assert wanted == set(description["paths"])
    tags = {tag["name"] for tag in description["tags"]}
    for path, operations in description["paths"].items():
        for method, operation in operations.items():
            where = f"{method} {path}"
            assert operation["summary"], where
            assert operation["description"], where
            assert set(operation["tags"]) <= tags, where
            assert operation["security"] == [{"token": []}], where
            assert {"401", "403", "404", "422"} <= set(operation["responses"]), where
            good = operation["responses"]["201" if method == "post" and path != "/api/check" else "200"]
            assert good["content"]["application/json"]["schema"], where
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
