"""Two signatures, evidence, the kind of change and conditions, in a register.

The papers that the rules lean on are named in the tests of the domain.
"""

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from server.domain.errors import Faults, NotAllowed, Overtaken
from server.domain.evidence_depth import Depth
from server.domain.register import Actor, Decision
from server.domain.sources import Source, Standing, common_practice, from_memory, method
from server.domain.specification import Role, Use, Weight
from server.domain.verdict import Concern, Row, Verdict
from server.services import candidates, conditions, finds, house_rules, remarks, sign_rules, signing, verifying
from server.services.candidates import Candidate
from server.services.precedents import precedents_for
from server.services.records import standing_records
from server.storage.conditions import count_conditions
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.needs import load_need
from server.storage.remarks import count_unanswered
from tests.builders import CHANGE, PASSWORD, Shop, account, shop, sign_form
from tests.conftest import Clock

PERMIT = "flying under a permit or experimental certificate"
LICENCE: dict[str, Any] = {
    "licence_kind": "Inspector",
    "licence_number": "I-8",
    "licence_until": date(2027, 6, 30),
}


@pytest.fixture
def flying(store: Store, files: Files) -> Shop:
    return shop(store, files, PERMIT)


@pytest.fixture
def standing(store: Store, files: Files) -> Shop:
    return shop(store, files)


@pytest.fixture
def second(store: Store) -> Actor:
    return account(store, "otto", "approver", **LICENCE)


def rivets(made: Shop, role: str = "primary structure", *, readers: tuple[str, ...] = ("Rosa", "Nils")) -> int:
    """A tubular rivet for a tubular one, measured here by the readers; the candidate's number."""
    need = made.need(role=role)
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find()
    for reader in readers:
        readings = (("body_diameter", "3.00 mm"), ("length_under_head", "6.0 mm"), ("head_diameter", "5.2 mm"))
        for characteristic, text in readings:
            made.measure(find, characteristic, text, instrument="micrometer", by=reader)
        for characteristic, text in (("material", "brass"), ("head_style", "oval"), ("wall", "0.34 mm")):
            made.measure(find, characteristic, text, by=reader)
    return made.propose(need, find)


def answers(made: Shop, number: int, **more: str) -> dict[str, str]:
    """A complete form for an aeroplane that flies."""
    usual = {"conditions": "look at it every year, due 2027-11-24", "change_critical": "yes"}
    return sign_form(made.store, number, **(usual | more))


def second_answers(made: Shop, number: int, **more: str) -> dict[str, str]:
    shown = candidates.get_candidate(made.store, number).shown_digest
    return {
        "decision": "approved with conditions",
        "reason": "Set three in scrap myself and read the sheet.",
        "shown": shown,
        "password": PASSWORD,
    } | more


def look(made: Shop, number: int) -> Candidate:
    return candidates.get_candidate(made.store, number)


def faults(made: Shop, actor: Actor, number: int, given: dict[str, str]) -> dict[str, str]:
    with pytest.raises(Faults) as refused:
        signing.sign(made.store, actor, number, given)
    return refused.value.faults


# --- two signatures: vital points and controls are looked at by two (see the domain tests for the papers) ----


def test_the_first_signature_settles_nothing(flying: Shop) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    candidate = look(flying, number)
    assert [one.decision for one in candidate.decisions] == [Decision.FIRST]
    assert candidate.standing is None
    assert candidate.first is not None
    assert not candidate.is_first_void
    assert candidate.need.is_open
    assert candidate.need.still_wanted == 40
    with flying.store.read() as session:
        (line,) = candidates.list_candidates(session, undecided=True)
    assert (line.first_signed_by, line.decision) == ("Alma", "")
    assert conditions.conditions_of(flying.store, flying.aeroplane).open == ()


