"""Aeroplanes, steps and suppliers over HTTP: who may what, what is shown, and that nothing typed is lost."""

from datetime import timedelta

import pytest

from server.domain.register import Decision
from server.services import candidates, needs, signing
from tests.builders import CHANGE
from tests.web.conftest import PASSWORD, Register

PLANE = {"type": "Testbird T.1", "serial": "3", "use": "static display", "drawing_unit": "in"}
REASON = "The wing goes to the paint shop on Monday; the sleeve goes in through the hatch."


# --- who may what --------------------------------------------------------

CHANGES = {
    "/aeroplanes": (PLANE, "keeper"),
    "/aeroplanes/1/edit": (PLANE, "keeper"),
    "/aeroplanes/1/withdraw": ({"reason": "sold"}, "keeper"),
    "/steps": ({"aeroplane_id": "1", "name": "x"}, "restorer"),
    "/steps/1/edit": ({"aeroplane_id": "1", "name": "x"}, "restorer"),
    "/steps/1/done": ({}, "restorer"),
    "/steps/1/ahead": ({"reason": "r"}, "restorer"),
    "/steps/1/withdraw": ({"reason": "r"}, "restorer"),
    "/suppliers": ({"name": "x"}, "restorer"),
    "/suppliers/1/edit": ({"name": "x"}, "restorer"),
    "/suppliers/1/confirmed": ({}, "restorer"),
    "/suppliers/1/withdraw": ({"reason": "r"}, "restorer"),
}
ROLES = ["viewer", "restorer", "approver", "keeper"]
READS = ["/aeroplanes", "/aeroplanes/1", "/steps", "/steps/1", "/suppliers", "/suppliers/1"]
FORMS = {
    "/aeroplanes/new": "keeper",
    "/aeroplanes/1/edit": "keeper",
    "/steps/new": "restorer",
    "/steps/1/edit": "restorer",
    "/suppliers/new": "restorer",
    "/suppliers/1/edit": "restorer",
}


@pytest.mark.parametrize("role", ROLES)
def test_everybody_reads_and_the_role_decides_who_changes(register: Register, role: str) -> None:
    register.step(register.aeroplane())
    register.supplier()
    client = register.client_as(role)
    for path in READS:
        assert client.get(path).status_code == 200, path
    for path, least in FORMS.items():
        may = ROLES.index(role) >= ROLES.index(least)
        assert client.get(path).status_code == (200 if may else 403), path
        shown = [client.get(read).text for read in READS]
        assert any(f'href="{path}' in page for page in shown) == may, path
    for path, (fields, least) in CHANGES.items():
        if ROLES.index(role) < ROLES.index(least):
            answer = client.post(path, data=fields)
            assert answer.status_code == 403, path
            assert least in answer.text


@pytest.mark.parametrize("path", [*READS, *FORMS])
def test_nobody_reads_without_signing_in(register: Register, path: str) -> None:
    assert register.client().get(path).headers["location"].startswith("/sign-in")


@pytest.mark.parametrize("path", ["/aeroplanes/7", "/steps/7", "/suppliers/7", "/steps/7/edit", "/suppliers/x"])
def test_what_is_not_there_is_said_to_be_missing(register: Register, path: str) -> None:
    answer = register.client_as("keeper").get(path)
    assert answer.status_code == 404
    assert "<h1></h1>" not in answer.text


# --- aeroplanes ----------------------------------------------------------


def test_an_aeroplane_is_entered_changed_and_withdrawn(register: Register) -> None:
    keeper = register.client_as("keeper")
    where = keeper.post("/aeroplanes", data=PLANE).headers["location"].partition("?")[0]
    assert "Testbird T.1, works no. 3" in keeper.get(where).text
    changed = {**PLANE, "registration": "QX-TST", "version": "1"}
    assert keeper.post(f"{where}/edit", data=changed).status_code == 303
    assert "Testbird T.1, QX-TST" in keeper.get(where).text
    assert keeper.post(f"{where}/withdraw", data={"reason": " "}).status_code == 422
    assert keeper.post(f"{where}/withdraw", data={"reason": "Sold to nobody"}).status_code == 303
    page = keeper.get(where).text
    assert "Sold to nobody" in page
    assert f"{where}/edit" not in page
    assert "QX-TST" not in keeper.get("/aeroplanes").text
    assert "QX-TST" in keeper.get("/aeroplanes?withdrawn=yes").text
    again = keeper.post(f"{where}/withdraw", data={"reason": "Another reason"})
    assert again.status_code == 422
    assert "Sold to nobody" in again.text, "the first reason stands"
    late = keeper.post(f"{where}/edit", data={**changed, "version": "3"})
    assert late.status_code == 422
    assert "a withdrawn record is not changed" in late.text


