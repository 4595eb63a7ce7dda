"""A need and a find written as one JSON, for checking without any register.

Shape: {"need": {part_class, use, role, serial, side, touches, arm, requirements, joint},
"find": {part_class, origin, evidence, finish_to_come, statements}}; sizes are
texts with their units, as on the forms. Every fault is reported at once, by path.
"""

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any

from server.domain.errors import Faults
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Evidence, Offered, Origin, Stage, Statement
from server.domain.parts import GENERAL, part_class, part_classes
from server.domain.parts._kit import PartClass
from server.domain.quantities import Quantity, write_value
from server.domain.specification import Access, Form, Joint, KnownFrom, Layer, Requirement, Role, Use, Wanted, Weight
from server.services.needs import arm_given, read_joint
from server.services.sizes import requirement_values, statement_values
from server.services.typed import Typed
from server.storage.finds import statement_of
from server.storage.needs import requirement_of
from server.storage.tables import RequirementRow, StatementRow

_LONG_AGO = datetime(2000, 1, 1, tzinfo=UTC)
MOST_ENTRIES = 200


def read_check(plain: Any) -> tuple[Wanted, Offered]:
    """What is wanted and what is offered, out of such a JSON. Raises Faults with every fault by its path."""
    faults: dict[str, str] = {}
    if not isinstance(plain, Mapping):
        raise Faults({"": "The file holds no object with “need” and “find”."})
    for key in plain:
        if key not in {"need", "find", "ref", "title", "expect"}:
            faults[str(key)] = "There is no such entry; known are need, find, ref."
    need, find = plain.get("need"), plain.get("find")
    wanted = _read_wanted(need, faults) if isinstance(need, Mapping) else None
    offered = _read_offered(find, faults) if isinstance(find, Mapping) else None
    if wanted is None:
        faults.setdefault("need", "Missing: what is wanted.")
    if offered is None:
        faults.setdefault("find", "Missing: what is offered.")
    if faults or wanted is None or offered is None:
        raise Faults(faults)
    return wanted, offered


def _texts(plain: Mapping[str, Any], path: str, known: set[str], faults: dict[str, str]) -> Typed:
    """The plain texts of one object, for reading as a form is read."""
    given: dict[str, str | list[str]] = {}
    for key, value in plain.items():
        if key not in known:
            faults[f"{path}.{key}"] = f"There is no such entry; known are {', '.join(sorted(known))}."
        elif isinstance(value, str):
            given[key] = value
        elif isinstance(value, bool):
            given[key] = "yes" if value else ""
        elif isinstance(value, list) and all(isinstance(one, str) for one in value):
            given[key] = list(value)
        elif value is not None and not isinstance(value, list | Mapping):
            faults[f"{path}.{key}"] = f'{value!r}: write it as text with its unit, such as "3.2 mm".'
    return Typed(given)


def _carry(typed: Typed, path: str, faults: dict[str, str]) -> None:
    for name, sentence in typed.faults.items():
        faults.setdefault(f"{path}.{name}", sentence)


def _class_of(typed: Typed, path: str, faults: dict[str, str], *, required: bool) -> PartClass | None:
    key = typed.raw("part_class")
    known = part_classes().get(key)
    if known is None and (key or required):
        faults[f"{path}.part_class"] = (
            f"“{key}” is no part class; known are {', '.join(sorted(part_classes()))}." if key else "Missing."
        )
    return known


