"""What every part class has to keep, whoever wrote it.

The laws are the project's own: unknown in, never proven out; a claim is never
a proof; a unit changes no verdict; every row names its rule. The expected
outcome of each worked example stands beside its source in the class itself.
"""

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from server.domain import parts
from server.domain.drawing import Circle, Dimension, Drawing, Label
from server.domain.drawing import Path as DrawnPath
from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Stage, Statement
from server.domain.parts import part_classes
from server.domain.parts._kit import Case, Characteristic, Example, PartClass, fold_word
from server.domain.quantities import UNITS, Kind, Quantity
from server.domain.specification import Form, Known, KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Outcome, Sheet, Verdict

CLASSES = list(part_classes().values())
EXAMPLES = [(one, example) for one in CLASSES for example in one.examples]
every_class = pytest.mark.parametrize("one", CLASSES, ids=lambda one: one.key)
every_example = pytest.mark.parametrize(
    ("one", "example"), EXAMPLES, ids=[f"{one.key}-{number}" for number, (one, _) in enumerate(EXAMPLES)]
)
NOT_PROVEN = {Outcome.NOT_PROVEN, Outcome.NOT_EQUIVALENT}
OTHER_UNIT = {
    Kind.LENGTH: "in", Kind.FORCE: "lbf", Kind.STRESS: "ksi", Kind.PRESSURE: "psi", Kind.MASS: "lb", Kind.AREA: "in²",
    Kind.LINE_FORCE: "lbf/in", Kind.AREA_MASS: "oz/yd²", Kind.DENSITY: "lb/in³", Kind.TEMPERATURE: "°F",
    Kind.LINE_RESISTANCE: "Ω/1000 ft", Kind.CURRENT: "mA", Kind.RESISTANCE: "kΩ",
}  # fmt: skip


def test_one_file_one_class() -> None:
    folder = Path(parts.__file__).parent
    files = {file.stem for file in folder.glob("*.py") if not file.stem.startswith("_")}
    assert files == {one.key for one in CLASSES}


def test_names_are_told_apart() -> None:
    for said in ([one.key for one in CLASSES], [one.name for one in CLASSES]):
        assert len(said) == len(set(said))


@every_class
def test_the_name_begins_with_its_noun(one: PartClass) -> None:
    """Noun first, as parts lists write it: the first word is found among what people call the thing."""
    noun = re.split(r"[ ,-]", one.name)[0].casefold()
    assert one.name[0].isupper()
    assert any(noun in name.casefold() for name in one.names), one.name


@every_class
def test_what_people_call_it_is_said_once(one: PartClass) -> None:
    assert len(one.names) >= 2
    folded = [name.casefold() for name in one.names]
    assert len(folded) == len(set(folded))
    assert all(name == name.strip() and name for name in one.names)
    assert one.family


@every_class
def test_characteristics_are_named_by_convention(one: PartClass) -> None:
    keys = [each.key for each in one.characteristics]
    labels = [each.label for each in one.characteristics]
    assert len(keys) == len(set(keys))
    assert len(labels) == len(set(labels))
    for each in one.characteristics:
        assert re.fullmatch(r"[a-z][a-z0-9_]*", each.key), each.key
        assert each.key not in {"length", "size", "diameter_or_width"}, "a bare length says nothing"
        assert each.label[0].isupper() or not each.label[0].isalpha(), each.label
        assert not each.label.endswith("."), each.label
        assert not each.help or each.help.endswith((".", "?", "!", ")", "…")), each.help
        assert 1 <= each.effort <= 5


@every_class
def test_sizes_have_plausible_ranges_and_words_have_none(one: PartClass) -> None:
    for each in one.characteristics:
        if each.kind is None:
            assert each.plausible is None, each.key
        else:
            assert each.plausible is not None, each.key
            assert each.plausible[0] < each.plausible[1], each.key
            assert not each.choices, each.key


