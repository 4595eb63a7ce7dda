"""Entering needs and finds over HTTP: what may be left out, what comes back with its fault, what is shown again."""

import io
from typing import Any

from PIL import Image

from server.services import candidates, finds
from server.services.exchange import import_finds
from server.services.exporting import export_finds
from server.services.lines import read_lines
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
