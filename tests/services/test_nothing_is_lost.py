"""Two people on one record, a plain save, a withdrawal: what was there before stays to be read. Own rules."""

from typing import Any

import pytest

from server.domain.errors import Faults
from server.services import needs
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import LogLine, read_log
from tests.builders import Shop, shop

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
