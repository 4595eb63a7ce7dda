"""The signature: who may, what has to be answered, and that nothing changes unseen."""

import sqlite3
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import pytest
import sqlalchemy as sa

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.domain.register import Decision
from server.domain.verdict import Outcome
from server.services import candidates, finds, needs, signing, verifying
from server.services.accounts import FREE_TRIES, TooManyTries, check_again, sign_in
from server.storage.accounts import get_account
from server.storage.engine import Store
from server.storage.files import Files
from tests.builders import PASSWORD, Shop, account, shop, sign_form
from tests.conftest import Clock


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def a_candidate(made: Shop) -> int:
    """A semi-tubular rivet offered for a tubular one of the same diameter."""
    need = made.need()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find("semi-tubular rivets, brass", part_class="semi_tubular_rivet")
    made.measure(find, "body_diameter", "3.00 mm", instrument="micrometer")
    return made.propose(need, find)


def answers(made: Shop, number: int, **more: str) -> dict[str, str]:
    """A complete form: every row answered, with what was shown."""
    return sign_form(made.store, number, **more)


def test_another_kind_is_never_signed_without_a_reason(made: Shop) -> None:
    number = a_candidate(made)
    shown = candidates.get_candidate(made.store, number)
    assert "kind" in [row.key for row in shown.sheet.to_answer]
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, reason_kind=""))
    assert list(refused.value.faults) == ["reason_kind"]


@pytest.mark.parametrize("word", ["as discussed", "OK", "wie besprochen", "fine.", "aaaaaaaaaaaaaaaaaa"])
def test_empty_words_are_pointed_out(made: Shop, word: str) -> None:
    number = a_candidate(made)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, reason_kind=word))
    assert "reason_kind" in refused.value.faults


def test_a_complete_answer_is_signed_and_the_need_is_met(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number, used="40"))
    candidate = candidates.get_candidate(made.store, number)
    assert candidate.standing is not None
    assert candidate.standing.decision is Decision.CONDITIONAL
    assert candidate.need.is_met
    assert verifying.verify(made.store, made.files) == (1, [])


def test_a_part_of_what_is_wanted_leaves_the_rest_open(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number, used="15"))
    need = candidates.get_candidate(made.store, number).need
    assert need.still_wanted == 25
    assert need.is_open


def test_nobody_signs_what_they_proposed(made: Shop) -> None:
    need = made.need()
    number = candidates.propose(made.store, made.approver, need, made.find())
    with pytest.raises(NotAllowed, match="proposed"):
        signing.sign(made.store, made.approver, number, answers(made, number))


def test_a_restorer_does_not_sign(made: Shop) -> None:
    number = a_candidate(made)
    with pytest.raises(NotAllowed):
        signing.sign(made.store, made.restorer, number, answers(made, number))


def test_a_licence_that_ran_out_signs_nothing_that_flies(store: Store, files: Files, clock: Clock) -> None:
    made = shop(store, files, "flying under a permit or experimental certificate")
    late = account(
        store,
        "otto",
        "approver",
        licence_kind="Inspector",
        licence_number="I-9",
        licence_until=clock.now.date() - timedelta(days=1),
    )
    number = a_candidate(made)
    with pytest.raises(NotAllowed, match="ran out"):
        signing.sign(store, late, number, answers(made, number))


def test_a_wrong_password_signs_nothing(made: Shop) -> None:
    number = a_candidate(made)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, password="not it at all"))
    assert "password" in refused.value.faults


def test_a_measurement_that_arrives_while_the_sheet_is_open_is_seen_first(made: Shop) -> None:
    number = a_candidate(made)
    form = answers(made, number)
    find = candidates.get_candidate(made.store, number).find.id
    made.measure(find, "body_diameter", "3.09 mm", instrument="micrometer")
    with pytest.raises(Overtaken):
        signing.sign(made.store, made.approver, number, form)
    assert verifying.verify(made.store, made.files) == (0, [])


def test_a_refusal_needs_its_reason_and_warns_the_next_one(made: Shop) -> None:
    number = a_candidate(made)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, decision="refused"))
    assert "reason" in refused.value.faults
    said = "The tail splits when it is rolled: tried three."
    signing.sign(made.store, made.approver, number, answers(made, number, decision="refused", reason=said))
    candidate = candidates.get_candidate(made.store, number)
    assert candidate.need.is_open
    with made.store.read() as session:
        (warned,) = candidates.warnings_for(session, candidate.need.id, candidate.find.id)
    assert said in warned.said
    with pytest.raises(Faults):
        candidates.propose(made.store, made.restorer, candidate.need.id, candidate.find.id)
    again = candidates.propose(
        made.store,
        made.restorer,
        candidate.need.id,
        candidate.find.id,
        "another die was turned, ten set without a split",
    )
    assert again == number


