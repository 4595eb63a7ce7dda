"""Two people on one record, a plain save, a withdrawal: what was there before stays to be read. Own rules."""

from typing import Any

import pytest

from server.domain.errors import Faults, Overtaken
from server.services import candidates, finds, joining, needs, signing
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import LogLine, read_log
from server.storage.needs import deciders_of
from server.storage.withdrawn import withdrawn_of
from tests.builders import PASSWORD, Shop, shop, sign_form
from tests.services.test_needs_and_finds import picture

SHEETS = {
    "ply1_name": "rail",
    "ply1_material": "ash",
    "ply1_thickness": "12 mm",
    "hole": "3.1 mm",
    "hole_uncertainty": "0.05 mm",
    "joint_known_from": "measured on the original",
    "joint_reference": "left door",
    "joint_instrument": "calliper",
}


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def last(made: Shop, subject: str) -> LogLine:
    """The newest line of a record's log."""
    with made.store.read() as session:
        return read_log(session, subject, most=1)[0]


def changes(line: LogLine) -> dict[str, Any]:
    """What a line of the log says was changed: field → [was, is]."""
    found: dict[str, Any] = line.said.get("changes", {})
    return found


# --- the joint ---------------------------------------------------------------


def test_the_second_of_two_people_at_one_joint_loses_nothing(made: Shop) -> None:
    number = made.need()
    needs.set_joint(made.store, made.restorer, number, SHEETS)
    opened = str(needs.get_need(made.store, number).version)
    theirs = SHEETS | {"hole": "3.5 mm", "pitch": "30 mm", "version": opened}
    needs.set_joint(made.store, made.keeper, number, theirs)
    with pytest.raises(needs.NeedOvertaken) as overtaken:
        needs.set_joint(made.store, made.restorer, number, SHEETS | {"edge_distance": "9 mm", "version": opened})
    assert overtaken.value.changes["joint_hole"] == ("3.1 mm ± 0.05 mm", "3.5 mm ± 0.05 mm", "Keeper")
    assert overtaken.value.changes["joint_pitch"] == ("", "30 mm", "Keeper")
    joint = needs.get_need(made.store, number).joint
    assert joint is not None
    assert joint.pitch is not None
    both = theirs | {"edge_distance": "9 mm", "version": str(overtaken.value.version)}
    needs.set_joint(made.store, made.restorer, number, both)
    assert changes(last(made, f"need/{number}")) == {"joint_edge_distance": ["", "9 mm"]}


def test_a_joint_that_is_there_is_not_replaced_blindly(made: Shop) -> None:
    number = made.need()
    needs.set_joint(made.store, made.restorer, number, SHEETS)
    with pytest.raises(needs.NeedOvertaken):
        needs.set_joint(made.store, made.keeper, number, SHEETS | {"hole": "3.5 mm"})


def test_the_log_says_what_the_joint_was_and_is(made: Shop) -> None:
    number = made.need()
    needs.set_joint(made.store, made.restorer, number, SHEETS)
    line = last(made, f"need/{number}")
    assert line.did == "entered the joint"
    assert changes(line)["joint_sheet_1"] == ["", "rail, ash, 12 mm"]
    assert changes(line)["joint_known_from"] == ["", "measured on the original, left door, digital calliper"]
    version = str(needs.get_need(made.store, number).version)
    needs.set_joint(made.store, made.keeper, number, SHEETS | {"version": version})
    assert last(made, f"need/{number}") == line, "the same joint again is no change"


def test_a_joint_is_taken_off_with_a_reason_only(made: Shop) -> None:
    number = made.need()
    needs.set_joint(made.store, made.restorer, number, SHEETS)
    version = str(needs.get_need(made.store, number).version)
    with pytest.raises(Faults) as refused:
        needs.set_joint(made.store, made.keeper, number, {"version": version})
    assert set(refused.value.faults) == {"reason"}
    needs.set_joint(made.store, made.keeper, number, {"version": version, "reason": "it was the right door"})
    assert needs.get_need(made.store, number).joint is None
    line = last(made, f"need/{number}")
    assert line.did == "cleared the joint: it was the right door"
    assert changes(line)["joint_hole"] == ["3.1 mm ± 0.05 mm", ""]


def test_an_empty_joint_form_on_a_need_without_a_joint_changes_nothing(made: Shop) -> None:
    number = made.need()
    needs.set_joint(made.store, made.restorer, number, {})
    assert needs.get_need(made.store, number).version == 1


