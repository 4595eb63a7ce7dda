"""Who may sign what, on what evidence, what kind of change it is, and conditions: the rules by themselves.

Each check names what it leans on. Numbers of paragraphs are as the papers stood on the dates given there.
"""

from dataclasses import replace
from datetime import UTC, date, datetime
from itertools import product
from typing import Any

import pytest

from server.domain.change_kind import (
    AUTHORITY,
    CRITICAL,
    FULL,
    KIND,
    SHORT,
    Asked,
    Change,
    ChangeKind,
    Critical,
    Way,
    faults_of,
    left_open,
    sources_of,
)
from server.domain.conditions import Condition, Term, in_order, read_conditions
from server.domain.equivalence import compare
from server.domain.errors import Unreadable
from server.domain.evidence_depth import ASKED_FOR, Depth, different_people, evidence_of, inspectors, same_person
from server.domain.offer import Basis, Evidence, Offered, Statement
from server.domain.quantities import Kind
from server.domain.reading import read_quantity
from server.domain.register import Actor, UserRole
from server.domain.sign_rules import (
    SHIPPED,
    SignRule,
    SignRules,
    authority_fault,
    looser_than,
    people_fault,
    strictest,
    thin_rows,
)
from server.domain.specification import Form, Known, KnownFrom, Requirement, Role, Use, Wanted

TODAY = date(2026, 11, 24)
FLIES = [use for use in Use if use.flies]


def signer(kind: str = "Inspector", number: str = "I-7", until: date | None = date(2027, 12, 31)) -> Actor:
    return Actor(1, "Alma", "alma", UserRole.APPROVER, kind, number, until)


# --- the shipped table ---------------------------------------------------------------


@pytest.mark.parametrize("use", FLIES)
def test_controls_that_fly_take_two_people(use: Use) -> None:
    """Vital points and control systems: two independent inspections (UK practice as a glossary quotes it;
    New Zealand syllabus on rule 43.113; AMC 145.A.48(b) on the independent inspection)."""
    rule = SHIPPED[use, Role.CONTROL]
    assert rule.signatures == 2
    assert rule.apart
    said = " ".join(str(source) for source in rule.sources)
    assert "145.A.48(b)" in said
    assert "vital point" in said


@pytest.mark.parametrize(("use", "role"), list(product(FLIES, [Role.PRIMARY, Role.SECONDARY, Role.UNKNOWN])))
def test_structure_that_flies_takes_two_and_more_than_one_reading(use: Use, role: Role) -> None:
    """14 CFR 43 appendix A(a)(1) counts wings, tail, fuselage and their elements among the major ones (quoted);
    that unknown is held like primary structure is the register's own rule."""
    rule = SHIPPED[use, role]
    assert (rule.signatures, rule.least) == (2, Depth.SECOND)


@pytest.mark.parametrize(("use", "role"), list(product(FLIES, Role)))
def test_whatever_flies_is_signed_with_an_authority_and_on_readings(use: Use, role: Role) -> None:
    """14 CFR 91.417(a)(1): signature and certificate number of who approves (2008 text); ML.A.504 (UK text): a
    component whose information is missing is unserviceable."""
    rule = SHIPPED[use, role]
    assert rule.licensed
    assert rule.least.reaches(Depth.MEASURED)


def test_a_cover_strip_of_an_exhibit_is_signed_lightly() -> None:
    """On an exhibit curator and owner decide (common practice)."""
    rule = SHIPPED[Use.DISPLAY, Role.APPEARANCE]
    assert (rule.signatures, rule.least, rule.apart, rule.licensed) == (1, Depth.CLAIMED, False, False)


@pytest.mark.parametrize("cell", SHIPPED)
def test_every_cell_says_what_it_leans_on_and_asks_what_can_be_asked(cell: tuple[Use, Role]) -> None:
    assert SHIPPED[cell].sources
    assert SHIPPED[cell].least in ASKED_FOR


@pytest.mark.parametrize("role", Role)
def test_flying_is_never_signed_more_lightly_than_standing(role: Role) -> None:
    """Common practice: the flying aeroplane asks more."""
    for use in FLIES:
        assert not looser_than(SHIPPED[use, role], SHIPPED[Use.DISPLAY, role])


# --- a shop's own rules --------------------------------------------------------------


def test_a_shops_rule_is_laid_over_the_shipped_one_and_can_not_weaken_it() -> None:
    weak = SignRule(1, Depth.CLAIMED)
    rules = SignRules({(Use.PERMIT, Role.CONTROL): weak}, {(3, Role.CONTROL): weak})
    shipped = SHIPPED[Use.PERMIT, Role.CONTROL]
    assert rules.rule(Use.PERMIT, Role.CONTROL, 3) == shipped
    assert set(looser_than(weak, shipped)) == {"signatures", "least", "apart", "licensed", "referenced"}


