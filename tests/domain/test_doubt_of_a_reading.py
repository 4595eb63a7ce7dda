"""How sure a reading is, from how it was written: a spread behind it, a range, "about".

Source: GUM 4.3.7, a greatest error ±a is a rectangular spread of standard deviation a/√3 (from memory there, here
plain arithmetic); the rest is an own rule: what was written is never taken for better than it says.
"""

from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Statement
from server.domain.parts._examples import size, wants
from server.domain.parts._rivet_rows import figure_of
from server.domain.quantities import UNIT_ASSUMED, Kind
from server.domain.reading import read_quantity
from server.domain.specification import Form, Known, KnownFrom, Requirement, Wanted
from server.domain.verdict import Row, Verdict

BETWEEN = wants("shank_diameter", size(Kind.LENGTH, low="6.2", high="6.5"))


def reading(text: str, instrument: str = "micrometer", expanded: Fraction | None = None) -> Statement:
    quantity = read_quantity(text, Kind.LENGTH)
    return Statement("shank_diameter", Basis.MEASURED, text, quantity, expanded=expanded, instrument=instrument)


def row(said: Statement, wanted: Requirement = BETWEEN) -> Row:
    sheet = compare(Wanted("pin", (wanted,)), Offered("pin", (said,)))
    return next(one for one in sheet.rows if one.key == "shank_diameter")


def test_a_spread_behind_a_reading_is_its_doubt() -> None:
    said = reading("6.35 ± 0.05 mm")
    assert said.doubt is not None
    assert float(said.doubt) == pytest.approx(2 * 0.05 / sqrt(3))
    assert not said.doubt_is_assumed
    assert row(said).verdict is Verdict.PROVEN
    # 6.46 mm by a micrometer alone would be proven; ±0.05 mm it may be 6.51 mm
    assert row(reading("6.46 mm")).verdict is Verdict.PROVEN
    assert row(reading("6.46 ± 0.05 mm")).verdict is Verdict.OPEN


def test_a_spread_smaller_than_the_instrument_can_tell_is_not_believed() -> None:
    said = reading("6.35 ± 0.0010 mm", "calliper")
    assert said.doubt == Fraction("0.04")
    assert said.doubt_is_assumed
    assert reading("6.35 ± 0.0010 mm", "calliper", Fraction("0.002")).doubt == Fraction("0.002")  # typed on purpose


@pytest.mark.parametrize(
    ("text", "verdict"),
    [("6.3 to 6.4 mm", Verdict.PROVEN), ("6.3 to 6.6 mm", Verdict.AGAINST), ("6.0 to 7.0 mm", Verdict.AGAINST)],
)
def test_of_a_range_the_end_counts_that_suits_least(text: str, verdict: Verdict) -> None:
    """An oval shank goes by its thickest place: its middle, 6.5 mm in the last, would be let through."""
    for said in (reading(text), reading(text, expanded=Fraction("0.01"))):
        found = row(said)
        assert found.verdict is verdict
        assert "the end of" in found.sentence


def test_what_is_only_about_so_large_proves_nothing() -> None:
    found = row(reading("approx 6.0 mm"))
    assert found.verdict is Verdict.OPEN
    assert "only about so large" in found.sentence
    assert row(reading("approx 6.0 mm", expanded=Fraction("0.1"))).verdict is Verdict.AGAINST  # its doubt was typed


def test_a_range_in_a_sum_is_as_doubtful_as_it_is_wide() -> None:
    figure = figure_of(reading("6.0 to 7.0 mm"))
    assert figure is not None
    assert figure.value == Fraction("6.5")
    assert figure.doubt == Fraction("0.51")


@settings(deadline=None, max_examples=60)
@given(st.integers(6000, 6800), st.integers(0, 300))
def test_a_wider_spread_never_proves_more(thousandths: int, spread: int) -> None:
    middle = f"{thousandths / 1000:.4f}"  # three decimals could be thousands
    narrow, wide = (reading(f"{middle} ± {each / 1000:.4f} mm") for each in (spread + 1, spread + 50))
    if row(wide).verdict is not Verdict.OPEN:
        assert row(narrow).verdict is row(wide).verdict


def test_a_unit_that_the_drawings_gave_is_said_on_the_sheet() -> None:
    """Own rule: a bare number is never guessed, and where the drawings name its unit the row says so."""
    quantity = read_quantity("0.25", Kind.LENGTH, drawing_unit="in")
    wanted = Requirement("shank_diameter", Form.EXACTLY, "0.25", quantity, known=Known(KnownFrom.DRAWING))
    assert row(reading("0.25 in"), wanted).assumption.startswith(UNIT_ASSUMED)
    assert not row(reading("0.25 in")).assumption
