"""Conditions of an approval: each a line with what it asks, and when it falls due."""

import re
from dataclasses import dataclass
from datetime import date, datetime

from server.domain.errors import Unreadable

LONGEST = 1000
_DUE = re.compile(
    # "due" is a due only after a comma or the like, or before what can be one: "with due care" is none
    r"(?:\s*[,;(]\s*due\b\s*:?|\s+due\s*:|\s+due(?=\s+(?:\d|on\b|by\b|at\b|after\b|before\b|next\b|when\b)))"
    r"\s*(?P<when>[^()]*?)\)?[\s.]*$",
    re.IGNORECASE,
)
_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})")
_GERMAN = re.compile(r"(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})")
_LEADING = re.compile(r"^(on|by|before|after|at)\s+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Term:
    """One condition as written: the text, and a day, or hours or an event in words, or neither."""

    text: str
    due: date | None = None
    due_words: str = ""


@dataclass(frozen=True, slots=True)
class Condition:
    """A condition of a standing or former approval."""

    id: int
    candidate_id: int
    aeroplane_id: int
    record_id: int
    item: str
    find_text: str
    term: Term
    made_at: datetime
    closed_at: datetime | None = None
    closed_by: str = ""
    closed_record_id: int | None = None
    closed_reason: str = ""

    @property
    def is_open(self) -> bool:
        """Nobody has signed that it is done."""
        return self.closed_at is None

    def is_overdue(self, today: date) -> bool:
        """Open after its day; hours and events are for a person to watch."""
        return self.is_open and self.term.due is not None and self.term.due < today


def read_conditions(text: str, due: date | None = None) -> tuple[Term, ...]:
    """One condition a line; "due 2027-06-01", "due 10 hours" or "due next annual" at the end of a line is its due.

    `due` holds for every line that names none. Raises Unreadable for a date that is none.
    """
    return tuple(_read_line(line.strip(), due) for line in text.splitlines() if line.strip())


def _read_line(line: str, due: date | None) -> Term:
    if len(line) > LONGEST:
        raise Unreadable(f"A condition has room for {LONGEST} characters; this line has {len(line)}.", line[:40])
    found = _DUE.search(line)
    if found is None or not found["when"].strip() or not line[: found.start()].strip():
        return Term(line, due)
    text = line[: found.start()].strip()
    when = found["when"].strip()
    plain = _LEADING.sub("", when)
    if day := (_ISO.fullmatch(plain) or _GERMAN.fullmatch(plain)):
        year, month, number = day.groups() if len(day[1]) == 4 else reversed(day.groups())
        try:
            return Term(text, date(int(year), int(month), int(number)))
        except ValueError:
            raise Unreadable(f"“{when}” is no day; write it as 2027-06-01.", when) from None
    return Term(text, None, when)


def in_order(conditions: list[Condition], today: date) -> list[Condition]:
    """Overdue first, then by day, then those due by hours or an event, then the rest; the oldest first."""
    return sorted(
        conditions,
        key=lambda one: (
            not one.is_overdue(today),
            one.term.due or date.max,
            not one.term.due_words,
            one.id,
        ),
    )
