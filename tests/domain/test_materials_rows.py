"""The material's row: what proves it, what keeps it open, what goes against it."""

from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from server.domain.equivalence import compare
from server.domain.material_table import all_properties
from server.domain.offer import Evidence, Offered, Origin, Statement
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.quantities import Kind
from server.domain.sources import Standing
from server.domain.specification import Form, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome, Row, Sheet, Verdict

PAPERS = (Evidence.CERTIFICATE,)


def _sheet(
    wanted: str | tuple[Requirement, ...],
    offered: str | tuple[Statement, ...],
    *,
    part: str = "sheet_part",
    evidence: tuple[Evidence, ...] = PAPERS,
    role: Role = Role.SECONDARY,
    use: Use = Use.PERMIT,
    thickness: tuple[str, str] | None = None,
) -> Sheet:
    needs = (wants("material", wanted),) if isinstance(wanted, str) else wanted
    said = (claims("material", offered),) if isinstance(offered, str) else offered
    if thickness:
        needs = (*needs, wants("thickness", size(Kind.LENGTH, thickness[0], "in")))
        said = (*said, measures("thickness", size(Kind.LENGTH, thickness[1], "in"), instrument="micrometer"))
    return compare(
        Wanted(part, needs, role=role, use=use),
        Offered(part, said, origin=Origin.AVIATION, evidence=evidence),
    )


def _row(sheet: Sheet) -> Row:
    return next(row for row in sheet.rows if row.key == "material")


def _verdict(wanted: str, offered: str, **more: object) -> Verdict:
    return _row(_sheet(wanted, offered, **more)).verdict  # type: ignore[arg-type]


def test_the_same_alloy_by_papers_alone_is_a_persons_to_hold_against_the_piece() -> None:
    row = _row(_sheet("2024-T3", "2024-T3"))
    assert row.verdict is Verdict.JUDGED
    assert "By papers" in row.sentence
    assert "certificate" in row.assumption
    assert row.needs_answer
    assert not row.departs


def test_papers_and_the_stamp_read_here_prove_it() -> None:
    row = _row(_sheet("2024-T3", (measures("material", "2024-T3"),)))
    assert row.verdict is Verdict.PROVEN
    assert "by papers" in row.sentence
    assert row.assumption


def test_a_claim_alone_proves_nothing_and_says_what_settles_it() -> None:
    row = _row(_sheet("2024-T3", "2024-T3", evidence=()))
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert "conductivity" in row.measure.what
    assert "hardness" in row.measure.what


@pytest.mark.parametrize("evidence", [(Evidence.TAG,), (Evidence.INVOICE,), (Evidence.LETTER,), (Evidence.NONE,)])
def test_a_tag_or_an_invoice_is_no_certificate(evidence: tuple[Evidence, ...]) -> None:
    assert _verdict("2024-T3", "2024-T3", evidence=evidence) is Verdict.OPEN


@pytest.mark.parametrize(
    ("instruments", "expected"),
    [
        (("eye",), Verdict.OPEN),
        (("conductivity",), Verdict.OPEN),
        (("hardness",), Verdict.OPEN),
        (("conductivity", "hardness"), Verdict.PROVEN),
        (("analysis",), Verdict.PROVEN),
    ],
)
def test_hardness_and_conductivity_count_together_only(instruments: tuple[str, ...], expected: Verdict) -> None:
    """Neither alone is proof: J. Failure Analysis and Prevention 18 (2018) 50-54, abstract."""
    said = tuple(measures("material", "2024-T3", instrument=one) for one in instruments)
    row = _row(_sheet("2024-T3", said, evidence=()))
    assert row.verdict is expected
    if expected is Verdict.PROVEN:
        assert row.assumption


def test_an_alloy_without_its_temper_stays_open_even_with_an_analysis() -> None:
    row = _row(_sheet("2024-T3", (measures("material", "2024", instrument="analysis"),), evidence=()))
    assert row.verdict is Verdict.OPEN
    assert "temper" in row.sentence


def test_an_original_without_its_temper_asks_about_the_original() -> None:
    row = _row(_sheet("2024", "2024-T3"))
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.about_original


def test_an_old_name_read_from_memory_is_a_persons_to_answer_for() -> None:
    """17S-T = 2017-T4 is quoted for the alloy and from memory for the temper."""
    row = _row(_sheet("17ST", "2017-T4"))
    assert row.verdict is Verdict.JUDGED
    assert any(source.standing is Standing.MEMORY for source in row.sources)


def test_an_old_name_that_a_manual_equates_is_proven() -> None:
    """TM 1-1500-204-23-6 Table 4-6: 52S-1/2H is 5052-H34."""
    assert _row(_sheet("52S-1/2H", (measures("material", "5052-H34"),))).verdict is Verdict.PROVEN


def test_welded_and_seamless_4130_are_interchangeable() -> None:
    """AC 43.13-1B para 4-3: MIL-T-6731 and MIL-T-6736."""
    row = _row(_sheet("MIL-T-6736", (measures("material", "MIL-T-6731"),), part="tube"))
    assert row.verdict is Verdict.PROVEN
    assert "AC 43.13-1B" in str(row.sources[0])


