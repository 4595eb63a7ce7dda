"""How deep the evidence for each governing row goes, and who gave it.

Five grades, the thinnest first: somebody's word, one person's reading here,
readings of two people here, papers, a test report. The order is the
register's own proposal, after the grades the trade gives to a part's papers.
A grade says how a figure was found; whether it conforms is the sheet's matter.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from server.domain.offer import Basis, Evidence, Offered, Statement
from server.domain.parts import GENERAL, part_class
from server.domain.parts._kit import Characteristic, fold_word
from server.domain.sources import Source, method
from server.domain.specification import Weight
from server.domain.verdict import Row, Sheet


class Depth(StrEnum):
    """How a figure of the piece was found; each is worth more than the ones before it."""

    NOTHING = "nothing entered"
    CLAIMED = "claimed"
    MEASURED = "measured here"
    SECOND = "measured by a second person"
    PAPERS = "papers"
    TESTED = "test report"

    @property
    def rank(self) -> int:
        """0 is the thinnest."""
        return list(Depth).index(self)

    def reaches(self, wanted: "Depth") -> bool:
        """True where this is at least what is wanted."""
        return self.rank >= wanted.rank


ASKED_FOR = (Depth.CLAIMED, Depth.MEASURED, Depth.SECOND, Depth.PAPERS, Depth.TESTED)
"""What a rule may ask for."""

LABORATORY = frozenset({"analysis", "heat_test", "penetrant"})
"""Instruments of an outside laboratory: a reading with one rests on its report, not on our own hands."""

WHAT_A_PAPER_PROVES: Source = Source("AC 20-62E", "para 6 and page 7, items e to g", "23 Dec 2010")
"""Which papers speak for a part. Stores labels and invoices may be evidence; alone they lift nothing here."""

A_CLAIM_IS_NO_READING: Source = method("a claim is no measurement, whoever makes it")


@dataclass(frozen=True, slots=True)
class RowEvidence:
    """What one governing row rests on: how deep, and who measured."""

    key: str
    label: str
    depth: Depth
    by: tuple[str, ...] = ()

    def sentence(self, wanted: Depth) -> str:
        """In words, beside what is wanted: "measured here by one person, Rosa; wanted: papers"."""
        said = str(self.depth)
        if self.depth is Depth.MEASURED:
            said = f"measured here by one person, {self.by[0]}" if self.by else "measured here, nobody says by whom"
        elif self.depth is Depth.SECOND:
            said = f"measured here by {' and by '.join(self.by)}"
        if self.depth.reaches(wanted):
            return said
        asked = "measured by a second person, or papers" if wanted is Depth.SECOND else str(wanted)
        return f"{said}; wanted: {asked}"


def same_person(one: str, other: str) -> bool:
    """May these two names be one person? In doubt yes: "J. Tresk", "JT" and "Jory" may all be Jory Tresk.

    Two names count as two people only where neither can be read as a short form of the other.
    """
    first, second = _name_parts(one), _name_parts(other)
    if not first or not second:
        return True
    return _short_for(first, second) or _short_for(second, first)


def _name_parts(name: str) -> list[str]:
    return "".join(sign if sign.isalnum() else " " for sign in name.casefold()).split()


def _short_for(short: list[str], whole: list[str]) -> bool:
    if len(short) == 1 and len(whole) > 1 and short[0] == "".join(part[0] for part in whole):
        return True
    left = list(whole)
    for part in short:
        found = next((place for place, other in enumerate(left) if other.startswith(part)), None)
        if found is None:
            return False
        del left[found]
    return True


def different_people(names: Iterable[str]) -> tuple[str, ...]:
    """The names that are surely different people, in order; a missing name is nobody."""
    found: list[str] = []
    for name in names:
        if name.strip() and not any(same_person(name, held) for held in found):
            found.append(name)
    return tuple(found)


def is_own_reading(one: Statement) -> bool:
    """Measured with our own hands: a reading, and not a laboratory's."""
    return one.basis is Basis.MEASURED and one.instrument not in LABORATORY and "laborator" not in one.by.casefold()


def inspectors(offered: Offered) -> tuple[str, ...]:
    """Everybody who measured the piece here, each once."""
    return different_people(one.by for one in offered.statements if is_own_reading(one))


def evidence_of(sheet: Sheet, offered: Offered, notes: Iterable[tuple[Evidence, str]] = ()) -> tuple[RowEvidence, ...]:
    """The evidence of every governing row that is about the piece itself.

    Rows that are worked out from others and rows about the place are left out: they rest on the rows
    that are here. `notes` are the find's proofs with their notes. A certificate speaks for the whole
    piece; a test report only for rows a laboratory found, or for those its note names.
    """
    proofs = list(notes)
    rows: list[RowEvidence] = []
    for row in sheet.rows:
        one = _asked_of_the_piece(row, offered)
        if one is not None:
            rows.append(_of_row(row, one, offered.said(row.key), proofs))
    return tuple(rows)


def _asked_of_the_piece(row: Row, offered: Offered) -> Characteristic | None:
    if row.weight is not Weight.GOVERNS:
        return None
    one = part_class(offered.part_class or GENERAL).characteristic(row.key)
    return one if one is not None and not one.of_place else None


def _of_row(
    row: Row, one: Characteristic, said: tuple[Statement, ...], proofs: list[tuple[Evidence, str]]
) -> RowEvidence:
    if not said:
        return RowEvidence(row.key, row.label, Depth.NOTHING)
    people = different_people(statement.by for statement in said if is_own_reading(statement))
    if any(kind is Evidence.TEST and _covers(note, one, said) for kind, note in proofs):
        return RowEvidence(row.key, row.label, Depth.TESTED, people)
    if any(kind is Evidence.CERTIFICATE for kind, _ in proofs):
        return RowEvidence(row.key, row.label, Depth.PAPERS, people)
    if len(people) > 1:
        return RowEvidence(row.key, row.label, Depth.SECOND, people)
    if any(statement.basis is Basis.MEASURED for statement in said):
        return RowEvidence(row.key, row.label, Depth.MEASURED, people)
    return RowEvidence(row.key, row.label, Depth.CLAIMED)


def _covers(note: str, one: Characteristic, said: tuple[Statement, ...]) -> bool:
    """Does a test report speak for this row?"""
    if any(statement.basis is Basis.MEASURED and not is_own_reading(statement) for statement in said):
        return True
    folded = f" {_plain_words(note)} "
    return any(f" {_plain_words(word)} " in folded for word in (one.key, one.label))


def _plain_words(text: str) -> str:
    return fold_word("".join(sign if sign.isalnum() or sign in "-_" else " " for sign in text))
