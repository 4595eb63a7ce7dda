"""Two people on one record, a plain save, a withdrawal, over HTTP: nothing typed and nothing kept goes. Own rules."""

import re
from html import unescape
from typing import Any

import pytest

from server.services import accounts, candidates, finds, joining, needs, yard
from server.storage.tables import NeedRow
from tests.web.conftest import Register

JOINT = {
    "ply1_name": "rail",
    "ply1_thickness": "12 mm",
    "hole": "3.1 mm",
    "joint_known_from": "drawing",
    "joint_reference": "X 41",
}


def fields_of(page: str, action: str) -> dict[str, Any]:
    """What a browser would send of the form with this address, were nothing in it touched."""
    form = page[page.index(f'action="{action}"') :]
    form = form[: form.index("</form>")]
    sent: dict[str, Any] = {}
    for tag in re.findall(r"<input [^>]*>", form):
        name, value = re.search(r'name="([^"]*)"', tag), re.search(r'value="([^"]*)"', tag)
        text = unescape(value.group(1)) if value else ""
        if name and 'type="checkbox"' in tag and "checked" in tag:
            sent.setdefault(name.group(1), []).append(text)
        elif name and ("checked" in tag or not re.search(r'type="(checkbox|radio|file)"', tag)):
            sent[name.group(1)] = text
    for name, inside in re.findall(r'<textarea [^>]*name="([^"]*)"[^>]*>\n(.*?)</textarea>', form, re.DOTALL):
        sent[name] = unescape(inside).replace("\n", "\r\n")  # HTML: the value of a textarea is sent with CR LF
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


# --- a plain save ------------------------------------------------------------


def save(register: Register, address: str, **touched: str) -> None:
    """Open the form of a record, touch one field, save."""
    client = register.client_as("restorer")
    form = fields_of(client.get(address).text, address)
    answer = client.post(address, data=form | touched)
    assert answer.status_code == 303, answer.text


def test_a_find_keeps_its_supplier_who_was_withdrawn(register: Register) -> None:
    restorer = register.actor("restorer")
    supplier = register.supplier()
    find = register.find(supplier_id=str(supplier))
    yard.withdraw(register.store, restorer, "supplier", supplier, "the shop is shut")
    save(register, f"/finds/{find}/edit", condition="dusty")
    kept = finds.get_find(register.store, find)
    assert (kept.condition, kept.supplier.id if kept.supplier else None) == ("dusty", supplier)
    # it is a choice of that form only
    client = register.client_as("restorer")
    assert "Nobody &amp; Daughters, withdrawn" in client.get(f"/finds/{find}/edit").text
    assert "Nobody &amp; Daughters" not in client.get("/finds/new").text
    # and a form that comes back with a fault has it still
    form = fields_of(client.get(f"/finds/{find}/edit").text, f"/finds/{find}/edit")
    back = client.post(f"/finds/{find}/edit", data=form | {"text": ""})
    assert back.status_code == 422
    assert fields_of(back.text, f"/finds/{find}/edit")["supplier_id"] == str(supplier)


def test_a_need_keeps_its_owner_whose_account_is_shut(register: Register) -> None:
    keeper = register.actor("keeper")
    second = register.actor("second")
    need = register.need(register.aeroplane(), owner_id=str(second.id))
    accounts.change_account(register.store, keeper, second.id, {"name": second.name, "role": "approver"})
    save(register, f"/needs/{need}/edit", note="the owner moved away")
    kept = needs.get_need(register.store, need)
    assert (kept.note, kept.owner_id) == ("the owner moved away", second.id)
    assert "A Second Approver, account shut" in register.client_as("restorer").get(f"/needs/{need}/edit").text


def test_a_need_keeps_its_step_and_aeroplane_that_were_withdrawn(register: Register) -> None:
    """A step is withdrawn only where no open need waits for it: one that is met does."""
    plane = register.aeroplane()
    step = register.step(plane)
    need = register.need(plane, step_id=str(step))
    now = register.store.clock()
    with register.store.write() as session:
        session.get_one(NeedRow, need).met_at = now
    yard.withdraw(register.store, register.actor("restorer"), "step", step, "planned otherwise")
    yard.withdraw(register.store, register.actor("keeper"), "aeroplane", plane, "sold")
    save(register, f"/needs/{need}/edit", note="fitted on Monday")
    kept = needs.get_need(register.store, need)
    assert (kept.note, kept.step.id if kept.step else None, kept.aeroplane.id) == ("fitted on Monday", step, plane)


