"""What must hold for every rivet and every stack. Laws of the decision rule and of geometry, no figures."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain import joints
from server.domain.equivalence import compare
from server.domain.offer import Offered
from server.domain.parts import part_class
from server.domain.parts._kit import Case
from server.domain.parts._rivet_setting import setting_rows
from server.domain.quantities import INCH, Kind, Quantity
from server.domain.specification import Wanted
from server.domain.verdict import Row, Verdict
from tests.domain.rivet_builders import claimed, find, inch, joint, mm, need

LENGTH_KINDS = ("solid_rivet", "semi_tubular_rivet", "tubular_rivet", "split_rivet")
COMPUTED = {"setting", "hole", "formed_head", "edge_distance", "pitch", "bore_in_joint", "bore_at_plane", "strength"}

LAW = settings(deadline=None, max_examples=60)

kinds = st.sampled_from(LENGTH_KINDS)
thicknesses = st.integers(3, 400).map(lambda n: Fraction(n, 100))
bodies = st.integers(16, 80).map(lambda n: Fraction(n, 10))
stick_outs = st.integers(-30, 300).map(lambda n: Fraction(n, 10))
MISSING = st.sampled_from(["body_diameter", "length_under_head", "stack", "sheet"])
doubts = st.integers(0, 60).map(lambda n: Fraction(n, 500))


def _mm(value: Fraction) -> Quantity:
    return Quantity(Kind.LENGTH, value, "mm", f"{float(value):g} mm")


def _setting(wanted: Wanted, offered: Offered) -> Row:
    case = Case(wanted, offered, part_class(wanted.part_class), part_class(offered.part_class))
    return next(row for row in setting_rows(case) if row.key == "setting")


def _rivet(kind: str, body: Fraction, length: Fraction, doubt: Fraction = Fraction(0)) -> Offered:
    return find(kind, doubt=doubt, head_style="round", body_diameter=_mm(body), length_under_head=_mm(length))


@LAW
@given(kinds, bodies, thicknesses, thicknesses, stick_outs)
def test_a_longer_stack_never_makes_a_short_rivet_long_enough(
    kind: str, body: Fraction, first: Fraction, more: Fraction, stick_out: Fraction
) -> None:
    rivet = _rivet(kind, body, first + stick_out)
    short = _setting(need(kind, joint(_mm(first))), rivet)
    longer = _setting(need(kind, joint(_mm(first), _mm(more))), rivet)
    needs = joints.split_allowance().low if kind == "split_rivet" else body / 2
    if short.verdict is Verdict.AGAINST and stick_out < needs:
        assert longer.verdict is not Verdict.PROVEN


@LAW
@given(kinds, bodies, thicknesses, stick_outs, doubts, doubts, st.integers(2, 20))
def test_measuring_more_tightly_never_takes_a_proof_away(
    kind: str, body: Fraction, grip: Fraction, stick_out: Fraction, on_rivet: Fraction, on_sheet: Fraction, finer: int
) -> None:
    wanted = need(kind, joint(_mm(grip), doubt=on_sheet))
    before = _setting(wanted, _rivet(kind, body, grip + stick_out, on_rivet))
    tight = need(kind, joint(_mm(grip), doubt=on_sheet / finer))
    after = _setting(tight, _rivet(kind, body, grip + stick_out, on_rivet / finer))
    if before.verdict in {Verdict.PROVEN, Verdict.AGAINST}:
        assert after.verdict is before.verdict


@LAW
@given(kinds, kinds, bodies, thicknesses, stick_outs)
def test_a_claim_never_proves_anything_computed(
    kind: str, other: str, body: Fraction, grip: Fraction, stick_out: Fraction
) -> None:
    stack = joint(
        _mm(grip), _mm(grip), hole=_mm(body + Fraction(1, 20)), edge_distance=_mm(3 * body), pitch=_mm(5 * body)
    )
    wanted = need(kind, stack, material="2117", head_style="round", body_diameter=_mm(body))
    offered = find(other, material="2117", head_style="round", body_diameter=_mm(body),
                   length_under_head=_mm(2 * grip + stick_out), bore_depth=_mm(body))  # fmt: skip
    for row in compare(wanted, claimed(offered)).rows:
        if row.key in COMPUTED | {"material", "head_style", "body_diameter"}:
            assert row.verdict is not Verdict.PROVEN, row.key


@LAW
@given(
    kinds, bodies, thicknesses, stick_outs, st.sampled_from(["body_diameter", "length_under_head", "stack", "sheet"])
)
def test_what_is_not_known_is_never_proven(
    kind: str, body: Fraction, grip: Fraction, stick_out: Fraction, missing: str
) -> None:
    rivet = _rivet(kind, body, 2 * grip + stick_out)
    stack = joint(_mm(grip), _mm(grip))
    wanted = need(kind, stack)
    if missing == "stack":
        wanted = need(kind, None)
    elif missing == "sheet":
        wanted = need(kind, replace(stack, plies=(stack.plies[0], replace(stack.plies[1], thickness=None))))
    else:
        rivet = replace(rivet, statements=tuple(one for one in rivet.statements if one.characteristic != missing))
    row = _setting(wanted, rivet)
    assert row.verdict is Verdict.OPEN
    assert row.measure is not None


@LAW
@given(bodies, thicknesses, stick_outs, st.sampled_from(["round", "universal", "flat"]))
def test_inches_and_millimetres_give_the_same_verdict(
    body: Fraction, grip: Fraction, stick_out: Fraction, head: str
) -> None:
    def in_inches(value: Fraction) -> Quantity:
        return Quantity(Kind.LENGTH, value, "in", f"{float(value / INCH):.5f} in")

    in_mm = find("solid_rivet", head_style=head, body_diameter=_mm(body), length_under_head=_mm(grip + stick_out))
    same = find("solid_rivet", head_style=head, body_diameter=in_inches(body),
                length_under_head=in_inches(grip + stick_out))  # fmt: skip
    one, other = (_setting(need("solid_rivet", joint(_mm(grip))), rivet) for rivet in (in_mm, same))
    assert (one.verdict, one.margin) == (other.verdict, other.margin)


@LAW
@given(st.integers(1, 20000).map(lambda n: Fraction(n, 1000) * INCH / 4))
def test_the_next_length_up_is_never_shorter_and_the_nearest_never_farther(target: Fraction) -> None:
    lengths = joints.standard_lengths(target, inch=True)
    assert lengths is not None
    assert lengths.next_up_whole is not None
    assert lengths.nearest_whole is not None
    for up, near, step in (
        (lengths.next_up, lengths.nearest, joints.HALF_STEP),
        (lengths.next_up_whole, lengths.nearest_whole, joints.WHOLE_STEP),
    ):
        assert 0 <= up - target < step
        assert abs(near - target) <= step / 2
        assert (up / step).denominator == (near / step).denominator == 1


@LAW
@given(bodies, thicknesses, st.integers(0, 40), st.integers(1, 40), st.integers(10, 25))
def test_a_looser_hole_never_makes_a_higher_head(
    body: Fraction, grip: Fraction, air: int, more: int, share: int
) -> None:
    stick_out, wide = body * share / 10, joints.TARGET * body
    tight = joints.driven_head_height(stick_out, body, body + Fraction(air, 100), grip, wide)
    loose = joints.driven_head_height(stick_out, body, body + Fraction(air + more, 100), grip, wide)
    assert loose < tight


@LAW
@given(bodies, st.integers(1, 30))
def test_the_ends_of_every_allowance_are_in_order(body: Fraction, tenths: int) -> None:
    every = [
        joints.solid_allowance(body, Fraction(tenths)),
        joints.flush_tail_allowance(body, Fraction(90)),
        joints.split_allowance(),
        *(joints.semi_tubular_allowance(body, in_lining=lining) for lining in (True, False)),
        *(joints.tubular_allowance(body, Fraction(tenths, 10), in_lining=lining) for lining in (True, False)),
    ]
    for needs in every:
        assert needs is not None
        assert 0 < needs.low <= needs.good_low <= needs.good_high <= needs.high


@pytest.mark.parametrize("kind", [*LENGTH_KINDS, "blind_rivet"])
def test_an_empty_find_proves_nothing(kind: str) -> None:
    wanted = need(kind, joint(mm("1"), mm("1"), hole=mm("3.2")), material="2117", body_diameter=inch("1/8"))
    rows = compare(wanted, Offered(kind)).rows
    assert {row.key for row in rows if row.verdict is Verdict.PROVEN} <= {"kind", "access"}
