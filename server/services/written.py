"""Requirements, statements and joints written as JSON objects, read with every fault by its path.

Sizes are texts with their units, as on the forms. Beside a text a program may
give the size in figures: {"value": "3/32", "low": …, "high": …, "unit": "in"},
each figure a decimal or a fraction; then the text is only shown.
"""

import re
from collections.abc import Iterable, Mapping
from fractions import Fraction
from typing import Any

from server.domain.offer import Basis, Stage, Statement
from server.domain.parts import part_class
from server.domain.plain import as_plain, quantity_from_plain, read_fraction
from server.domain.quantities import BASE_UNIT, UNITS, Kind, Quantity, write_value
from server.domain.specification import Form, Joint, Known, KnownFrom, Layer, Requirement, Weight
from server.services.place import MOST_PLIES, read_joint
from server.services.sizes import requirement_values, statement_values
from server.services.typed import LINE, Typed

Faulted = dict[str, str]
"""Sentences by path: "need.requirements[0].text"."""

MOST_ENTRIES = 200
QUANTITY = ("value", "low", "high", "unit", "half_step", "is_approximate", "text")
STATEMENT = (
    "characteristic",
    "basis",
    "text",
    "quantity",
    "words",
    "uncertainty",
    "instrument",
    "stage",
    "by",
    "on",
    "sure",
)
REQUIREMENT = (
    "characteristic",
    "form",
    "layer",
    "text",
    "quantity",
    "one_of",
    "words",
    "known_from",
    "reference",
    "instrument",
    "uncertainty",
    "weight",
    "serials",
    "side",
    "sure",
    "decided",
)
PLY = ("name", "material", "thickness", "uncertainty")
JOINT = (
    "plies",
    "hole",
    "hole_uncertainty",
    "edge_distance",
    "pitch",
    "seat_angle",
    "access",
    "known_from",
    "reference",
    "instrument",
)
_JOINT_SIZES = {
    "hole": Kind.LENGTH,
    "hole_uncertainty": Kind.LENGTH,
    "edge_distance": Kind.LENGTH,
    "pitch": Kind.LENGTH,
    "seat_angle": Kind.ANGLE,
}
_FIGURE = re.compile(r"-?\d{1,40}(?:\.\d{1,40})?(?:/\d{1,40}|[eE][+-]?\d{1,2})?")
_NEEDS_REFERENCE = {KnownFrom.DRAWING, KnownFrom.MANUAL, KnownFrom.CATALOGUE}


def texts_of(
    plain: Mapping[str, Any], path: str, known: Iterable[str], faults: Faulted, *, nested: Iterable[str] = ()
) -> dict[str, str | list[str]]:
    """The plain texts of one object, as a form would hold them; `nested` are entries that somebody else reads."""
    given: dict[str, str | list[str]] = {}
    allowed = [*known]
    others = {*nested}
    for key, value in plain.items():
        if key not in allowed and key not in others:
            faults[f"{path}.{key}"] = f"There is no such entry; known are {', '.join(sorted({*allowed, *others}))}."
        elif key in others or value is None:
            continue
        elif isinstance(value, str):
            given[key] = value
        elif isinstance(value, bool):
            given[key] = "yes" if value else ""
        elif isinstance(value, list) and all(isinstance(one, str) for one in value):
            given[key] = list(value)
        else:
            faults[f"{path}.{key}"] = f'{str(value)[:40]}: write it as text with its unit, such as "3.2 mm".'
    return given


def carry(typed: Typed, path: str, faults: Faulted) -> None:
    """Take the faults of one object over, by path, in the words of a file."""
    for name, sentence in typed.faults.items():
        said = sentence.replace("tick the box below and save again", 'add "sure": true')
        faults.setdefault(f"{path}.{name}", said)