def test_a_refused_aeroplane_keeps_what_was_typed(register: Register) -> None:
    fields = {"type": "", "maker": "Kestleby & <Sons>", "use": "hanging in a pub", "drawing_unit": "cubits"}
    answer = register.client_as("keeper").post("/aeroplanes", data=fields)
    assert answer.status_code == 422
    assert "Type is missing." in answer.text
    assert "“hanging in a pub” is none of" in answer.text
    assert "“cubits” is neither" in answer.text
    assert 'value="Kestleby &amp; &lt;Sons&gt;"' in answer.text


def test_whoever_saves_second_sees_what_the_first_one_changed(register: Register) -> None:
    number = register.aeroplane()
    keeper = register.client_as("keeper")
    keeper.post(f"/aeroplanes/{number}/edit", data={**PLANE, "maker": "Kestleby", "version": "1"})
    answer = keeper.post(f"/aeroplanes/{number}/edit", data={**PLANE, "note": "typed for an hour", "version": "1"})
    assert answer.status_code == 409
    assert "typed for an hour" in answer.text
    assert "<b>Maker</b>: nothing became Kestleby, by A Keeper" in answer.text
    assert 'name="version" value="2"' in answer.text
    saved = keeper.post(f"/aeroplanes/{number}/edit", data={**PLANE, "note": "typed for an hour", "version": "2"})
    assert saved.status_code == 303


def test_an_aeroplane_counts_its_needs_by_state(register: Register) -> None:
    plane, other = register.aeroplane(), register.aeroplane(type="Other")
    for _ in range(3):
        register.need(plane)
    register.need(other)
    needs.withdraw_need(register.store, register.actor("restorer"), 2, "not needed after all")
    candidates.propose(register.store, register.actor("restorer"), 1, register.find())
    page = register.client_as("viewer").get(f"/aeroplanes/{plane}").text
    assert ">2 open</a>" in page
    assert "1 with a proposal that waits for a signature" in page
    assert ">1 withdrawn</a>" in page
    assert ">0 met</a>" in page
    assert f'href="/needs?aeroplane={plane}&amp;state=open"' in page


# --- steps ---------------------------------------------------------------


def test_a_step_is_entered_with_what_comes_before_it(register: Register) -> None:
    plane = register.aeroplane()
    first = register.step(plane, name="Ribs trued")
    client = register.client_as("restorer")
    form = client.get("/steps/new").text
    assert f'name="aeroplane_id" value="{plane}"' in form, "there is only one aeroplane to choose"
    assert "Ribs trued" in form
    fields = {
        "aeroplane_id": str(plane),
        "name": "Wing covered",
        "closes": "ribs and wires",
        "due": "2099-12-09",
        "place_in_order": "20",
        "after": [str(first)],
    }
    where = client.post("/steps", data=fields).headers["location"].partition("?")[0]
    page = client.get(where).text
    assert "9 Dec 2099" in page
    assert f'<a href="/steps/{first}">Ribs trued</a> (ahead)' in page
    board = client.get("/steps").text
    assert board.index("Ribs trued") < board.index("Wing covered")
    assert "waits for “Ribs trued”" in board


def test_with_several_aeroplanes_the_form_asks_which(register: Register) -> None:
    register.aeroplane()
    other = register.aeroplane(type="Other")
    client = register.client_as("restorer")
    assert f'href="/steps/new?aeroplane={other}"' in client.get("/steps/new").text
    assert f'name="aeroplane_id" value="{other}"' in client.get(f"/steps/new?aeroplane={other}").text


@pytest.mark.parametrize("plane", ["", "99", "99999999999999999999", "x"])
def test_a_step_needs_an_aeroplane_that_is_there(register: Register, plane: str) -> None:
    register.aeroplane()
    answer = register.client_as("restorer").post("/steps", data={"aeroplane_id": plane, "name": "Kept typing"})
    assert answer.status_code == 422
    assert 'value="Kept typing"' in answer.text


def test_steps_never_come_in_a_ring_and_stay_with_their_aeroplane(register: Register) -> None:
    plane, other = register.aeroplane(), register.aeroplane(type="Other")
    first = register.step(plane, name="First")
    second = register.step(plane, name="Second", after=[str(first)])
    client = register.client_as("restorer")
    fields = {"aeroplane_id": str(plane), "name": "First", "after": [str(second)], "version": "1"}
    ring = client.post(f"/steps/{first}/edit", data=fields)
    assert ring.status_code == 422
    assert "that would be a ring" in ring.text
    moved = client.post(f"/steps/{first}/edit", data={"aeroplane_id": str(other), "name": "First", "version": "1"})
    assert moved.status_code == 422
    assert "stays with its aeroplane" in moved.text
    stranger = client.post("/steps", data={"aeroplane_id": str(other), "name": "x", "after": [str(first)]})
    assert stranger.status_code == 422
    assert "other steps of the same aeroplane" in stranger.text


