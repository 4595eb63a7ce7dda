"""Laws of the score, and worked comparisons.

Equal sizes are held against exact conversions (1 in = 25.4 mm, NIST SP 811); what is near or another size follows the
line of weights.py, which is a trial's value.
"""

import math
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.quantities import Kind
from server.domain.reading_words import ROLES
from server.matching.explain import explain
from server.matching.facts import Facts, Meaning, SizeFact, size_fact
from server.matching.index import RowSize, row_of, tokens_of
from server.matching.lexicon import Type, standard_lexicon
from server.matching.query import prepare
from server.matching.reading_text import read_facts
from server.matching.score import Band, Document, Hit, closeness, compatibility, document, relation, score
from server.matching.weights import NEAR

LEXICON = standard_lexicon()
CONCEPTS = sorted(one.key for one in LEXICON.concepts.values() if one.type not in {Type.QUALITY, Type.CLASS})


def _document(facts: Facts, number: int = 1) -> Document:
    return document(number, frozenset(tokens_of(facts)), row_of(facts), LEXICON)


def _score(query: Facts, other: Facts, counts: dict[str, int] | None = None) -> Hit:
    return score(prepare(query, counts or {}, 1_000), _document(other))


def _texts(query: str, other: str) -> Hit:
    return _score(read_facts(query), read_facts(other))


kinds = st.sampled_from([Kind.LENGTH, Kind.LENGTH, Kind.LENGTH, Kind.VOLTAGE, Kind.CURRENT, Kind.PRESSURE])
roles = st.sampled_from([role for role in ROLES if role != "stock"])
values = st.integers(1, 20_000).map(lambda steps: Fraction(steps, 16))


@st.composite
def sizes(draw: st.DrawFn) -> tuple[SizeFact, ...]:
    found = []
    for place in range(draw(st.integers(1, 4))):
        value = draw(values)
        fact = size_fact(draw(kinds), draw(roles), value, Fraction(0), f"{float(value):g}", place)
        assert fact is not None
        found.append(fact)
    return tuple(found)


@st.composite
def facts(draw: st.DrawFn) -> Facts:
    chosen = draw(st.lists(st.sampled_from(CONCEPTS), min_size=0, max_size=5, unique=True))
    head = next((one for one in chosen if LEXICON.concepts[one].type == Type.THING), "")
    meanings = tuple(
        Meaning(one, one, (one,), "en", (at, at + 1), is_head=one == head) for at, one in enumerate(chosen)
    )
    return Facts("", meanings, draw(sizes()))


@given(facts(), st.data())
@settings(max_examples=300, deadline=None)
def test_a_contradicting_size_never_stands_above_one_that_agrees(said: Facts, data: st.DataObject) -> None:
    """Of two that differ in one size only, the one whose sizes all agree comes first."""
    factors = [Fraction(1, 2), Fraction(5, 6), Fraction(11, 10), Fraction(3, 2), Fraction(10)]
    at = data.draw(st.integers(0, len(said.sizes) - 1))
    factor = data.draw(st.sampled_from(factors))
    size = said.sizes[at]
    other = size_fact(size.kind, size.role, size.value * factor, Fraction(0), size.text, size.place)
    assert other is not None
    assert abs(other.ln - size.ln) > NEAR
    changed = replace(said, sizes=(*said.sizes[:at], other, *said.sizes[at + 1 :]))
    assert _score(said, said).score > _score(said, changed).score


@given(facts(), facts())
@settings(max_examples=300, deadline=None)
def test_every_point_has_its_reason_and_the_share_is_a_share(one: Facts, other: Facts) -> None:
    hit = _score(one, other)
    assert math.isclose(
        hit.score, sum(reason.points for reason in (*hit.reasons_for, *hit.reasons_against)), abs_tol=1e-9
    )
    assert 0.0 <= hit.share <= 1.0
    assert all(reason.points > 0 for reason in hit.reasons_for)
    assert all(reason.points <= 0 for reason in hit.reasons_against)
    assert math.isclose(sum(line.points for line in explain(hit)), hit.score, abs_tol=1e-9)


@given(facts(), facts())
@settings(max_examples=200, deadline=None)
def test_nothing_fits_better_than_the_same_again(said: Facts, other: Facts) -> None:
    assert _score(said, said).score >= _score(said, other).score - 1e-9 or any(
        reason.outcome == "broader" for reason in _score(said, other).reasons_for
    )


@given(values, values)
@settings(deadline=None)
def test_closeness_is_the_same_from_both_sides(one: Fraction, other: Fraction) -> None:
    a = size_fact(Kind.LENGTH, "", one, Fraction(0), "", 0)
    b = size_fact(Kind.LENGTH, "", other, Fraction(0), "", 0)
    assert a is not None
    assert b is not None
    assert closeness(a, _row(b)) == pytest.approx(closeness(b, _row(a)))


def _row(size: SizeFact) -> RowSize:
    return RowSize(size.kind, size.role, size.ln, size.doubt, size.place, size.weight)


