"""The worked examples of a part class as questions of the trial form, so that anybody can start from one."""

from dataclasses import dataclass, replace
from functools import cache

from server.domain.equivalence import compare
from server.domain.errors import Unreadable
from server.domain.instruments import INSTRUMENTS, measures
from server.domain.offer import Offered, Statement
from server.domain.parts import part_class
from server.domain.quantities import UNITS, Quantity, as_decimal_text
from server.domain.reading import read_quantity
from server.domain.specification import Layer, Wanted, holds_for
from server.services.check_file import write_check
from server.services.trial import JOINT_FIELDS, OFFERED_FIELDS, PLY_FIELDS, WANTED_FIELDS, tidy

# no worked example is out of what is plausible, so none has to insist
_SAID_WANTED = tuple(name for name in WANTED_FIELDS if name != "sure")
_SAID_OFFERED = tuple(name for name in OFFERED_FIELDS if name != "sure")


@dataclass(frozen=True, slots=True)
class WorkedExample:
    """A worked comparison of the class: its title and the question it asks, in the shortest form."""

    title: str
    fields: tuple[tuple[str, str], ...]


def examples_of(class_key: str) -> tuple[WorkedExample, ...]:
    """The class's worked examples as questions of this form. Raises NotFound."""
    return tuple(
        WorkedExample(one.title, tuple(tidy(class_key, fields_of(one.wanted, one.offered))))
        for one in part_class(class_key).examples
    )


def fields_of(wanted: Wanted, offered: Offered) -> dict[str, str | list[str]]:
    """A need and a find as this form's fields; of several sources for one characteristic the one that stands.

    What does not hold for the aeroplane's serial or side is left out.
    """
    layers = list(Layer)
    held = [one for one in wanted.requirements if holds_for(one, wanted.serial, wanted.side) is not False]
    held.sort(key=lambda one: (bool(one.decided), -layers.index(one.layer)))
    wanted = replace(wanted, requirements=tuple(held))
    plain = write_check(wanted, offered)
    need, find = plain["need"], plain["find"]
    fields: dict[str, str | list[str]] = {
        "offered": offered.part_class,
        "use": wanted.use.value,
        "role": wanted.role.value,
        "touches": ", ".join(wanted.touches),
        "arm": wanted.arm,
        "evidence": [one.value for one in offered.evidence],
        "origin": offered.origin.value if offered.origin else "",
        "finish_to_come": "yes" if offered.finish_to_come else "",
    }
    for one, asked in zip(need["requirements"], wanted.requirements, strict=True):
        said = one | {"text": _limits_text(asked.quantity, one.get("text", ""))}
        fields |= {f"w_{asked.characteristic}_{name}": said[name] for name in _SAID_WANTED if name in said}
    for one, stated in zip(find["statements"], offered.statements, strict=True):
        said = one | _as_measured(stated)
        fields |= {f"o_{stated.characteristic}_{name}": said[name] for name in _SAID_OFFERED if said.get(name)}
    joint = need.get("joint")
    if joint:
        for place, ply in enumerate(joint["plies"], start=1):
            fields |= {f"ply{place}_{name}": ply.get(name, "") for name in PLY_FIELDS}
        fields |= {name: joint.get(name.removeprefix("joint_"), "") for name in JOINT_FIELDS}
    return fields


def _limits_text(quantity: Quantity | None, text: str) -> str:
    """The text of a size with limits that its text does not show: "3.15 mm to 3.25 mm"."""
    if quantity is None or not quantity.has_limits:
        return text
    try:
        read = read_quantity(text, quantity.kind)
        if (read.low, read.high) == (quantity.low, quantity.high):
            return text
    except Unreadable:
        pass  # written out below, so that it reads in one way only
    unit = UNITS[quantity.unit]
    low, high = (
        as_decimal_text(unit.from_base(side), 6) if side is not None else "" for side in (quantity.low, quantity.high)
    )
    if low and high:
        return f"{low} to {high} {quantity.unit}"
    return f"at least {low} {quantity.unit}" if low else f"at most {high} {quantity.unit}"


def _as_measured(stated: Statement) -> dict[str, str]:
    """How a statement without any doubt goes onto the form: as read off the piece."""
    kind = stated.quantity.kind if stated.quantity else None
    used = INSTRUMENTS.get(stated.instrument)
    changed: dict[str, str] = {}
    if kind is not None and used is not None and not measures(used, kind):
        changed["instrument"] = ""
    if kind is not None and stated.expanded == 0:
        changed |= {"uncertainty": "", "instrument": "stamp" if measures(INSTRUMENTS["stamp"], kind) else ""}
    return changed


_EVERY_CLASS = ("galvanic_", "hazard_")
"""Rows that every class may have: contact of metals, materials that hurt."""


@cache
def worked_out(class_key: str) -> tuple[str, ...]:
    """What the class judges by rules of its own, beside plain comparing, by the labels of its rows. Raises NotFound."""
    known = part_class(class_key)
    labels = dict.fromkeys(one.label for one in known.characteristics if one.key in known.covers)
    for example in known.examples:
        for row in compare(example.wanted, example.offered).rows:
            if row.key != "kind" and not row.key.startswith(_EVERY_CLASS) and known.characteristic(row.key) is None:
                labels.setdefault(row.label)
    return tuple(labels)
