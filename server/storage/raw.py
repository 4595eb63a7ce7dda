"""Rows exactly as they lie in the database, every column as text, before anything reads a meaning into them.

SQLite keeps times as text and would read several spellings as one time; a
check of every sign has to see the spelling. PostgreSQL keeps values, so
there the value is all there is.
"""

from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Session, SQLModel

_SPELLING = "%Y-%m-%d %H:%M:%S.%f"
"""How a time is spelt in SQLite by this register."""


def raw_rows(session: Session, table: type[SQLModel]) -> list[dict[str, str]]:
    """All rows of a table by id: column name → text ("" for nothing, times as ISO 8601 in UTC)."""
    columns = list(sa.inspect(table).columns)
    connection = session.connection()
    if connection.dialect.name != "sqlite":
        found = connection.execute(sa.select(*columns).order_by(columns[0]))
        return [{one.name: _written(value) for one, value in zip(columns, row, strict=True)} for row in found]
    # as bytes: a text with a wrong byte in it could not be read otherwise
    picked = [sa.cast(one, sa.LargeBinary).label(one.name) for one in columns]
    rows = connection.execute(sa.select(*picked).order_by(columns[0])).mappings()
    times = {one.name for one in columns if isinstance(getattr(one.type, "impl", one.type), sa.DateTime)}
    return [{name: _decoded(value, is_time=name in times) for name, value in row.items()} for row in rows]


def _written(value: Any) -> str:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    return "" if value is None else str(value)


def _decoded(value: bytes | None, *, is_time: bool) -> str:
    text = "" if value is None else bytes(value).decode("utf-8", "backslashreplace")
    return _time(text) if is_time else text


def _time(text: str) -> str:
    """ISO 8601 where the text is spelt as the register spells it, else the text as it is."""
    try:
        moment = datetime.strptime(text, _SPELLING).replace(tzinfo=UTC)
    except ValueError:
        return text
    return moment.isoformat() if moment.strftime(_SPELLING) == text else text
