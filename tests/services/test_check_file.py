"""A need and a find as one JSON: every worked example goes through it, and what is wrong is named by path.

The outcome that must come out of an example stands with its source in the part class.
"""

import json
import re
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import pytest

from server.domain.equivalence import compare
from server.domain.errors import Faults
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Offered, Statement
from server.domain.parts import GENERAL, part_classes
from server.domain.quantities import INCH, Kind, Quantity
from server.domain.specification import Form, Known, KnownFrom, Requirement, Wanted
from server.services.check_file import example_of, examples_of, read_check, write_check
from server.services.check_schema import schema_of

CLASSES = list(part_classes())
EXAMPLES = [(key, place) for key in CLASSES for place in range(len(part_classes()[key].examples))]
every_class = pytest.mark.parametrize("key", CLASSES)
every_example = pytest.mark.parametrize(("key", "place"), EXAMPLES, ids=[f"{key}-{place}" for key, place in EXAMPLES])


# --- the examples -----------------------------------------------------------------------------------------------------


@every_example
def test_an_example_comes_out_of_the_file_as_stated(key: str, place: int) -> None:
    plain = json.loads(json.dumps(examples_of(key)[place]))
    sheet = compare(*read_check(plain))
    stated = part_classes()[key].examples[place].outcome
    assert sheet.outcome is stated
    assert plain["expect"] == stated.value


@every_example
def test_every_verdict_survives_the_file(key: str, place: int) -> None:
    example = part_classes()[key].examples[place]
    direct = compare(example.wanted, example.offered)
    read = compare(*read_check(examples_of(key)[place]))
    assert [(row.key, row.verdict, row.sentence) for row in read.rows] == [
        (row.key, row.verdict, row.sentence) for row in direct.rows
    ]


@every_class
def test_the_example_is_accepted(key: str) -> None:
    plain = example_of(key)
    assert plain["need"]["part_class"] == key
    assert compare(*read_check(plain)).outcome.value == plain["expect"]


# --- the schema -------------------------------------------------------------------------------------------------------

_ANNOTATIONS = {"$schema", "title", "description", "$defs"}
_TYPES: dict[str, type | tuple[type, ...]] = {
    "object": dict,
    "array": list,
    "string": str,
    "boolean": bool,
    "number": (int, float),
}


def broken(schema: dict[str, Any], value: Any, root: dict[str, Any], path: str = "$") -> Iterator[str]:
    """Where a value breaks a schema, for the keywords of draft 2020-12 that the schemas here use; others are refused.

    Source of the keywords' meaning: JSON Schema, draft 2020-12, core and validation (from memory, unverified).
    """
    for word, said in schema.items():
        if word in _ANNOTATIONS:
            continue
        if word == "$ref":
            yield from broken(root["$defs"][said.removeprefix("#/$defs/")], value, root, path)
        elif word == "type":
            fits = isinstance(value, _TYPES[said]) and not (said == "number" and isinstance(value, bool))
            if not fits:
                yield f"{path}: no {said}"
        elif word == "const":
            if value != said:
                yield f"{path}: not {said!r}"
        elif word == "enum":
            if value not in said:
                yield f"{path}: {value!r} is not listed"
        elif word in {"anyOf", "oneOf"}:
            met = sum(not list(broken(one, value, root, path)) for one in said)
            if met == 0 or (word == "oneOf" and met != 1):
                yield f"{path}: meets {met} of {word}"
        elif word == "required":
            if isinstance(value, dict):
                yield from (f"{path}.{name}: missing" for name in said if name not in value)
        elif word == "properties":
            if isinstance(value, dict):
                for name, inner in said.items():
                    if name in value:
                        yield from broken(inner, value[name], root, f"{path}.{name}")
        elif word == "additionalProperties":
            assert said is False
            if isinstance(value, dict):
                yield from (f"{path}.{name}: unknown" for name in value if name not in schema["properties"])
        elif word == "items":
            if isinstance(value, list):
                for at, one in enumerate(value):
                    yield from broken(said, one, root, f"{path}[{at}]")
        elif word == "maxItems":
            if isinstance(value, list) and len(value) > said:
                yield f"{path}: too many"
        elif word == "maxLength":
            if isinstance(value, str) and len(value) > said:
                yield f"{path}: too long"
        elif word == "pattern":
            if isinstance(value, str) and not re.search(said, value):
                yield f"{path}: no match"
        else:
            pytest.fail(f"{path}: keyword {word} is not checked here")


def well_formed(schema: Any) -> None:
    """Each keyword has the kind of value that the draft wants; every reference leads somewhere."""
    root = schema
    stack = [schema]
    while stack:
        one = stack.pop()
        assert isinstance(one, dict)
        assert set(one) <= {
            *_ANNOTATIONS,
            *("$ref", "type", "const", "enum", "anyOf", "oneOf", "required", "properties", "additionalProperties"),
            *("items", "maxItems", "maxLength", "pattern"),
        }
        if "$ref" in one:
            assert one["$ref"].removeprefix("#/$defs/") in root["$defs"]
        if "type" in one:
            assert one["type"] in _TYPES
        if "required" in one:
            assert set(one["required"]) <= set(one["properties"])
        if "pattern" in one:
            re.compile(one["pattern"])
        if "enum" in one:
            assert one["enum"]
            assert len(one["enum"]) == len({json.dumps(value) for value in one["enum"]}), one["enum"]
        stack += [*one.get("properties", {}).values(), *one.get("$defs", {}).values()]
        stack += [*one.get("anyOf", []), *one.get("oneOf", []), *([one["items"]] if "items" in one else [])]