def test_dural_is_never_matched_without_settling_which() -> None:
    row = _row(_sheet("Dural", "2017-T4"))
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert row.measure.about_original
    assert "analysis" in row.measure.what


def test_a_weaker_alloy_goes_against_and_says_the_thickness() -> None:
    """MIL-HDBK-5J: 42 against 63 ksi, so 0.032 in becomes at least 0.048 in."""
    row = _row(_sheet("2024-T3", "6061-T6", thickness=("0.032", "0.032")))
    assert row.verdict is Verdict.AGAINST
    assert "0.048" in row.sentence
    assert any("MIL-HDBK-5J" in str(source) for source in row.sources)


def test_the_thicker_sheet_makes_up_for_it() -> None:
    row = _row(_sheet("2024-T3", "6061-T6", thickness=("0.032", "0.050")))
    assert row.verdict is Verdict.JUDGED
    assert row.departs


def test_a_stronger_alloy_is_a_persons_decision_never_proven_the_same() -> None:
    row = _row(_sheet("2017-T4", "2024-T4", part="bar"))
    assert row.verdict is Verdict.JUDGED
    assert row.departs
    assert _verdict("2017-T4", "2024-T4", part="bar", evidence=()) is Verdict.OPEN


def test_a_typical_original_against_a_lower_minimum_is_refused() -> None:
    """2017-T4 typical 62 ksi (AA) against clad 2024-T3 59 ksi (5J): typical and minimum don't mix."""
    row = _row(_sheet("2017-T4", "2024-T3 clad", thickness=("0.032", "0.032")))
    assert row.verdict is Verdict.OPEN
    assert "typical" in row.sentence


def test_the_soft_temper_is_named_as_the_trap_it_is() -> None:
    row = _row(_sheet("2024-T3", "2024-O"))
    assert row.verdict is Verdict.OPEN
    assert "soft temper" in row.sentence


def test_sheet_treated_by_the_shop_is_weaker_than_t3() -> None:
    """5J 3.2.3.0(b1), (b2)."""
    row = _row(_sheet("2024-T3", "2024-T42"))
    assert row.verdict is Verdict.AGAINST
    assert "0.90" in row.sentence


def test_bare_for_clad_is_answered_for() -> None:
    row = _row(_sheet("2024-T3 clad", "2024-T3 bare"))
    assert row.verdict is Verdict.JUDGED
    assert "cladding" in row.sentence
    assert _verdict("2024-T3 clad", "2024-T3") is Verdict.OPEN


def test_a_test_bar_figure_decides_nothing() -> None:
    """AZ63A-T6 test bar (data page, quoted) against 356-T6 in the part (5J)."""
    requirements = (wants("material", "AZ63A-T6"), wants("process", "sand"))
    said = (claims("material", "AZ92A-T6"), measures("process", "sand"))
    row = _row(_sheet(requirements, said, part="casting"))
    assert row.verdict is Verdict.OPEN
    assert "not comparable" in row.sentence


@pytest.mark.parametrize(
    ("wanted", "offered"),
    [("2024-T3", "steel"), ("brass", "steel"), ("2024-T3", "4130 N"), ("vulcanised fibre", "nylon"), ("cotton", "PVC")],
)
def test_another_kind_of_material_goes_against(wanted: str, offered: str) -> None:
    for evidence in (PAPERS, ()):
        assert _verdict(wanted, offered, evidence=evidence) is Verdict.AGAINST


def test_a_guess_about_another_metal_goes_nowhere() -> None:
    assert _verdict("2024-T3", "steel?") is Verdict.OPEN


def test_a_family_on_display_needs_a_look_and_for_flying_structure_more() -> None:
    brass = (measures("material", "Messing"),)
    assert _row(_sheet("brass", brass, evidence=(), use=Use.DISPLAY)).verdict is Verdict.PROVEN
    assert _row(_sheet("brass", brass, evidence=())).verdict is Verdict.OPEN


def test_only_the_family_of_the_find_is_known() -> None:
    row = _row(_sheet("C36000-H02", "brass", part="bar"))
    assert row.verdict is Verdict.OPEN
    assert "only" in row.sentence


def test_what_nobody_knows_is_open_and_never_a_guess() -> None:
    assert _verdict("2024-T3", "unobtainium") is Verdict.OPEN
    assert _verdict("unobtainium", "2024-T3") is Verdict.OPEN
    assert _verdict("unobtainium", "unobtainium", evidence=()) is Verdict.OPEN


def test_asbestos_is_refused_like_for_like_and_governs_even_on_display() -> None:
    row = _row(_sheet("asbestos", "asbestos", use=Use.DISPLAY))
    assert row.verdict is Verdict.AGAINST
    assert row.concern is Concern.HAZARD
    assert "local authority" in row.caution
    assert _sheet("asbestos", "asbestos", use=Use.DISPLAY).outcome is Outcome.NOT_EQUIVALENT