def _read_wanted(plain: Mapping[str, Any], faults: dict[str, str]) -> Wanted | None:
    known = {"part_class", "use", "role", "serial", "side", "touches", "requirements", "joint", "name", "drawing_unit"}
    known |= {"arm"}
    typed = _texts(plain, "need", known, faults)
    needed = _class_of(typed, "need", faults, required=True)
    use = typed.word("use", Use, "What the aeroplane will be") or Use.CERTIFIED
    role = typed.word("role", Role, "Role") or Role.UNKNOWN
    unit = typed.raw("drawing_unit")
    arm = arm_given(typed)
    _carry(typed, "need", faults)
    requirements: list[Requirement] = []
    for place, one in enumerate(_list(plain, "requirements", "need", faults)):
        path = f"need.requirements[{place}]"
        read = _read_requirement(one, path, needed, unit, faults)
        if read is not None:
            requirements.append(read)
    joint = _read_joint_of(plain.get("joint"), unit, faults)
    if needed is None:
        return None
    return Wanted(
        part_class=needed.key,
        requirements=tuple(requirements),
        joint=joint,
        role=role,
        use=use,
        touches=tuple(typed.all("touches")),
        serial=typed.raw("serial"),
        side=typed.raw("side"),
        name=typed.raw("name"),
        arm=arm,
    )


def _list(plain: Mapping[str, Any], key: str, path: str, faults: dict[str, str]) -> list[Any]:
    several = plain.get(key, [])
    if not isinstance(several, list):
        faults[f"{path}.{key}"] = "This is a list of objects."
        return []
    if len(several) > MOST_ENTRIES:
        faults[f"{path}.{key}"] = f"{len(several)} entries; there is room for {MOST_ENTRIES}."
        return []
    return several


def _read_requirement(
    one: Any, path: str, needed: PartClass | None, unit: str, faults: dict[str, str]
) -> Requirement | None:
    if not isinstance(one, Mapping) or needed is None:
        if not isinstance(one, Mapping):
            faults[path] = "This is an object with characteristic, text and known_from."
        return None
    known = {
        "characteristic",
        "form",
        "layer",
        "text",
        "known_from",
        "reference",
        "instrument",
        "uncertainty",
        "weight",
        "serials",
        "side",
        "sure",
        "decided",
    }
    typed = _texts(one, path, known, faults)
    values = requirement_values(typed, needed.key, unit)
    _carry(typed, path, faults)
    if typed.faults:
        return None
    row = RequirementRow(need_id=0, **values, created_by="", created_at=_LONG_AGO, decided=typed.raw("decided"))
    return requirement_of(row)


def _read_joint_of(plain: Any, unit: str, faults: dict[str, str]) -> Joint | None:
    if plain is None:
        return None
    if not isinstance(plain, Mapping):
        faults["need.joint"] = "This is an object with plies, hole, edge_distance and so on."
        return None
    known = {
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
    }
    typed = _texts(plain, "need.joint", known, faults)
    given = dict(typed.given)
    for name in ("known_from", "reference", "instrument"):
        given[f"joint_{name}"] = given.pop(name, "")
    for place, ply in enumerate(_list(plain, "plies", "need.joint", faults), start=1):
        if not isinstance(ply, Mapping):
            faults[f"need.joint.plies[{place - 1}]"] = "This is an object with name, material and thickness."
            continue
        inner = _texts(ply, f"need.joint.plies[{place - 1}]", {"name", "material", "thickness", "uncertainty"}, faults)
        given |= {f"ply{place}_{name}": value for name, value in inner.given.items()}
    reading = Typed(given)
    joint = read_joint(reading, unit)
    for name, sentence in reading.faults.items():
        faults[f"need.joint.{_joint_path(name)}"] = sentence
    return joint


def _joint_path(name: str) -> str:
    if name.startswith("ply"):
        place, _, field = name[3:].partition("_")
        return f"plies[{int(place) - 1}].{field}"
    return name.removeprefix("joint_")