@every_class
def test_the_schema_is_one_and_takes_the_examples(key: str) -> None:
    schema = json.loads(json.dumps(schema_of(key)))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    well_formed(schema)
    for plain in [example_of(key), *(examples_of(key))]:
        assert list(broken(schema, json.loads(json.dumps(plain)), schema)) == []


def test_the_schema_refuses_what_the_reader_refuses() -> None:
    schema = schema_of("bolt")
    plain = example_of("bolt")
    plain["need"]["requirements"][0]["characteristic"] = "bore"
    plain["need"]["colour"] = "red"
    plain["find"]["statements"][0].pop("text")
    said = " ".join(broken(schema, plain, schema))
    assert "requirements[0].characteristic" in said
    assert "need.colour: unknown" in said
    with pytest.raises(Faults) as refused:
        read_check(plain)
    assert {"need.requirements[0].characteristic", "need.colour", "find.statements[0].text"} <= set(
        refused.value.faults
    )


# --- what is wrong is named -------------------------------------------------------------------------------------------


def faults_of(plain: Any) -> dict[str, str]:
    with pytest.raises(Faults) as refused:
        read_check(plain)
    return refused.value.faults


def need(**more: Any) -> dict[str, Any]:
    return {"part_class": "bush", "requirements": [], **more}


def test_every_fault_comes_at_once_by_its_path() -> None:
    plain = {
        "need": need(
            role="captain",
            use="space flight",
            requirements=[
                {"characteristic": "bore", "text": "twelve", "known_from": "estimate"},
                {"characteristic": "colour", "text": "red", "known_from": "hearsay"},
                {"characteristic": "bore", "text": "12 mm", "known_from": "drawing"},
                "bore 12 mm",
            ],
            joint={"plies": [{"name": "skin", "thickness": "thin"}], "hole": "3 mm", "hole_uncertainty": "0 mm"},
        ),
        "find": {
            "part_class": "bush",
            "origin": "the moon",
            "statements": [
                {"characteristic": "bore", "text": "12 mm", "basis": "measured", "instrument": "multimeter_v"},
                {"characteristic": "bore"},
            ],
        },
        "extra": 1,
    }
    assert set(faults_of(plain)) >= {
        "extra",
        "need.role",
        "need.use",
        "need.requirements[0].text",
        "need.requirements[1].characteristic",
        "need.requirements[1].known_from",
        "need.requirements[2].reference",
        "need.requirements[3]",
        "need.joint.plies[0].thickness",
        "need.joint.hole_uncertainty",
        "need.joint.known_from",
        "find.origin",
        "find.statements[0].instrument",
        "find.statements[1].text",
    }


@pytest.mark.parametrize(
    ("plain", "path"),
    [
        ([], ""),
        ("text", ""),
        (None, ""),
        ({}, "need"),
        ({"need": [], "find": {}}, "need"),
        ({"need": need()}, "find"),
        ({"need": {}, "find": {}}, "need.part_class"),
        ({"need": need(part_class="hubcap"), "find": {}}, "need.part_class"),
        ({"need": need(), "find": {"part_class": "hubcap"}}, "find.part_class"),
        ({"need": need(requirements={}), "find": {}}, "need.requirements"),
        ({"need": need(requirements=[{}] * 201), "find": {}}, "need.requirements"),
        ({"need": need(serial=14.5), "find": {}}, "need.serial"),
        ({"need": need(touches=[{}]), "find": {}}, "need.touches"),
        ({"need": need(drawing_unit="furlong"), "find": {}}, "need.drawing_unit"),
        ({"need": need(joint=[]), "find": {}}, "need.joint"),
        (
            {"need": need(joint={"plies": [{"name": "a"}] * 9, "known_from": "estimate"}), "find": {}},
            "need.joint.plies",
        ),
        ({"need": need(arm="somewhere"), "find": {}}, "need.arm"),
        ({"need": need(), "find": {"evidence": ["gossip"]}}, "find.evidence"),
    ],
)
def test_a_wrong_shape_is_named(plain: Any, path: str) -> None:
    assert path in faults_of(plain)


def one_requirement(**more: Any) -> dict[str, Any]:
    said = {"characteristic": "bore", "text": "12 mm", "known_from": "estimate", **more}
    return {"need": need(requirements=[said]), "find": {"part_class": "bush"}}


def test_an_implausible_size_is_asked_back_in_words_of_a_file() -> None:
    sentence = faults_of(one_requirement(text="12 m"))["need.requirements[0].text"]
    assert '"sure": true' in sentence
    assert "tick" not in sentence
    wanted, _ = read_check(one_requirement(text="12 m", sure=True))
    assert wanted.requirements[0].quantity is not None
    assert wanted.requirements[0].quantity.value == 12_000