def test_roles_agree_both_ways_round() -> None:
    for one in ROLES:
        assert compatibility(one, one) == 1.0
        for other in ROLES:
            assert compatibility(one, other) == compatibility(other, one)


@pytest.mark.parametrize(
    ("mine", "theirs", "outcome"),
    [
        ("hose 1/4 in id", "hose 6.35 mm id", "same"),  # 6.35 exactly
        ("hose 1/4 in id", "hose 6.4 mm id", "same"),  # written to a tenth
        ("hose 1/4 in id", "hose 6 mm id", "near"),  # 5.5 % apart
        ("rivet 3/32 in dia", "rivet 2.4 mm dia", "same"),  # 2.381
        ("rivet 3/32 in dia", "rivet 2.5 mm dia", "near"),
        ("rivet 1/8 in dia", "rivet 3/32 in dia", "differs"),
        ("sheet 20 swg", "sheet 0.036 in thick", "same"),  # SWG 20 = 0.036 in (BS 3737:1964, as quoted)
        ("lamp 24 V", "lamp 28 V", "near"),  # one system, nominal and charging: common practice
        ("lamp 12 V", "lamp 24 V", "differs"),
        ("gauge 150 psi", "gauge 10.3 bar", "same"),  # 150 psi = 10.342 bar
    ],
)
def test_sizes_in_two_systems_are_compared(mine: str, theirs: str, outcome: str) -> None:
    hit = _texts(mine, theirs)
    found = [one.outcome for one in (*hit.reasons_for, *hit.reasons_against) if one.what == "size"]
    assert outcome in found


def test_a_thread_with_another_pitch_contradicts() -> None:
    """5/16 BSF has 22 threads an inch, 5/16 BSW 18 (thread charts as quoted)."""
    hit = _texts("bolt 5/16 BSF", "bolt 5/16 BSW")
    assert any(one.outcome == "differs" and one.what == "size" for one in hit.reasons_against)


@pytest.mark.parametrize(
    ("query", "better", "worse"),
    [
        ("brass split pin 1/16 x 1", "split pin, brass | 1/16 x 1", "split pin, steel | 1/16 x 1"),
        ("red lens", "lens, red", "lens, green"),
        ("bracket lh", "bracket, left hand", "bracket, right hand"),
        ("castle nut 1/4 BSF", "castle nut 1/4 BSF", "wing nut 1/4 BSF"),
        ("fuse 10 A", "fuse 10 A", "toggle switch 10 A"),
        ("AN470AD4-6", "rivet AN470AD4-6", "rivet AN470AD4-5"),
        ("MS20470AD4-6", "rivet AN470AD4-6", "rivet AN426AD4-6"),
        ("bearing 13836", "bearing cup 13836", "bearing cup 13889"),
        ("2024 sheet 0.032", "sheet 24ST .032", "sheet 3003 .032"),
        ("Niet 3x8", "rivet 3 mm x 8 mm", "rivet 3 mm x 10 mm"),
    ],
)
def test_the_better_answer_stands_first(query: str, better: str, worse: str) -> None:
    assert _texts(query, better).score > _texts(query, worse).score


@pytest.mark.parametrize(
    ("query", "other", "band"),
    [
        ("brass split pin 1/16 x 1", "split pin, brass | 1/16 in x 1 in", Band.LIKELY),
        ("brass split pin 1/16 x 1", "split pin, brass | 3/32 in x 1 in", Band.POSSIBLE),
        ("oak kitchen table", "split pin, brass | 1/16 in x 1 in", Band.FAINT),
        ("toggle switch 24 V 15 A", "fuse 24 V 15 A", Band.POSSIBLE),
        ("turnbuckle M5", "lamp M5", Band.FAINT),
    ],
)
def test_three_bands_and_no_percentage(query: str, other: str, band: Band) -> None:
    assert _texts(query, other).band == band


def test_a_misread_stamp_is_recognised() -> None:
    hit = _texts("bracket marked K47S1", "bracket K4751")
    assert any(one.outcome == "reads like" for one in hit.reasons_for)


def test_marks_lie_in_the_text_of_the_query() -> None:
    text = "Messing Splint 1,6x20 links"
    hit = _texts(text, "split pin, brass, right | 1.6 mm x 25 mm")
    marked = {(text[mark.start : mark.end], mark.agrees) for mark in hit.marks}
    assert ("Messing", True) in marked
    assert ("Splint", True) in marked
    assert ("links", False) in marked
    assert ("20", False) in marked


def test_broader_and_narrower_names_are_kin() -> None:
    def level(one: str, other: str) -> float:
        return relation(frozenset({one}), frozenset({other}), LEXICON)[0]

    assert level("split_rivet", "split_rivet") == 1.0
    assert 1.0 > level("rivet", "split_rivet") > level("bolt", "screw") > level("fuse", "switch") > 0.0
    assert level("blind_rivet", "solid_rivet") >= 0.0
    assert level("turnbuckle", "lamp") == -1.0
