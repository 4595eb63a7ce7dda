"""How values are said on a page: days, numbers, verdict words and their line style."""

from datetime import date, datetime
from typing import Any

from server.domain.conformity import write_chance
from server.domain.parts import part_classes
from server.domain.register import find_number, need_number, record_number
from server.domain.verdict import Outcome, Verdict

VERDICT_KIND = {
    Verdict.PROVEN: "proven",
    Verdict.AGAINST: "against",
    Verdict.OPEN: "open",
    Verdict.JUDGED: "judged",
    Outcome.LIKE_FOR_LIKE: "proven",
    Outcome.WITH_REASONS: "judged",
    Outcome.NOT_PROVEN: "open",
    Outcome.NOT_EQUIVALENT: "against",
}
"""Which line a verdict is drawn with: full proven, dashed open, double against, dotted judged."""


def verdict_kind(word: Any) -> str:
    """The line style of a verdict or outcome, by itself or by its word."""
    return next((kind for said, kind in VERDICT_KIND.items() if str(said) == str(word)), "open")


def day(value: date | datetime | str | None) -> str:
    """A day as it is written here: 9 Dec 2026; "" for none. A day kept as text is taken too."""
    if isinstance(value, str):
        value = date.fromisoformat(value[:10]) if value else None
    return f"{value.day} {value:%b %Y}" if value else ""


def moment(value: datetime | None) -> str:
    """A day and time in UTC: 9 Dec 2026, 14:05 UTC."""
    return f"{value.day} {value:%b %Y, %H:%M} UTC" if value else ""


def percent(value: float | None) -> str:
    """A probability in per cent; "" for none."""
    return "" if value is None else write_chance(value)


def class_name(key: str) -> str:
    """The name of a part class; "not told apart yet" for none."""
    found = part_classes().get(key)
    return found.name if found else "not told apart yet"


FILTERS = {"day": day, "moment": moment, "percent": percent, "class_name": class_name, "verdict_kind": verdict_kind}
GLOBALS = {"need_number": need_number, "find_number": find_number, "record_number": record_number}