def list_of(plain: Mapping[str, Any], key: str, path: str, faults: Faulted) -> list[Any]:
    """The list under a key; empty, with a fault, where there is something else or too much."""
    several = plain.get(key)
    at = f"{path}.{key}" if path else key
    if several is None:
        return []
    if not isinstance(several, list):
        faults[at] = "This is a list of objects."
        return []
    if len(several) > MOST_ENTRIES:
        faults[at] = f"{len(several)} entries; there is room for {MOST_ENTRIES}."
        return []
    return several


def read_figures(plain: Any, path: str, kind: Kind, text: str, faults: Faulted) -> Quantity | None:
    """A size given in figures; None, with a fault, where it is no such object."""
    before = len(faults)
    if not isinstance(plain, Mapping):
        faults[path] = 'This is an object such as {"value": "3/32", "unit": "in"}.'
        return None
    for key in plain:
        if key not in QUANTITY:
            faults[f"{path}.{key}"] = f"There is no such entry; known are {', '.join(QUANTITY)}."
    unit = UNITS.get(str(plain.get("unit", BASE_UNIT[kind])))
    if unit is None or unit.kind is not kind:
        fitting = ", ".join(one.name for one in UNITS.values() if one.kind is kind)
        faults[f"{path}.unit"] = f"“{str(plain.get('unit'))[:40]}” is no unit of {kind}; known are {fitting}."
        return None
    figures = {
        name: _figure(plain.get(name), f"{path}.{name}", faults) for name in ("value", "low", "high", "half_step")
    }
    low, high = figures["low"], figures["high"]
    if len(faults) == before and all(figures[name] is None for name in ("value", "low", "high")):
        faults[path] = "Neither value, low nor high is given."
    if low is not None and high is not None and low > high:
        faults[f"{path}.low"] = "The lower limit lies above the upper one."
    if len(faults) > before:
        return None
    base = {name: None if one is None else unit.to_base(one) for name, one in figures.items() if name != "half_step"}
    return Quantity(
        kind,
        base["value"],
        unit.name,
        text or str(plain.get("text") or _write_figures(base, kind)),
        low=base["low"],
        high=base["high"],
        half_step=unit.span_to_base(figures["half_step"] or Fraction(0)),
        is_approximate=plain.get("is_approximate") is True,
    )


def _figure(value: Any, path: str, faults: Faulted) -> Fraction | None:
    if value is None or value == "":
        return None
    text = str(value).strip()
    if isinstance(value, bool) or not _FIGURE.fullmatch(text) or re.search(r"/0+$", text):
        faults[path] = f"“{text[:40]}” is no figure; write a decimal or a fraction, such as 2.38 or 3/32."
        return None
    number, _, below = text.partition("/")
    return Fraction(number) / Fraction(below) if below else Fraction(number)


def _exact(
    plain: Mapping[str, Any], key: str, name: str, kind: Kind | None, path: str, faults: Faulted
) -> dict[str, Quantity]:
    """The size under a key, where it is given in figures, by the field it stands for."""
    if kind is None or not isinstance(plain.get(key), Mapping):
        return {}
    text = plain.get("text") if key == "quantity" else None
    read = read_figures(plain[key], f"{path}.{key}", kind, text if isinstance(text, str) else "", faults)
    return {name: read} if read is not None else {}


def _doubt(plain: Mapping[str, Any], key: str, kind: Kind | None, path: str, faults: Faulted) -> dict[str, Quantity]:
    """An uncertainty in figures: a difference, above nothing, without limits."""
    found = _exact(plain, key, key, kind, path, faults)
    for read in found.values():
        unit = UNITS[read.unit]
        if read.value is None or read.has_limits or unit.from_base(read.value) <= 0:
            faults[f"{path}.{key}"] = "An uncertainty is one figure above nothing; type what it may be out by."
            return {}
        found[key] = Quantity(read.kind, unit.span_to_base(unit.from_base(read.value)), read.unit, read.text)
    return found


def _kind_of(class_key: str, given: Mapping[str, Any]) -> Kind | None:
    key = given.get("characteristic")
    one = part_class(class_key).characteristic(key) if isinstance(key, str) else None
    return one.kind if one else None


