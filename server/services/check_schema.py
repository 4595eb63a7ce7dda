"""The JSON Schema of a check file, by part class: for editors and for programs that write such files."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Evidence, Origin, Stage
from server.domain.parts import part_class, part_classes
from server.domain.parts._kit import Characteristic
from server.domain.quantities import BASE_UNIT, UNITS
from server.domain.specification import Access, Form, KnownFrom, Layer, Role, Use, Weight
from server.services.check_file import DRAWING_UNITS
from server.services.place import MOST_PLIES
from server.services.typed import LINE
from server.services.written import MOST_ENTRIES

DIALECT = "https://json-schema.org/draft/2020-12/schema"

Schema = dict[str, Any]

_TEXT: Schema = {"type": "string", "maxLength": LINE}
_TEXTS: Schema = {"type": "array", "items": _TEXT}
_YES: Schema = {"anyOf": [{"type": "boolean"}, {"enum": ["", "yes", "on", "true", "1"]}]}
_SIZE: Schema = {"anyOf": [_TEXT, {"$ref": "#/$defs/figures"}]}


def schema_of(class_key: str) -> Schema:
    """The JSON Schema (draft 2020-12) of a check file whose need is of this class. Raises NotFound."""
    known = part_class(class_key)
    return {
        "$schema": DIALECT,
        "title": f"A check of one find against one need: {known.name}",
        "type": "object",
        "required": ["need", "find"],
        "additionalProperties": False,
        "properties": {
            "need": _need(class_key),
            "find": _find(),
            "ref": {"type": "string", "description": "Your own reference; it comes back with the answer."},
            "title": {"type": "string"},
            "expect": {"type": "string"},
        },
        "$defs": {
            "figures": _figures(),
            "requirement": _requirement(known.characteristics),
            "statement": _statement(),
            "joint": _joint(),
        },
    }


def _words(several: type[StrEnum], *, empty: bool = True) -> Schema:
    values = [one.value for one in several]
    names = [one.name for one in several if one.name not in values]
    return {"enum": [*([""] if empty else []), *values, *names]}


def _named(several: Iterable[Characteristic]) -> Schema:
    """One of these keys, each with its label and what may be written."""
    return {"oneOf": [{"const": one.key, "title": one.label, "description": _told(one)} for one in several]}


def _told(one: Characteristic) -> str:
    if one.kind is not None:
        units = ", ".join(unit.name for unit in UNITS.values() if unit.kind is one.kind)
        said = f"A {one.kind}, with its unit ({units}); held in {BASE_UNIT[one.kind]}."
    elif one.choices:
        said = "One of: " + "; ".join(choice.label for choice in one.choices) + "."
    else:
        said = "Any words."
    return f"{one.help} {said}".strip()


def _object(properties: Schema, required: Iterable[str] = ()) -> Schema:
    made: Schema = {"type": "object", "additionalProperties": False, "properties": properties}
    return made | ({"required": [*required]} if required else {})


def _figures() -> Schema:
    figure = {"anyOf": [{"type": "number"}, {"type": "string", "pattern": r"^-?\d+(\.\d+)?(/\d+|[eE][+-]?\d{1,2})?$"}]}
    schema = _object(
        {
            **dict.fromkeys(("value", "low", "high", "half_step"), figure),
            "unit": {"enum": sorted(UNITS)},
            "is_approximate": {"type": "boolean"},
            "text": _TEXT,
        }
    )
    return schema | {"description": "A size in figures, each a decimal or a fraction in `unit`."}


def _instruments() -> Schema:
    return {"enum": ["", *sorted(INSTRUMENTS)]}


def _requirement(characteristics: Iterable[Characteristic]) -> Schema:
    return _object(
        {
            "characteristic": _named(characteristics),
            "layer": _words(Layer),
            "form": _words(Form),
            "text": _TEXT,
            "quantity": {"$ref": "#/$defs/figures"},
            "one_of": {"type": "array", "items": {"$ref": "#/$defs/figures"}, "maxItems": MOST_ENTRIES},
            "words": _TEXTS,
            "known_from": _words(KnownFrom, empty=False),
            "reference": {"type": "string", "maxLength": 300},
            "instrument": _instruments(),
            "uncertainty": _SIZE,
            "weight": _words(Weight),
            "serials": _TEXT,
            "side": _TEXT,
            "decided": _TEXT,
            "sure": _YES,
        },
        ("characteristic", "known_from"),
    )


def _statement() -> Schema:
    return _object(
        {
            "characteristic": _TEXT,
            "basis": _words(Basis),
            "text": _TEXT,
            "quantity": {"$ref": "#/$defs/figures"},
            "words": _TEXTS,
            "uncertainty": _SIZE,
            "instrument": _instruments(),
            "stage": _words(Stage),
            "by": _TEXT,
            "on": {"type": "string", "description": "A day, such as 2026-12-09."},
            "sure": _YES,
        },
        ("characteristic",),
    )


def _joint() -> Schema:
    ply = _object({"name": _TEXT, "material": _TEXT, "thickness": _SIZE, "uncertainty": _SIZE})
    sizes = ("hole", "hole_uncertainty", "edge_distance", "pitch", "seat_angle")
    return _object(
        {
            "plies": {"type": "array", "items": ply, "maxItems": MOST_PLIES},
            **dict.fromkeys(sizes, _SIZE),
            "access": _words(Access),
            "known_from": _words(KnownFrom),
            "reference": {"type": "string", "maxLength": 300},
            "instrument": _instruments(),
        }
    )


def _need(class_key: str) -> Schema:
    return _object(
        {
            "part_class": {"const": class_key},
            "use": _words(Use),
            "role": _words(Role),
            "serial": _TEXT,
            "side": _TEXT,
            "arm": {"type": "string", "maxLength": 60, "description": "How far from the datum it sits."},
            "name": _TEXT,
            "drawing_unit": {"enum": [*DRAWING_UNITS]},
            "touches": _TEXTS,
            "requirements": {"type": "array", "items": {"$ref": "#/$defs/requirement"}, "maxItems": MOST_ENTRIES},
            "joint": {"$ref": "#/$defs/joint"},
        },
        ("part_class",),
    )


def _find() -> Schema:
    return _object(
        {
            "part_class": {"enum": ["", *sorted(part_classes())]},
            "origin": _words(Origin),
            "evidence": {"type": "array", "items": _words(Evidence, empty=False)},
            "finish_to_come": _YES,
            "name": _TEXT,
            "statements": {"type": "array", "items": {"$ref": "#/$defs/statement"}, "maxItems": MOST_ENTRIES},
        }
    )