# --- judging and proposing ---------------------------------------------------


def judged(made: Shop, number: int, answer: str, reason: str, **more: str) -> None:
    candidates.judge_authenticity(made.store, made.restorer, number, {"answer": answer, "reason": reason} | more)


def test_a_second_judgement_does_not_swallow_the_first(made: Shop) -> None:
    number = made.propose(made.need(), made.find())
    opened = str(candidates.get_candidate(made.store, number).version)
    judged(made, number, "right", "same oval head, same brass", version=opened)
    theirs = {"answer": "not right", "reason": "the head is too high"}
    for late in ({"version": opened}, {}):
        with pytest.raises(candidates.JudgedMeanwhile) as overtaken:
            candidates.judge_authenticity(made.store, made.keeper, number, theirs | late)
        assert "“right” by Rosa (“same oval head, same brass”)" in str(overtaken.value)
    version = str(overtaken.value.version)
    candidates.judge_authenticity(made.store, made.keeper, number, theirs | {"version": version})
    assert changes(last(made, f"candidate/{number}")) == {
        "authenticity": ["right", "not right"],
        "authenticity_reason": ["same oval head, same brass", "the head is too high"],
        "authenticity_by": ["Rosa", "Keeper"],
    }


def test_a_judgement_on_a_sheet_that_was_checked_anew_is_asked_again(made: Shop) -> None:
    number = made.propose(made.need(), made.find())
    opened = str(candidates.get_candidate(made.store, number).version)
    candidates.recheck(made.store, made.keeper, number)
    with pytest.raises(Overtaken):
        judged(made, number, "right", "same oval head", version=opened)


def test_proposing_anew_keeps_the_note_of_before(made: Shop) -> None:
    need, find = made.need(), made.find()
    number = candidates.propose(made.store, made.restorer, need, find, "the bag from the fair")
    assert last(made, f"candidate/{number}").said["note"] == "the bag from the fair"
    candidates.withdraw_candidate(made.store, made.restorer, number, "wrong bag")
    candidates.propose(made.store, made.keeper, need, find, "measured again, it is the right bag")
    note = changes(last(made, f"candidate/{number}"))["note"]
    assert note == ["the bag from the fair", "measured again, it is the right bag"]


# --- what was withdrawn ------------------------------------------------------

MEASURED = {"m1_characteristic": "body_diameter", "m1_text": "3.02 mm", "m1_basis": "measured"}


def test_a_reading_entered_while_logging_is_in_the_log_and_stays_to_be_read(made: Shop) -> None:
    find = made.find(**MEASURED, evidence=["letter"], evidence_note="from the seller")
    line = last(made, f"find/{find}")
    assert line.said["entered"] == ["measured: body diameter 3.02 mm", "provenance: letter, from the seller"]
    (one,) = finds.get_find(made.store, find).statements
    finds.withdraw_entry(made.store, made.keeper, "statement", int(one.id), "wrong drawer")
    assert last(made, f"find/{find}").did == "withdrew a statement, “measured: body diameter 3.02 mm”: wrong drawer"
    (proof,) = finds.get_find(made.store, find).proofs
    finds.withdraw_entry(made.store, made.keeper, "evidence", proof.id, "another letter")
    assert "“provenance: letter, from the seller”: another letter" in last(made, f"find/{find}").did
    with made.store.read() as session:
        gone = withdrawn_of(session, find_id=find)
    assert [(x.kind, x.characteristic, x.text, x.who, x.why) for x in gone] == [
        ("statement", "body_diameter", "3.02 mm", "Keeper", "wrong drawer"),
        ("evidence", "", "letter", "Keeper", "another letter"),
    ]


def test_what_came_with_a_second_logging_is_in_the_log(made: Shop) -> None:
    find = made.find()
    given = {"text": "brass tubular rivets", **MEASURED}
    joining.join_find(made.store, made.files, made.keeper, find, given, [("tail.jpg", picture())])
    line = last(made, f"find/{find}")
    assert line.said["entered"] == ["measured: body diameter 3.02 mm"]
    assert line.said["photographs"] == ["tail.jpg"]


def test_what_came_with_opening_a_need_is_in_the_log(made: Shop) -> None:
    number = made.need(
        mark="K-9",
        mark_kind="drawing",
        r1_characteristic="body_diameter",
        r1_text="3 mm",
        r1_known_from="estimate",
    )
    line = last(made, f"need/{number}")
    assert line.said["entered"] == ["drawing “K-9”", "as designed: body diameter 3 mm"]