def test_a_rule_for_one_aeroplane_holds_there_only() -> None:
    rules = SignRules({}, {(3, Role.FURNISHING): SignRule(2, Depth.PAPERS)})
    here, there = (rules.rule(Use.DISPLAY, Role.FURNISHING, number) for number in (3, 4))
    assert (here.signatures, here.least) == (2, Depth.PAPERS)
    assert there == SHIPPED[Use.DISPLAY, Role.FURNISHING]


def test_unknown_takes_the_shops_rule_for_primary_structure_too() -> None:
    rules = SignRules({(Use.DISPLAY, Role.PRIMARY): SignRule(2, Depth.PAPERS)})
    assert rules.rule(Use.DISPLAY, Role.UNKNOWN).signatures == 2


@pytest.mark.parametrize("role", [Role.SYSTEMS, Role.FURNISHING, Role.APPEARANCE])
def test_a_critical_part_is_signed_like_primary_structure_whatever_it_is_called(role: Role) -> None:
    """The depth of proof follows what happens if the part fails (AC 23-27, from memory, unverified)."""
    light, critical = (SignRules().rule(Use.PERMIT, role, critical=one) for one in (False, True))
    assert light.signatures == 1
    assert not looser_than(critical, SHIPPED[Use.PERMIT, Role.PRIMARY])


def test_kinds_of_two_rules_are_asked_for_together() -> None:
    both = strictest([SignRule(kinds=(("engineer", "inspector"),)), SignRule(kinds=(("wood",),))])
    assert authority_fault(both, signer("Inspector, metal"), TODAY)
    assert not authority_fault(both, signer("Inspector, wood and metal"), TODAY)


# --- the authority --------------------------------------------------------------------


def test_an_authority_signs_on_its_last_day_and_not_after() -> None:
    """Common practice: a licence holds through the day it names."""
    rule = SHIPPED[Use.PERMIT, Role.SYSTEMS]
    assert not authority_fault(rule, signer(until=TODAY), TODAY)
    assert "ran out" in authority_fault(rule, signer(until=date(2026, 11, 23)), TODAY)


def test_an_expired_authority_signs_nothing_even_for_display() -> None:
    """The record would show it as if it held."""
    assert "ran out" in authority_fault(SHIPPED[Use.DISPLAY, Role.APPEARANCE], signer(until=date(2020, 1, 1)), TODAY)


def test_what_flies_is_not_signed_without_a_number() -> None:
    """14 CFR 91.417(a)(1), 2008 text: the certificate number of who approves."""
    assert authority_fault(SHIPPED[Use.PERMIT, Role.APPEARANCE], signer(number=""), TODAY)
    assert not authority_fault(SHIPPED[Use.DISPLAY, Role.APPEARANCE], signer("", "", None), TODAY)


# --- evidence --------------------------------------------------------------------------


def statement(text: str, basis: Basis = Basis.MEASURED, by: str = "", instrument: str = "micrometer") -> Statement:
    size = read_quantity(text, Kind.LENGTH)
    return Statement("body_diameter", basis, text, quantity=size, by=by, instrument=instrument)


def depth(*said: Statement, proofs: tuple[tuple[Evidence, str], ...] = ()) -> Depth:
    wanted = Wanted(
        "tubular_rivet",
        (
            Requirement(
                "body_diameter",
                Form.LIMITS,
                "2.95 to 3.05 mm",
                quantity=read_quantity("2.95 to 3.05 mm", Kind.LENGTH),
                known=Known(KnownFrom.DRAWING, "41-207"),
            ),
        ),
        role=Role.PRIMARY,
        use=Use.PERMIT,
    )
    offered = Offered("tubular_rivet", said, evidence=tuple(kind for kind, _ in proofs))
    found = {one.key: one for one in evidence_of(compare(wanted, offered), offered, proofs)}
    assert "kind" not in found, "a row worked out from others has no evidence of its own"
    return found["body_diameter"].depth


def test_the_grades_in_their_order() -> None:
    """A claim is no reading; a second person's reading is worth more than one's own twice (common practice);
    papers and reports after AC 20-62E, para 6 and page 7 (23 Dec 2010)."""
    claimed = statement("3 mm", Basis.CLAIMED, "the seller")
    assert depth() is Depth.NOTHING
    assert depth(claimed) is Depth.CLAIMED
    assert depth(statement("3.00 mm", by="Rosa")) is Depth.MEASURED
    assert depth(statement("3.00 mm", by="Rosa"), statement("3.00 mm", by="Rosa")) is Depth.MEASURED
    assert depth(statement("3.00 mm", by="Rosa"), statement("3.00 mm", by="Otto")) is Depth.SECOND
    assert depth(claimed, proofs=((Evidence.CERTIFICATE, "of conformity"),)) is Depth.PAPERS
    assert depth(claimed, proofs=((Evidence.TEST, "body diameter, gauge room"),)) is Depth.TESTED


