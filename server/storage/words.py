"""The shop's own words and the records that have to be read anew because of them."""

from collections.abc import Sequence
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.register import WordState
from server.storage.tables import ReadAgainRow, ShopWordRow


def get_word_row(session: Session, number: int) -> ShopWordRow:
    """The row of a word. Raises NotFound."""
    row = session.get(ShopWordRow, number)
    if row is None:
        raise NotFound("There is no such word in this register.")
    return row


def accepted_words(session: Session) -> tuple[tuple[str, str], ...]:
    """Word and meaning of every accepted word, in a steady order."""
    wanted = sa.select(col(ShopWordRow.word), col(ShopWordRow.meaning))
    wanted = wanted.where(col(ShopWordRow.state) == WordState.ACCEPTED.value)
    wanted = wanted.order_by(col(ShopWordRow.folded), col(ShopWordRow.meaning))
    return tuple((row[0], row[1]) for row in session.execute(wanted))


def list_word_rows(session: Session, state: WordState, *, after: int = 0, most: int = 50) -> list[ShopWordRow]:
    """Words of one state in order of number; `after` is the last number of the page before."""
    wanted = select(ShopWordRow).where(ShopWordRow.state == state.value, col(ShopWordRow.id) > after)
    return list(session.exec(wanted.order_by(col(ShopWordRow.id)).limit(most)))


def count_words(session: Session) -> dict[WordState, int]:
    """How many words there are of each state."""
    wanted = sa.select(col(ShopWordRow.state), sa.func.count()).group_by(col(ShopWordRow.state))
    counts = {WordState(row[0]): int(row[1]) for row in session.execute(wanted)}
    return {state: counts.get(state, 0) for state in WordState}


def known_folded(session: Session, folded: Sequence[str]) -> dict[str, list[ShopWordRow]]:
    """The words already entered under these folded spellings, whatever their state."""
    found: dict[str, list[ShopWordRow]] = {}
    for row in session.exec(select(ShopWordRow).where(col(ShopWordRow.folded).in_(folded))):
        found.setdefault(row.folded, []).append(row)
    return found


def mark_to_read(session: Session, subjects: Sequence[tuple[str, int]]) -> None:
    """Note that these records ("need" or "find" and number) have to be read anew; noted once each."""
    if not subjects:
        return
    held = {(one.kind, one.subject_id) for one in session.exec(select(ReadAgainRow))}
    session.add_all(ReadAgainRow(kind=kind, subject_id=number) for kind, number in sorted(set(subjects) - held))
    session.flush()


def to_read(session: Session, most: int) -> list[tuple[str, int]]:
    """The next records that have to be read anew."""
    wanted = select(ReadAgainRow).order_by(col(ReadAgainRow.kind), col(ReadAgainRow.subject_id)).limit(most)
    return [(row.kind, row.subject_id) for row in session.exec(wanted)]


def count_to_read(session: Session) -> int:
    """How many records have to be read anew."""
    return int(session.execute(sa.select(sa.func.count()).select_from(ReadAgainRow)).scalar_one())


def was_read(session: Session, subjects: Sequence[tuple[str, int]]) -> None:
    """Take these records off the list of what has to be read anew."""
    for kind in ("need", "find"):
        numbers = [number for one, number in subjects if one == kind]
        gone: Any = sa.delete(ReadAgainRow).where(
            col(ReadAgainRow.kind) == kind, col(ReadAgainRow.subject_id).in_(numbers)
        )
        if numbers:
            session.execute(gone)