def test_another_person_completes_it(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    first = signing.sign(flying.store, flying.approver, number, answers(flying, number, used="40"))
    signing.sign(flying.store, second, number, second_answers(flying, number))
    candidate = look(flying, number)
    assert candidate.standing is not None
    assert candidate.standing.decision is Decision.CONDITIONAL
    assert candidate.standing.signed_by == "Otto"
    assert candidate.need.is_met
    assert f'"record":{first}' in candidate.standing.record
    assert CHANGE["change_data"] in candidate.standing.record
    assert verifying.verify(flying.store, flying.files) == (2, [])


def test_the_same_person_never_signs_twice(flying: Shop) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    with pytest.raises(NotAllowed, match="another person"):
        signing.sign(flying.store, flying.approver, number, second_answers(flying, number))
    assert len(look(flying, number).decisions) == 1


def test_nor_does_the_proposer_sign_second(flying: Shop, second: Actor) -> None:
    need = flying.need(role="primary structure")
    find = flying.find()
    flying.measure(find, "body_diameter", "3.00 mm", by="Nils")
    number = candidates.propose(flying.store, second, need, find)
    with pytest.raises(NotAllowed, match="proposed"):
        signing.sign(flying.store, second, number, answers(flying, number))


def test_a_sheet_that_changed_between_voids_the_first(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    opened = second_answers(flying, number)
    flying.measure(look(flying, number).find.id, "body_diameter", "3.01 mm", instrument="micrometer", by="Nils")
    assert look(flying, number).is_first_void
    with pytest.raises(Overtaken):
        signing.sign(flying.store, second, number, opened)
    # the sheet is looked at anew: this is a first signature again, and needs all answers
    assert "change_kind" in faults(flying, second, number, second_answers(flying, number))
    signing.sign(flying.store, second, number, answers(flying, number))
    candidate = look(flying, number)
    assert [one.decision for one in candidate.decisions] == [Decision.FIRST, Decision.FIRST]
    assert candidate.decisions[0].digest in candidate.decisions[1].record
    assert candidate.need.is_open
    # and whose first was void may now be the second
    signing.sign(flying.store, flying.approver, number, second_answers(flying, number))
    assert look(flying, number).need.is_met


def test_the_second_person_may_refuse_and_says_why(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    given = second_answers(flying, number, decision="refused")
    assert "reason" in faults(flying, second, number, given | {"reason": "no"})
    signing.sign(flying.store, second, number, given | {"reason": "Two of three split when I set them."})
    candidate = look(flying, number)
    assert candidate.standing is not None
    assert candidate.standing.decision is Decision.REFUSED
    assert candidate.need.is_open
    assert conditions.conditions_of(flying.store, flying.aeroplane).open == ()


def test_the_second_person_gives_a_reason_and_drops_no_condition(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    assert set(faults(flying, second, number, second_answers(flying, number, reason=""))) == {"reason"}
    assert set(faults(flying, second, number, second_answers(flying, number, decision="approved"))) == {"decision"}
    signing.sign(flying.store, second, number, second_answers(flying, number, conditions="mark the heads"))
    found = conditions.conditions_of(flying.store, flying.aeroplane).open
    assert [one.term.text for one in found] == ["look at it every year", "mark the heads"]


def test_one_signature_is_enough_where_nothing_critical_is_touched(flying: Shop) -> None:
    number = rivets(flying, "furnishing", readers=("Rosa",))
    signing.sign(flying.store, flying.approver, number, answers(flying, number, change_critical="no"))
    assert look(flying, number).need.is_met


@pytest.mark.parametrize("said", ["yes", "not known"])
def test_a_critical_furnishing_is_signed_like_structure(flying: Shop, said: str) -> None:
    """The depth of proof follows what happens if it fails (AC 23-27, from memory); unknown is held like yes."""
    number = rivets(flying, "furnishing")
    signing.sign(flying.store, flying.approver, number, answers(flying, number, change_critical=said))
    assert look(flying, number).need.is_open
    assert look(flying, number).first is not None


# --- evidence and people ------------------------------------------------------------


def test_evidence_that_is_too_thin_approves_nothing(flying: Shop) -> None:
    number = rivets(flying, readers=("Nils",))
    said = faults(flying, flying.approver, number, answers(flying, number))
    assert set(said) == {"decision"}
    assert "measured here by one person, Nils; wanted: measured by a second person" in said["decision"]


def test_thin_evidence_may_still_be_refused(flying: Shop) -> None:
    number = rivets(flying, readers=())
    given = {"decision": "refused", "reason": "Nobody has measured one of them."}
    signing.sign(flying.store, flying.approver, number, answers(flying, number) | given)
    assert look(flying, number).standing is not None


def test_papers_stand_for_the_second_reading(flying: Shop) -> None:
    """AC 20-62E, para 6 and page 7 (23 Dec 2010): papers establish what a part is."""
    number = rivets(flying, readers=("Nils",))
    find = look(flying, number).find.id
    certificate = {"kind": "certificate", "note": "of conformity"}
    finds.add_evidence(flying.store, flying.restorer, find, certificate)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    assert look(flying, number).first is not None


def test_who_measured_does_not_sign(flying: Shop) -> None:
    number = rivets(flying, readers=("Nils", "Alma"))
    assert "Alma measured" in faults(flying, flying.approver, number, answers(flying, number))["decision"]


def test_somebody_besides_the_proposer_has_examined_it(flying: Shop) -> None:
    number = rivets(flying, readers=("Rosa",))
    find = look(flying, number).find.id
    finds.add_evidence(flying.store, flying.restorer, find, {"kind": "certificate", "note": "of conformity"})
    assert "Nobody but Rosa" in faults(flying, flying.approver, number, answers(flying, number))["decision"]


def test_a_claim_will_do_for_a_furnishing_on_display(standing: Shop) -> None:
    need = standing.need(role="appearance")
    number = standing.propose(need, standing.find())
    given = answers(standing, number)
    for name in [name for name in given if name.startswith("change_") and name != "change_kind"]:
        del given[name]
    signing.sign(standing.store, standing.approver, number, given)
    assert look(standing, number).standing is not None


# --- the authority -------------------------------------------------------------------


def test_an_expired_authority_signs_neither_first_nor_second(flying: Shop, second: Actor, clock: Clock) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    clock.now += timedelta(days=300)  # Otto's licence ran out on 30 June 2027
    with pytest.raises(NotAllowed, match="ran out on 2027-06-30"):
        signing.sign(flying.store, second, number, second_answers(flying, number))


@pytest.mark.parametrize("said", ["asked, not answered yet", "has to be asked, not asked yet"])
def test_a_part_that_waits_for_an_authority_is_not_signed(flying: Shop, said: str) -> None:
    """AC 43-210A (17 Aug 2016): data for major work are approved before the work is."""
    number = rivets(flying)
    assert set(faults(flying, flying.approver, number, answers(flying, number, change_authority=said))) == {
        "change_authority"
    }
    # it may be refused meanwhile
    given = answers(flying, number, change_authority=said, decision="refused", reason="It will never be answered.")
    signing.sign(flying.store, flying.approver, number, given)


def test_what_was_asked_and_answered_is_frozen_with_what_is_open(flying: Shop) -> None:
    number = rivets(flying)
    given = answers(flying, number, change_authority="asked and answered", change_authority_way="field approval")
    assert set(faults(flying, flying.approver, number, given)) == {"change_authority_ref", "change_authority_on"}
    given |= {"change_authority_ref": "337 of 12 May", "change_authority_on": "2026-05-12"}
    signing.sign(flying.store, flying.approver, number, given)
    record = look(flying, number).decisions[0].record
    for said in ("337 of 12 May", "2026-05-12", "Whether the change is minor or major", "AC 23-27"):
        assert said in record


def test_empty_words_are_no_answer_why_nobody_was_asked(flying: Shop) -> None:
    number = rivets(flying)
    given = answers(flying, number, change_authority_said="as discussed")
    assert set(faults(flying, flying.approver, number, given)) == {"change_authority_said"}


# --- the shop's own rules ---------------------------------------------------------------


def tighten(made: Shop, **more: str) -> bool:
    given = {"place": "use:DISPLAY", "role": "furnishing", "signatures": "2", "reason": "Open days with children."}
    return sign_rules.tighten_rule(made.store, made.keeper, given | more)


def test_a_tightened_rule_holds_from_then_on_and_is_taken_back(standing: Shop) -> None:
    assert tighten(standing)
    assert not tighten(standing)
    number = rivets(standing, "furnishing", readers=())
    signing.sign(standing.store, standing.approver, number, answers(standing, number))
    assert look(standing, number).standing is None
    assert tighten(standing, signatures="")
    with standing.store.read() as session:
        assert sign_rules.sign_rules_of(session).by_use == {}


def test_nothing_is_loosened(standing: Shop) -> None:
    with pytest.raises(Faults) as refused:
        tighten(standing, place="use:PERMIT", role="flight or engine control", signatures="1", least="claimed")
    assert set(refused.value.faults) == {"signatures", "least"}


def test_a_rule_for_one_aeroplane_leaves_the_others(standing: Shop) -> None:
    assert tighten(standing, place=f"aeroplane:{standing.aeroplane}", least="papers")
    with standing.store.read() as session:
        rules = sign_rules.sign_rules_of(session)
    here = rules.rule(Use.DISPLAY, Role.FURNISHING, standing.aeroplane)
    assert (here.signatures, here.least) == (2, Depth.PAPERS)
    assert rules.rule(Use.DISPLAY, Role.FURNISHING, standing.aeroplane + 1).signatures == 1


def test_the_kind_of_authority_is_asked_for_by_its_words(standing: Shop) -> None:
    assert tighten(standing, signatures="", kinds="wood; fabric")
    number = rivets(standing, "furnishing", readers=())
    with pytest.raises(NotAllowed, match=r"“wood” or “fabric”"):
        signing.sign(standing.store, standing.approver, number, answers(standing, number))


@pytest.mark.parametrize("wrong", [{"place": "use:NONE"}, {"role": ""}, {"signatures": "3"}, {"reason": ""}])
def test_a_rule_that_says_too_little_is_refused(standing: Shop, wrong: dict[str, str]) -> None:
    with pytest.raises(Faults) as refused:
        tighten(standing, **wrong)
    assert list(refused.value.faults) == list(wrong)


def test_only_the_keeper_sets_rules(standing: Shop) -> None:
    with pytest.raises(NotAllowed):
        sign_rules.tighten_rule(standing.store, standing.approver, {"place": "use:DISPLAY"})


# --- conditions -------------------------------------------------------------------------


def conditional(made: Shop, text: str, due: str = "") -> int:
    number = rivets(made, "furnishing", readers=())
    given = answers(made, number, conditions=text, conditions_due=due, used="1")
    signing.sign(made.store, made.approver, number, given)
    return number


def test_conditions_are_carried_with_their_due_and_counted(standing: Shop, clock: Clock) -> None:
    conditional(standing, "strip pulled, due 2026-12-01\nlooked at, due 10 hours\nmarked N 2026")
    found = conditions.conditions_of(standing.store, standing.aeroplane)
    assert [(one.term.text, one.term.due, one.term.due_words) for one in found.open] == [
        ("strip pulled", date(2026, 12, 1), ""),
        ("looked at", None, "10 hours"),
        ("marked N 2026", None, ""),
    ]
    assert found.overdue == 0
    clock.now += timedelta(days=8)
    assert conditions.conditions_of(standing.store, standing.aeroplane).overdue == 1
    with standing.store.read() as session:
        (count,) = count_conditions(session, clock.now.date())
    assert (count.aeroplane_id, count.open, count.overdue) == (standing.aeroplane, 3, 1)
    assert count.aeroplane == found.aeroplane.label, "two of one type are told apart"


def test_a_due_that_is_no_day_is_refused_at_its_field(standing: Shop) -> None:
    number = rivets(standing, "furnishing", readers=())
    given = answers(standing, number, conditions="look again, due 2027-02-30")
    assert set(faults(standing, standing.approver, number, given)) == {"conditions"}


def test_a_condition_is_closed_by_a_signed_entry(standing: Shop) -> None:
    number = conditional(standing, "strip pulled", "2027-06-01")
    (one,) = conditions.conditions_of(standing.store, standing.aeroplane).open
    assert one.term.due == date(2027, 6, 1)
    given = {"reason": "Pulled: 78 lb, above what was asked.", "password": PASSWORD}
    for wrong in ({"password": "not it at all"}, {"reason": ""}, {"reason": "ok"}):
        with pytest.raises(Faults) as refused:
            conditions.close_condition(standing.store, standing.approver, one.id, given | wrong)
        assert list(refused.value.faults) == list(wrong)
    with pytest.raises(NotAllowed):
        conditions.close_condition(standing.store, standing.restorer, one.id, given)
    conditions.close_condition(standing.store, standing.approver, one.id, given)
    found = conditions.conditions_of(standing.store, standing.aeroplane)
    assert found.open == ()
    assert found.closed[0].closed_by == "Alma"
    candidate = look(standing, number)
    assert [one.decision for one in candidate.decisions] == [Decision.CONDITIONAL, Decision.CLOSED]
    assert candidate.standing is not None, "the approval stands"
    assert candidate.standing.decision is Decision.CONDITIONAL
    assert verifying.verify(standing.store, standing.files) == (2, [])
    with pytest.raises(Faults, match="closed already"):
        conditions.close_condition(standing.store, standing.approver, one.id, given)


def test_a_closed_condition_takes_nothing_off_the_aeroplane(standing: Shop) -> None:
    """The approval stands: the list of what is not original, the bound volume and the precedents still have it."""
    number = conditional(standing, "strip pulled")
    (one,) = conditions.conditions_of(standing.store, standing.aeroplane).open
    done = {"reason": "Pulled: 78 lb, above what was asked.", "password": PASSWORD}
    conditions.close_condition(standing.store, standing.approver, one.id, done)
    again = standing.need(role=look(standing, number).need.role.value)
    standing.require(again, "body_diameter", "2.95 to 3.05 mm")
    with standing.store.read() as session:
        fitted = standing_records(session, standing.aeroplane)
        before = precedents_for(session, load_need(session, again))
    assert [record.candidate_id for record in fitted] == [number]
    assert [one.candidate_id for one in before] == [number]
    assert before[0].left == 49, "one of fifty is used"


def test_a_question_is_still_open_after_the_first_signature(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    signing.sign(flying.store, flying.approver, number, answers(flying, number))
    remarks.add_remark(flying.store, flying.files, second, number, {"text": "Which batch are they of?"})
    with flying.store.read() as session:
        assert count_unanswered(session, flying.restorer.id) == (1, number)


def test_an_expired_authority_closes_no_condition(standing: Shop, clock: Clock) -> None:
    conditional(standing, "strip pulled")
    (one,) = conditions.conditions_of(standing.store, standing.aeroplane).open
    clock.now += timedelta(days=500)
    given = {"reason": "Pulled: 78 lb, above what was asked.", "password": PASSWORD}
    with pytest.raises(NotAllowed, match="ran out"):
        conditions.close_condition(standing.store, standing.approver, one.id, given)


def test_a_withdrawn_approval_closes_its_conditions_and_no_others(standing: Shop) -> None:
    gone, stays = conditional(standing, "first\nsecond"), conditional(standing, "third")
    given = {"reason": "The same bag cracked on the sister aeroplane.", "password": PASSWORD}
    record = signing.withdraw_approval(standing.store, standing.approver, gone, given)
    found = conditions.conditions_of(standing.store, standing.aeroplane)
    assert [one.candidate_id for one in found.open] == [stays]
    assert {one.closed_record_id for one in found.closed} == {record}
    assert look(standing, gone).need.is_open


def test_a_withdrawn_approval_may_be_proposed_anew_after_a_condition_was_closed(standing: Shop) -> None:
    number = conditional(standing, "first\nsecond")
    one = conditions.conditions_of(standing.store, standing.aeroplane).open[0]
    done = {"reason": "Looked at after the first open day.", "password": PASSWORD}
    conditions.close_condition(standing.store, standing.approver, one.id, done)
    with pytest.raises(Faults, match="approved"):
        candidates.propose(
            standing.store, standing.restorer, look(standing, number).need.id, look(standing, number).find.id
        )
    withdrawn = {"reason": "The same bag cracked on the sister aeroplane.", "password": PASSWORD}
    signing.withdraw_approval(standing.store, standing.approver, number, withdrawn)
    assert look(standing, number).standing is not None


# --- the paper behind a reason (AC 43.13-1B as data for a major repair is named by chapter, page and paragraph) ----


def test_a_reason_for_a_governing_row_of_structure_names_its_paper(flying: Shop) -> None:
    number = rivets(flying)
    shown = look(flying, number).sheet
    governing = [row for row in shown.to_answer if row.weight is Weight.GOVERNS]
    others = [row for row in shown.to_answer if row.weight is not Weight.GOVERNS]
    assert governing
    without = {name: text for name, text in answers(flying, number).items() if not name.startswith("reference_")}
    asked = faults(flying, flying.approver, number, without)
    assert set(asked) == {signing.reference_field(row) for row in governing}
    assert not set(asked) & {signing.reference_field(row) for row in others}
    nothing = without | {signing.reference_field(row): " – " for row in governing}
    assert set(faults(flying, flying.approver, number, nothing)) == set(asked)


def test_the_papers_are_frozen_with_the_reasons_and_taken_over_by_the_second(flying: Shop, second: Actor) -> None:
    number = rivets(flying)
    row = next(row for row in look(flying, number).sheet.to_answer if row.weight is Weight.GOVERNS)
    named = {signing.reference_field(row): "Works drawing X 7, detail B"}
    signing.sign(flying.store, flying.approver, number, answers(flying, number, **named))
    signing.sign(flying.store, second, number, second_answers(flying, number))
    standing = look(flying, number).standing
    assert standing is not None
    assert json.loads(standing.record)["references"][row.key] == "Works drawing X 7, detail B"


def test_an_exhibit_asks_for_no_paper_until_the_shop_does(standing: Shop) -> None:
    made = standing
    number = rivets(made, role="furnishing")
    plain = {name: text for name, text in sign_form(made.store, number).items() if not name.startswith("reference_")}
    given = {"place": "use:DISPLAY", "role": "furnishing", "referenced": "yes", "reason": "The museum’s insurer asks."}
    assert sign_rules.tighten_rule(made.store, made.keeper, given)
    asked = faults(made, made.approver, number, plain)
    assert asked
    assert all(name.startswith("reference_") for name in asked)
    back = {"place": "use:DISPLAY", "role": "furnishing", "reason": "The insurer no longer asks."}
    assert sign_rules.tighten_rule(made.store, made.keeper, back)
    signing.sign(made.store, made.approver, number, plain)


# --- days are the shop's, records keep UTC -----------------------------------------------------------


def test_a_licence_and_a_due_day_end_at_the_shops_midnight(standing: Shop, clock: Clock) -> None:
    """A quarter past midnight UTC is still the evening before in Halifax (UTC−4 in winter, IANA tz database)."""
    number = rivets(standing, role="furnishing")
    signing.sign(
        standing.store, standing.approver, number, sign_form(standing.store, number, conditions="look, due 2027-01-31")
    )
    clock.now = datetime(2027, 2, 1, 0, 15, tzinfo=UTC)
    (condition,) = conditions.conditions_of(standing.store, standing.aeroplane).open
    assert condition.is_overdue(conditions.conditions_of(standing.store, standing.aeroplane).today)
    house_rules.set_zone(standing.store, standing.keeper, {"zone": "America/Halifax"})
    assert conditions.conditions_of(standing.store, standing.aeroplane).today == date(2027, 1, 31)
    assert conditions.conditions_of(standing.store, standing.aeroplane).overdue == 0
    late = account(standing.store, "lena", "approver", **(LICENCE | {"licence_until": date(2027, 1, 31)}))
    signing.sign(standing.store, late, rivets(standing, role="furnishing"), sign_form(standing.store, number + 1))


def test_every_row_that_no_figure_proves_and_every_shaky_source_wants_a_reason() -> None:
    proven = Row("a", "A", Concern.FIT, Weight.CONTRIBUTES, "1", "1", Verdict.PROVEN, "As wanted.")
    assert not proven.needs_answer
    for verdict in (Verdict.AGAINST, Verdict.OPEN, Verdict.JUDGED):
        assert replace(proven, verdict=verdict).needs_answer
    assert replace(proven, assumption="a usual doubt").needs_answer
    assert replace(proven, caution="lead").needs_answer
    for shaky in (common_practice("a rule"), from_memory("a figure"), Source("a copy", standing=Standing.QUOTED)):
        assert replace(proven, sources=(shaky,)).needs_answer
        assert replace(proven, sources=(shaky,)).shaky_sources == (shaky,)
    assert not replace(proven, sources=(method("a way of judging"), Source("seen"))).needs_answer
    # a word judged by eye is answered for, yet nothing departs: the whole stays like for like
    assert not replace(proven, verdict=Verdict.JUDGED).is_reserved


def test_the_shop_names_who_signs_on_one_aeroplane(standing: Shop, second: Actor) -> None:
    made = standing
    given: dict[str, str | list[str]] = {
        "place": f"aeroplane:{made.aeroplane}",
        "role": "furnishing",
        "only": [str(second.id)],
        "reason": "Otto knows this cabin.",
    }
    assert sign_rules.tighten_rule(made.store, made.keeper, given)
    number = rivets(made, role="furnishing")
    with pytest.raises(NotAllowed, match="only Otto"):
        signing.sign(made.store, made.approver, number, sign_form(made.store, number))
    signing.sign(made.store, second, number, sign_form(made.store, number))
    with pytest.raises(Faults, match="at least two"):
        sign_rules.tighten_rule(made.store, made.keeper, given | {"signatures": "2"})
    with pytest.raises(Faults, match="may approve"):
        sign_rules.tighten_rule(made.store, made.keeper, given | {"only": [str(made.restorer.id)]})
