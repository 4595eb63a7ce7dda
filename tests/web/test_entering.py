"""Entering needs and finds over HTTP: what may be left out, what comes back with its fault, what is shown again."""

import io
import re
from typing import Any

import pytest
from PIL import Image

from server.services import candidates, finds, needs, yard
from server.services.exchange import import_finds
from server.services.exporting import export_finds
from server.services.lines import read_lines
from server.storage.yard import list_suppliers
from tests.web.conftest import Register

File = tuple[str, tuple[str, bytes, str]]


def photograph(name: str = "photos", number: int = 1) -> File:
    written = io.BytesIO()
    Image.new("RGB", (40, 30), (number * 9 % 255, 90, 60)).save(written, "JPEG")
    return name, (f"IMG_{number:04d}.jpg", written.getvalue(), "image/jpeg")


# --- a find that nobody knows the name of -----------------------------------------------------------------------------


READ = {"m1_characteristic": "material", "m1_text": "brass", "m1_basis": "measured"}


def test_a_picture_or_a_reading_is_enough_for_a_find(register: Register) -> None:
    """Own rule: a find may be unidentified; dimensions, metal, marks and a picture are enough."""
    client = register.client_as("restorer")
    for number, (fields, files) in enumerate([(READ, []), ({}, [photograph()]), (READ, [photograph()])], start=1):
        answer = client.post("/finds", data={"text": "", "anyway": "yes", **fields}, files=files)
        assert answer.headers.get("location") == f"/finds/{number}?said=logged", answer.status_code
        assert finds.get_find(register.store, number).text == ""


def test_a_find_of_which_nothing_is_said_or_shown_is_refused(register: Register) -> None:
    client = register.client_as("restorer")
    for fields in ({"text": ""}, {"text": "", "held": "0" * 64}):
        answer = client.post("/finds", data=fields)
        assert answer.status_code == 422
        assert 'href="#f-text">Say what it is, or add a photograph or a reading.' in answer.text


def test_a_held_photograph_stands_for_the_words(register: Register) -> None:
    client = register.client_as("restorer")
    back = client.post("/finds", data={"text": "", "price_text": "x" * 61}, files=[photograph()])
    assert back.status_code == 422
    assert "Say what it is" not in back.text
    digest = back.text.split('name="held" value="')[1].split('"')[0]
    assert client.post("/finds", data={"text": "", "held": digest}).status_code == 303


def test_an_unidentified_find_is_called_so_wherever_it_is_shown(register: Register, words_of: Any) -> None:
    client = register.client_as("restorer")
    find = register.find(text="", **READ)
    need = register.need(register.aeroplane())
    candidate = candidates.propose(register.store, register.actor("restorer"), need, find)
    addresses = ["/finds", f"/finds/{find}", f"/finds/{find}/tag", f"/needs/{need}", f"/candidates/{candidate}"]
    for address in [*addresses, f"/needs/{need}/propose/{find}", "/log"]:
        answer = client.get(address)
        assert answer.status_code == 200, address
        assert "nidentified" in words_of(answer.text), address
    assert "<title>F\u00a00001 Unidentified" in client.get(f"/finds/{find}").text


def test_an_unidentified_find_is_changed_and_named_later(register: Register) -> None:
    client = register.client_as("restorer")
    find = register.find(text="", **READ)
    form = {"text": "", "bin": "drawer 4", "version": "1"}
    assert client.post(f"/finds/{find}/edit", data=form).status_code == 303
    named = register.find(text="a clevis pin")
    assert client.post(f"/finds/{named}/edit", data={"text": "", "version": "1"}).status_code == 422
    again = {"text": "brass bush", "bin": "drawer 4", "version": "2"}
    assert client.post(f"/finds/{find}/edit", data=again).status_code == 303
    assert finds.get_find(register.store, find).text == "brass bush"


def test_an_unidentified_find_goes_out_and_comes_in_again(register: Register) -> None:
    """Own rule: what an export wrote an import takes; photographs stay behind, so a word stands for them."""
    register.find(text="", **READ)
    client = register.client_as("restorer")
    assert client.post("/finds", data={"text": "", "anyway": "yes"}, files=[photograph()]).status_code == 303
    exported = "".join(export_finds(register.store, "jsonl"))
    taken = import_finds(register.store, register.files, register.actor("restorer"), read_lines(exported, "jsonl"))
    assert taken.count == 2
    assert [finds.get_find(register.store, number).text for number in (3, 4)] == ["", "Unidentified"]