def test_a_find_of_added_pieces_keeps_its_count(register: Register) -> None:
    restorer = register.actor("restorer")
    find = register.find(quantity_text="24 off")
    more = {"text": "Black sleeving from a tin", "quantity_text": "16 off", "further": "yes"}
    joining.join_find(register.store, register.files, restorer, find, more)
    save(register, f"/finds/{find}/edit", bin="shelf 4")
    kept = finds.get_find(register.store, find)
    assert (kept.bin, kept.quantity, kept.quantity_text) == ("shelf 4", 40, "24 off + 16 off")


def test_a_need_of_added_pieces_keeps_its_count(register: Register) -> None:
    plane = register.aeroplane()
    need = register.need(plane, quantity_text="24 off")
    more = {"item": "Sleeve over the magneto lead", "part_class": "general", "aeroplane_id": str(plane)}
    more |= {"quantity_text": "16 off", "further": "yes"}
    joining.join_need(register.store, register.actor("restorer"), need, more)
    save(register, f"/needs/{need}/edit", note="for both sides")
    kept = needs.get_need(register.store, need)
    assert (kept.quantity, kept.still_wanted, kept.quantity_text) == (40, 40, "24 off + 16 off")


@pytest.mark.parametrize(
    ("touched", "count"), [({}, 250), ({"quantity_text": "30 off"}, 30), ({"quantity_text": ""}, None)]
)
def test_a_count_given_beside_its_words_stays_while_they_stay(
    register: Register, touched: dict[str, str], count: int | None
) -> None:
    find = register.find(quantity="250", quantity_text="a tin")
    save(register, f"/finds/{find}/edit", bin="shelf 4", **touched)
    assert finds.get_find(register.store, find).quantity == count
    need = register.need(register.aeroplane(), quantity="250", quantity_text="a tin")
    save(register, f"/needs/{need}/edit", note="for both sides", **touched)
    assert needs.get_need(register.store, need).quantity == count


def test_a_need_that_is_not_counted_is_not_counted_by_a_save(register: Register) -> None:
    """One is still wanted, of a number nobody counted: neither figure comes from the other."""
    need = register.need(register.aeroplane(), quantity_text="a handful", still_wanted="1")
    save(register, f"/needs/{need}/edit", note="for both sides")
    kept = needs.get_need(register.store, need)
    assert (kept.quantity, kept.still_wanted) == (None, 1)


def test_a_save_that_touches_nothing_is_no_change(register: Register) -> None:
    restorer = register.actor("restorer")
    supplier = register.supplier()
    find = register.find(
        supplier_id=str(supplier),
        origin="old stock",
        price_text="GBP 12.50",
        quantity_text="40 off",
        lead_time="2 weeks",
        smallest_lot="10",
        condition="dusty",
        bin="shelf 4",
        finish_to_come="yes",
        note="first line\nsecond line",
        ref="ours 7",
    )
    plane = register.aeroplane()
    need = register.need(
        plane,
        step_id=str(register.step(plane)),
        owner_id=str(restorer.id),
        zone="cabin",
        side="left",
        station="frame 5",
        chapter="2510",
        arm="1.85 m aft of datum",
        wrong=["cracked", "missing"],
        touches="ash frame, 2024-T3 skin",
        note="first line\nsecond line",
        ref="ours 8",
    )
    for kind, number in (("finds", find), ("needs", need)):
        save(register, f"/{kind}/{number}/edit")
    assert finds.get_find(register.store, find).version == 1
    assert needs.get_need(register.store, need).version == 1


# --- where sources disagree --------------------------------------------------