def test_withdrawn_entries_of_a_need_stay_to_be_read(made: Shop) -> None:
    number = made.need()
    made.require(number, "body_diameter", "3.1 mm")
    needs.add_designation(made.store, made.restorer, number, {"text": "K-9", "kind": "drawing"})
    needs.add_enquiry(made.store, made.restorer, number, {"kind": "tried", "text": "the loft", "answer": "nothing"})
    need = needs.get_need(made.store, number)
    needs.withdraw_entry(made.store, made.keeper, "requirement", int(need.requirements[0].id), "misread")
    assert last(made, f"need/{number}").did == "withdrew a requirement, “as designed: body diameter 3.1 mm”: misread"
    needs.withdraw_entry(made.store, made.restorer, "designation", need.designations[0].id, "another part")
    needs.withdraw_entry(made.store, made.restorer, "enquiry", need.enquiries[0].id, "the wrong loft")
    with made.store.read() as session:
        gone = withdrawn_of(session, need_id=number)
    assert [(x.kind, x.text, x.who, x.why) for x in gone] == [
        ("designation", "K-9", "Rosa", "another part"),
        ("requirement", "3.1 mm", "Keeper", "misread"),
        ("enquiry", "the loft → nothing", "Rosa", "the wrong loft"),
    ]


def test_the_log_names_the_files(made: Shop) -> None:
    find = made.find()
    finds.attach(
        made.store,
        made.files,
        made.restorer,
        photos=[("tail.jpg", picture())],
        papers=[("note.txt", b"words")],
        find_id=find,
        caption="the tail end",
    )
    line = last(made, f"find/{find}")
    assert line.did == "attached “tail.jpg” and “note.txt”"
    assert line.said["caption"] == "the tail end"
    photo = finds.get_find(made.store, find).attachments[0]
    finds.withdraw_attachment(made.store, made.keeper, photo.id, "blurred")
    assert last(made, f"find/{find}").did == "withdrew a photograph, “tail.jpg”: blurred"
    with made.store.read() as session:
        (gone,) = withdrawn_of(session, find_id=find)
    assert (gone.kind, gone.text, gone.note, gone.who) == ("photograph", "tail.jpg", "the tail end", "Keeper")


def test_photographs_that_came_with_a_find_are_named(made: Shop) -> None:
    find = finds.log_find(made.store, made.files, made.restorer, {"text": "a bag"}, [("bag.jpg", picture())])
    assert last(made, f"find/{find}").said["photographs"] == ["bag.jpg"]


# --- where sources disagree --------------------------------------------------


def disputed(made: Shop) -> tuple[int, dict[str, int]]:
    """A need whose later drawing says 3.0 and 3.1 and whose earlier one 2.5 and 2.6; the rows by their text."""
    number = made.need()
    for text, serials in (("3.0 mm", "from 12"), ("3.1 mm", "from 12"), ("2.5 mm", "to 11"), ("2.6 mm", "to 11")):
        made.require(number, "body_diameter", text, serials=serials)
    made.require(number, "body_diameter", "3.3 mm", layer="as found", known_from="measured on the original")
    return number, {one.text: int(one.id) for one in needs.get_need(made.store, number).requirements}


def decisions(made: Shop, number: int) -> dict[str, str]:
    return {one.text: one.decided for one in needs.get_need(made.store, number).requirements if one.decided}


def test_a_decision_for_other_serials_or_another_layer_stands(made: Shop) -> None:
    number, rows = disputed(made)
    needs.decide_requirement(made.store, made.restorer, rows["3.0 mm"], "issue 2 of the drawing")
    needs.decide_requirement(made.store, made.keeper, rows["2.5 mm"], "the old stock was 2.5")
    needs.decide_requirement(made.store, made.keeper, rows["3.3 mm"], "measured twice")
    assert decisions(made, number) == {
        "3.0 mm": "issue 2 of the drawing",
        "2.5 mm": "the old stock was 2.5",
        "3.3 mm": "measured twice",
    }
    with made.store.read() as session:
        deciders = deciders_of(session, number)
    assert deciders == {str(rows["3.0 mm"]): "Rosa", str(rows["2.5 mm"]): "Keeper", str(rows["3.3 mm"]): "Keeper"}


