"""What was signed before for the same part: when it counts, what is said of it, and that it decides nothing."""

import pytest

from server.domain.register import Need
from server.services import candidates, finds, needs, signing
from server.services.precedents import Precedent, precedents_for
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.needs import load_need
from tests.builders import PASSWORD, Shop, shop, sign_form

REASON = "Looked at by two of us; it carries no load there."


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def need_of(made: Shop, diameter: str, **given: str | list[str]) -> int:
    number = made.need(**given)
    made.require(number, "body_diameter", diameter)
    return number


def signed(made: Shop, need: int, find: int, **more: str) -> int:
    """The find approved for the need; the candidate's number."""
    number = made.propose(need, find)
    signing.sign(made.store, made.approver, number, sign_form(made.store, number, REASON, used="10") | more)
    return number


def before(made: Shop, need: int) -> tuple[Precedent, ...]:
    with made.store.read() as session:
        return precedents_for(session, load_need(session, need))


def test_what_was_signed_for_an_equal_specification_is_offered_with_its_reasons(made: Shop) -> None:
    other, find = need_of(made, "2.95 to 3.05 mm"), made.find()
    signed(made, other, find)
    (one,) = before(made, need_of(made, "3.0 mm"))
    assert (one.need_id, one.find_id, one.left, one.is_here) == (other, find, 40, True)
    assert one.agrees == ("Body diameter",)
    assert one.conditions == "for display only"
    assert REASON in dict(one.reasons).values()
    assert [(said.label, said.then, said.now) for said in one.differs] == [
        ("Body diameter", "2.95 to 3.05 mm", "3.0 mm")
    ]


def test_it_never_proposes_or_signs_anything(made: Shop) -> None:
    signed(made, need_of(made, "3.0 mm"), made.find())
    number = need_of(made, "3.0 mm")
    assert before(made, number)
    with made.store.read() as session:
        assert candidates.list_candidates(session, need_id=number) == []
        need: Need = load_need(session, number)
    assert need.is_open


def test_another_size_or_another_class_is_no_precedent(made: Shop) -> None:
    signed(made, need_of(made, "3.0 mm"), made.find())
    assert before(made, need_of(made, "4.0 mm")) == ()
    assert before(made, need_of(made, "3.0 mm", part_class="solid_rivet")) == ()
    assert before(made, made.need()) == ()


def test_two_makers_words_for_one_size_are_close(made: Shop) -> None:
    signed(made, need_of(made, "1/8 in"), made.find())
    (one,) = before(made, need_of(made, "3.2 mm"))  # 1/8 in = 3.175 mm, exactly
    assert one.agrees == ("Body diameter",)


def test_the_same_number_counts_whatever_else_differs(made: Shop) -> None:
    marks: dict[str, str | list[str]] = {"mark": ["T2-41-207"], "mark_kind": ["drawing"]}
    other = made.need(**marks)
    signed(made, other, made.find())
    number = need_of(made, "4.0 mm", mark=["t2 41 207"], mark_kind=["drawing"], role="secondary structure")
    (one,) = before(made, number)
    assert one.same_number == "t2 41 207"
    assert [(said.label, said.then, said.now) for said in one.differs] == [
        ("Body diameter", "not said", "4.0 mm"),
        ("Role", "furnishing", "secondary structure"),
    ]


def test_a_withdrawn_approval_and_a_refusal_are_no_precedents(made: Shop) -> None:
    withdrawn = signed(made, need_of(made, "3.0 mm"), made.find())
    signing.withdraw_approval(
        made.store, made.approver, withdrawn, {"reason": "The heads came off in the press.", "password": PASSWORD}
    )
    signed(made, need_of(made, "3.0 mm"), made.find(), decision="refused", reason="The wrong alloy for this place.")
    assert before(made, need_of(made, "3.0 mm")) == ()


def test_the_need_itself_is_not_its_own_precedent(made: Shop) -> None:
    number = need_of(made, "3.0 mm")
    signed(made, number, made.find())
    assert before(made, number) == ()


def test_what_is_used_up_points_to_its_supplier(made: Shop) -> None:
    from server.services import yard

    supplier = yard.save_supplier(made.store, made.restorer, {"name": "Nobody & Daughters"})
    find = made.find(supplier_id=str(supplier), quantity_text="10 off")
    second = made.find("tubular rivets, brass, another bag", supplier_id=str(supplier))
    signed(made, need_of(made, "3.0 mm"), find)
    (one,) = before(made, need_of(made, "3.0 mm"))
    assert (one.left, one.is_here) == (0, False)
    assert one.supplier == "Nobody & Daughters"
    assert [number for number, _ in one.others] == [second]


def test_pieces_used_by_several_approvals_add_up(made: Shop) -> None:
    find = made.find()
    signed(made, need_of(made, "3.0 mm"), find)
    signed(made, need_of(made, "3.0 mm"), find, used="25")
    (one,) = before(made, need_of(made, "3.0 mm"))
    assert one.left == 15


def test_an_approval_that_took_all_leaves_nothing(made: Shop) -> None:
    signed(made, need_of(made, "3.0 mm"), made.find(), used="")
    (one,) = before(made, need_of(made, "3.0 mm"))
    assert (one.left, one.is_here) == (0, False)


def test_what_was_frozen_counts_not_what_the_other_need_says_today(made: Shop) -> None:
    other = need_of(made, "3.0 mm")
    signed(made, other, made.find())
    needs.withdraw_entry(
        made.store,
        made.restorer,
        "requirement",
        int(needs.get_need(made.store, other).requirements[0].id),
        "misread",
    )
    made.require(other, "body_diameter", "5.0 mm")
    assert len(before(made, need_of(made, "3.0 mm"))) == 1
    assert before(made, need_of(made, "5.0 mm")) == ()


def test_a_find_that_is_still_here_stands_first(made: Shop) -> None:
    gone, here = made.find(), made.find("brass tubular rivets, second tin")
    signed(made, need_of(made, "3.0 mm"), here)
    signed(made, need_of(made, "3.0 mm"), gone)
    finds.withdraw_find(made.store, made.restorer, gone, "sold")
    assert [(one.find_id, one.is_here) for one in before(made, need_of(made, "3.0 mm"))] == [
        (here, True),
        (gone, False),
    ]
