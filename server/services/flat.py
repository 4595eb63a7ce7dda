"""What stands under a need or a find as numbered columns of a table, and read back from them.

The columns are the form's own fields: r1_characteristic, r1_text …, m1_…, designation1_…, enquiry1_…, evidence1_…;
the joint's are ply1_… and hole, pitch, joint_known_from …. What no plain cell can say (a size in figures beside its
text, several sizes) stands in its cell as JSON.
"""

import json
import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from server.services.written import JOINT, PLY, REQUIREMENT, STATEMENT, Faulted

_AS_JSON = frozenset({"quantity", "one_of", "words", "uncertainty", "thickness", "hole", "hole_uncertainty"}) | {
    "edge_distance",
    "pitch",
    "seat_angle",
}
"""Fields whose cell may hold JSON; a text that begins with a bracket stays a text everywhere else."""
_OF_THE_JOINT = frozenset({"known_from", "reference", "instrument"})
"""Fields of a joint that a requirement has too: their columns begin with `joint_`."""
_PLY = re.compile(rf"ply(\d{{1,3}})_({'|'.join(PLY)})")


@dataclass(frozen=True, slots=True)
class Group:
    """Entries of one kind: the list's name, the letters its columns begin with, the fields, and which make an entry.

    An entry that has none of `enough` is no entry: a form's empty row.
    """

    name: str
    prefix: str
    fields: tuple[str, ...]
    enough: frozenset[str]

    @property
    def pattern(self) -> re.Pattern[str]:
        """A column of it: its number and its field."""
        return re.compile(rf"{self.prefix}(\d{{1,3}})_({'|'.join(self.fields)})")


REQUIREMENTS = Group("requirements", "r", REQUIREMENT, frozenset({"text", "quantity", "one_of", "words"}))
NEED_GROUPS = (
    Group("designations", "designation", ("text", "kind", "reading", "note"), frozenset({"text"})),
    REQUIREMENTS,
    Group("enquiries", "enquiry", ("kind", "supplier", "text", "answer", "on", "by"), frozenset({"text", "supplier"})),
)
FIND_GROUPS = (
    Group("statements", "m", STATEMENT, frozenset({"text", "quantity", "words"})),
    Group("evidence", "evidence", ("kind", "note"), frozenset({"kind", "note"})),
)
JOINT_COLUMNS = tuple(f"joint_{name}" if name in _OF_THE_JOINT else name for name in JOINT if name != "plies")


def is_column(name: str, groups: Iterable[Group], *, joint: bool = False) -> bool:
    """True for a column of one of these groups (or of the joint)."""
    if joint and (name in JOINT_COLUMNS or _PLY.fullmatch(name)):
        return True
    return any(one.pattern.fullmatch(name) for one in groups)


def flat(plain: Mapping[str, Any], groups: Iterable[Group]) -> dict[str, Any]:
    """The cells of all that stands under a record; what is empty has none."""
    cells: dict[str, Any] = {}
    for group in groups:
        for number, entry in enumerate(plain.get(group.name) or (), start=1):
            cells |= {f"{group.prefix}{number}_{name}": _cell(entry[name]) for name in group.fields if entry.get(name)}
    joint: Mapping[str, Any] = plain.get("joint") or {}
    for number, ply in enumerate(joint.get("plies") or (), start=1):
        cells |= {f"ply{number}_{name}": _cell(ply[name]) for name in PLY if ply.get(name)}
    said = {name: _cell(joint[name]) for name in JOINT if name != "plies" and joint.get(name)}
    return cells | {f"joint_{name}" if name in _OF_THE_JOINT else name: cell for name, cell in said.items()}


def columns(used: Collection[str], groups: Iterable[Group]) -> list[str]:
    """The columns that are used, in the order of a form: entry by entry, each field in its place."""
    return [name for name in _every_column(groups, _highest(used)) if name in used]