def read_requirement(plain: Any, path: str, class_key: str, unit: str, faults: Faulted) -> dict[str, Any] | None:
    """The column values of a requirement; None where anything was wrong. `unit` is that of the drawings."""
    before = len(faults)
    if not isinstance(plain, Mapping):
        faults[path] = "This is an object with characteristic, text and known_from."
        return None
    nested = ["quantity", "one_of", *(["uncertainty"] if isinstance(plain.get("uncertainty"), Mapping) else [])]
    given = texts_of(plain, path, REQUIREMENT, faults, nested=nested)
    kind = _kind_of(class_key, plain)
    exact = _exact(plain, "quantity", "text", kind, path, faults)
    exact |= _doubt(plain, "uncertainty", kind, path, faults)
    several = _read_several(plain, path, kind, faults)
    _needs_an_object(plain, "quantity", kind, path, faults)
    if several and kind is not None:
        exact["text"] = several[0]
    _texts_of_figures(given, exact)
    words = given.pop("words", [])
    typed = Typed(given, exact)
    values = requirement_values(typed, class_key, unit, layer=Layer.DESIGNED)
    carry(typed, path, faults)
    if len(faults) > before:
        return None
    if several:
        values["parsed"] = {"one_of": [_stored(one) for one in several]}
    if words and kind is None:
        values["parsed"] = {"words": [words] if isinstance(words, str) else words}
    values["decided"] = typed.text("decided", "Why this one stands", most=LINE)
    return values


def _texts_of_figures(given: dict[str, str | list[str]], exact: Mapping[str, Quantity]) -> None:
    """Figures without a text are shown as they are."""
    if "text" in exact and not given.get("text"):
        given["text"] = exact["text"].text


def _needs_an_object(plain: Mapping[str, Any], key: str, kind: Kind | None, path: str, faults: Faulted) -> None:
    value = plain.get(key)
    if value is None:
        return
    if not isinstance(value, Mapping):
        faults.setdefault(f"{path}.{key}", 'This is an object such as {"value": "3/32", "unit": "in"}.')
    elif kind is None:
        faults.setdefault(f"{path}.{key}", "This characteristic takes words, no size.")


def _stored(one: Quantity) -> dict[str, Any]:
    stored: dict[str, Any] = as_plain(one)
    return stored


def _read_several(plain: Mapping[str, Any], path: str, kind: Kind | None, faults: Faulted) -> list[Quantity]:
    found: list[Quantity] = []
    for place, one in enumerate(list_of(plain, "one_of", path, faults)):
        at = f"{path}.one_of[{place}]"
        if kind is None:
            faults[at] = "This characteristic takes words, no size."
            return []
        read = read_figures(one, at, kind, "", faults)
        if read is not None:
            found.append(read)
    return found


def read_statement(plain: Any, path: str, class_key: str, faults: Faulted) -> dict[str, Any] | None:
    """The column values of a statement; None where anything was wrong."""
    before = len(faults)
    if not isinstance(plain, Mapping):
        faults[path] = "This is an object with characteristic and text."
        return None
    nested = ["quantity", *(["uncertainty"] if isinstance(plain.get("uncertainty"), Mapping) else [])]
    given = texts_of(plain, path, STATEMENT, faults, nested=nested)
    kind = _kind_of(class_key, plain)
    exact = _exact(plain, "quantity", "text", kind, path, faults)
    exact |= _doubt(plain, "uncertainty", kind, path, faults)
    _needs_an_object(plain, "quantity", kind, path, faults)
    _texts_of_figures(given, exact)
    words = given.pop("words", [])
    typed = Typed(given, exact)
    values = statement_values(typed, class_key)
    carry(typed, path, faults)
    if len(faults) > before:
        return None
    if words and kind is None:
        values["parsed"] = {"words": [words] if isinstance(words, str) else words}
    return values


