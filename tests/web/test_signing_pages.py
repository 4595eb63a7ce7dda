"""The pages of the sign-off: who may sign, the kind of change, two signatures, conditions.

What the rules lean on is named in tests/domain/test_sign_rules.py; here it is only asked whether the pages
say it, keep what was typed, and put each fault at its field.
"""

from datetime import timedelta
from typing import Any

from server.services import candidates, finds, signing, verifying
from tests.builders import CHANGE
from tests.web.conftest import PASSWORD, Register

REASON = "The sleeve sits far from heat and can be reached again at any time."


def _candidate(register: Register, role: str = "PRIMARY", use: str = "PERMIT", **find: str | list[str]) -> int:
    need = register.need(register.aeroplane(use=use), role=role, quantity_text="1")
    number = register.find(quantity_text="1", **find)
    for reader in ("Nils Okker", "Ida Brand"):
        for characteristic, text in (("material", "cotton"), ("look", "black")):
            said = {"characteristic": characteristic, "basis": "measured", "text": text, "instrument": "eye"}
            finds.add_statement(register.store, register.actor("restorer"), number, said | {"by": reader})
    return candidates.propose(register.store, register.actor("restorer"), need, number)


def _form(register: Register, number: int, **more: str) -> dict[str, str]:
    shown = candidates.get_candidate(register.store, number)
    return {
        "decision": "approved with conditions",
        "reason": REASON,
        "conditions": "look at it, due 2027-06-01",
        "shown": shown.shown_digest,
        "password": PASSWORD,
        **CHANGE,
        "change_critical": "yes",
        **{signing.reason_field(row): REASON for row in shown.sheet.to_answer},
        **{signing.reference_field(row): "Drawing X 1, detail B" for row in shown.sheet.to_answer},
        **more,
    }


