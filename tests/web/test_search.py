"""The search page, words, watches, duplicates and precedents over HTTP."""

import io
import re
from typing import Any

import pytest
from PIL import Image
from starlette.testclient import TestClient

from server.services import candidates, finds, needs, searching, signing
from server.services.searching import SearchFilter, search
from tests.builders import CHANGE
from tests.web.conftest import PASSWORD, Register

TEXT = "brass tubular rivets, oval head, 3 x 8 mm"


@pytest.fixture
def plane(register: Register) -> int:
    """An aeroplane, with other parts beside it: in an empty register no word tells anything."""
    number = register.aeroplane()
    for text, part_class in (("hex nut 2 BA", "nut"), ("ash strip 12 mm", "timber"), ("rubber hose, black", "hose")):
        register.find(text=text, part_class=part_class)
        register.need(number, item=text, part_class=part_class)
    return number


def rivet(register: Register, plane: int, **fields: str | list[str]) -> int:
    given = {"item": f"Rivet, tubular, brass {fields.get('zone', '')}", "part_class": "tubular_rivet", **fields}
    return register.need(plane, **given)


def numbers(html: str, kind: str = "needs") -> list[int]:
    """The records an answer lists, in its order."""
    return [int(one) for one in re.findall(rf'<h3[^>]*><a href="/{kind}/(\d+)"', html)]


def photograph() -> bytes:
    written = io.BytesIO()
    Image.new("RGB", (40, 30), (90, 80, 70)).save(written, "PNG")
    return written.getvalue()


# --- the search page --------------------------------------------------------------------------------------------------


def test_filters_stand_in_the_address_and_narrow_the_answer(register: Register, plane: int) -> None:
    other = register.aeroplane(type="Testbird T.2")
    step = register.step(plane)
    cabin = rivet(register, plane, zone="cabin", role="SECONDARY")
    tail = rivet(register, plane, zone="tail", step_id=str(step))
    wren = rivet(register, other, zone="wing")
    supplier = register.supplier()
    shelf = register.find(text=TEXT, part_class="tubular_rivet", supplier_id=str(supplier), bin="Shelf 2")
    loose = register.find(text=TEXT + ", loose", part_class="tubular_rivet")
    client = register.client_as("viewer")

    def found(address: str, kind: str = "needs") -> set[int]:
        answer = client.get(f"/search?q=tubular+rivet+brass{address}")
        assert answer.status_code == 200
        return set(numbers(answer.text, kind))

    assert found("") == {cabin, tail, wren}
    assert found(f"&aeroplane={other}") == {wren}
    assert found(f"&step={step}") == {tail}
    assert found("&role=secondary structure") == {cabin}
    assert found("&place=CAB") == {cabin}
    assert found("&part_class=nut") == set()
    assert found("&state=withdrawn") == set()
    assert found("", "finds") == {shelf, loose}
    assert found(f"&supplier={supplier}", "finds") == {shelf}
    assert found("&place=shelf", "finds") == {shelf}
    needs.withdraw_need(register.store, register.actor("restorer"), cabin, "found it after all")
    assert found("") == {tail, wren}
    assert found("&state=withdrawn") == {cabin}
    assert found("&closed=yes") == {cabin, tail, wren}
    # what can't be a filter narrows nothing
    assert found("&aeroplane=x&state=nonsense&role=cook") == {tail, wren}


def test_another_need_of_one_specification_stands_in_where_the_first_is_filtered_out(
    register: Register, plane: int
) -> None:
    given: dict[str, str | list[str]] = {
        "r1_characteristic": "body_diameter",
        "r1_text": "3 mm",
        "r1_known_from": "estimate",
    }
    rivet(register, plane, zone="tail", **given)
    cabin = rivet(register, plane, zone="cabin", **given)
    answer = register.client_as("viewer").get("/search?q=brass+tubular+rivet+3+mm&place=cabin")
    assert numbers(answer.text) == [cabin]