# --- a fault stands at its field, and what was typed comes back -------------------------------------------------------


def nowhere(html: str) -> list[str]:
    """The links of the error summary that lead to nothing on the page."""
    summary = html.split("data-error-summary")[1].split("</ul>", maxsplit=1)[0]
    return [at for at in re.findall(r'href="#([^"]+)"', summary) if f'id="{at}"' not in html]


def field_of(html: str, ident: str) -> str:
    """The page around a field: from its label to its end."""
    return html.split(f'for="{ident}"')[1].split("</div>", maxsplit=1)[0]


PAGE_AS_PAPER = ("papers", ("drawing.html", b"<html>hello</html>", "text/html"))


@pytest.mark.parametrize("kind", ["needs", "finds"])
def test_a_paper_that_is_refused_is_named_at_its_field(register: Register, kind: str) -> None:
    number = register.need(register.aeroplane()) if kind == "needs" else register.find()
    client = register.client_as("restorer")
    answer = client.post(f"/{kind}/{number}/attach", data={"caption": "Rib 7"}, files=[PAGE_AS_PAPER])
    assert answer.status_code == 422
    assert nowhere(answer.text) == []
    assert "print it to a PDF first" in field_of(answer.text, "attach-papers")
    assert 'aria-describedby="attach-papers-hint attach-papers-fault"' in answer.text
    assert "Choose a photograph or a paper first" not in answer.text
    assert 'value="Rib 7"' in answer.text
    empty = client.post(f"/{kind}/{number}/attach", data={"caption": "Rib 7"})
    assert empty.status_code == 422
    assert "Choose a photograph or a paper first" in empty.text


@pytest.mark.parametrize("kind", ["needs", "finds"])
def test_too_many_papers_are_refused_at_their_field(register: Register, kind: str) -> None:
    number = register.need(register.aeroplane()) if kind == "needs" else register.find()
    papers = [("papers", (f"{one}.txt", b"a note", "text/plain")) for one in range(11)]
    answer = register.client_as("restorer").post(f"/{kind}/{number}/attach", files=papers)
    assert answer.status_code == 422
    assert "11 papers" in field_of(answer.text, "attach-papers")


def held(html: str) -> list[str]:
    return re.findall(r'name="held" value="([0-9a-f]+)"', html)


def test_thirteen_photographs_lose_nothing_that_was_typed(register: Register) -> None:
    client = register.client_as("restorer")
    form = {"text": "a bag of eyelets", "bin": "drawer 4"}
    answer = client.post("/finds", data=form, files=[photograph(number=one) for one in range(13)])
    assert answer.status_code == 422
    assert "13 photographs" in answer.text.split("<legend>Photographs</legend>")[1].split("</fieldset>")[0]
    assert "a bag of eyelets" in answer.text
    assert 'value="drawer 4"' in answer.text
    assert nowhere(answer.text) == []
    assert len(held(answer.text)) == 10
    kept = client.post("/finds", data={**form, "held": held(answer.text)})
    assert kept.status_code == 303
    assert len(finds.get_find(register.store, 1).attachments) == 10


def test_photographs_held_count_with_those_sent(register: Register) -> None:
    """Own rule: none is dropped without a word."""
    client = register.client_as("restorer")
    form = {"text": "a bag of eyelets", "price_text": "x" * 61}
    back = client.post("/finds", data=form, files=[photograph(number=one) for one in range(10)])
    more = client.post("/finds", data={**form, "held": held(back.text)}, files=[photograph(number=11)])
    assert "11 photographs" in more.text


def test_thirteen_photographs_of_what_looks_like_another_are_counted_first(register: Register) -> None:
    for text in ("hex nut 2 BA", "ash strip 12 mm", "rubber hose, black", "brass tubular rivets, oval head, 3 x 8 mm"):
        register.find(text=text, part_class="")
    form = {"text": "brass tubular rivets, oval head, 3 x 8 mm"}
    client = register.client_as("restorer")
    assert client.post("/finds", data=form).status_code == 409
    answer = client.post("/finds", data=form, files=[photograph(number=one) for one in range(13)])
    assert answer.status_code == 422
    assert "13 photographs" in answer.text