def _read_offered(plain: Mapping[str, Any], faults: dict[str, str]) -> Offered | None:
    known = {"part_class", "origin", "evidence", "finish_to_come", "statements", "name"}
    typed = _texts(plain, "find", known, faults)
    given = _class_of(typed, "find", faults, required=False)
    origin = typed.word("origin", Origin, "Kind of source")
    evidence = typed.words("evidence", Evidence, "Provenance")
    _carry(typed, "find", faults)
    statements: list[Statement] = []
    for place, one in enumerate(_list(plain, "statements", "find", faults)):
        path = f"find.statements[{place}]"
        if not isinstance(one, Mapping):
            faults[path] = "This is an object with characteristic and text."
            continue
        inner = _texts(
            one,
            path,
            {"characteristic", "basis", "text", "uncertainty", "instrument", "stage", "by", "on", "sure"},
            faults,
        )
        values = statement_values(inner, given.key if given else GENERAL)
        _carry(inner, path, faults)
        if not inner.faults:
            statements.append(statement_of(StatementRow(find_id=0, **values, created_by="", created_at=_LONG_AGO)))
    return Offered(
        part_class=given.key if given else "",
        statements=tuple(statements),
        origin=origin,
        evidence=evidence,
        finish_to_come=typed.flag("finish_to_come"),
        name=typed.raw("name"),
    )


def write_check(wanted: Wanted, offered: Offered) -> dict[str, Any]:
    """The JSON of a need and a find, which `read_check` accepts."""
    need: dict[str, Any] = {
        "part_class": wanted.part_class,
        "use": wanted.use.value,
        "role": wanted.role.value,
        "serial": wanted.serial,
        "side": wanted.side,
        "touches": list(wanted.touches),
        "requirements": [_plain_requirement(one) for one in wanted.requirements],
    }
    if wanted.arm:
        need["arm"] = wanted.arm
    if wanted.joint is not None:
        need["joint"] = _plain_joint(wanted.joint)
    return {
        "need": need,
        "find": {
            "part_class": offered.part_class,
            "origin": offered.origin.value if offered.origin else "",
            "evidence": [one.value for one in offered.evidence],
            "finish_to_come": offered.finish_to_come,
            "statements": [_plain_statement(one) for one in offered.statements],
        },
    }


def _size_text(text: str, quantity: Quantity | None) -> str:
    return text or (write_value(quantity.value, quantity.kind) if quantity and quantity.value is not None else "")


def _doubt_text(one: Requirement | Statement) -> str:
    if one.expanded is None or one.quantity is None:
        return ""
    return write_value(one.expanded, one.quantity.kind, 6)


def _plain_requirement(one: Requirement) -> dict[str, Any]:
    said = {
        "characteristic": one.characteristic,
        "layer": one.layer.value,
        "form": one.form.value,
        "text": _size_text(one.text, one.quantity),
        "known_from": one.known.how.value,
        "reference": one.known.reference,
        "instrument": one.known.instrument if one.known.instrument in INSTRUMENTS else "",
        "uncertainty": _doubt_text(one),
        "weight": one.weight.value if one.weight else "",
        "serials": one.serials,
        "side": one.side,
        "decided": one.decided,
        "sure": "yes",
    }
    if not said["reference"] and one.known.how in {KnownFrom.DRAWING, KnownFrom.MANUAL, KnownFrom.CATALOGUE}:
        said["reference"] = "not named"
    return {key: value for key, value in said.items() if value}


def _plain_joint(joint: Joint) -> dict[str, Any]:
    said: dict[str, Any] = {
        "plies": [
            {
                "name": ply.name,
                "material": ply.material,
                "thickness": _size_text(ply.thickness.text, ply.thickness) if ply.thickness else "",
                "uncertainty": f"{float(ply.expanded):g} mm" if ply.expanded is not None else "",
            }
            for ply in joint.plies
        ],
        "hole_uncertainty": f"{float(joint.hole_expanded):g} mm" if joint.hole_expanded is not None else "",
        "access": joint.access.value,
        "known_from": joint.known.how.value,
        "reference": joint.known.reference,
        "instrument": joint.known.instrument if joint.known.instrument in INSTRUMENTS else "",
    }
    for name in ("hole", "edge_distance", "pitch", "seat_angle"):
        size: Quantity | None = getattr(joint, name)
        said[name] = _size_text(size.text, size) if size else ""
    return said