def as_requirement(values: Mapping[str, Any]) -> Requirement:
    """The requirement of such values."""
    parsed: Mapping[str, Any] = values["parsed"] or {}
    several = (quantity_from_plain(plain) for plain in parsed.get("one_of", ()))
    return Requirement(
        characteristic=values["characteristic"],
        form=Form(values["form"]),
        text=values["text"],
        quantity=quantity_from_plain(parsed.get("quantity")),
        words=tuple(parsed.get("words", ())),
        one_of=tuple(one for one in several if one is not None),
        layer=Layer(values["layer"]),
        known=Known(KnownFrom(values["known_from"]), values["reference"], values["instrument"]),
        weight=Weight(values["weight"]) if values["weight"] else None,
        expanded=read_fraction(values["expanded"]),
        serials=values["serials"],
        side=values["side"],
        decided=values["decided"],
    )


def as_statement(values: Mapping[str, Any]) -> Statement:
    """The statement of such values."""
    parsed: Mapping[str, Any] = values["parsed"] or {}
    return Statement(
        characteristic=values["characteristic"],
        basis=Basis(values["basis"]),
        text=values["text"],
        quantity=quantity_from_plain(parsed.get("quantity")),
        words=tuple(parsed.get("words", ())),
        expanded=read_fraction(values["expanded"]),
        instrument=values["instrument"],
        stage=Stage(values["stage"]),
        by=values["by"],
        on=values["on_day"].isoformat() if values["on_day"] else "",
    )


def read_joint_of(plain: Any, path: str, unit: str, faults: Faulted) -> Joint | None:
    """A joint; None where there is none, or with faults. `unit` is that of the drawings."""
    if plain is None:
        return None
    if not isinstance(plain, Mapping):
        faults[path] = "This is an object with plies, hole, edge_distance and so on."
        return None
    figures = [key for key in _JOINT_SIZES if isinstance(plain.get(key), Mapping)]
    given = texts_of(plain, path, JOINT, faults, nested=["plies", *figures])
    exact: dict[str, Quantity] = {}
    for key in figures:
        reader = _doubt if key == "hole_uncertainty" else _size
        exact |= reader(plain, key, _JOINT_SIZES[key], path, faults)
    for name in ("known_from", "reference", "instrument"):
        given[f"joint_{name}"] = given.pop(name, "")
    plies = list_of(plain, "plies", path, faults)
    if len(plies) > MOST_PLIES:
        faults[f"{path}.plies"] = f"{len(plies)} plies; there is room for {MOST_PLIES}."
    for place, ply in enumerate(plies[:MOST_PLIES]):
        at = f"{path}.plies[{place}]"
        if not isinstance(ply, Mapping):
            faults[at] = "This is an object with name, material and thickness."
            continue
        inner = [key for key in ("thickness", "uncertainty") if isinstance(ply.get(key), Mapping)]
        texts = texts_of(ply, at, PLY, faults, nested=inner)
        given |= {f"ply{place + 1}_{name}": value for name, value in texts.items()}
        for key in inner:
            reader = _doubt if key == "uncertainty" else _size
            exact |= {f"ply{place + 1}_{key}": one for one in reader(ply, key, Kind.LENGTH, at, faults).values()}
            if key == "thickness":
                given[f"ply{place + 1}_thickness"] = "in figures"
    typed = Typed(given, exact)
    joint = read_joint(typed, unit)
    for name, sentence in typed.faults.items():
        faults.setdefault(f"{path}.{_joint_path(name)}", sentence)
    return joint


def _size(plain: Mapping[str, Any], key: str, kind: Kind | None, path: str, faults: Faulted) -> dict[str, Quantity]:
    return _exact(plain, key, key, kind, path, faults)


def _joint_path(name: str) -> str:
    if name.startswith("ply"):
        place, _, entry = name[3:].partition("_")
        return f"plies[{int(place) - 1}].{entry}"
    return name.removeprefix("joint_")


def _write_figures(base: Mapping[str, Fraction | None], kind: Kind) -> str:
    known = {name: write_value(value, kind) for name, value in base.items() if value is not None}
    return known.get("value") or " to ".join(known.values())