def test_as_many_readings_come_back_as_were_sent(register: Register) -> None:
    form = {
        "text": "a bush",
        "m3_characteristic": "bore",
        "m3_text": "8 mm",
        "m9_characteristic": "bore",
        "m9_text": "eight",
        "m11_text": "brass",
    }
    answer = register.client_as("restorer").post("/finds", data=form)
    assert answer.status_code == 422
    assert nowhere(answer.text) == []
    assert 'value="eight"' in field_of(answer.text, "f-m9_text")
    assert "f-m9_text-fault" in field_of(answer.text, "f-m9_text")
    assert "Say what was measured here" in field_of(answer.text, "f-m11_characteristic")
    assert 'id="f-m12_text"' not in answer.text
    fold = answer.text.split("<summary>More readings</summary>")[0].rsplit("<details", 1)[1]
    assert "open" in fold
    rows = register.client_as("restorer").get("/finds/rows", params=form)
    assert 'value="brass"' in field_of(rows.text, "f-m11_text")


# --- three layers, and how surely a number was read -------------------------------------------------------------------


def opening(register: Register, **more: str | list[str]) -> dict[str, str | list[str]]:
    return {
        "item": "Bush, rudder bar",
        "part_class": "general",
        "aeroplane_id": str(register.aeroplane()),
        "role": "furnishing",
        "anyway": "yes",
        **more,
    }


def test_what_was_measured_on_the_original_is_opened_as_found(register: Register) -> None:
    """Own rule: as designed, as found and as fitted are never mixed; what is said wins over what is usual."""
    form = opening(
        register,
        r1_characteristic="bore",
        r1_text="3.02 mm",
        r1_known_from="measured on the original",
        r2_characteristic="outside_diameter",
        r2_text="8 mm",
        r2_known_from="drawing",
        r2_reference="K 41-207",
        r3_characteristic="material",
        r3_text="brass",
        r3_known_from="estimate",
        r3_layer="as fitted now",
        r4_characteristic="mass",
        r4_text="20 g",
        r4_known_from="measured on the original",
        r4_layer="as designed",
    )
    assert register.client_as("restorer").post("/needs", data=form).status_code == 303
    said = {one.characteristic: one.layer.value for one in needs.get_need(register.store, 1).requirements}
    assert said == {
        "bore": "as found",
        "outside_diameter": "as designed",
        "material": "as fitted now",
        "mass": "as designed",
    }


def test_the_need_page_takes_the_usual_layer_too(register: Register) -> None:
    number = register.need(register.aeroplane())
    given = {"characteristic": "bore", "text": "3.02 mm", "known_from": "measured on the original", "layer": ""}
    client = register.client_as("restorer")
    assert client.post(f"/needs/{number}/requirements", data=given).status_code == 303
    assert needs.get_need(register.store, number).requirements[0].layer.value == "as found"
    page = client.get(f"/needs/{number}").text
    assert '<option value="">' in field_of(page, "requirement-layer")


def test_how_surely_a_number_was_read_is_asked_at_the_opening(register: Register) -> None:
    form = opening(
        register,
        mark=["K?1", "W 41", "K-9"],
        mark_kind=["as stamped on the part", "schematic designator", "drawing"],
        mark_reading=["a guess", "", "doubtful"],
    )
    client = register.client_as("restorer")
    assert client.post("/needs", data=form).status_code == 303
    said = [(one.text, one.reading.value) for one in needs.get_need(register.store, 1).designations]
    assert said == [("K?1", "a guess"), ("W 41", "read surely"), ("K-9", "doubtful")]
    assert client.post("/needs", data=opening(register, mark="T?7")).status_code == 303
    assert (
        client.post("/needs/2/designations", data={"text": "T?8", "kind": "drawing", "reading": ""}).status_code == 303
    )
    assert [one.reading.value for one in needs.get_need(register.store, 2).designations] == ["doubtful", "doubtful"]


