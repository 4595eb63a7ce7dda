"""Two people on one record, a plain save, a withdrawal, over HTTP: nothing typed and nothing kept goes. Own rules."""

import re
from html import unescape
from typing import Any

from server.services import needs
from tests.web.conftest import Register

JOINT = {
    "ply1_name": "rail",
    "ply1_thickness": "12 mm",
    "hole": "3.1 mm",
    "joint_known_from": "drawing",
    "joint_reference": "X 41",
}


def fields_of(page: str, action: str) -> dict[str, str]:
    """What a browser would send of the form with this address, were nothing in it touched."""
    form = page[page.index(f'action="{action}"') :]
    form = form[: form.index("</form>")]
    sent: dict[str, str] = {}
    for tag in re.findall(r"<input [^>]*>", form):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        ticked = ('type="checkbox"' not in tag and 'type="radio"' not in tag) or "checked" in tag
        if name and ticked and 'type="file"' not in tag:
            sent[name.group(1)] = unescape(value.group(1)) if value else ""
    for name, inside in re.findall(r'<textarea [^>]*name="([^"]*)"[^>]*>\n(.*?)</textarea>', form, re.DOTALL):
        sent[name] = unescape(inside)
    for name, inside in re.findall(r'<select [^>]*name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        options = re.findall(r'<option value="([^"]*)"( selected)?', inside)
        sent[name] = unescape(next((value for value, chosen in options if chosen), options[0][0] if options else ""))
    return sent


def rivet(register: Register) -> int:
    """A need of a part that sits in a joint."""
    return register.need(register.aeroplane(), part_class="tubular_rivet", item="Rivet of the rail")


# --- the joint ---------------------------------------------------------------


def test_the_joint_of_two_people(register: Register, words_of: Any) -> None:
    number = rivet(register)
    address = f"/needs/{number}/joint"
    client = register.client_as("restorer")
    first = fields_of(client.get(f"/needs/{number}").text, address)
    second = dict(first)
    answer = register.client_as("keeper").post(address, data=first | JOINT | {"pitch": "30 mm"})
    assert answer.status_code == 303
    late = client.post(
        address, data=second | JOINT | {"hole": "3.5 mm", "ply5_name": "packing", "ply5_material": "felt"}
    )
    assert late.status_code == 409
    said = words_of(late.text)
    assert "Somebody else changed this need since you opened it" in said
    assert "Joint pitch nothing 30 mm A Keeper" in said
    again = fields_of(late.text, address)
    assert (again["hole"], again["ply5_material"]) == ("3.5 mm", "felt"), "what was typed is still there"
    assert client.post(address, data=again | {"pitch": "30 mm"}).status_code == 303
    page = words_of(client.get(f"/needs/{number}").text)
    assert "Joint hole: 3.1 mm became 3.5 mm" in page
    assert "Joint hole: 3.1 mm became 3.5 mm" in words_of(client.get(f"/log?about=need/{number}").text)


def test_taking_the_joint_off_asks_why(register: Register, words_of: Any) -> None:
    number = rivet(register)
    address = f"/needs/{number}/joint"
    client = register.client_as("restorer")
    needs.set_joint(register.store, register.actor("restorer"), number, JOINT)
    form = fields_of(client.get(f"/needs/{number}").text, address)
    emptied = {name: form[name] if name == "version" else "" for name in form}
    answer = client.post(address, data=emptied)
    assert answer.status_code == 422
    assert 'href="#joint-reason"' in answer.text
    assert 'id="joint-reason"' in answer.text
    assert client.post(address, data=emptied | {"reason": "that was the other door"}).status_code == 303
    page = words_of(client.get(f"/needs/{number}").text)
    assert "cleared the joint: that was the other door" in page
    assert "Joint hole: 3.1 mm became nothing" in page