@every_class
def test_no_word_means_two_choices(one: PartClass) -> None:
    for each in one.characteristics:
        meaning: dict[str, str] = {}
        for choice in each.choices:
            for word in {fold_word(said) for said in (choice.key, choice.label, *choice.also)}:
                assert meaning.setdefault(word, choice.key) == choice.key, (each.key, word)


@every_class
def test_covers_and_stand_ins_exist(one: PartClass) -> None:
    # a family may share one set of covers
    keys = {each.key for other in CLASSES for each in other.characteristics}
    assert one.covers <= keys, one.covers - keys
    for key, change in one.stands_in.items():
        assert key in part_classes(), key
        assert key != one.key
        assert change.gained.endswith(".")
        assert change.lost.endswith(".")
        assert str(change.source)


@every_class
def test_there_is_a_worked_example(one: PartClass) -> None:
    assert one.examples


@every_example
def test_examples_come_out_as_stated(one: PartClass, example: Example) -> None:
    sheet = compare(example.wanted, example.offered)
    rows = "\n".join(f"{row.key}: {row.verdict} {row.sentence}" for row in sheet.rows)
    assert sheet.outcome is example.outcome, f"{example.title}: {sheet.outcome} by {sheet.decided_by}\n{rows}"
    assert str(example.source)
    check_rows(sheet)


def check_rows(sheet: Sheet) -> None:
    keys = [row.key for row in sheet.rows]
    assert len(keys) == len(set(keys)), [key for key in keys if keys.count(key) > 1]
    for row in sheet.rows:
        assert row.sources, row.key
        assert row.sentence.rstrip().endswith((".", "?", "!")), row.sentence
        assert row.label
        assert row.wanted, row.key
        assert row.offered, row.key


def middle(each: Characteristic) -> Fraction:
    low, high = each.plausible or (Fraction(1), Fraction(10))
    # a round whole number where it fits: counts are whole
    value = low + (high - low) / 7
    return Fraction(max(1, round(value))) if low <= max(1, round(value)) <= high else value


def quantity(each: Characteristic, unit: str = "", *, with_limits: bool) -> Quantity:
    assert each.kind is not None
    value = middle(each)
    spread = abs(value) / 10
    low, high = (value - spread, value + spread) if with_limits else (None, None)
    return Quantity(each.kind, value, unit, f"{float(value):.4g}", low, high)


def full_need(one: PartClass, use: Use = Use.PERMIT, role: Role = Role.SECONDARY) -> Wanted:
    requirements = []
    for each in one.characteristics:
        if each.kind is not None:
            size = quantity(each, with_limits=True)
            requirements.append(Requirement(each.key, Form.LIMITS, size.text, size, known=Known(KnownFrom.DRAWING)))
        else:
            word = each.choices[0].key if each.choices else "as drawn"
            requirements.append(
                Requirement(each.key, Form.EXACTLY, word, words=(word,), known=Known(KnownFrom.DRAWING))
            )
    return Wanted(one.key, tuple(requirements), use=use, role=role)


def full_find(one: PartClass, *, basis: Basis = Basis.MEASURED, other_units: bool = False) -> Offered:
    statements = []
    for each in one.characteristics:
        if each.of_place:
            continue
        if each.kind is not None:
            unit = OTHER_UNIT.get(each.kind, "") if other_units else ""
            size = quantity(each, unit, with_limits=False)
            doubt = abs(middle(each)) / 10000 if basis is Basis.MEASURED else None
            statements.append(Statement(each.key, basis, size.text, size, expanded=doubt, stage=Stage.BARE))
        else:
            word = each.choices[0].key if each.choices else "as drawn"
            statements.append(Statement(each.key, basis, word, words=(word,), instrument="eye"))
    return Offered(one.key, tuple(statements))


@pytest.mark.parametrize("role", list(Role))
@pytest.mark.parametrize("use", list(Use))
def test_nothing_known_of_the_find_is_never_enough(use: Use, role: Role) -> None:
    for one in CLASSES:
        for wanted in (Wanted(one.key, use=use, role=role), full_need(one, use, role)):
            sheet = compare(wanted, Offered(one.key))
            assert sheet.outcome in NOT_PROVEN, (one.key, sheet.outcome, sheet.decided_by)


