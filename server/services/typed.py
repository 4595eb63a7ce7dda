"""What somebody typed, read field by field, with every fault kept for its field.

The same reading serves the pages, the API and the imports: a mapping of field
names to texts goes in, values come out, and `done` raises all faults at once.
"""

import re
from collections.abc import Iterable, Mapping
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from server.domain.errors import Faults, Unreadable
from server.domain.quantities import Kind, Quantity
from server.domain.reading import read_quantity, read_uncertainty

Word = TypeVar("Word", bound=StrEnum)
Given = Mapping[str, str | list[str]]

LINE = 200
"""Longest one-line text, characters."""
NOTE = 5000
"""Longest note, characters."""

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\ud800-\udfff]")
"""Signs that are no text: control characters, and halves of a sign that no database keeps."""


class Typed:
    """One form's texts under reading; collects faults by field name.

    `exact` holds sizes that a program gave in figures beside their text; they
    stand as they are, and the text is only shown.
    """

    def __init__(self, given: Given, exact: Mapping[str, Quantity] | None = None) -> None:
        self.given = given
        self.exact: Mapping[str, Quantity] = exact or {}
        self.faults: dict[str, str] = {}

    def fault(self, name: str, sentence: str) -> None:
        """Note a fault; the first one of a field stands."""
        self.faults.setdefault(name, sentence)

    def raw(self, name: str) -> str:
        """The text as typed, blanks at the ends taken off, control characters dropped, lines parted by LF.

        HTML sends the lines of a textarea parted by CR LF: a note that nobody touched would come back as another.
        """
        value = self.given.get(name, "")
        text = value[-1] if isinstance(value, list) and value else value
        return _CONTROL.sub("", text).replace("\r\n", "\n").strip() if isinstance(text, str) else ""

    def all(self, name: str) -> list[str]:
        """Every value of a field that may come several times; empty ones are left out."""
        return [text for text in self.places(name) if text]

    def places(self, name: str) -> list[str]:
        """The same with "" where nothing was typed: for fields that stand in pairs."""
        value = self.given.get(name, [])
        several = value if isinstance(value, list) else [value]
        return [_CONTROL.sub("", text).strip() for text in several]

    def flag(self, name: str) -> bool:
        """A ticked box."""
        return self.raw(name).casefold() in {"1", "on", "yes", "true"}

    def text(self, name: str, label: str, *, most: int = LINE, required: bool = False) -> str:
        """A text of at most so many characters."""
        text = self.raw(name)
        if required and not text:
            self.fault(name, f"{label} is missing.")
        if len(text) > most:
            self.fault(name, f"{label} has {len(text)} characters; there is room for {most}.")
        return text

    def word(self, name: str, words: type[Word], label: str, *, required: bool = False) -> Word | None:
        """One word of a closed set, by its value or its name."""
        text = self.raw(name)
        if not text:
            if required:
                self.fault(name, f"Choose: {label.lower()}.")
            return None
        for one in words:
            if text.casefold() in {one.value.casefold(), one.name.casefold()}:
                return one
        known = ", ".join(one.value for one in words)
        self.fault(name, f"{label}: “{text}” is none of: {known}.")
        return None

    def words(self, name: str, words: type[Word], label: str) -> tuple[Word, ...]:
        """Several words of a closed set."""
        found: list[Word] = []
        for text in self.all(name):
            one = next((w for w in words if text.casefold() in {w.value.casefold(), w.name.casefold()}), None)
            if one is None:
                self.fault(name, f"{label}: “{text}” is not known here.")
            elif one not in found:
                found.append(one)
        return tuple(found)

    def number(self, name: str, label: str, *, low: int = 0, high: int = 1_000_000) -> int | None:
        """A whole number; None where nothing was typed."""
        text = self.raw(name)
        if not text:
            return None
        if not re.fullmatch(r"-?\d{1,9}", text):
            self.fault(name, f"{label}: “{text}” is no whole number.")
            return None
        number = int(text)
        if not low <= number <= high:
            self.fault(name, f"{label}: {number} is not between {low} and {high}.")
            return None
        return number

    def day(self, name: str, label: str) -> date | None:
        """A day, written 2026-12-09 or 9.12.2026; None where nothing was typed."""
        text = self.raw(name)
        if not text:
            return None
        german = re.fullmatch(r"(\d{1,2})\.(\d{1,2})\.(\d{4})", text)
        try:
            if german:
                return date(int(german.group(3)), int(german.group(2)), int(german.group(1)))
            return date.fromisoformat(text)
        except ValueError:
            self.fault(name, f"{label}: “{text}” is no day; write it as 2026-12-09.")
            return None

    def quantity(
        self, name: str, label: str, kind: Kind, *, drawing_unit: str = "", required: bool = False
    ) -> Quantity | None:
        """A size of this kind; None where nothing was typed or it could not be read."""
        if name in self.exact:
            return self.exact[name]
        text = self.text(name, label, required=required)
        if not text or name in self.faults:
            return None
        try:
            return read_quantity(text, kind, drawing_unit=drawing_unit or None)
        except Unreadable as refused:
            self.fault(name, f"{label}: {refused}")
            return None

    def uncertainty(self, name: str, label: str, kind: Kind) -> Fraction | None:
        """A typed uncertainty, U (k = 2), in the kind's own unit; None where nothing was typed."""
        if name in self.exact:
            return self.exact[name].value
        text = self.text(name, label, most=60)
        if not text or name in self.faults:
            return None
        try:
            return read_uncertainty(text, kind)
        except Unreadable as refused:
            self.fault(name, f"{label}: {refused}")
            return None

    def done(self) -> None:
        """Raise Faults with everything that was wrong, if anything was."""
        if self.faults:
            raise Faults(self.faults)


def one_line(texts: Iterable[str]) -> str:
    """Several texts in one line, for the log."""
    return "; ".join(text for text in texts if text)
