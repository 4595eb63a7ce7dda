"""Index tokens and rows: whole words only, neighbours within reach, a small row that reads back."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.quantities import Kind
from server.matching.facts import SizeFact, size_fact
from server.matching.index import number_beginnings, number_forms, read_row, row_of, size_steps, tokens_of
from server.matching.reading_text import read_facts
from server.matching.weights import EQUAL, NEAR
from tests.matching.synthetic import needs

lengths = st.integers(1, 200_000).map(lambda value: Fraction(value, 100))


def _size(value: Fraction) -> SizeFact:
    fact = size_fact(Kind.LENGTH, "", value, Fraction(0), "", 0)
    assert fact is not None
    return fact


@given(st.text(max_size=300))
@settings(deadline=None)
def test_tokens_are_whole_words_each_once(text: str) -> None:
    tokens = tokens_of(read_facts(text))
    assert len(tokens) == len(set(tokens))
    assert all(token.isalnum() for token in tokens)


@given(lengths, st.floats(-EQUAL, EQUAL))
@settings(deadline=None)
def test_equal_sizes_always_meet_in_a_fine_step(value: Fraction, apart: float) -> None:
    other = _size(Fraction(float(value) * math.exp(apart)).limit_denominator(10**9))
    assert set(size_steps(_size(value), around=1)[0]) & set(size_steps(other)[0])


@given(lengths, st.floats(-NEAR, NEAR))
@settings(deadline=None)
def test_near_sizes_always_meet_in_a_coarse_step(value: Fraction, apart: float) -> None:
    other = _size(Fraction(float(value) * math.exp(apart)).limit_denominator(10**9))
    assert set(size_steps(_size(value), around=1)[1]) & set(size_steps(other)[1])


def test_a_row_reads_back_and_stays_small() -> None:
    for need in needs(200, seed=5):
        facts = read_facts(need.text)
        row = row_of(facts)
        assert len(row) <= 200
        back = read_row(row)
        assert [(one.kind, one.role) for one in back] == [(str(one.kind), one.role) for one in facts.sizes]
        assert [one.value for one in back] == pytest.approx([float(one.value) for one in facts.sizes], rel=1e-5)


def test_a_number_is_found_under_its_newer_prefix_and_without_one() -> None:
    """MS20470 took the place of AN470 (AC 43.13-1B, paragraph 4-57, names both)."""
    assert "AN470AD46" in number_forms("MS20470AD46")
    assert set(number_forms("AN470AD46")) & set(number_forms("MS20470AD46"))
    assert "470AD46" in number_forms("AN470AD46")


def test_a_number_may_be_cut_short_where_it_changes() -> None:
    assert number_beginnings("AN470AD4-6") == ("AN470", "AN470AD", "AN470AD4")
    assert number_beginnings("13836") == ("1383",)
    assert number_beginnings("K1") == ()
