"""The tree of refusals.

Refused                      anything the register will not do, with a sentence for the bench
├── Unreadable               a text that could not be read as what it should be (quotes the part)
├── Faults                   several faults of one form, each at its field
├── NotFound                 there is no such record
├── NotAllowed               this account may not do that
└── Overtaken                somebody else changed the record meanwhile
"""

from collections.abc import Mapping


class Refused(Exception):
    """Something the register will not do; the text is a sentence for the person at the bench."""


class Unreadable(Refused, ValueError):
    """A text that can't be read; `part` is the piece of it that stopped the reading."""

    def __init__(self, sentence: str, part: str = "") -> None:
        super().__init__(sentence)
        self.part = part


class Faults(Refused):
    """All faults of one form at once: field name to sentence."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        self.faults = dict(faults)
        super().__init__("; ".join(f"{name}: {text}" for name, text in self.faults.items()))


class NotFound(Refused, LookupError):
    """There is no such record in this register."""


class NotAllowed(Refused):
    """The account's role does not reach to this."""


class Overtaken(Refused):
    """The record was changed by somebody else since it was opened."""
