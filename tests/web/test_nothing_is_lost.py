"""Two people on one record, a plain save, a withdrawal, over HTTP: nothing typed and nothing kept goes. Own rules."""

import re
from html import unescape
from typing import Any

from server.services import candidates, finds, needs
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


# --- judging -----------------------------------------------------------------


def test_two_people_judge_one_candidate(register: Register, words_of: Any) -> None:
    number = candidates.propose(
        register.store, register.actor("restorer"), register.need(register.aeroplane()), register.find()
    )
    address = f"/candidates/{number}/authenticity"
    client = register.client_as("restorer")
    opened = fields_of(client.get(f"/candidates/{number}").text, address)
    first = {"answer": "right", "reason": "the same weave"}
    assert register.client_as("keeper").post(address, data=opened | first).status_code == 303
    mine = {"answer": "not right", "reason": "the weave is too fine"}
    late = client.post(address, data=opened | mine)
    assert late.status_code == 409
    assert "It is judged “right” by A Keeper (“the same weave”)." in words_of(late.text)
    again = fields_of(late.text, address)
    assert again["reason"] == mine["reason"]
    assert client.post(address, data=again | mine).status_code == 303
    page = words_of(client.get(f"/candidates/{number}").text)
    assert "Is it right for this restoration: right became not right" in page
    assert "Why: the same weave became the weave is too fine" in page


# --- what was withdrawn ------------------------------------------------------


def test_a_withdrawn_reading_is_struck_through(register: Register, words_of: Any) -> None:
    restorer = register.actor("restorer")
    reading = {"m1_characteristic": "length_over_all", "m1_text": "30 mm", "m1_basis": "measured"}
    find = register.find(**reading, evidence=["letter"], evidence_note="from the seller")
    kept = finds.get_find(register.store, find)
    finds.withdraw_entry(register.store, restorer, "statement", int(kept.statements[0].id), "wrong drawer")
    finds.withdraw_entry(register.store, restorer, "evidence", kept.proofs[0].id, "not his letter")
    finds.attach(register.store, register.files, restorer, papers=[("note.txt", b"words")], find_id=find)
    paper = finds.get_find(register.store, find).attachments[0]
    finds.withdraw_attachment(register.store, restorer, paper.id, "of another part")
    page = register.client_as("viewer").get(f"/finds/{find}").text
    assert "<del>Length over all: 30 mm (measured, A Restorer)</del>" in page
    assert "<del>letter (from the seller)</del>" in page
    assert "<del>note.txt</del>" in page
    said = words_of(page)
    for why in ("wrong drawer", "not his letter", "of another part"):
        assert re.search(rf"withdrawn by A Restorer, \d+ \w+ \d+: {why}", said)


def test_withdrawn_entries_of_a_need_are_struck_through(register: Register, words_of: Any) -> None:
    restorer, keeper = register.actor("restorer"), register.actor("keeper")
    number = register.need(register.aeroplane(), mark="K-9", mark_kind="drawing")
    asked = {"characteristic": "length_over_all", "text": "30 mm", "known_from": "drawing", "reference": "X 41"}
    needs.add_requirement(register.store, restorer, number, asked)
    needs.add_enquiry(register.store, restorer, number, {"kind": "tried", "text": "the loft"})
    need = needs.get_need(register.store, number)
    needs.withdraw_entry(register.store, keeper, "designation", need.designations[0].id, "of the pair")
    needs.withdraw_entry(register.store, keeper, "requirement", int(need.requirements[0].id), "misread")
    needs.withdraw_entry(register.store, keeper, "enquiry", need.enquiries[0].id, "not this loft")
    page = register.client_as("viewer").get(f"/needs/{number}").text
    assert "<del>K-9 (drawing, read surely)</del>" in page
    assert "<del>Length over all: 30 mm (as designed, drawing, X 41)</del>" in page
    assert "<del>the loft (tried, A Restorer)</del>" in page
    for why in ("of the pair", "misread", "not this loft"):
        assert re.search(rf"withdrawn by A Keeper, \d+ \w+ \d+: {why}", words_of(page))