def test_editing_a_step_neither_does_it_nor_undoes_it(register: Register) -> None:
    plane = register.aeroplane()
    step = register.step(plane)
    client = register.client_as("restorer")
    fields = {"aeroplane_id": str(plane), "name": "Renamed", "state": "done", "version": "1"}
    assert client.post(f"/steps/{step}/edit", data=fields).status_code == 303
    assert 'class="state">ahead<' in client.get(f"/steps/{step}").text
    client.post(f"/steps/{step}/done", data={"version": "2"})
    client.post(f"/steps/{step}/edit", data={"aeroplane_id": str(plane), "name": "Again", "version": "3"})
    assert 'class="state">done<' in client.get(f"/steps/{step}").text


def test_a_step_that_nothing_holds_up_is_marked_done(register: Register) -> None:
    step = register.step(register.aeroplane())
    client = register.client_as("restorer")
    assert client.post(f"/steps/{step}/done", data={"version": "1"}).status_code == 303
    assert client.post(f"/steps/{step}/done", data={"version": "2"}).status_code == 422
    assert "Close the left wing" not in client.get("/steps").text
    assert "Close the left wing" in client.get("/steps?done=yes").text


def test_open_needs_hold_a_step_up_unless_a_reason_is_given(register: Register) -> None:
    """Closing lists every need there that is not approved (common practice)."""
    plane = register.aeroplane()
    step = register.step(plane)
    numbers = [register.need(plane, step_id=str(step), item=f"Sleeve {place}") for place in range(6)]
    register.need(plane, item="Elsewhere")
    client = register.client_as("restorer")
    page = client.get(f"/steps/{step}").text
    assert "6 needs are still open" in page
    assert page.count("nothing offered yet") == 6
    assert "Elsewhere" not in page
    refused = client.post(f"/steps/{step}/done", data={"version": "1"})
    assert refused.status_code == 422
    assert "6 open needs: N\u00a00001 Sleeve 0" in refused.text
    assert "and 2 more" in refused.text
    assert all(f'href="/needs/{number}"' in refused.text for number in numbers)
    lazy = client.post(f"/steps/{step}/done", data={"version": "1", "reason": "ok"})
    assert lazy.status_code == 422
    assert "“ok” will tell nobody why" in lazy.text
    assert client.post(f"/steps/{step}/done", data={"version": "1", "reason": REASON}).status_code == 303
    log = client.get(f"/log?about=step/{step}").text
    assert REASON in log
    assert "although it was held up" in log
    assert "Held up by: 6 open needs" in log


def test_a_step_waits_for_the_step_before_it(register: Register) -> None:
    plane = register.aeroplane()
    first = register.step(plane, name="First")
    second = register.step(plane, name="Second", after=[str(first)])
    client = register.client_as("restorer")
    refused = client.post(f"/steps/{second}/done", data={"version": "1"})
    assert refused.status_code == 422
    assert "the step before it, “First”, is not done" in refused.text
    client.post(f"/steps/{first}/done", data={"version": "1"})
    assert client.post(f"/steps/{second}/done", data={"version": "1"}).status_code == 303


def test_a_met_need_holds_nothing_up_and_a_proposed_one_does(register: Register) -> None:
    plane = register.aeroplane()
    step = register.step(plane)
    need = register.need(plane, step_id=str(step), quantity_text="1")
    number = candidates.propose(register.store, register.actor("restorer"), need, register.find(quantity_text="1"))
    client = register.client_as("restorer")
    assert "waits for a signature" in client.get(f"/steps/{step}").text
    assert "1 open need" in client.get("/steps").text
    _approve(register, number)
    page = client.get(f"/steps/{step}").text
    assert "No open need holds this step up." in page
    assert "There already" in page
    assert client.post(f"/steps/{step}/done", data={"version": "1"}).status_code == 303


def _approve(register: Register, number: int, decision: Decision = Decision.CONDITIONAL) -> None:
    candidate = candidates.get_candidate(register.store, number)
    reason = "The sleeve sits far from heat and can be reached again at any time."
    given = {
        "decision": decision.value,
        "reason": reason,
        "conditions": "look at it every year",
        **CHANGE,
        "shown": candidate.shown_digest,
        "password": PASSWORD,
        **{signing.reason_field(row): reason for row in candidate.sheet.to_answer},
    }
    signing.sign(register.store, register.actor("approver"), number, given)