def test_the_sheet_says_what_a_signature_takes_and_asks_the_questions(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    page = register.client_as("approver").get(f"/candidates/{number}").text
    said = words_of(page)
    assert "Two signatures; evidence: measured by a second person" in said
    assert "What goes in?" in said
    assert "Your own authority and the person who signs decide" in said
    assert "AC 23-27, 18 May 2009, abstract; the body was not read" in said
    for name in ("change_kind", "change_critical", "change_data", "change_authority", "change_authority_on"):
        assert f'name="{name}"' in page


def test_an_exhibit_is_asked_the_short_form(register: Register) -> None:
    page = register.client_as("approver").get(f"/candidates/{_candidate(register, use='DISPLAY')}").text
    assert 'name="change_kind"' in page
    assert "Do the curator or the owner have to be asked?" in page
    assert 'name="change_critical"' not in page


def test_what_waits_for_an_authority_is_refused_at_the_field_and_keeps_what_was_typed(register: Register) -> None:
    number = _candidate(register)
    given = _form(register, number, change_authority="asked, not answered yet", change_data="Letter 9, page 3")
    answer = register.client_as("approver").post(f"/candidates/{number}/sign", data=given)
    assert answer.status_code == 422
    assert 'href="#f-change_authority"' in answer.text
    assert "A part that waits for the authority is not signed." in answer.text
    assert "Letter 9, page 3" in answer.text
    assert PASSWORD not in answer.text


def test_two_people_sign_one_after_the_other(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    first, second = register.client_as("approver"), register.client_as("second")
    answer = first.post(f"/candidates/{number}/sign", data=_form(register, number))
    assert answer.status_code == 303, words_of(answer.text)
    assert answer.headers["location"] == f"/candidates/{number}?said=first-signed"
    mine = words_of(first.get(f"/candidates/{number}").text)
    assert "waits for the second signature" in mine
    assert "The first signature is yours; the second has to be another person’s." in mine
    assert "first signature by A Approver; waits for the second" in words_of(second.get("/to-sign").text)
    assert "1 for you to sign" in words_of(second.get("/").text)
    assert "0 for you to sign" in words_of(first.get("/").text)
    page = second.get(f"/candidates/{number}").text
    assert CHANGE["change_data"] in page
    assert "change_kind" not in page, "the questions were answered with the first signature"
    shown = candidates.get_candidate(register.store, number).shown_digest
    given = {"decision": "approved with conditions", "reason": "", "shown": shown, "password": PASSWORD}
    assert second.post(f"/candidates/{number}/sign", data=given).status_code == 422
    done = second.post(f"/candidates/{number}/sign", data=given | {"reason": "Slid it on and off the lead myself."})
    assert done.status_code == 303
    record = words_of(second.get(done.headers["location"]).text)
    for said in ("A Approver", "A Second Approver", "Left open", CHANGE["change_data"], "What was asked"):
        assert said in record
    assert verifying.verify(register.store, register.files) == (2, [])


def test_a_place_that_is_none_is_refused_at_its_field(register: Register) -> None:
    keeper = register.client_as("keeper")
    for place in ("aeroplane:²", "aeroplane:99", "use:NONE", ""):
        answer = keeper.post("/settings/signing", data={"place": place, "role": "primary structure", "signatures": "2"})
        assert answer.status_code == 422, place
        assert 'id="f-place-fault"' in answer.text


def test_a_void_first_signature_is_said_so(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    register.client_as("approver").post(f"/candidates/{number}/sign", data=_form(register, number))
    find = candidates.get_candidate(register.store, number).find.id
    said = {"characteristic": "look", "basis": "measured", "text": "brown", "by": "Nils Okker", "instrument": "eye"}
    finds.add_statement(register.store, register.actor("restorer"), find, said)
    page = words_of(register.client_as("second").get(f"/candidates/{number}").text)
    assert "is void: the sheet changed since" in page
    assert "both signatures are wanted anew" in page
    assert "What goes in?" in page


def test_an_expired_authority_sees_why_and_gets_no_form(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    with register.store.write() as session:
        from server.storage.accounts import find_account

        row = find_account(session, "second")
        assert row is not None
        row.licence_until = register.clock.now.date() - timedelta(days=1)
        session.add(row)
    client = register.client_as("second")
    page = client.get(f"/candidates/{number}").text
    assert "ran out on" in words_of(page)
    assert f'action="/candidates/{number}/sign"' not in page
    assert client.post(f"/candidates/{number}/sign", data=_form(register, number)).status_code == 403


def test_conditions_are_listed_counted_and_closed(register: Register, words_of: Any) -> None:
    number = _candidate(register, "FURNISHING", "DISPLAY")
    plane = candidates.get_candidate(register.store, number).need.aeroplane.id
    overdue = (register.clock.now - timedelta(days=3)).date().isoformat()
    given = _form(register, number, conditions=f"cord across the seat, due {overdue}\nmarked N, due next annual")
    approver = register.client_as("approver")
    assert approver.post(f"/candidates/{number}/sign", data=given).status_code == 303
    assert "2 open conditions, 1 overdue" in words_of(approver.get("/").text)
    url = f"/aeroplanes/{plane}/conditions"
    page = approver.get(url).text
    assert page.index("cord across the seat") < page.index("marked N")
    assert "next annual" in page
    assert "overdue" in words_of(page)
    assert "/conditions/1/close" not in register.client_as("restorer").get(url).text
    wrong = approver.post("/conditions/1/close", data={"reason": "Cord hung, looked at today.", "password": "no"})
    assert wrong.status_code == 422
    assert 'href="#c1-password"' in wrong.text
    assert "Cord hung, looked at today." in wrong.text
    right = {"reason": "Cord hung, looked at today.", "password": PASSWORD}
    assert approver.post("/conditions/1/close", data=right).headers["location"].startswith(url)
    closed = words_of(approver.get(url).text)
    assert "1 open" in closed
    assert "cord across the seat: Cord hung, looked at today. (A Approver" in closed
    assert "Closes the condition" in words_of(approver.get("/records/2").text)
    assert register.client_as("restorer").post("/conditions/2/close", data=right).status_code == 403


def test_only_the_keeper_sees_and_sets_the_rules(register: Register, words_of: Any) -> None:
    approver = register.client_as("approver")
    assert approver.get("/settings/signing").status_code == 403
    assert approver.post("/settings/signing", data={}).status_code == 403
    keeper = register.client_as("keeper")
    page = words_of(keeper.get("/settings/signing").text)
    assert "two signatures; evidence: measured by a second person" in page
    assert "145.A.48(b)" in page
    assert 'href="/settings/signing"' in keeper.get("/settings").text


def test_a_rule_is_tightened_with_a_reason_and_never_loosened(register: Register, words_of: Any) -> None:
    keeper = register.client_as("keeper")
    given = {"place": "use:DISPLAY", "role": "appearance", "signatures": "2", "reason": ""}
    refused = keeper.post("/settings/signing", data=given)
    assert refused.status_code == 422
    assert 'href="#f-reason"' in refused.text
    assert keeper.post("/settings/signing", data=given | {"reason": "Two of us look at it."}).status_code == 303
    assert "tightened ; came as: one signature; evidence: claimed" in words_of(keeper.get("/settings/signing").text)
    assert "Two of us look at it." in keeper.get("/log?about=setting/sign_rules").text
    loose = {"place": "use:PERMIT", "role": "primary structure", "least": "claimed", "reason": "Too dear."}
    answer = keeper.post("/settings/signing", data=loose)
    assert answer.status_code == 422
    assert 'href="#f-least"' in answer.text


def test_what_differs_since_it_was_proposed_is_said_before_the_signature(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    find = candidates.get_candidate(register.store, number).find.id
    approver = register.client_as("approver")
    assert "Since it was proposed" not in words_of(approver.get(f"/candidates/{number}").text)
    said = {"characteristic": "material", "basis": "measured", "text": "glass", "by": "Nils", "instrument": "eye"}
    finds.add_statement(register.store, register.actor("restorer"), find, said)
    page = words_of(approver.get(f"/candidates/{number}").text)
    assert "Since it was proposed" in page


def test_one_tap_shows_an_earlier_no_before_it_proposes(register: Register, words_of: Any) -> None:
    number = _candidate(register)
    reason = "It hardens beside the exhaust within a day."
    register.client_as("approver").post(
        f"/candidates/{number}/sign", data=_form(register, number, decision="refused", reason=reason, conditions="")
    )
    need = candidates.get_candidate(register.store, number).need.id
    restorer = register.client_as("restorer")
    find = register.find(quantity_text="3")
    warned = restorer.post(f"/needs/{need}/propose/{find}")
    assert warned.status_code == 422
    assert reason in words_of(warned.text)
    assert "refused before" in words_of(warned.text)
    done = restorer.post(f"/needs/{need}/propose/{find}", data={"read": "yes", "note": "Silicone this time."})
    assert done.status_code == 303


def test_what_came_or_changed_around_a_signed_record_is_said(register: Register, words_of: Any) -> None:
    number = _candidate(register, role="FURNISHING", use="DISPLAY")
    register.client_as("approver").post(f"/candidates/{number}/sign", data=_form(register, number))
    restorer = register.client_as("restorer")
    assert "Since then" not in words_of(restorer.get(f"/candidates/{number}").text)
    shown = candidates.get_candidate(register.store, number)
    record = restorer.get(f"/records/{shown.decisions[-1].id}/json").content
    files = {"papers": ("letter.pdf", b"%PDF-1.4 a letter", "application/pdf")}
    assert restorer.post(f"/finds/{shown.find.id}/attach", files=files).status_code == 303
    mark = {"text": "K?1-7", "kind": "as stamped on the part", "reading": "a guess"}
    assert restorer.post(f"/needs/{shown.need.id}/designations", data=mark).status_code == 303
    said = words_of(restorer.get(f"/candidates/{number}").text)
    assert "Since then" in said
    assert "Came since: paper “letter.pdf”" in said
    assert "K?1-7" in said.split("Since then")[1]
    assert restorer.get(f"/records/{shown.decisions[-1].id}/json").content == record
