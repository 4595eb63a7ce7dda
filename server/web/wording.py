"""How values are said on a page: days, numbers, verdict words and their line style."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date, datetime, timedelta
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

from server.domain.conformity import write_chance
from server.domain.parts import part_classes
from server.domain.quantities import Kind, write_value
from server.domain.register import find_number, find_title, need_number, record_number
from server.domain.verdict import Outcome, Verdict

_UTC = ZoneInfo("UTC")
_ISO_DAY = re.compile(r"(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])")
_ZONE: ContextVar[ZoneInfo | None] = ContextVar("zone", default=None)

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


@contextmanager
def shown_in(zone: ZoneInfo) -> Iterator[None]:
    """While this lasts, times are written as the clocks of this zone show them."""
    before = _ZONE.set(zone)
    try:
        yield
    finally:
        _ZONE.reset(before)


def day(value: date | datetime | str | None) -> str:
    """A day as it is written here: 9 Dec 2026; "" for none. A day kept as text is taken too."""
    if isinstance(value, str):
        value = date.fromisoformat(value[:10]) if value else None
    if isinstance(value, datetime):
        value = value.astimezone(_ZONE.get() or _UTC)
    return f"{value.day} {value:%b %Y}" if value else ""


def days_said(text: str) -> str:
    """A line of a sheet with every ISO day in it as days are written here: "measured, micrometer, 9 Dec 2026"."""
    return _ISO_DAY.sub(_day_said, text)


def _day_said(found: re.Match[str]) -> str:
    try:
        return day(found[0])
    except ValueError:
        return found[0]  # figures that only look like a day


def moment(value: datetime | str | None) -> str:
    """A day and time by the shop's clocks, and how far these are from UTC: 9 Dec 2026, 15:05 UTC+1; "" for none.

    A moment kept as text (ISO 8601) is taken too.
    """
    if not value:
        return ""
    here = (datetime.fromisoformat(value) if isinstance(value, str) else value).astimezone(_ZONE.get() or _UTC)
    return f"{here.day} {here:%b %Y, %H:%M} {_from_utc(here.utcoffset() or timedelta())}"


def _from_utc(offset: timedelta) -> str:
    minutes = int(offset.total_seconds()) // 60
    if not minutes:
        return "UTC"
    hours, rest = divmod(abs(minutes), 60)
    return f"UTC{'+' if minutes > 0 else '−'}{hours}{f':{rest:02d}' if rest else ''}"


def percent(value: float | None) -> str:
    """A probability in per cent; "" for none."""
    return "" if value is None else write_chance(value)


def doubt(expanded: Fraction | None, kind: Kind = Kind.LENGTH) -> str:
    """An expanded uncertainty (k = 2) behind its figure: "± 0.02 mm"; "" for none."""
    return "" if expanded is None else f"± {write_value(expanded, kind, 3)}"


def class_name(key: str) -> str:
    """The name of a part class; "not told apart yet" for none."""
    found = part_classes().get(key)
    return found.name if found else "not told apart yet"


FILTERS = {
    "day": day,
    "days_said": days_said,
    "moment": moment,
    "percent": percent,
    "class_name": class_name,
    "verdict_kind": verdict_kind,
    "find_title": find_title,
    "doubt": doubt,
}
GLOBALS = {"need_number": need_number, "find_number": find_number, "record_number": record_number}