@pytest.mark.parametrize("kind", [Evidence.TAG, Evidence.INVOICE, Evidence.LETTER, Evidence.PHOTOGRAPH, Evidence.NONE])
def test_a_label_or_an_invoice_alone_proves_no_size(kind: Evidence) -> None:
    """AC 20-62E page 7, item e: shipping tickets and invoices *may* be evidence; alone they lift nothing here."""
    assert depth(statement("3 mm", Basis.CLAIMED), proofs=((kind, "with part number"),)) is Depth.CLAIMED


def test_a_test_of_something_else_proves_nothing_here() -> None:
    assert depth(statement("3.00 mm", by="Rosa"), proofs=((Evidence.TEST, "alloy, sheet 7"),)) is Depth.MEASURED


def test_papers_without_a_word_on_the_row_leave_it_empty() -> None:
    """ML.A.504 (UK text): information missing."""
    assert depth(proofs=((Evidence.CERTIFICATE, "of conformity"),)) is Depth.NOTHING


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Jory Tresk", "J. Tresk"),
        ("JT", "Jory Tresk"),
        ("jory", "Jory Tresk"),
        ("Tresk, Jory", "Jory Tresk"),
        ("", "X"),
    ],
)
def test_a_name_that_may_be_short_for_another_is_one_person(one: str, other: str) -> None:
    assert same_person(one, other)
    assert same_person(other, one)


def test_two_names_are_two_people() -> None:
    assert different_people(["Jory Tresk", "Nella Obermoor", "JT", ""]) == ("Jory Tresk", "Nella Obermoor")


def test_a_laboratory_is_no_inspector_of_the_shop() -> None:
    offered = Offered(
        "tubular_rivet", (statement("3 mm", by="laboratory 26-1"), statement("3 mm", by="Ida", instrument="analysis"))
    )
    assert inspectors(offered) == ()


def test_thin_rows_are_named_and_a_claim_will_do_where_the_rule_says_so() -> None:
    wanted = Wanted("tubular_rivet", (), role=Role.PRIMARY, use=Use.PERMIT)
    offered = Offered("tubular_rivet", (statement("3.00 mm", by="Rosa"),))
    rows = evidence_of(compare(wanted, offered), offered)
    thin = thin_rows(SHIPPED[Use.PERMIT, Role.PRIMARY], rows)
    assert {one.label for one in thin} == {one.label for one in rows}
    assert thin_rows(SHIPPED[Use.DISPLAY, Role.APPEARANCE], rows) == []
    said = [one.sentence(Depth.SECOND) for one in rows if one.depth is Depth.MEASURED]
    assert said == [] or said[0].startswith("measured here by one person, Rosa; wanted: measured by a second person")


# --- three people ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("proposer", "signers", "measured", "fault"),
    [
        ("Jory", ["Alma", "Otto"], ["Jory", "Nella"], ""),
        ("Jory", ["Alma", "Otto"], ["Jory"], "Nobody but Jory"),
        ("Jory", ["Alma", "Otto"], [], "Nobody but Jory"),
        ("Jory", ["Alma", "Otto"], ["Nella", "Otto"], "Otto measured"),
    ],
)
def test_proposer_inspector_and_approver_are_different_people(
    proposer: str, signers: list[str], measured: list[str], fault: str
) -> None:
    """The inspector examines the piece and the approver did not (the register's own proposal; duplicate
    inspection of controls: the second person did not do the work, New Zealand syllabus on 43.113, quoted)."""
    said = people_fault(SHIPPED[Use.PERMIT, Role.CONTROL], proposer, signers, measured)
    assert said.startswith(fault)
    assert bool(said) == bool(fault)
    assert people_fault(SHIPPED[Use.DISPLAY, Role.APPEARANCE], proposer, signers, measured) == ""


# --- what kind of change ------------------------------------------------------------------


PLAIN = Change(
    kind=ChangeKind.SUBSTITUTE,
    critical=Critical.NO,
    data="AC 43.13-1B, 7-149",
    asked=Asked.NOT_NEEDED,
    said="The permit engineer",
)


def full(**more: Any) -> Change:
    return replace(PLAIN, **more)


def test_every_question_is_answered_before_a_part_that_flies_is_approved() -> None:
    assert set(faults_of(Change(), True, TODAY)) == {question.key for question in FULL}
    assert faults_of(full(), True, TODAY) == {}


def test_an_exhibit_has_a_short_form() -> None:
    """Curator and owner decide for an exhibit (common practice)."""
    assert [question.key for question in SHORT] == ["change_kind", "change_authority"]
    assert set(faults_of(Change(), False, TODAY)) == {"change_kind"}


