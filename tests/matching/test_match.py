"""Many against one: the ladder of questions, groups, the empty answer, near numbers."""

import pytest

from server.matching import match as matching
from server.matching.designators import designator_form, misread_form, near_numbers
from server.matching.index import VERSION, StaleRow, read_row, row_of
from server.matching.match import match
from server.matching.reading_text import read_facts
from tests.matching.register import Register
from tests.matching.synthetic import finds, needs

SHELF = {
    1: "Split pin, steel | 1/16 in x 3/4 in",
    2: "Split pin, steel | 1/8 in x 3/4 in",
    3: "Grommet, rubber | 3/8 in hole, 1/4 in bore",
    4: "Turnbuckle, brass, rudder",
    5: "split pin steel, 1/16 in x 3/4 in",
}


def test_the_best_comes_first_and_equal_specifications_make_one_line() -> None:
    found = match(read_facts("steel cotter 1/16 x 3/4"), Register(SHELF))
    assert found.hits[0].id == 1
    assert found.hits[0].same_as == (5,)
    assert found.total == len(SHELF)
    assert not found.nothing_fits


def test_nothing_fits_is_said() -> None:
    assert match(read_facts("oak kitchen table"), Register(SHELF)).nothing_fits
    assert match(read_facts(""), Register(SHELF)).hits == ()
    assert match(read_facts("split pin"), Register({})).hits == ()


def test_the_limit_holds() -> None:
    assert len(match(read_facts("steel"), Register(SHELF), limit=2).hits) <= 2


def test_a_large_register_gives_the_same_first_answers_by_the_ladder(monkeypatch: pytest.MonkeyPatch) -> None:
    """Looking at proposed rows only loses little against looking at all."""
    known = needs(1_500, seed=3)
    register = Register({one.number: one.text for one in known})
    asked = list(finds(known, 60, seed=4))
    monkeypatch.setattr(matching, "FEW", 10_000)
    every = [match(read_facts(one.text), register).hits[0] for one in asked]
    assert not register.asked
    monkeypatch.setattr(matching, "FEW", 10)
    proposed = [match(read_facts(one.text), register) for one in asked]
    assert register.asked
    same = sum(one.score <= other.hits[0].score + 0.2 for one, other in zip(every, proposed, strict=True) if other.hits)
    assert same >= 57
    assert max(one.looked_at for one in proposed) < 1_000


def test_an_old_need_is_not_lost_among_many_newer_ones_of_its_size(monkeypatch: pytest.MonkeyPatch) -> None:
    texts = {number: f"Washer, steel | 6 mm bore x 1 mm, bay {number}" for number in range(1, 300)}
    register = Register({0: "Washer, brass | 6 mm bore x 1 mm", **texts})
    monkeypatch.setattr(matching, "FEW", 10)
    found = match(read_facts("brass washer, 6 mm bore x 1 mm"), register)
    assert found.hits[0].id == 0
    assert found.looked_at < 300


def test_a_row_of_another_version_is_refused() -> None:
    row = row_of(read_facts("rivet 3x8"))
    assert [round(one.value, 3) for one in read_row(row)] == [3.0, 8.0]
    with pytest.raises(StaleRow):
        read_row(bytes([VERSION + 1]) + row[1:])


def test_near_numbers_are_offered() -> None:
    known = ["K4711-3", "K4712-3", "AN470AD4-6", "S-1801", "5-1801"]
    assert near_numbers("K4711-8", known)[0].number == "K4711-3"
    assert {one.number for one in near_numbers("S-18O1", known)} == {"S-1801", "5-1801"}
    assert near_numbers("AN470AD4-6", ["AN 470 AD4 6"]) == []  # the same is no near one
    assert near_numbers("a", known) == []
    assert near_numbers("", known) == []


@pytest.mark.parametrize(("one", "other"), [("5", "S"), ("1", "I"), ("0", "O"), ("8", "B"), ("8", "9")])
def test_signs_that_are_misread_on_a_stamp_pass_for_each_other(one: str, other: str) -> None:
    assert misread_form(f"K{one}7") == misread_form(f"K{other}7")
    assert designator_form(f" k-{one}/7 ") == f"K{one}7"
