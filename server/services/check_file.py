"""A need and a find written as one JSON, for checking without any register.

Shape: {"need": {part_class, use, role, serial, side, touches, arm, requirements, joint},
"find": {part_class, origin, evidence, finish_to_come, statements}}; the objects in it
are those of `written`. Every fault is reported at once, by path.
"""

from collections.abc import Mapping
from typing import Any

from server.domain.errors import Faults
from server.domain.offer import Evidence, Offered, Origin, Statement
from server.domain.parts import GENERAL, part_class, part_classes
from server.domain.parts._kit import PartClass
from server.domain.specification import Requirement, Role, Use, Wanted
from server.services.place import arm_given
from server.services.typed import Typed
from server.services.writing import write_joint, write_requirement, write_statement
from server.services.written import (
    Faulted,
    as_requirement,
    as_statement,
    carry,
    list_of,
    read_joint_of,
    read_requirement,
    read_statement,
    texts_of,
)

TOP = ("need", "find", "ref", "title", "expect")
NEED = (
    "part_class",
    "use",
    "role",
    "serial",
    "side",
    "touches",
    "arm",
    "requirements",
    "joint",
    "name",
    "drawing_unit",
)
FIND = ("part_class", "origin", "evidence", "finish_to_come", "statements", "name")
DRAWING_UNITS = ("", "mm", "in")


def read_check(plain: Any) -> tuple[Wanted, Offered]:
    """What is wanted and what is offered, out of such a JSON. Raises Faults with every fault by its path."""
    faults: Faulted = {}
    if not isinstance(plain, Mapping):
        raise Faults({"": "The file holds no object with “need” and “find”."})
    for key in plain:
        if key not in TOP:
            faults[str(key)] = f"There is no such entry; known are {', '.join(TOP)}."
    wanted = offered = None
    for key, sentence in (("need", "what is wanted"), ("find", "what is offered")):
        if key not in plain:
            faults[key] = f"Missing: {sentence}."
        elif not isinstance(plain[key], Mapping):
            faults[key] = f"This is an object: {sentence}."
        elif key == "need":
            wanted = _read_wanted(plain[key], faults)
        else:
            offered = _read_offered(plain[key], faults)
    if faults or wanted is None or offered is None:
        raise Faults(faults)
    return wanted, offered


def _class_of(typed: Typed, path: str, faults: Faulted, *, required: bool) -> PartClass | None:
    key = typed.raw("part_class")
    known = part_classes().get(key)
    if known is None and (key or required):
        faults[f"{path}.part_class"] = (
            f"“{key[:40]}” is no part class; known are {', '.join(sorted(part_classes()))}." if key else "Missing."
        )
    return known


def _read_wanted(plain: Mapping[str, Any], faults: Faulted) -> Wanted | None:
    typed = Typed(texts_of(plain, "need", NEED, faults, nested=("requirements", "joint")))
    needed = _class_of(typed, "need", faults, required=True)
    use = typed.word("use", Use, "What the aeroplane will be") or Use.CERTIFIED
    role = typed.word("role", Role, "Role") or Role.UNKNOWN
    unit = typed.raw("drawing_unit")
    if unit not in DRAWING_UNITS:
        typed.fault("drawing_unit", f"“{unit[:40]}” is no unit of drawings; known are mm and in.")
        unit = ""
    arm = arm_given(typed)
    carry(typed, "need", faults)
    requirements: list[Requirement] = []
    for place, one in enumerate(list_of(plain, "requirements", "need", faults)):
        values = read_requirement(one, f"need.requirements[{place}]", needed.key, unit, faults) if needed else None
        if values is not None:
            requirements.append(as_requirement(values))
    joint = read_joint_of(plain.get("joint"), "need.joint", unit, faults)
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


def _read_offered(plain: Mapping[str, Any], faults: Faulted) -> Offered | None:
    typed = Typed(texts_of(plain, "find", FIND, faults, nested=("statements",)))
    given = _class_of(typed, "find", faults, required=False)
    origin = typed.word("origin", Origin, "Kind of source")
    evidence = typed.words("evidence", Evidence, "Provenance")
    carry(typed, "find", faults)
    key = given.key if given else GENERAL
    statements: list[Statement] = []
    readable = given is not None or not typed.raw("part_class")
    for place, one in enumerate(list_of(plain, "statements", "find", faults)):
        values = read_statement(one, f"find.statements[{place}]", key, faults) if readable else None
        if values is not None:
            statements.append(as_statement(values))
    return Offered(
        part_class=given.key if given else "",
        statements=tuple(statements),
        origin=origin,
        evidence=evidence,
        finish_to_come=typed.flag("finish_to_come"),
        name=typed.raw("name"),
    )


def write_check(wanted: Wanted, offered: Offered, reference: str = "not named") -> dict[str, Any]:
    """The JSON of a need and a find, which `read_check` accepts.

    `reference` stands where a drawing, manual or catalogue was not named.
    """
    need: dict[str, Any] = {
        "part_class": wanted.part_class,
        "name": wanted.name,
        "use": wanted.use.value,
        "role": wanted.role.value,
        "serial": wanted.serial,
        "side": wanted.side,
        "touches": list(wanted.touches),
        "arm": wanted.arm,
        "requirements": [write_requirement(one, wanted.part_class, reference) for one in wanted.requirements],
        "joint": write_joint(wanted.joint, reference) if wanted.joint is not None else None,
    }
    find: dict[str, Any] = {
        "part_class": offered.part_class,
        "name": offered.name,
        "origin": offered.origin.value if offered.origin else "",
        "evidence": [one.value for one in offered.evidence],
        "finish_to_come": offered.finish_to_come,
        "statements": [write_statement(one, offered.part_class or GENERAL) for one in offered.statements],
    }
    always = {"part_class", "requirements", "statements"}
    return {
        key: {name: value for name, value in said.items() if value or name in always}
        for key, said in (("need", need), ("find", find))
    }


def example_of(class_key: str) -> dict[str, Any]:
    """A filled example of a class, in the shape of a check file. Raises NotFound.

    `title` says what it shows, `expect` the outcome that comes out.
    """
    return examples_of(class_key)[0]


def examples_of(class_key: str) -> list[dict[str, Any]]:
    """Every worked example of a class. Raises NotFound."""
    return [
        {
            "title": one.title,
            "expect": one.outcome.value,
            **write_check(one.wanted, one.offered, "of this example"),
        }
        for one in part_class(class_key).examples
    ]