@pytest.mark.parametrize(("asked", "flies"), list(product([Asked.TO_ASK, Asked.WAITING], [True, False])))
def test_a_part_that_waits_for_an_authority_is_not_signed(asked: Asked, flies: bool) -> None:
    """Approved data come before the major work (14 CFR 43 appendix A and B, AC 43-210A, 17 Aug 2016)."""
    assert "change_authority" in faults_of(full(asked=asked), flies, TODAY)


def test_an_answer_has_its_number_its_day_and_its_way() -> None:
    """Field 19 of a substitution record: form number, approval number, date (14 CFR 43 appendix B, quoted)."""
    asked = full(asked=Asked.ANSWERED)
    names = {"change_authority_ref", "change_authority_on", "change_authority_way"}
    assert set(faults_of(asked, True, TODAY)) == names
    answered = full(asked=Asked.ANSWERED, reference="26-1", on=TODAY, way=Way.PERMIT)
    assert faults_of(answered, True, TODAY) == {}
    tomorrow = full(asked=Asked.ANSWERED, reference="26-1", on=date(2026, 11, 25), way=Way.PERMIT)
    assert set(faults_of(tomorrow, True, TODAY)) == {"change_authority_on"}


@pytest.mark.parametrize("kind", ChangeKind)
def test_every_kind_of_change_says_what_it_leaves_open_and_leans_on(kind: ChangeKind) -> None:
    assert left_open(Change(kind=kind))
    assert sources_of(Change(kind=kind), True)


def test_kinds_of_part_are_those_the_rules_know() -> None:
    """14 CFR 21.9(a)(3) standard part, (a)(5) owner-produced; CAR 571.08 and 571.09 used parts; AC 23-27."""
    assert {answer.word for answer in KIND.answers} == set(ChangeKind)
    cited = " ".join(str(source) for answer in KIND.answers for source in answer.sources)
    for paper in ("21.9(a)(3)", "21.9(a)(5)", "571.09", "AC 23-27", "AC 20-62E", "21.A.303(c)"):
        assert paper in cited


def test_not_known_is_critical_and_stays_open() -> None:
    assert Change(critical=Critical.UNKNOWN).counts_as_critical
    assert left_open(Change(critical=Critical.UNKNOWN))
    assert not Change(critical=Critical.NO).counts_as_critical


@pytest.mark.parametrize("question", [*FULL, *SHORT, CRITICAL, AUTHORITY])
def test_no_question_and_no_answer_calls_anything_lawful_or_airworthy(question: object) -> None:
    """The person and the authority say that; only the duty to find it airworthy is named."""
    said = str(question).casefold().replace("still has to find it airworthy", "")
    said = said.replace("airworthiness notice", "")
    assert not any(word in said for word in ("is legal", "is lawful", "airworthy", "is permitted"))


# --- conditions -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "term"),
    [
        ("Mark the part N 2026", Term("Mark the part N 2026")),
        ("Pull a strip, due 2027-06-01", Term("Pull a strip", date(2027, 6, 1))),
        ("Pull a strip (due 1.6.2027).", Term("Pull a strip", date(2027, 6, 1))),
        ("Look again; due after 10 hours", Term("Look again", None, "after 10 hours")),
        ("Look again due: next annual", Term("Look again", None, "next annual")),
        ("With due care", Term("With due care")),
        ("due", Term("due")),
    ],
)
def test_a_line_says_what_and_when(line: str, term: Term) -> None:
    assert read_conditions(line) == (term,)


def test_lines_without_a_day_take_the_common_one() -> None:
    day = date(2027, 1, 1)
    assert read_conditions("a\n\nb, due 10 hours", day) == (Term("a", day), Term("b", None, "10 hours"))


@pytest.mark.parametrize("line", ["x due 2027-13-01", "x due 31.2.2027", "x" * 1001])
def test_a_day_that_is_none_is_refused(line: str) -> None:
    with pytest.raises(Unreadable):
        read_conditions(line)


def test_overdue_first_then_by_day_then_hours_then_the_rest() -> None:
    at = date(2026, 1, 1)
    made_at = datetime(2026, 1, 1, 9, tzinfo=UTC)
    terms = [Term("rest"), Term("hours", None, "10 hours"), Term("later", date(2028, 1, 1)), Term("late", at)]
    made = [Condition(n, 1, 1, 1, "", "", term, made_at) for n, term in enumerate(terms, 1)]
    assert [one.term.text for one in in_order(made, TODAY)] == ["late", "later", "hours", "rest"]
    assert made[3].is_overdue(TODAY)
    assert not made[3].is_overdue(at), "on its day it is not late yet"