@every_class
def test_nothing_known_of_the_original_is_never_enough(one: PartClass) -> None:
    sheet = compare(Wanted(one.key, use=Use.PERMIT), full_find(one))
    assert sheet.outcome in NOT_PROVEN
    check_rows(sheet)


@every_class
def test_rows_of_a_full_sheet_are_whole(one: PartClass) -> None:
    for basis in Basis:
        check_rows(compare(full_need(one), full_find(one, basis=basis)))


def proven_of_the_find(sheet: Sheet, need: Wanted) -> set[str]:
    """Keys of rows that the find's statements prove; rows of the place stand without any find."""
    bare = compare(need, Offered(sheet.offered_class))
    of_place = {row.key for row in bare.rows if row.verdict is Verdict.PROVEN}
    return {row.key for row in sheet.rows if row.verdict is Verdict.PROVEN} - of_place - {"kind"}


@every_class
def test_a_claim_is_never_a_proof(one: PartClass) -> None:
    need = full_need(one)
    sheet = compare(need, full_find(one, basis=Basis.CLAIMED))
    assert proven_of_the_find(sheet, need) == set()


@every_example
def test_an_example_on_claims_alone_proves_nothing(one: PartClass, example: Example) -> None:
    claims = tuple(replace(said, basis=Basis.CLAIMED, expanded=None) for said in example.offered.statements)
    sheet = compare(example.wanted, replace(example.offered, statements=claims))
    assert proven_of_the_find(sheet, example.wanted) == set()
    assert sheet.outcome is not Outcome.LIKE_FOR_LIKE


@every_class
def test_the_unit_typed_changes_no_verdict(one: PartClass) -> None:
    metric = compare(full_need(one), full_find(one))
    inches = compare(full_need(one), full_find(one, other_units=True))
    assert [(row.key, row.verdict) for row in metric.rows] == [(row.key, row.verdict) for row in inches.rows]
    assert metric.outcome is inches.outcome


@every_class
def test_a_find_of_another_kind_is_always_said(one: PartClass) -> None:
    for given in CLASSES:
        if given.key == one.key:
            continue
        kind = compare(Wanted(one.key), Offered(given.key)).rows[0]
        assert kind.key == "kind"
        assert kind.verdict is not Verdict.PROVEN
        assert kind.departs or kind.verdict is Verdict.OPEN


@every_class
def test_what_may_stand_in_is_refused_where_it_says_so(one: PartClass) -> None:
    for key, change in one.stands_in.items():
        for role in Role:
            kind = compare(Wanted(one.key, role=role, use=Use.PERMIT), Offered(key)).rows[0]
            assert kind.verdict is (Verdict.AGAINST if role in change.refused_for else Verdict.JUDGED), (key, role)
            assert change.lost in kind.sentence


@every_example
def test_drawings_say_in_words_what_they_show(one: PartClass, example: Example) -> None:
    if one.draw is None:
        return
    made = one.draw(Case(example.wanted, example.offered, one, part_classes()[example.offered.part_class]))
    drawings = made if isinstance(made, tuple) else (made,) if made is not None else ()
    for drawing in drawings:
        assert isinstance(drawing, Drawing)
        assert drawing.title
        assert drawing.description
        assert drawing.shapes
        for shape in drawing.shapes:
            numbers = {
                DrawnPath: lambda it: [number for _, values in it.steps for number in values],
                Circle: lambda it: [it.x, it.y, it.radius],
                Label: lambda it: [it.x, it.y],
                Dimension: lambda it: [it.x1, it.y1, it.x2, it.y2],
            }[type(shape)](shape)
            assert all(abs(float(number)) < 1e5 for number in numbers)


def test_units_named_here_exist() -> None:
    for kind, name in OTHER_UNIT.items():
        assert UNITS[name].kind is kind