def _plain_statement(one: Statement) -> dict[str, Any]:
    said = {
        "characteristic": one.characteristic,
        "basis": one.basis.value,
        "text": _size_text(one.text, one.quantity),
        "uncertainty": _doubt_text(one),
        "instrument": one.instrument if one.instrument in INSTRUMENTS else "",
        "stage": one.stage.value,
        "by": one.by,
        "on": one.on if _is_day(one.on) else "",
        "sure": "yes",
    }
    return {key: value for key, value in said.items() if value}


def _is_day(text: str) -> bool:
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def example_of(class_key: str) -> dict[str, Any]:
    """A filled example of a class, in the shape of a check file. Raises NotFound."""
    known = part_class(class_key)
    if not known.examples:
        return write_check(Wanted(part_class=class_key), Offered(part_class=class_key))
    example = known.examples[0]
    return write_check(example.wanted, example.offered)


def schema_of(class_key: str) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a check file whose need is of this class. Raises NotFound."""
    known = part_class(class_key)
    keys = [one.key for one in known.characteristics]
    text = {"type": "string", "maxLength": 200}

    def words(several: Any) -> dict[str, Any]:
        return {"enum": [one.value for one in several]}

    requirement = {
        "type": "object",
        "required": ["characteristic", "text", "known_from"],
        "additionalProperties": False,
        "properties": {
            "characteristic": {"enum": keys},
            "layer": words(Layer),
            "form": words(Form),
            "text": text,
            "known_from": words(KnownFrom),
            "reference": text,
            "instrument": {"enum": sorted(INSTRUMENTS)},
            "uncertainty": text,
            "weight": words(Weight),
            "serials": text,
            "side": text,
            "decided": text,
            "sure": text,
        },
    }
    statement = {
        "type": "object",
        "required": ["characteristic", "text"],
        "additionalProperties": False,
        "properties": {
            "characteristic": text,
            "basis": words(Basis),
            "text": text,
            "uncertainty": text,
            "instrument": {"enum": sorted(INSTRUMENTS)},
            "stage": words(Stage),
            "by": text,
            "on": text,
            "sure": text,
        },
    }
    ply = {"type": "object", "properties": dict.fromkeys(("name", "material", "thickness", "uncertainty"), text)}
    sizes = ("hole", "hole_uncertainty", "edge_distance", "pitch", "seat_angle", "reference", "instrument")
    joint = {
        "type": "object",
        "properties": {
            "plies": {"type": "array", "items": ply, "maxItems": 8},
            **dict.fromkeys(sizes, text),
            "access": words(Access),
            "known_from": words(KnownFrom),
        },
    }
    need = {
        "type": "object",
        "required": ["part_class"],
        "additionalProperties": False,
        "properties": {
            "part_class": {"const": class_key},
            "use": {"enum": [one.value for one in Use] + [one.name for one in Use]},
            "role": {"enum": [one.value for one in Role] + [one.name for one in Role]},
            "serial": text,
            "side": text,
            "arm": text,
            "name": text,
            "drawing_unit": {"enum": ["", "mm", "in"]},
            "touches": {"type": "array", "items": text},
            "requirements": {"type": "array", "items": requirement},
            "joint": joint,
        },
    }
    find = {
        "type": "object",
        "additionalProperties": False,
        "properties": {
            "part_class": {"enum": ["", *sorted(part_classes())]},
            "origin": {"enum": ["", *[one.value for one in Origin]]},
            "evidence": {"type": "array", "items": words(Evidence)},
            "finish_to_come": {"type": "boolean"},
            "name": text,
            "statements": {"type": "array", "items": statement},
        },
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"A check of one find against one need: {known.name}",
        "type": "object",
        "required": ["need", "find"],
        "properties": {"need": need, "find": find, "ref": text},
    }