def test_its_stand_in_is_judged_with_the_temperature() -> None:
    """Sleeve makers' figure, quoted: 260 °C for silicone-coated glass."""
    row = _row(_sheet("asbestos", "silicone-coated glass braid"))
    assert row.verdict is Verdict.JUDGED
    assert "260 °C" in row.sentence
    assert "asbestos" in row.caution.casefold()


@pytest.mark.parametrize("offered", ["celluloid", "cellulose nitrate", "Zelluloid"])
def test_nitrate_is_never_nitrate_again(offered: str) -> None:
    assert _verdict("celluloid", offered) is Verdict.AGAINST


def test_other_cloth_than_cotton_is_a_major_alteration() -> None:
    """AC 43.13-1B para 2-5."""
    row = _row(_sheet("Grade A cotton", "polyester", part="general"))
    assert row.verdict is Verdict.OPEN
    assert "major alteration" in row.sentence


def test_douglas_fir_for_spruce_is_listed_and_shows_the_shear() -> None:
    """AC 43.13-1B Table 1-1; shear from ANC-18 as quoted."""
    row = _row(_sheet("Sitka spruce", "Douglas fir", part="timber"))
    assert row.verdict is Verdict.JUDGED
    assert "shear" in row.sentence


def test_4130_for_1025_is_a_substitute_with_reasons() -> None:
    """MIL-HDBK-5J 2.2.1.0(b), 2.3.1.0(c1)."""
    needs = (wants("material", "1025 N"), wants("wall", size(Kind.LENGTH, "0.049", "in")))
    said = (claims("material", "4130 N"), measures("wall", size(Kind.LENGTH, "1.25"), instrument="micrometer"))
    row = _row(_sheet(needs, said, part="tube"))
    assert row.verdict is Verdict.JUDGED
    assert "1.73" in row.sentence
    # with no wall known the weaker figure of thick wall (90 ksi) is taken
    assert "1.64" in _row(_sheet("1025 N", "4130 N", part="tube")).sentence


def test_two_names_of_one_alloy_are_no_contradiction() -> None:
    needs = (wants("material", "52S-1/2H"), wants("material", "5052-H34"))
    assert _row(_sheet(needs, (measures("material", "5052-H34"),))).verdict is Verdict.PROVEN
    torn = (wants("material", "2024-T3"), wants("material", "6061-T6"))
    row = _row(_sheet(torn, "2024-T3"))
    assert row.verdict is Verdict.OPEN
    assert "decide" in row.sentence


def test_one_of_several_accepted_materials_is_enough() -> None:
    either = (Requirement("material", Form.ONE_OF, "2024-T3 or 7075-T6", words=("2024-T3", "7075-T6")),)
    assert _row(_sheet(either, (measures("material", "7075-T6"),))).verdict is Verdict.PROVEN


def test_display_only_contributes() -> None:
    sheet = _sheet("2024-T3", "6061-T6", use=Use.DISPLAY)
    assert _row(sheet).verdict is Verdict.AGAINST
    assert sheet.outcome is Outcome.WITH_REASONS


# ---- laws ----

_TEMPERED = sorted(
    {one.alloy for one in all_properties().values() if one.family.startswith(("aluminium", "magnesium"))}
)
_NAMES = sorted(
    {f"{one.alloy}-{temper}" for one in all_properties().values() for temper in one.tempers if temper != "any"}
)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(_TEMPERED), st.sampled_from(_NAMES), st.sampled_from(list(Role)), st.sampled_from(list(Use)))
def test_an_unknown_temper_is_never_proven(alloy: str, wanted: str, role: Role, use: Use) -> None:
    analysed = (measures("material", alloy, instrument="analysis"),)
    assert _row(_sheet(wanted, analysed, part="bar", role=role, use=use)).verdict is not Verdict.PROVEN


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(_NAMES), st.sampled_from(_NAMES))
@example("C11000-O60", "C11000-H04")  # soft and hard copper
def test_another_name_is_never_proven_the_same(wanted: str, offered: str) -> None:
    row = _row(_sheet(wanted, (measures("material", offered),), part="bar"))
    if row.verdict is Verdict.PROVEN:
        assert wanted == offered


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(_NAMES), st.sampled_from(_NAMES))
def test_a_claim_is_never_proven(wanted: str, offered: str) -> None:
    for evidence in ((), PAPERS):
        assert _row(_sheet(wanted, offered, part="bar", evidence=evidence)).verdict is not Verdict.PROVEN


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=30), st.text(max_size=30))
def test_any_words_give_a_row_with_a_source(wanted: str, offered: str) -> None:
    row = _row(_sheet(wanted, offered, part="general"))
    assert row.sentence
    assert row.sources
    assert row.verdict is not Verdict.OPEN or row.measure is not None


def test_thicker_never_makes_it_worse() -> None:
    order = [Verdict.AGAINST, Verdict.OPEN, Verdict.JUDGED, Verdict.PROVEN]
    verdicts = [
        _row(_sheet("2024-T3", "6061-T6", thickness=("0.032", str(Fraction(step, 1000))))).verdict
        for step in (25, 32, 40, 50, 63)
    ]
    ranks = [order.index(one) for one in verdicts]
    assert ranks == sorted(ranks)