def say(register: Register, need: int, text: str, serials: str = "", side: str = "") -> int:
    """What a drawing says of the length; the entry's number."""
    given = {"characteristic": "length_over_all", "text": text, "known_from": "drawing", "reference": f"X {text}"}
    needs.add_requirement(register.store, register.actor("restorer"), need, given | {"serials": serials, "side": side})
    return int(needs.get_need(register.store, need).requirements[-1].id)


def test_values_for_different_serials_or_sides_do_not_disagree(register: Register) -> None:
    plane = register.aeroplane()
    client = register.client_as("restorer")
    for scopes in ((("from 12", ""), ("to 11", "")), (("", "left"), ("", "right"))):
        need = register.need(plane)
        for text, (serials, side) in zip(("30 mm", "31 mm"), scopes, strict=True):
            say(register, need, text, serials, side)
        page = client.get(f"/needs/{need}").text
        assert "the sources disagree" not in page
        assert "/decide" not in page


def test_who_decided_is_shown_and_the_other_dispute_stays_open(register: Register, words_of: Any) -> None:
    need = register.need(register.aeroplane())
    ids = [say(register, need, text, serials) for serials in ("from 12", "to 11") for text in ("30 mm", "31 mm")]
    client = register.client_as("keeper")
    assert words_of(client.get(f"/needs/{need}").text).count("the sources disagree") == 2, "once for each scope"
    assert client.post(f"/requirements/{ids[0]}/decide", data={"reason": "issue 2"}).status_code == 303
    page = client.get(f"/needs/{need}").text
    assert "Stands: issue 2 (A Keeper)" in words_of(page)
    shown = [int(number) for number in re.findall(r'action="/requirements/(\d+)/decide"', page)]
    assert shown == ids[2:], "only the dispute that nobody decided is asked about"
    assert words_of(page).count("the sources disagree") == 1


def test_a_source_for_all_serials_disagrees_with_one_for_some(register: Register) -> None:
    need = register.need(register.aeroplane())
    ids = [say(register, need, "30 mm"), say(register, need, "31 mm", "from 12"), say(register, need, "29 mm", "to 11")]
    needs.decide_requirement(register.store, register.actor("restorer"), ids[1], "issue 2")
    page = register.client_as("keeper").get(f"/needs/{need}").text
    shown = [int(number) for number in re.findall(r'action="/requirements/(\d+)/decide"', page)]
    assert shown == [ids[0], ids[2]], "up to 11 it is still open"


# --- a withdrawn record ------------------------------------------------------


def test_what_was_typed_for_a_record_withdrawn_meanwhile_comes_back(register: Register, words_of: Any) -> None:
    restorer, client = register.actor("restorer"), register.client_as("restorer")
    need, find = rivet(register), register.find()
    opened = {path: client.get(path).text for path in (f"/needs/{need}", f"/needs/{need}/edit", f"/finds/{find}")}
    needs.withdraw_need(register.store, restorer, need, "found in the loft")
    finds.withdraw_find(register.store, restorer, find, "sold")
    entries = (
        (f"/needs/{need}", f"/needs/{need}/designations", {"text": "K-9", "kind": "drawing"}),
        (f"/needs/{need}", f"/needs/{need}/joint", JOINT | {"hole": "3.1 mm"}),
        (f"/needs/{need}", f"/needs/{need}/withdraw", {"reason": "a second reason"}),
        (f"/needs/{need}/edit", f"/needs/{need}/edit", {"note": "too late"}),
        (f"/finds/{find}", f"/finds/{find}/evidence", {"kind": "letter", "note": "from the seller"}),
        (f"/finds/{find}", f"/finds/{find}/withdraw", {"reason": "a second reason"}),
    )
    for page, action, typed in entries:
        answer = client.post(action, data=fields_of(opened[page], action) | typed)
        assert answer.status_code == 422, action
        assert "This was withdrawn" in words_of(answer.text), action
        again = fields_of(answer.text, action)
        assert {name: again[name] for name in typed} == typed, action
    page = client.get(f"/needs/{need}").text
    assert "Withdrawn: found in the loft" in words_of(page)
    assert "/designations" not in page, "no form is offered on a withdrawn need"
    assert "Withdrawn: sold" in words_of(client.get(f"/finds/{find}").text)
