"""Weight and balance of a change: arms as they are written, moments, and what a person is told."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.equivalence import compare
from server.domain.errors import Unreadable
from server.domain.offer import Offered
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.quantities import UNITS, Kind
from server.domain.specification import Form, Role, Use, Wanted, Weight
from server.domain.verdict import Row, Verdict
from server.domain.weight import KEY, NEGLIGIBLE, moment_of, read_arm

UREG: pint.UnitRegistry[Any] = pint.UnitRegistry()

# FAA AC 43.13-1B (8 Sep 1998), chapter 10, example "To check: most rearward weight and balance extreme":
# weight in lb, arm in inches from the datum (forward of it negative), moment in lb·in as printed there.
PRINTED = [(17, "-49 in", -833), (170, "+16 in", 2720), (340, "+48 in", 16320), (240, "+22 in", 5280)]
PRINTED += [(100, "75.5 in aft of datum", 7550)]


@pytest.mark.parametrize(("pounds", "arm", "printed"), PRINTED)
def test_moments_are_those_that_the_circular_prints(pounds: int, arm: str, printed: int) -> None:
    moment = moment_of(UNITS["lb"].to_base(Fraction(pounds)), read_arm(arm).distance)
    as_printed = UREG.Quantity(printed, "pound * inch").to("kilogram * meter").magnitude
    assert float(moment) == pytest.approx(as_printed, rel=1e-9)


@pytest.mark.parametrize(
    ("text", "mm", "said"),
    [
        ("1.85 m aft of datum", 1850, "1.85\u202fm aft of the datum"),
        ("1,85 m hinter der Bezugsebene", 1850, "1.85\u202fm aft of the datum"),
        ("12 in forward of the datum", Fraction("-304.8"), "12\u202fin forward of the datum"),
        ("1 ft 6 in fwd of datum", Fraction("-457.2"), "18\u202fin forward of the datum"),
        ("STA 45.5 in aft", Fraction("1155.7"), "45.5\u202fin aft of the datum"),
        ("\u22120.40 m", -400, "0.4\u202fm forward of the datum"),
        ("-3 in forward of datum", Fraction("-76.2"), "3\u202fin forward of the datum"),
        ("0 mm", 0, "at the datum"),
    ],
)
def test_an_arm_is_read_as_it_is_written(text: str, mm: Fraction, said: str) -> None:
    arm = read_arm(text)
    assert (arm.distance, arm.said) == (mm, said)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("1.85 m", "side of the datum"),
        ("-3 in aft of datum", "both aft and forward"),
        ("12 aft of datum", "Which unit"),
        ("aft of datum", "no distance"),
        ("1.85 m aft of the main wheel", "main wheel"),
        ("somewhere", "no distance"),
    ],
)
def test_an_arm_that_leaves_a_question_is_refused(text: str, word: str) -> None:
    with pytest.raises(Unreadable, match=word):
        read_arm(text)


@given(st.decimals("0.01", "9.99", places=2), st.sampled_from(["mm", "cm", "m", "in", "ft"]))
def test_the_two_sides_of_the_datum_mirror_each_other(number: object, unit: str) -> None:
    """A law: forward of the datum is minus what aft of it is (AC 43.13-1B, paragraph 10-2)."""
    aft, forward = read_arm(f"{number} {unit} aft of datum"), read_arm(f"{number} {unit} forward of datum")
    assert aft.distance == -forward.distance == read_arm(f"+{number} {unit}").distance


# ---- the row ----

ARM = "1.85 m aft of datum"


def place(*, arm: str = ARM, mass: str = "2.40", role: Role = Role.SYSTEMS, use: Use = Use.PERMIT) -> Wanted:
    asked = (wants("mass", size(Kind.MASS, mass, "kg"), form=Form.AT_LEAST),) if mass else ()
    return Wanted("general", asked, role=role, use=use, arm=arm)


def weighed(value: str, doubt: str = "10") -> Offered:
    return Offered("general", (measures("mass", size(Kind.MASS, value, "kg"), expanded=doubt, instrument="scale"),))


def balance(wanted: Wanted, offered: Offered) -> Row | None:
    return next((row for row in compare(wanted, offered).rows if row.key == KEY), None)


def test_the_change_and_its_moment_are_said_with_who_has_to_judge() -> None:
    row = balance(place(), weighed("3.20"))
    assert row is not None
    assert row.verdict is Verdict.JUDGED
    assert row.weight is Weight.CONTRIBUTES
    assert row.departs
    # 0.80 kg × 1.85 m = 1.48 kg·m (elementary statics)
    assert "800\u202fg ± 10\u202fg heavier" in row.sentence
    assert "+1.48\u202fkg·m" in row.sentence
    assert "weight and balance record" in row.sentence
    assert any("AC 43.13-1B" in str(source) for source in row.sources)


def test_a_lighter_part_forward_of_the_datum_turns_the_tail_down() -> None:
    row = balance(place(arm="20 in forward of datum"), weighed("1.40"))
    assert row is not None
    # minus times minus: −1 kg at −0.508 m is +0.508 kg·m; in lb·in 2.2046 × 20 = 44.1 (pint)
    pounds = UREG.Quantity(1, "kilogram").to("pound").magnitude * 20
    assert "+0.508\u202fkg·m" in row.sentence
    assert f"+{pounds:.3g}\u202flb·in" in row.sentence


def test_without_an_arm_there_is_no_row() -> None:
    assert balance(place(arm=""), weighed("3.20")) is None


@pytest.mark.parametrize(("mass", "offered"), [("", weighed("3.2")), ("2.4", Offered("general"))])
def test_a_weight_that_is_not_known_is_not_nothing(mass: str, offered: Offered) -> None:
    row = balance(place(mass=mass), offered)
    assert row is not None
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None
    assert "isn't known" in row.sentence


def test_a_difference_smaller_than_its_doubt_is_none_that_can_be_told() -> None:
    row = balance(place(), weighed("2.405", "20"))
    assert row is not None
    assert not row.departs
    assert "No difference" in row.sentence


def test_a_pound_or_less_is_negligible_but_never_on_a_control() -> None:
    """One pound on aeroplanes under 5000 lb empty: AC 43.13-1B, Change 1, paragraph 10-2c."""
    assert float(NEGLIGIBLE) == pytest.approx(UREG.Quantity(1, "pound").to("gram").magnitude, rel=1e-12)
    small = balance(place(), weighed("2.80", "10"))
    assert small is not None
    assert not small.departs
    assert "negligible" in small.sentence
    control = balance(place(role=Role.CONTROL), weighed("2.80", "10"))
    assert control is not None
    assert control.departs
    assert "flutter" in control.sentence
    over = balance(place(), weighed("2.85", "10"))
    assert over is not None
    assert over.departs


def test_what_is_only_claimed_says_so_and_asks_for_the_scale() -> None:
    row = balance(place(), Offered("general", (claims("mass", size(Kind.MASS, "3.2", "kg")),)))
    assert row is not None
    assert "claimed" in row.sentence
    assert row.measure is not None
    assert row.departs


def test_an_arm_that_cannot_be_read_is_said_and_never_counted() -> None:
    row = balance(place(arm="near the tail"), weighed("3.2"))
    assert row is not None
    assert row.verdict is Verdict.OPEN
    assert "can't be read" in row.sentence


def test_densities_stand_in_for_scales_at_the_same_size() -> None:
    """4130 tube for 2024 tube of one size: 0.283 for 0.100 lb/in³ (MIL-HDBK-5J), so 2.83 times the weight."""
    wanted = Wanted(
        "tube",
        (wants("material", "2024-T3"), wants("mass", size(Kind.MASS, "1", "kg"))),
        role=Role.SYSTEMS,
        use=Use.PERMIT,
        arm=ARM,
    )
    row = balance(wanted, Offered("tube", (measures("material", "4130 N", instrument="analysis"),)))
    assert row is not None
    assert "by the densities" in row.sentence
    assert "+1830\u202fg" in row.offered
    assert row.assumption


def test_a_straight_tube_is_worked_out_from_sizes_and_density() -> None:
    """π/4 (D² − d²) L of a thin tube, by the circle's own formula; density of 4130: 0.283 lb/in³ (MIL-HDBK-5J)."""
    sizes = {"outside_diameter": "25.4", "length_over_all": "1000"}
    asked = [wants(key, size(Kind.LENGTH, value)) for key, value in sizes.items()]
    found = [measures(key, size(Kind.LENGTH, value), expanded="0.1") for key, value in sizes.items()]
    wanted = Wanted(
        "tube",
        (wants("material", "4130 N"), wants("wall", size(Kind.LENGTH, "0.889")), *asked),
        use=Use.PERMIT,
        role=Role.SYSTEMS,
        arm=ARM,
    )
    offered = Offered(
        "tube",
        (
            measures("material", "4130 N", instrument="analysis"),
            measures("wall", size(Kind.LENGTH, "1.245"), expanded="0.01"),
            *found,
        ),
    )
    row = balance(wanted, offered)
    assert row is not None
    density = UREG.Quantity(0.283, "pound / inch ** 3").to("gram / centimeter ** 3").magnitude
    area = [3.141592653589793 / 4 * (25.4**2 - (25.4 - 2 * wall) ** 2) / 100 for wall in (0.889, 1.245)]
    grams = (area[1] - area[0]) * 100 * density
    assert f"{grams:.1f}" in row.offered.replace("\u202f", " ")
    assert balance(replace(wanted, arm=""), offered) is None