# --- sizes in figures -------------------------------------------------------------------------------------------------


def test_a_size_in_figures_is_exact() -> None:
    """An inch is 25.4 mm (international yard and pound agreement of 1959)."""
    figures = {"value": "3/32", "low": "0.0935", "high": 0.095, "unit": "in"}
    wanted, _ = read_check(one_requirement(text="3/32 reamed", quantity=figures))
    (one,) = wanted.requirements
    assert one.text == "3/32 reamed"
    assert one.quantity is not None
    assert one.quantity.value == Fraction(3, 32) * INCH
    assert (one.quantity.low, one.quantity.high) == (Fraction("0.0935") * INCH, Fraction("0.095") * INCH)


@pytest.mark.parametrize(
    ("figures", "path"),
    [
        ({"value": "12", "unit": "V"}, "quantity.unit"),
        ({"value": "12", "unit": "cubit"}, "quantity.unit"),
        ({"value": "twelve", "unit": "mm"}, "quantity.value"),
        ({"value": "1/0", "unit": "mm"}, "quantity.value"),
        ({"value": "1e999999999", "unit": "mm"}, "quantity.value"),
        ({"value": True, "unit": "mm"}, "quantity.value"),
        ({"low": "5", "high": "4", "unit": "mm"}, "quantity.low"),
        ({"unit": "mm"}, "quantity"),
        ({"value": "12", "unit": "mm", "colour": "red"}, "quantity.colour"),
        ("12 mm", "quantity"),
        (12, "quantity"),
    ],
)
def test_figures_that_are_none_are_named(figures: Any, path: str) -> None:
    assert f"need.requirements[0].{path}" in faults_of(one_requirement(quantity=figures))


def test_a_word_takes_no_figures() -> None:
    plain = one_requirement(characteristic="material", text="brass", quantity={"value": "1", "unit": "mm"})
    assert "need.requirements[0].quantity" in faults_of(plain)


@pytest.mark.parametrize("figures", [{"value": "0", "unit": "mm"}, {"low": "1", "unit": "mm"}, "0 mm", "-1 mm"])
def test_an_uncertainty_is_above_nothing(figures: Any) -> None:
    assert "need.requirements[0].uncertainty" in faults_of(one_requirement(uncertainty=figures))


def test_an_uncertainty_in_figures_is_a_difference() -> None:
    """1 °F is 5/9 °C as a difference (NIST SP 811; from memory)."""
    plain = {
        "need": {"part_class": "insulating_sleeving"},
        "find": {
            "part_class": "insulating_sleeving",
            "statements": [
                {
                    "characteristic": "temperature_class",
                    "text": "302 °F",
                    "basis": "measured",
                    "instrument": "heat_test",
                    "uncertainty": {"value": "9", "unit": "°F"},
                }
            ],
        },
    }
    _, offered = read_check(plain)
    (one,) = offered.statements
    assert one.expanded == 5
    assert one.quantity is not None
    assert one.quantity.value == 150


@pytest.mark.parametrize(
    "quantity",
    [
        Quantity(Kind.LENGTH, Fraction(381, 128), "in", "as the original"),
        Quantity(Kind.LENGTH, Fraction(1, 3), "mm", "a third"),
        Quantity(Kind.LENGTH, None, "mm", "", Fraction(3), Fraction(4)),
        Quantity(Kind.LENGTH, Fraction(3), "mm", "3 mm", None, Fraction(7, 2)),
        Quantity(Kind.LENGTH, Fraction(3), "mm", "about 3 mm", is_approximate=True),
    ],
)
def test_what_is_written_is_read_back_exactly(quantity: Quantity) -> None:
    requirement = Requirement(
        "bore", Form.LIMITS, quantity.text, quantity, known=Known(KnownFrom.ESTIMATE), expanded=Fraction(1, 300)
    )
    statement = Statement("bore", Basis.CLAIMED, quantity.text, quantity)
    plain = json.loads(json.dumps(write_check(Wanted("bush", (requirement,)), Offered("bush", (statement,)))))
    wanted, offered = read_check(plain)
    for read in (wanted.requirements[0].quantity, offered.statements[0].quantity):
        assert read is not None
        assert (read.value, read.low, read.high) == (quantity.value, quantity.low, quantity.high)
        assert read.is_approximate is quantity.is_approximate
    assert wanted.requirements[0].expanded == Fraction(1, 300)


def test_an_instrument_is_one_of_the_shops() -> None:
    for key in ("calliper", "micrometer"):
        assert key in INSTRUMENTS
        read_check(one_requirement(instrument=key))
    assert "need.requirements[0].instrument" in faults_of(one_requirement(instrument="divining rod"))


def test_a_find_nobody_told_apart_is_read_as_a_general_part() -> None:
    plain = {"need": need(), "find": {"statements": [{"characteristic": "material", "text": "brass"}]}}
    wanted, offered = read_check(plain)
    assert offered.part_class == ""
    assert compare(wanted, offered).offered_class == GENERAL