def _highest(used: Iterable[str]) -> int:
    return max((int(found.group(1)) for name in used if (found := re.match(r"[a-z]+(\d+)_", name))), default=0)


def _every_column(groups: Iterable[Group], highest: int) -> Iterator[str]:
    numbers = range(1, highest + 1)
    for group in groups:
        yield from (f"{group.prefix}{number}_{name}" for number in numbers for name in group.fields)
    yield from (f"ply{number}_{name}" for number in numbers for name in PLY)
    yield from JOINT_COLUMNS


def _cell(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else ""
    return value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)


@dataclass(frozen=True, slots=True)
class Gathered:
    """A line with its numbered columns made into lists, and what each entry's columns begin with, by its path."""

    plain: dict[str, Any]
    prefixes: dict[str, str]

    def in_columns(self, faults: Faulted) -> None:
        """Say faults of gathered entries by their columns: requirements[0].text → r1_text."""
        for path in list(faults):
            entry = next((one for one in self.prefixes if path == one or path.startswith(f"{one}.")), None)
            if entry is not None:
                name = path[len(entry) :].lstrip(".")
                faults[_column(self.prefixes[entry], name)] = faults.pop(path)


def _column(prefix: str, name: str) -> str:
    """The column of a field; `prefix` is that of its entry, "joint" for the joint itself."""
    if prefix == "joint" and name and name not in _OF_THE_JOINT:
        return name
    return f"{prefix}_{name}" if name else prefix


def gathered(plain: Mapping[str, Any], groups: Iterable[Group], *, joint: bool = False) -> Gathered:
    """The line with the entries that its numbered columns hold, behind those that it holds as lists."""
    rest = dict(plain)
    prefixes: dict[str, str] = {}
    for group in groups:
        found = _entries(rest, group.pattern)
        entries = {number: one for number, one in found.items() if not group.enough.isdisjoint(one) or _is_sample(one)}
        if not entries:
            continue
        before = rest.get(group.name) or []
        if not isinstance(before, list):
            continue
        for place, number in enumerate(sorted(entries), start=len(before)):
            prefixes[f"{group.name}[{place}]"] = f"{group.prefix}{number}"
        rest[group.name] = [*before, *(entries[number] for number in sorted(entries))]
    if joint and not rest.get("joint"):
        _gather_joint(rest, prefixes)
    return Gathered(rest, prefixes)


def _is_sample(entry: Mapping[str, Any]) -> bool:
    """A requirement that a sample answers has no size of its own."""
    return str(entry.get("form", "")).casefold() in {"as the sample", "as_sample"}


def _gather_joint(rest: dict[str, Any], prefixes: dict[str, str]) -> None:
    plies = _entries(rest, _PLY)
    said = {
        name.removeprefix("joint_"): _value(name, rest.pop(name)) for name in JOINT_COLUMNS if not _is_empty(rest, name)
    }
    if not plies and not said:
        return
    rest["joint"] = said | {"plies": [plies[number] for number in sorted(plies)]}
    for place, number in enumerate(sorted(plies)):
        prefixes[f"joint.plies[{place}]"] = f"ply{number}"
    prefixes["joint"] = "joint"


def _is_empty(plain: Mapping[str, Any], name: str) -> bool:
    return plain.get(name) in (None, "")


def _entries(rest: dict[str, Any], pattern: re.Pattern[str]) -> dict[int, dict[str, Any]]:
    """Take the columns of a group out of a line: the entries by their number."""
    entries: dict[int, dict[str, Any]] = {}
    for key in list(rest):
        if found := pattern.fullmatch(key):
            value = rest.pop(key)
            if value not in (None, ""):
                entries.setdefault(int(found.group(1)), {})[found.group(2)] = _value(found.group(2), value)
    return entries


def _value(name: str, value: Any) -> Any:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return str(value)
    if name in _AS_JSON and isinstance(value, str) and value[:1] in {"{", "["}:
        try:
            return json.loads(value)
        except (ValueError, RecursionError):
            return value
    return value