def test_show_more_keeps_what_was_shown_in_its_order(register: Register, plane: int, monkeypatch: Any) -> None:
    for place in range(7):
        rivet(register, plane, zone=f"bay {'abcdefg'[place]}", station=str(place))
    monkeypatch.setattr("server.web.routes.search.NEEDS_AT_ONCE", 3)
    client = register.client_as("viewer")
    first = client.get("/search?q=tubular+rivet+brass&needs=3").text
    assert len(numbers(first)) == 3
    (more,) = re.findall(r'href="([^"]+)" rel="next"|rel="next" href="([^"]+)"', first)[0:1]
    address = next(filter(None, more)).replace("&amp;", "&")
    assert address.endswith("#n4")
    assert "needs=6" in address
    second = numbers(client.get(address).text)
    assert second[:3] == numbers(first)
    assert len(set(second)) == 6
    last = client.get("/search?q=tubular+rivet+brass&needs=9").text
    assert len(numbers(last)) == 7
    assert 'rel="next"' not in last


def test_the_answer_says_where_it_stopped_looking(register: Register, plane: int, monkeypatch: Any) -> None:
    for place in range(6):
        rivet(register, plane, zone=f"bay {'abcdef'[place]}", station=str(place))
    monkeypatch.setattr(searching, "WINDOW", 4)
    found = search(register.store, "tubular rivet brass", SearchFilter())
    assert (found.needs.total, found.needs.is_cut) == (4, True)


def test_how_long_it_took_is_in_a_header_and_not_on_the_page(register: Register, plane: int) -> None:
    answer = register.client_as("viewer").get("/search?q=tubular+rivet")
    timing = answer.headers["Server-Timing"]
    assert re.fullmatch(r"read;dur=[\d.]+, needs;dur=[\d.]+, finds;dur=[\d.]+, total;dur=[\d.]+", timing)
    assert "dur=" not in answer.text


