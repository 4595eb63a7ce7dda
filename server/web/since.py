"""What differs now from what was signed or proposed, in words. A record itself is never computed anew."""

import json
from collections.abc import Mapping
from typing import Any

from server.domain.parts import part_class
from server.domain.plain import as_plain, canonical
from server.domain.sheet_plain import sheet_from_plain
from server.domain.verdict import Sheet
from server.services.candidates import Candidate, SignOff
from server.web.log_words import field_label, said_value

PASSING = frozenset(
    {
        "aeroplane",
        "changed_at",
        "is_met",
        "owner",
        "owner_id",
        "quantity",
        "step",
        "still_wanted",
        "supplier",
        "version",
        "withdrawn_reason",
    }
)
"""What moves on by itself after a signature, or is said under its own name below."""
HELD = {"aeroplane": ("registration", "serial", "type", "use"), "supplier": ("name",)}
"""Of what a need or find points to: the fields a record leans on."""


def since(candidate: Candidate, signed: SignOff | None) -> list[str]:
    """What differs now from what this signature rested on: the outcome, each row, and all that stands around them."""
    if signed is None:
        return []
    record = json.loads(signed.record)
    said = differs(sheet_from_plain(record["sheet"]), candidate.sheet, "signed")
    for kind, now in (("need", candidate.need), ("find", candidate.find)):
        said += _around(kind, record[kind], as_plain(now))
    return said


def differs(then: Sheet, now: Sheet, did: str) -> list[str]:
    """What differs between two sheets; `did` is what was done on the first, "signed"."""
    said: list[str] = []
    before = {row.key: row for row in then.rows}
    for row in now.rows:
        old = before.pop(row.key, None)
        if old is None:
            said.append(f"{row.label}: now on the sheet ({row.verdict}), not looked at then.")
        elif (old.verdict, old.wanted, old.offered) != (row.verdict, row.wanted, row.offered):
            said.append(
                f"{row.label}: {did} as “{old.verdict}” ({old.offered} for {old.wanted}), "
                f"now “{row.verdict}” ({row.offered} for {row.wanted})."
            )
    said.extend(f"{row.label}: no longer on the sheet." for row in before.values())
    if (then.engine, then.handbook) != (now.engine, now.handbook):
        said.append(
            f"The check itself is newer: engine {then.engine} → {now.engine}, "
            f"handbook {then.handbook} → {now.handbook}."
        )
    if said and then.outcome is not now.outcome:
        said.insert(0, f"The whole would now come out as “{now.outcome}”; {did} was “{then.outcome}”.")
    elif said:
        said.insert(0, f"The whole would still come out as “{now.outcome}”.")
    return said


def _around(kind: str, then: Mapping[str, Any], now: Mapping[str, Any]) -> list[str]:
    """Fields, entries, papers and photographs of a need or find that were changed, came or went."""
    said: list[str] = []
    for name, before in then.items():
        after = now.get(name)
        if name in HELD:
            said += _held(name, before, after)
        elif name in PASSING or before == after:
            continue
        elif _are_entries(before) or _are_entries(after):
            said += _entries(str(now.get("part_class", "")), before or [], after or [])
        elif isinstance(before, dict) or isinstance(after, dict):
            said.append(f"{field_label(kind, name)} of the {kind}: changed.")
        else:
            said.append(_changed(kind, name, before, after))
    return said


def _changed(kind: str, name: str, before: Any, after: Any) -> str:
    was, has = said_value(name, before), said_value(name, after)
    return f"{field_label(kind, name)} of the {kind}: was {was}, now {has}."


def _held(name: str, before: Any, after: Any) -> list[str]:
    was, has = before or {}, after or {}
    return [_changed(name, one, was.get(one), has.get(one)) for one in HELD[name] if was.get(one) != has.get(one)]


def _are_entries(value: Any) -> bool:
    return isinstance(value, list) and any(isinstance(one, dict) for one in value)


def _entries(class_key: str, before: list[Any], after: list[Any]) -> list[str]:
    # a field that entries of that time did not have yet is no difference
    shared = set.intersection(*(set(one) for one in (*before, *after)))
    then, now = (
        {canonical({name: one[name] for name in shared}): one for one in several} for several in (before, after)
    )
    gone = [f"No longer there: {_entry(class_key, one)}." for key, one in then.items() if key not in now]
    come = [f"Came since: {_entry(class_key, one)}." for key, one in now.items() if key not in then]
    return gone + come


def _entry(class_key: str, one: Mapping[str, Any]) -> str:
    """One entry in words: a reading, what a source says, a number, a photograph or paper, an enquiry."""
    if "digest" in one:
        return f"{one['kind']} “{one['name'] or one['caption']}”"
    if "characteristic" in one:
        known = part_class(class_key or "general").characteristic(str(one["characteristic"]))
        label = known.label if known else str(one["characteristic"]).replace("_", " ")
        basis = one.get("basis") or (one.get("known") or {}).get("how") or ""
        decided = f", decided: {one['decided']}" if one.get("decided") else ""
        return f"{label} {one['text']}{f' ({basis})' if basis else ''}{decided}"
    return ", ".join(str(one[name]) for name in ("kind", "text", "note", "answer") if one.get(name))
