"""The log in words: whose record, which field, what it was and what it is."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from server.domain.register import find_number, need_number, record_number
from server.services.needs import LABELS as NEED_LABELS
from server.storage.log import LogLine
from server.web.wording import class_name, day

LABELS: dict[str, dict[str, str]] = {
    "need": NEED_LABELS,
    "find": {
        "text": "What it is",
        "part_class": "Part class",
        "origin": "Kind of source",
        "supplier_id": "Supplier",
        "condition": "Condition",
        "quantity_text": "How many",
        "quantity": "How many, pieces",
        "smallest_lot": "Smallest lot",
        "price_text": "Price",
        "price_minor": "Price, smallest coin",
        "price_currency": "Currency",
        "lead_time": "Lead time",
        "bin": "Where it lies",
        "finish_to_come": "Finish still to come",
        "note": "Note",
        "ref": "Own reference",
    },
    "candidate": {
        "note": "Note",
        "authenticity": "Is it right for this restoration",
        "authenticity_reason": "Why",
        "authenticity_by": "Judged by",
    },
    "aeroplane": {
        "type": "Type",
        "maker": "Maker",
        "serial": "Maker’s serial",
        "registration": "Registration",
        "built": "Built",
        "use": "What it will be",
        "authority": "Authority it answers to",
        "drawing_unit": "Unit of its drawings",
        "note": "Note",
    },
    "step": {
        "aeroplane_id": "Aeroplane",
        "place_in_order": "Place in the order",
        "name": "Step",
        "closes": "What it closes over",
        "due": "Due",
        "state": "State",
        "note": "Note",
        "after": "Comes after, by number",
    },
    "supplier": {
        "name": "Name",
        "kind": "Kind",
        "place": "Place",
        "contact": "How to reach",
        "state": "Do they answer",
        "last_confirmed": "Last confirmed",
        "note": "Note",
    },
    "account": {"name": "Name", "role": "Role", "licence": "Licence or authority", "active": "In use"},
}
PLACES = {
    "need": "/needs/{}",
    "find": "/finds/{}",
    "candidate": "/candidates/{}",
    "aeroplane": "/aeroplanes/{}",
    "step": "/steps/{}",
    "supplier": "/suppliers/{}",
    "account": "/accounts/{}",
    "word": "/words#word-{}",
    "watch": "/watches",
}
KEEPERS = ("account", "setting")
"""Records whose pages only a keeper opens."""

_ABOUT = re.compile(
    r"(need|find|candidate|proposal|aeroplane|step|supplier|account)s?\s*[/ ]?\s*0*(\d{1,9})", re.IGNORECASE
)
_NUMBER = re.compile(r"([nf])\s*0*(\d{1,9})", re.IGNORECASE)
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_UNSAID = {"version", "changes", "reason"}


@dataclass(frozen=True, slots=True)
class LogWords:
    """One line of the log as a page shows it."""

    at: datetime
    who: str
    did: str
    subject: str
    about: str
    href: str
    reason: str
    changes: tuple[tuple[str, str, str], ...]
    further: tuple[tuple[str, str], ...]


def log_words(line: LogLine, *, is_keeper: bool) -> LogWords:
    """A line of the log in words; keeper's pages are linked for a keeper only."""
    kind, _, number = line.subject.partition("/")
    href = PLACES[kind].format(number) if kind in PLACES and number.isdigit() else ""
    if kind == "setting":
        href = "/settings"
    if kind in KEEPERS and not is_keeper:
        href = ""
    changes = line.said.get("changes", {})
    return LogWords(
        at=line.at,
        who=line.who,
        did=line.did,
        subject=line.subject,
        about=about_words(line.subject),
        href=href,
        reason=str(line.said.get("reason", "")),
        changes=tuple(
            (field_label(kind, name), said_value(name, was), said_value(name, now))
            for name, (was, now) in changes.items()
        ),
        further=tuple(
            (name.replace("_", " ").capitalize(), said_value(name, value))
            for name, value in line.said.items()
            if name not in _UNSAID
        ),
    )


def about_words(subject: str) -> str:
    """What a record is called: "need/147" is N 0147, "step/3" is step 3."""
    kind, _, number = subject.partition("/")
    if not number.isdigit():
        return "the shop’s rules" if kind == "setting" else subject
    if kind == "candidate":
        return f"proposal {number}"
    numbers = {"need": need_number, "find": find_number, "record": record_number}
    return numbers[kind](int(number)) if kind in numbers else f"{kind} {number}"


def read_about(text: str) -> str | None:
    """The record somebody asks the log about: "N 0147", "need/147", "step 3"; "" for none, None if unreadable."""
    said = text.replace("\u00a0", " ").strip()
    if not said or said.casefold() in {"setting/name", "setting/tightened", "setting/sign_rules"}:
        return said.casefold()
    if found := _NUMBER.fullmatch(said):
        return f"{'need' if found.group(1) in 'nN' else 'find'}/{int(found.group(2))}"
    if found := _ABOUT.fullmatch(said):
        kind = found.group(1).casefold()
        return f"{'candidate' if kind == 'proposal' else kind}/{int(found.group(2))}"
    return None


def field_label(kind: str, name: str) -> str:
    """What a field is called on its form."""
    words = name.replace("_", " ")
    return LABELS.get(kind, {}).get(name, words[:1].upper() + words[1:])


def said_value(name: str, value: Any) -> str:
    """A value as it is said: a day as a day, a list with commas, nothing as "nothing"."""
    if value is None or value in ("", [], {}):
        return "nothing"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(said_value(name, one) for one in value)
    if name == "part_class":
        return class_name(str(value))
    if isinstance(value, str) and _DAY.fullmatch(value):
        return day(date.fromisoformat(value))
    return str(value)