def test_a_done_step_is_taken_back_with_a_reason(register: Register) -> None:
    step = register.step(register.aeroplane())
    client = register.client_as("restorer")
    assert client.post(f"/steps/{step}/ahead", data={"reason": "never was"}).status_code == 422
    client.post(f"/steps/{step}/done", data={"version": "1"})
    assert client.post(f"/steps/{step}/ahead", data={"reason": " "}).status_code == 422
    assert client.post(f"/steps/{step}/ahead", data={"reason": "a rib was forgotten"}).status_code == 303
    assert "a rib was forgotten" in client.get(f"/log?about=step/{step}").text


def test_a_late_step_says_by_how_many_days(register: Register) -> None:
    today = register.clock.now.date()
    plane = register.aeroplane()
    register.step(plane, due=(today - timedelta(days=3)).isoformat())
    register.step(plane, name="Today", due=today.isoformat())
    board = register.client_as("viewer").get("/steps").text
    assert board.count("days late") == 1
    assert "3 days late" in board


def test_a_step_with_open_needs_is_not_withdrawn(register: Register) -> None:
    plane = register.aeroplane()
    step = register.step(plane)
    need = register.need(plane, step_id=str(step))
    client = register.client_as("restorer")
    refused = client.post(f"/steps/{step}/withdraw", data={"reason": "no such step any more"})
    assert refused.status_code == 422
    assert "1 open need is to be there before this step" in refused.text
    assert "no such step any more" in refused.text
    needs.withdraw_need(register.store, register.actor("restorer"), need, "not needed after all")
    assert client.post(f"/steps/{step}/withdraw", data={"reason": "no such step any more"}).status_code == 303
    assert "Close the left wing" not in client.get("/steps?done=yes").text
    page = client.get(f"/steps/{step}").text
    assert "no such step any more" in page
    assert "Mark done" not in page
    assert client.post(f"/steps/{step}/done", data={}).status_code == 422


# --- suppliers -----------------------------------------------------------


def test_a_supplier_is_entered_changed_confirmed_and_withdrawn(register: Register) -> None:
    client = register.client_as("restorer")
    fields = {"name": "Nobody & Daughters", "contact": "by letter", "state": "silent", "last_confirmed": "2001-05-02"}
    where = client.post("/suppliers", data=fields).headers["location"].partition("?")[0]
    page = client.get(where).text
    assert "Nobody &amp; Daughters" in page
    assert "Not heard of for over a year" in page
    assert client.post(f"{where}/confirmed").status_code == 303
    page = client.get(where).text
    assert ", today" in page
    assert 'class="state">answers<' in page
    assert client.post(f"{where}/edit", data={**fields, "name": "Nobody", "version": "2"}).status_code == 303
    assert "2 May 2001" in client.get(where).text
    assert client.post(f"{where}/withdraw", data={"reason": "closed for good"}).status_code == 303
    assert "closed for good" in client.get(where).text
    assert where not in client.get("/suppliers").text
    assert client.post(f"{where}/confirmed").status_code == 422


def test_nobody_was_confirmed_tomorrow(register: Register) -> None:
    tomorrow = (register.clock.now.date() + timedelta(days=1)).isoformat()
    answer = register.client_as("restorer").post("/suppliers", data={"name": "Kept", "last_confirmed": tomorrow})
    assert answer.status_code == 422
    assert "still to come" in answer.text
    assert f'value="{tomorrow}"' in answer.text


def test_a_supplier_shows_finds_questions_and_refusals(register: Register) -> None:
    supplier = register.supplier()
    need = register.need(register.aeroplane())
    find = register.find(supplier_id=str(supplier), bin="shelf 4")
    register.find(text="From elsewhere")
    restorer = register.actor("restorer")
    asked = {"kind": "asked", "supplier_id": str(supplier), "text": "two sleeves", "answer": "none left"}
    needs.add_enquiry(register.store, restorer, need, asked)
    number = candidates.propose(register.store, restorer, need, find)
    candidate = candidates.get_candidate(register.store, number)
    refusal = "The cloth is brittle and sheds fibres when it is bent."
    signing.sign(
        register.store,
        register.actor("approver"),
        number,
        {"decision": "refused", "reason": refusal, "shown": candidate.shown_digest, "password": PASSWORD},
    )
    client = register.client_as("viewer")
    page = client.get(f"/suppliers/{supplier}").text
    for said in ("two sleeves", "none left", refusal, "shelf 4", f'href="/candidates/{number}"', "A Approver"):
        assert said in page
    assert "From elsewhere" not in page
    lines = client.get("/suppliers").text
    assert '<td role="cell" data-name="Refused" class="n">1</td>' in lines