def test_what_is_not_equivalent_is_never_plainly_approved(made: Shop) -> None:
    need = made.need()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find()
    made.measure(find, "body_diameter", "3.50 mm", instrument="micrometer")
    number = made.propose(need, find)
    assert candidates.get_candidate(made.store, number).sheet.outcome is Outcome.NOT_EQUIVALENT
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number, decision="approved", conditions=""))
    assert "decision" in refused.value.faults


def test_an_approval_is_withdrawn_only_by_another_signed_entry(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))
    with pytest.raises(Faults):
        candidates.recheck(made.store, made.restorer, number)
    given = {"reason": "The same bag cracked on the sister aeroplane.", "password": PASSWORD}
    signing.withdraw_approval(made.store, made.approver, number, given)
    candidate = candidates.get_candidate(made.store, number)
    assert [one.decision for one in candidate.decisions] == [Decision.CONDITIONAL, Decision.WITHDRAWN]
    assert candidate.need.is_open
    assert verifying.verify(made.store, made.files) == (2, [])


def test_a_changed_measurement_changes_no_record(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))
    before = candidates.get_candidate(made.store, number).standing
    made.measure(
        candidates.get_candidate(made.store, number).find.id, "body_diameter", "3.20 mm", instrument="micrometer"
    )
    after = candidates.get_candidate(made.store, number)
    assert after.standing == before
    assert after.sheet.outcome is Outcome.NOT_EQUIVALENT


def test_a_changed_record_is_found(sqlite_store: Store, files: Files, tmp_path: Path) -> None:
    made = shop(sqlite_store, files)
    first, second = a_candidate(made), a_candidate(made)
    for number in (first, second):
        signing.sign(sqlite_store, made.approver, number, answers(made, number))
    with sqlite3.connect(tmp_path / "register.sqlite3") as raw:
        raw.execute("DROP TRIGGER sign_off_no_update")
        raw.execute("UPDATE sign_off SET record = replace(record, 'for display only', 'no conditions') WHERE id = 1")
    count, broken = verifying.verify(sqlite_store, files)
    assert count == 2
    assert [one.what for one in broken] == ["its text was changed after it was signed"]


def test_a_record_taken_out_is_found(sqlite_store: Store, files: Files, tmp_path: Path) -> None:
    made = shop(sqlite_store, files)
    for _ in range(3):
        number = a_candidate(made)
        signing.sign(sqlite_store, made.approver, number, answers(made, number))
    with sqlite3.connect(tmp_path / "register.sqlite3") as raw:
        raw.execute("DROP TRIGGER sign_off_no_delete")
        raw.execute("DELETE FROM sign_off WHERE id = 2")
    _, broken = verifying.verify(sqlite_store, files)
    assert "taken out" in broken[0].what


def test_the_database_itself_refuses_a_change(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))
    for statement in ("UPDATE sign_off SET decision = 'refused'", "DELETE FROM sign_off"):
        with pytest.raises(sa.exc.DatabaseError, match="only ever added"), made.store.engine.begin() as connection:
            connection.exec_driver_sql(statement)


def test_an_open_need_may_be_withdrawn_but_not_one_met_by_a_signature(made: Shop) -> None:
    number = a_candidate(made)
    signing.sign(made.store, made.approver, number, answers(made, number))
    need = candidates.get_candidate(made.store, number).need.id
    with pytest.raises(Faults, match="withdraw the approval first"):
        needs.withdraw_need(made.store, made.restorer, need, "not wanted any more")


def test_wrong_passwords_slow_the_signer_down_as_at_the_door(made: Shop, clock: Clock) -> None:
    number = a_candidate(made)
    for _ in range(FREE_TRIES):
        with pytest.raises(Faults):
            signing.sign(made.store, made.approver, number, answers(made, number, password="not it at all"))
    with pytest.raises(TooManyTries):  # even the right one has to wait
        signing.sign(made.store, made.approver, number, answers(made, number))
    with pytest.raises(TooManyTries):  # and it is one count for all doors
        sign_in(made.store, made.approver.sign_in, PASSWORD)
    clock.now += timedelta(seconds=5)
    signing.sign(made.store, made.approver, number, answers(made, number))
    with made.store.read() as session:
        assert get_account(session, made.approver.id).wrong_tries == 0
    given = {"reason": "The same bag cracked on the sister aeroplane.", "password": "not it at all"}
    for _ in range(FREE_TRIES):
        with pytest.raises(Faults):
            signing.withdraw_approval(made.store, made.approver, number, given)
    with pytest.raises(TooManyTries):
        signing.withdraw_approval(made.store, made.approver, number, given)