def test_the_opening_form_comes_back_with_layers_and_readings(register: Register) -> None:
    form = opening(
        register,
        item="",
        mark=["A 1", "B 2", "C 3", "D 4"],
        mark_kind=["drawing"] * 4,
        mark_reading=["read surely", "doubtful", "read surely", "a guess"],
        r8_characteristic="bore",
        r8_text="eight",
        r8_known_from="estimate",
        r8_layer="as fitted now",
    )
    answer = register.client_as("restorer").post("/needs", data=form)
    assert answer.status_code == 422
    assert nowhere(answer.text) == []
    for mark in ("A 1", "B 2", "C 3", "D 4"):
        assert f'value="{mark}"' in answer.text
    chosen = re.findall(r'name="mark_reading">(.*?)</select>', answer.text, re.DOTALL)
    assert [re.findall(r'value="([^"]*)" selected', one) for one in chosen] == [
        ["read surely"],
        ["doubtful"],
        ["read surely"],
        ["a guess"],
    ]
    assert 'value="as fitted now" selected' in field_of(answer.text, "f-r8_layer")


def test_a_number_that_is_refused_is_named_at_its_field(register: Register) -> None:
    form = opening(register, mark=["K 1", "X" * 130], r1_characteristic="bore", r1_text="8 mm")
    answer = register.client_as("restorer").post("/needs", data=form)
    assert answer.status_code == 422
    assert nowhere(answer.text) == []
    assert "has 130 characters" in field_of(answer.text, "f-mark")
    assert "f-r1_known_from" in answer.text.split("data-error-summary")[1].split("</ul>", maxsplit=1)[0]


def test_a_program_says_how_surely_a_number_was_read(register: Register) -> None:
    client = register.client()
    client.headers["Authorization"] = f"Bearer {register.token('restorer')}"
    body = {**opening(register), "anyway": True, "mark": ["K?1", "K 2"], "mark_reading": ["a guess", "read surely"]}
    answer = client.post("/api/needs", json=body)
    assert answer.status_code == 201, answer.json()
    assert [one["reading"] for one in answer.json()["designations"]] == ["a guess", "read surely"]


# --- what was typed of a need is shown --------------------------------------------------------------------------------


def facts_of(html: str, words_of: Any) -> dict[str, str]:
    """The facts of a page, by their name."""
    return {
        words_of(name): words_of(said)
        for name, said in re.findall(r"<dt[^>]*>(.*?)</dt>\s*<dd[^>]*>(.*?)</dd>", html, re.DOTALL)
    }


def test_the_uncertainty_of_the_original_and_of_its_joint_is_shown(register: Register, words_of: Any) -> None:
    number = register.need(register.aeroplane(), part_class="tubular_rivet", item="Rivet, tubular")
    client = register.client_as("restorer")
    said = {
        "characteristic": "body_diameter",
        "text": "3.02 mm",
        "known_from": "measured on the original",
        "uncertainty": "0.02 mm",
    }
    assert client.post(f"/needs/{number}/requirements", data=said).status_code == 303
    joint = {
        "ply1_name": "skin",
        "ply1_thickness": "0.9 mm",
        "ply1_uncertainty": "0.05 mm",
        "ply2_name": "rib",
        "ply2_thickness": "1.2 mm",
        "hole": "3.2 mm",
        "hole_uncertainty": "0.1 mm",
        "joint_known_from": "measured on the original",
    }
    version = str(needs.get_need(register.store, number).version)
    assert client.post(f"/needs/{number}/joint", data={**joint, "version": version}).status_code == 303
    page = client.get(f"/needs/{number}").text
    shown = words_of(page).replace("\u202f", " ")
    assert "3.02 mm ± 0.02 mm" in shown
    assert "0.9 mm ± 0.05 mm" in shown
    assert "1.2 mm ±" not in shown
    assert facts_of(page, words_of)["Hole"].replace("\u202f", " ") == "3.2 mm ± 0.1 mm"


def test_the_whole_quantity_stands_beside_what_is_still_wanted(register: Register, words_of: Any) -> None:
    plane = register.aeroplane()
    client = register.client_as("viewer")
    wished = {
        1: ({"quantity_text": "40 off for both", "still_wanted": "12"}, ("40 off for both", "12 off")),
        2: ({"quantity_text": "7 m"}, ("7 m", "not counted")),
        3: ({"quantity_text": "", "quantity": "5"}, ("5 off", "5 off")),
        4: ({"quantity_text": ""}, ("not said", "not counted")),
    }
    for number, (fields, expected) in wished.items():
        assert register.need(plane, **fields) == number
        facts = facts_of(client.get(f"/needs/{number}").text, words_of)
        assert (facts["Quantity"], facts["Still wanted"]) == expected