def test_a_decision_that_is_overruled_stays_in_the_log(made: Shop) -> None:
    number, rows = disputed(made)
    needs.decide_requirement(made.store, made.restorer, rows["3.0 mm"], "issue 2 of the drawing")
    needs.decide_requirement(made.store, made.keeper, rows["3.1 mm"], "issue 3 came to light")
    assert decisions(made, number) == {"3.1 mm": "issue 3 came to light"}
    (was, now) = changes(last(made, f"need/{number}"))["body diameter 3.0 mm, drawing 41-207, serials from 12"]
    assert (was, now) == ("stands (Rosa): issue 2 of the drawing", "")


# --- a withdrawn record ------------------------------------------------------

REQUIREMENT = {"characteristic": "body_diameter", "text": "3 mm", "known_from": "estimate"}


def test_a_withdrawn_need_takes_nothing_more(made: Shop) -> None:
    number = made.need()
    made.require(number, "body_diameter", "3.1 mm")
    (entry,) = needs.get_need(made.store, number).requirements
    needs.withdraw_need(made.store, made.restorer, number, "the rail was found in the loft")
    before = needs.get_need(made.store, number)
    form = {"item": "x", "part_class": "washer", "aeroplane_id": str(made.aeroplane), "version": str(before.version)}
    who = (made.store, made.keeper)
    for change in (
        lambda: needs.change_need(*who, number, form),
        lambda: needs.add_designation(*who, number, {"text": "K-9", "kind": "drawing"}),
        lambda: needs.add_requirement(*who, number, REQUIREMENT),
        lambda: needs.decide_requirement(*who, int(entry.id), "issue 2"),
        lambda: needs.add_enquiry(*who, number, {"kind": "tried", "text": "the loft"}),
        lambda: needs.set_joint(*who, number, SHEETS | {"version": str(before.version)}),
        lambda: needs.withdraw_entry(*who, "requirement", int(entry.id), "misread"),
        lambda: finds.attach(*who[:1], made.files, who[1], photos=[("a.jpg", picture())], need_id=number),
        lambda: needs.withdraw_need(*who, number, "another reason"),
    ):
        with pytest.raises(Faults, match="withdrawn"):
            change()
    assert needs.get_need(made.store, number) == before
    assert before.withdrawn_reason == "the rail was found in the loft"


def test_a_withdrawn_find_takes_nothing_more(made: Shop) -> None:
    number = made.find(**MEASURED, evidence=["letter"])
    finds.attach(made.store, made.files, made.restorer, photos=[("a.jpg", picture())], find_id=number)
    kept = finds.get_find(made.store, number)
    finds.withdraw_find(made.store, made.restorer, number, "sold at the fair")
    before = finds.get_find(made.store, number)
    who = (made.store, made.keeper)
    for change in (
        lambda: finds.change_find(*who, number, {"text": "x", "version": str(before.version)}),
        lambda: made.measure(number, "body_diameter", "3 mm"),
        lambda: finds.add_evidence(*who, number, {"kind": "letter"}),
        lambda: finds.withdraw_entry(*who, "statement", int(kept.statements[0].id), "misread"),
        lambda: finds.attach(*who[:1], made.files, who[1], photos=[("b.jpg", picture())], find_id=number),
        lambda: finds.withdraw_attachment(*who, kept.attachments[0].id, "blurred"),
        lambda: finds.withdraw_find(*who, number, "another reason"),
    ):
        with pytest.raises(Faults, match="withdrawn"):
            change()
    assert finds.get_find(made.store, number) == before


def test_a_need_with_an_approval_for_some_of_it_is_not_withdrawn(made: Shop) -> None:
    number = made.need(quantity_text="12 off")
    candidate = made.propose(number, made.find(quantity_text="4 off"))
    signing.sign(made.store, made.approver, candidate, sign_form(made.store, candidate, used="4"))
    need = needs.get_need(made.store, number)
    assert (need.is_met, need.still_wanted) == (False, 8)
    with pytest.raises(Faults, match="withdraw the approval first"):
        needs.withdraw_need(made.store, made.restorer, number, "not wanted any more")
    given = {"reason": "The same bag cracked on the sister aeroplane.", "password": PASSWORD}
    signing.withdraw_approval(made.store, made.approver, candidate, given)
    needs.withdraw_need(made.store, made.restorer, number, "not wanted any more")


def test_a_refusal_does_not_hold_a_need(made: Shop) -> None:
    number = made.need()
    candidate = made.propose(number, made.find())
    given = {"decision": "refused", "reason": "The heads are cracked on every one of them."}
    signing.sign(made.store, made.approver, candidate, sign_form(made.store, candidate) | given)
    needs.withdraw_need(made.store, made.restorer, number, "not wanted any more")