def test_a_forgotten_password_is_no_wrong_try(made: Shop) -> None:
    number = a_candidate(made)
    for _ in range(FREE_TRIES + 1):
        with pytest.raises(Faults) as refused:
            signing.sign(made.store, made.approver, number, answers(made, number, password=""))
        assert "password" in refused.value.faults


def test_wrong_passwords_sent_at_once_are_all_counted(made: Shop) -> None:
    with ThreadPoolExecutor(FREE_TRIES) as pool:
        tries = [pool.submit(check_again, made.store, made.approver, "not it at all") for _ in range(FREE_TRIES)]
        assert all("password" in one.result() for one in tries)
    with made.store.read() as session:
        assert get_account(session, made.approver.id).wrong_tries == FREE_TRIES


def test_who_once_proposed_it_never_signs_it_whoever_proposes_it_later(made: Shop) -> None:
    """Common practice: nobody approves their own proposal; a second name on it doesn't make it another one's."""
    need, find = made.need(), made.find()
    number = candidates.propose(made.store, made.approver, need, find)
    candidates.withdraw_candidate(made.store, made.approver, number, "Rosa was to look at it first.")
    assert candidates.propose(made.store, made.restorer, need, find) == number
    with pytest.raises(NotAllowed, match="You proposed"):
        signing.sign(made.store, made.approver, number, answers(made, number))
    other = account(made.store, "olga", "approver", licence_kind="Inspector", licence_number="I-9")
    refusal = answers(made, number, decision="refused", reason="The tails split when they are rolled.", conditions="")
    signing.sign(made.store, other, number, refusal)
    candidates.propose(made.store, made.restorer, need, find, "Annealed; ten were set without a split.")
    with pytest.raises(NotAllowed, match="You proposed"):
        signing.sign(made.store, made.approver, number, answers(made, number))


def test_a_refusal_is_remembered_through_a_proposal_that_was_taken_back(made: Shop, clock: Clock) -> None:
    number = a_candidate(made)
    why = {"decision": "refused", "reason": "The tail splits when it is rolled: tried three."}
    signing.sign(made.store, made.approver, number, answers(made, number, **why))
    shown = candidates.get_candidate(made.store, number)
    pair = shown.need.id, shown.find.id
    clock.now += timedelta(hours=1)
    candidates.propose(made.store, made.restorer, *pair, "Annealed; ten were set without a split.")
    candidates.withdraw_candidate(made.store, made.restorer, number, "Not annealed after all.")
    with pytest.raises(Faults, match="refused before"):
        candidates.propose(made.store, made.restorer, *pair)


def test_the_check_that_was_proposed_on_stays_beside_the_candidate(made: Shop) -> None:
    number = a_candidate(made)
    then = candidates.get_candidate(made.store, number).sheet_then
    find = candidates.get_candidate(made.store, number).find.id
    made.measure(find, "body_diameter", "3.50 mm", instrument="micrometer")
    candidates.recheck(made.store, made.restorer, number)
    now = candidates.get_candidate(made.store, number)
    assert now.sheet_then == then
    assert now.sheet != then
    with made.store.read() as session:
        (line,) = candidates.list_candidates(session, find_id=find)
    assert line.outcome == now.sheet.outcome.value
    assert line.checked_at == now.checked_at


@pytest.mark.parametrize("gone", ["need", "find"])
def test_nothing_is_signed_for_what_was_withdrawn(made: Shop, gone: str) -> None:
    number = a_candidate(made)
    candidate = candidates.get_candidate(made.store, number)
    if gone == "need":
        needs.withdraw_need(made.store, made.keeper, candidate.need.id, "The door is left as it is.")
    else:
        finds.withdraw_find(made.store, made.keeper, candidate.find.id, "Sold before we came.")
    with pytest.raises(NotAllowed, match=f"The {gone} was withdrawn"):
        signing.sign(made.store, made.approver, number, answers(made, number))


def test_how_many_are_used_is_asked_where_the_find_is_not_counted(made: Shop) -> None:
    """Unknown is not all: ten grams of rivets are no ten rivets, and no forty either."""
    need = made.need()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find(quantity_text="10 g")
    made.measure(find, "body_diameter", "3.00 mm", instrument="micrometer")
    number = made.propose(need, find)
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, made.approver, number, answers(made, number))
    assert list(refused.value.faults) == ["used"]
    signing.sign(made.store, made.approver, number, answers(made, number, used="12"))
    assert candidates.get_candidate(made.store, number).need.still_wanted == 28