# --- from whom: somebody the register does not know yet ---------------------------------------------------------------


def suppliers(register: Register) -> list[tuple[int, str]]:
    with register.store.read() as session:
        return [(one.id, one.name) for one in list_suppliers(session)]


def supplier_of(register: Register, find: int) -> tuple[int, str] | None:
    held = finds.get_find(register.store, find).supplier
    return (held.id, held.name) if held else None


def test_a_person_at_a_fair_is_entered_with_the_find(register: Register, words_of: Any) -> None:
    client = register.client_as("restorer")
    assert 'name="from_whom"' in client.get("/finds/new").text
    form = {"text": "a bag of eyelets", "from_whom": "  Old Tom,  stall 14 ", "anyway": "yes"}
    assert client.post("/finds", data=form).status_code == 303
    assert supplier_of(register, 1) == (1, "Old Tom, stall 14")
    # the next find of theirs finds them, however it is written
    assert client.post("/finds", data={**form, "from_whom": "old tom, STALL 14"}).status_code == 303
    assert supplier_of(register, 2) == (1, "Old Tom, stall 14")
    assert suppliers(register) == [(1, "Old Tom, stall 14")]
    said = words_of(client.get("/log").text)
    assert said.count("entered supplier “Old Tom, stall 14”") == 1


def test_a_refused_find_enters_nobody(register: Register) -> None:
    client = register.client_as("restorer")
    answer = client.post("/finds", data={"text": "", "from_whom": "Old Tom"})
    assert answer.status_code == 422
    assert 'value="Old Tom"' in field_of(answer.text, "f-from_whom")
    assert suppliers(register) == []


def test_a_name_beside_another_supplier_is_asked_about(register: Register) -> None:
    known = register.supplier(name="Hook & Daughter")
    client = register.client_as("restorer")
    form = {"text": "a bag of eyelets", "supplier_id": str(known)}
    assert client.post("/finds", data={**form, "from_whom": "hook & daughter"}).status_code == 303
    answer = client.post("/finds", data={**form, "from_whom": "Old Tom", "anyway": "yes"})
    assert answer.status_code == 422
    assert nowhere(answer.text) == []
    assert "not both" in field_of(answer.text, "f-from_whom")
    assert suppliers(register) == [(known, "Hook & Daughter")]


def test_a_name_of_several_or_of_one_withdrawn_is_asked_about(register: Register) -> None:
    client = register.client_as("restorer")
    for _ in range(2):
        register.supplier(name="Smith")
    gone = register.supplier(name="Bodger")
    yard.withdraw(register.store, register.actor("restorer"), "supplier", gone, "sold us painted pot metal")
    answer = client.post("/finds", data={"text": "a bag", "from_whom": "Smith"})
    assert "choose from the list" in field_of(answer.text, "f-from_whom")
    answer = client.post("/finds", data={"text": "a bag", "from_whom": "bodger"})
    assert "sold us painted pot metal" in field_of(answer.text, "f-from_whom")
    assert len(suppliers(register)) == 2


def test_a_find_gets_a_new_supplier_when_it_is_changed_or_joined(register: Register) -> None:
    client = register.client_as("restorer")
    find = register.find(text="a bag of eyelets")
    form = {"text": "a bag of eyelets", "version": "1", "from_whom": "Old Tom"}
    assert client.post(f"/finds/{find}/edit", data=form).status_code == 303
    assert supplier_of(register, find) == (1, "Old Tom")
    other = register.find(text="a box of hatches")
    joined = client.post("/finds", data={"text": "a box of hatches", "join": str(other), "from_whom": "Young Tom"})
    assert joined.status_code == 303
    assert supplier_of(register, other) == (2, "Young Tom")


def test_a_program_names_somebody_new(register: Register) -> None:
    client = register.client()
    client.headers["Authorization"] = f"Bearer {register.token('restorer')}"
    answer = client.post("/api/finds", json={"text": "a bag of eyelets", "from_whom": "Old Tom"})
    assert answer.status_code == 201, answer.json()
    assert answer.json()["supplier"]["name"] == "Old Tom"
