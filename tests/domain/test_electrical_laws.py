"""Laws that hold for every electrical part class."""

from collections.abc import Iterator
from fractions import Fraction

import pytest

from server.domain.drawing import Drawing
from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Statement
from server.domain.parts import part_classes
from server.domain.parts._computed import FAMILY
from server.domain.parts._kit import Characteristic, Example, PartClass
from server.domain.quantities import BASE_UNIT, Quantity
from server.domain.specification import Form, Known, KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Outcome, Verdict

CLASSES = [one for one in part_classes().values() if one.family == FAMILY]
OF_THE_PLACE = {"kind", "pitch", "terminals_on_stud", "wire_bend", "hot_stamp"}
"""Rows that speak of the place alone, whatever the find is."""


def examples() -> Iterator[tuple[str, Example]]:
    for kind in CLASSES:
        for example in kind.examples:
            yield kind.key, example


def middle(one: Characteristic) -> Quantity | None:
    if one.kind is None or one.plausible is None:
        return None
    value = Fraction(round(float(one.plausible[0] + one.plausible[1]) / 2))
    return Quantity(one.kind, value, BASE_UNIT[one.kind], f"{value} {BASE_UNIT[one.kind]}")


def word(one: Characteristic) -> str:
    return one.choices[0].label if one.choices else "as drawn"


def everything_wanted(kind: PartClass, *, place_only: bool = False) -> Wanted:
    rows = []
    for one in kind.characteristics:
        if place_only and not one.of_place:
            continue
        quantity = middle(one)
        words = () if quantity else (word(one),)
        text = quantity.text if quantity else word(one)
        rows.append(Requirement(one.key, Form.EXACTLY, text, quantity, words, known=Known(KnownFrom.DRAWING)))
    return Wanted(kind.key, tuple(rows), role=Role.SYSTEMS, use=Use.PERMIT)


def test_there_are_ten_electrical_classes() -> None:
    assert {one.key for one in CLASSES} == {
        "insulating_sleeving",
        "electric_wire",
        "shielding_braid",
        "flexible_conduit",
        "rigid_conduit",
        "terminal_block",
        "wire_marker",
        "lamp",
        "switch_fuse",
        "instrument",
    }


@pytest.mark.parametrize(("key", "example"), list(examples()), ids=lambda one: getattr(one, "title", one))
def test_every_example_comes_out_as_it_says(key: str, example: Example) -> None:
    assert compare(example.wanted, example.offered).outcome is example.outcome
    assert example.source.document
    assert example.wanted.part_class == key


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_every_class_has_two_examples_and_one_is_refused(kind: PartClass) -> None:
    assert len(kind.examples) >= 2
    assert any(example.outcome is Outcome.NOT_EQUIVALENT for example in kind.examples)


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_every_size_has_a_plausible_range_and_keys_are_single(kind: PartClass) -> None:
    keys = [one.key for one in kind.characteristics]
    assert len(keys) == len(set(keys))
    assert kind.covers <= set(keys)
    for one in kind.characteristics:
        if one.kind is not None:
            assert one.plausible is not None
            assert one.plausible[0] < one.plausible[1]


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_of_a_find_of_which_nothing_is_known_nothing_is_proven(kind: PartClass) -> None:
    sheet = compare(everything_wanted(kind), Offered(kind.key))
    proven = {row.key for row in sheet.rows if row.verdict is Verdict.PROVEN}
    assert proven <= OF_THE_PLACE
    assert sheet.outcome in {Outcome.NOT_PROVEN, Outcome.NOT_EQUIVALENT}


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_claims_alone_prove_nothing(kind: PartClass) -> None:
    said = []
    for one in kind.characteristics:
        if one.of_place:
            continue
        quantity = middle(one)
        words = () if quantity else (word(one),)
        said.append(Statement(one.key, Basis.CLAIMED, quantity.text if quantity else word(one), quantity, words))
    sheet = compare(everything_wanted(kind), Offered(kind.key, tuple(said)))
    assert {row.key for row in sheet.rows if row.verdict is Verdict.PROVEN} <= OF_THE_PLACE


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_nothing_known_of_the_original_proves_nothing(kind: PartClass) -> None:
    sheet = compare(Wanted(kind.key, role=Role.SYSTEMS, use=Use.PERMIT), Offered(kind.key))
    assert {row.key for row in sheet.rows if row.verdict is Verdict.PROVEN} <= {"kind"}
    assert sheet.outcome is Outcome.NOT_PROVEN


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_every_row_names_its_source_and_speaks_in_sentences(kind: PartClass) -> None:
    for example in kind.examples:
        for row in compare(example.wanted, example.offered).rows:
            assert row.sources
            assert row.sentence.rstrip().endswith(".")


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_every_open_row_says_what_would_settle_it(kind: PartClass) -> None:
    for wanted in (everything_wanted(kind), everything_wanted(kind, place_only=True)):
        for row in compare(wanted, Offered(kind.key)).rows:
            if row.verdict is Verdict.OPEN:
                assert row.measure is not None, row.key


@pytest.mark.parametrize("kind", CLASSES, ids=lambda one: one.key)
def test_drawing_never_fails(kind: PartClass) -> None:
    from server.domain.parts._kit import Case

    if kind.draw is None:
        return
    for example in kind.examples:
        drawn = kind.draw(Case(example.wanted, example.offered, kind, kind))
        for figure in () if drawn is None else (drawn,) if isinstance(drawn, Drawing) else drawn:
            assert figure.title
            assert figure.description
            assert figure.shapes