def test_htmx_gets_the_results_only(register: Register, plane: int) -> None:
    answer = register.client_as("viewer").get("/search?q=tubular+rivet", headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert "Tell me when" in answer.text


def test_each_hit_marks_the_words_it_answers_and_strikes_those_it_contradicts(register: Register, plane: int) -> None:
    given: dict[str, str | list[str]] = {
        "r1_characteristic": "body_diameter",
        "r1_text": "5 mm",
        "r1_known_from": "estimate",
    }
    rivet(register, plane, zone="tail", **given)
    answer = register.client_as("viewer").get("/search?q=shiny+brass+tubular+rivet,+3+mm+<b>")
    assert "shiny <mark>brass</mark> <mark>tubular rivet</mark>, <s>3 mm</s> &lt;b&gt;" in answer.text


def test_a_mistyped_number_is_answered_with_the_nearest_in_use(register: Register, plane: int, words_of: Any) -> None:
    for mark in ("K4711-3", "K4712-3", "R-9001"):
        rivet(register, plane, zone=mark, mark=[mark], mark_kind=["drawing"])
    client = register.client_as("viewer")
    answer = client.get("/search?q=K4711-8")
    assert "Did you mean K4711-3" in words_of(answer.text)
    assert 'href="/search?q=K4711-3"' in answer.text
    for known in ("K4711-3", "k 4711 3", "rivet brass", "ZZ-1234"):
        assert "Did you mean" not in client.get("/search", params={"q": known}).text


@pytest.mark.parametrize("address", ["/search?q=%00", "/search?q=" + "x" * 3000, "/search?q=%22+OR+1=1--&place=%25"])
def test_odd_questions_are_answered(register: Register, plane: int, address: str) -> None:
    assert register.client_as("viewer").get(address).status_code == 200


def test_a_running_number_goes_straight_there(register: Register, plane: int) -> None:
    assert register.client_as("viewer").get("/search?q=n+1").headers["location"] == "/needs/1"


# --- the box of every page --------------------------------------------------------------------------------------------


def options(html: str) -> list[str]:
    """Where the hits under the box lead, in their order."""
    return re.findall(r'<a role="option"[^>]* href="([^"]+)"', html)


def test_the_box_of_every_page_brings_the_first_hits(register: Register, plane: int) -> None:
    need = rivet(register, plane, zone="cabin")
    find = register.find(text=TEXT, part_class="tubular_rivet")
    client = register.client_as("viewer")
    assert 'hx-get="/search/hits"' in client.get("/needs").text
    assert 'hx-get="/search/hits"' not in client.get("/nowhere-at-all", headers={"Cookie": ""}).text
    answer = client.get("/search/hits?q=tubular+rivet+brass", headers={"HX-Request": "true"})
    assert "<html" not in answer.text
    assert options(answer.text) == [f"/needs/{need}", f"/finds/{find}", "/search?q=tubular%20rivet%20brass"]
    assert options(client.get("/search/hits?q=+").text) == []


def test_the_box_holds_few_hits_and_says_the_place(register: Register, plane: int, words_of: Any) -> None:
    for place in range(7):
        rivet(register, plane, zone=f"bay {'abcdefg'[place]}", station=str(place))
    answer = register.client_as("viewer").get("/search/hits?q=tubular+rivet+brass").text
    assert len(options(answer)) == 5 + 1
    assert "bay a" in words_of(answer)


@pytest.mark.parametrize("typed", ["N 1", "n0001", "N-1", "n.1"])
def test_a_running_number_brings_its_record_alone(register: Register, plane: int, typed: str) -> None:
    client = register.client_as("viewer")
    assert options(client.get("/search/hits", params={"q": typed}).text)[0] == "/needs/1"
    assert options(client.get("/search/hits?q=F1").text)[0] == "/finds/1"
    assert "/needs/999" not in client.get("/search/hits?q=N999").text


@pytest.mark.parametrize("said", ["%00", "x" * 3000, "%22+OR+1=1--", "%3Cscript%3E", "*", "%F0%9F%94%A9"])
def test_the_box_takes_any_text(register: Register, plane: int, said: str) -> None:
    answer = register.client_as("viewer").get(f"/search/hits?q={said}")
    assert answer.status_code == 200
    assert "<script" not in answer.text


# --- watches ----------------------------------------------------------------------------------------------------------


def test_a_search_becomes_a_watch_and_a_later_find_shows_on_the_bench(
    register: Register, plane: int, words_of: Any
) -> None:
    client = register.client_as("viewer")
    page = client.get("/search?q=tubular+rivet+brass+3+mm&part_class=tubular_rivet").text
    assert '<input type="hidden" name="part_class" value="tubular_rivet">' in page
    made = client.post("/watches", data={"q": "tubular rivet brass 3 mm", "part_class": "tubular_rivet"})
    assert (made.status_code, made.headers["location"]) == (303, "/watches?said=watching")
    find = register.find(text=TEXT, part_class="tubular_rivet")
    assert "Turned up for your watches" in words_of(client.get("/").text)
    assert "Turned up for your watches" not in words_of(register.client_as("keeper").get("/").text)
    assert "1 since you last looked" in words_of(client.get("/watches").text)
    aside = client.post(f"/watches/1/finds/{find}/set-aside")
    assert aside.headers["location"] == "/?said=set-aside"
    assert "Turned up for your watches" not in words_of(client.get("/").text)
    assert register.client_as("keeper").post("/watches/1/end").status_code == 403
    assert client.post("/watches/1/end").status_code == 303
    assert client.post("/watches/9/end").status_code == 404


def test_a_bad_watch_comes_back_with_its_fault(register: Register) -> None:
    answer = register.client_as("viewer").post("/watches", data={"q": ""})
    assert answer.status_code == 422
    assert "What to look for is missing." in answer.text


# --- words ------------------------------------------------------------------------------------------------------------


def test_a_word_goes_from_the_restorer_to_the_keeper(register: Register, plane: int, words_of: Any) -> None:
    restorer, keeper = register.client_as("restorer"), register.client_as("keeper")
    given = {"word": "wurzelkram", "means": "tubular rivet"}
    assert register.client_as("viewer").post("/words", data=given).status_code == 403
    assert restorer.post("/words", data=given).headers["location"] == "/words?said=word-proposed"
    again = restorer.post("/words", data=given)
    assert again.status_code == 422
    assert 'value="wurzelkram"' in again.text
    for address in ("/words/1", "/words/look", "/words/read-on"):
        assert restorer.post(address, data={"decision": "accepted"}).status_code == 403
    assert keeper.post("/words/1", data={"decision": "refused"}).status_code == 422
    accepted = keeper.post("/words/1", data={"decision": "accepted"})
    assert accepted.headers["location"] == "/words?said=word-accepted"
    assert "Accepted: 1" in words_of(keeper.get("/words").text)
    assert keeper.post("/words/99", data={"decision": "accepted"}).status_code == 404
    rivet(register, plane)
    assert numbers(register.client_as("viewer").get("/search?q=wurzelkram").text)


def test_records_left_behind_are_read_on_after_the_answer(register: Register, plane: int, monkeypatch: Any) -> None:
    monkeypatch.setattr("server.services.rereading.AT_ONCE", 1)
    for place in range(3):
        register.find(text=f"wurzelkram, brass, tin {place}", part_class="")
    keeper = register.client_as("keeper")
    keeper.post("/words", data={"word": "wurzelkram", "means": "washer"})
    keeper.post("/words/1", data={"decision": "accepted"})
    assert "To be read anew" not in keeper.get("/words").text
    assert len(numbers(keeper.get("/search?q=washers").text, "finds")) == 3


def test_the_keeper_has_the_records_looked_through(register: Register, plane: int) -> None:
    for place in range(3):
        register.find(text=f"wurzelkram {place + 2} mm", part_class="tubular_rivet")
    keeper = register.client_as("keeper")
    assert keeper.post("/words/look").headers["location"] == "/words?said=words-found"
    assert "wurzelkram" in keeper.get("/words").text
    assert keeper.post("/words/look").headers["location"] == "/words?said=words-none"


# --- is it here already? ----------------------------------------------------------------------------------------------


def held(html: str) -> list[str]:
    return re.findall(r'name="held" value="([0-9a-f]{64})"', html)


def post_find(client: TestClient, **fields: Any) -> Any:
    given = {"text": TEXT, "part_class": "tubular_rivet", **fields}
    return client.post("/finds", data=given, files=[("photos", ("tin.png", photograph(), "image/png"))])


def test_a_find_that_looks_like_one_comes_back_with_all_that_was_typed(register: Register, plane: int) -> None:
    find = register.find(text=TEXT, part_class="tubular_rivet", quantity_text="50 off")
    client = register.client_as("restorer")
    back = post_find(client, quantity_text="20 off", bin="drawer 4", evidence="tag", capture_id="c1")
    assert back.status_code == 409
    assert f'name="join" value="{find}"' in back.text
    assert 'name="anyway"' in back.text
    for kept in ('value="20 off"', 'value="drawer 4"', 'value="c1"', TEXT):
        assert kept in back.text
    (digest,) = held(back.text)
    assert client.get(f"/held/{digest}").headers["content-type"] == "image/jpeg"
    assert register.client_as("keeper").get(f"/held/{digest}").status_code == 404
    assert register.client_as("viewer").get(f"/held/{digest}").status_code == 403

    again = {"text": TEXT, "part_class": "tubular_rivet", "quantity_text": "20 off", "held": digest, "capture_id": "c1"}
    joined = client.post("/finds", data={**again, "join": str(find), "further": "yes"})
    assert joined.headers["location"] == f"/finds/{find}?said=joined"
    record = finds.get_find(register.store, find)
    assert record.quantity == 70
    assert [one.name for one in record.attachments] == ["tin.png"]
    # the phone sends it once more
    assert client.post("/finds", data=again).headers["location"].startswith(f"/finds/{find}?")


def test_kept_anyway_it_is_a_find_of_its_own_with_its_photograph(register: Register, plane: int) -> None:
    find = register.find(text=TEXT, part_class="tubular_rivet")
    client = register.client_as("restorer")
    (digest,) = held(post_find(client).text)
    kept = client.post("/finds", data={"text": TEXT, "part_class": "tubular_rivet", "held": digest, "anyway": "yes"})
    number = int(kept.headers["location"].split("?")[0].rsplit("/", 1)[1])
    assert number != find
    assert len(finds.get_find(register.store, number).attachments) == 1


def test_photographs_survive_a_fault_too(register: Register, plane: int) -> None:
    client = register.client_as("restorer")
    back = post_find(client, supplier_id="99")
    assert back.status_code == 422
    (digest,) = held(back.text)
    kept = client.post("/finds", data={"text": TEXT, "part_class": "tubular_rivet", "held": digest})
    number = int(kept.headers["location"].split("?")[0].rsplit("/", 1)[1])
    assert [one.digest for one in finds.get_find(register.store, number).attachments] == [digest]


def test_what_is_new_is_kept_at_once(register: Register, plane: int) -> None:
    assert post_find(register.client_as("restorer")).status_code == 303


def test_while_typing_a_find_says_what_it_looks_like(register: Register, plane: int, words_of: Any) -> None:
    register.find(text=TEXT, part_class="tubular_rivet")
    piece = register.client_as("restorer").get("/finds/matches", params={"text": TEXT}).text
    assert "Looks like F\u00a00004" in words_of(piece) or "Looks like F 0004" in words_of(piece)


def test_a_need_that_looks_like_one_comes_back_and_is_joined(register: Register, plane: int) -> None:
    need = rivet(register, plane, zone="cabin", quantity_text="40 off")
    client = register.client_as("restorer")
    given = {
        "item": "Rivet, tubular, brass cabin",
        "part_class": "tubular_rivet",
        "aeroplane_id": str(plane),
        "zone": "cabin",
        "quantity_text": "12 off",
        "mark": ["K-9", ""],
        "mark_kind": ["drawing", "drawing"],
    }
    back = client.post("/needs", data=given)
    assert back.status_code == 409
    for kept in (f'name="join" value="{need}"', 'value="12 off"', 'value="K-9"'):
        assert kept in back.text
    joined = client.post("/needs", data={**given, "join": str(need), "further": "yes"})
    assert joined.headers["location"] == f"/needs/{need}?said=joined"
    record = needs.get_need(register.store, need)
    assert record.still_wanted == 52
    assert [one.text for one in record.designations] == ["K-9"]
    other = client.post("/needs", data={**given, "anyway": "yes"})
    assert other.headers["location"] == f"/needs/{need + 1}?said=opened"


# --- signed before ----------------------------------------------------------------------------------------------------


def test_what_was_signed_before_shows_on_the_need_and_on_the_sheet(
    register: Register, plane: int, words_of: Any
) -> None:
    given: dict[str, str | list[str]] = {
        "r1_characteristic": "body_diameter",
        "r1_text": "3 mm",
        "r1_known_from": "estimate",
    }
    first, second = rivet(register, plane, zone="tail", **given), rivet(register, plane, zone="cabin", **given)
    find = register.find(text=TEXT, part_class="tubular_rivet", quantity_text="50 off")
    for characteristic, text, instrument in (("head_style", "oval", "eye"), ("body_diameter", "3.0 mm", "micrometer")):
        read = {"characteristic": characteristic, "basis": "measured", "text": text, "instrument": instrument}
        finds.add_statement(register.store, register.actor("restorer"), find, read | {"by": "Hedda"})
    number = candidates.propose(register.store, register.actor("restorer"), first, find)
    shown = candidates.get_candidate(register.store, number)
    answers = {signing.reason_field(row): "Looked at by two of us; fits." for row in shown.sheet.to_answer}
    signing.sign(
        register.store,
        register.actor("approver"),
        number,
        {
            "decision": "approved with conditions",
            "conditions": "only here",
            "shown": shown.shown_digest,
            "password": PASSWORD,
            "used": "2",
            **CHANGE,
            **answers,
        },
    )
    client = register.client_as("restorer")
    page = words_of(client.get(f"/needs/{second}").text)
    assert "Signed before for the same part" in page
    assert "48 left of it." in page
    assert "Looked at by two of us; fits." in page
    proposed = client.post(f"/needs/{second}/propose/{find}").headers["location"].split("?")[0]
    sheet = words_of(client.get(proposed).text)
    assert "Signed before" in sheet
    assert "Decides nothing here" in sheet
    assert "undecided" in words_of(client.get(f"/needs/{second}").text)
