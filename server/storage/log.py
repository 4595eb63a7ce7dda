"""The log: every change once, never altered. And the settings of the register."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session, col, select

from server.domain.plain import as_plain
from server.domain.register import Actor
from server.storage.tables import LogRow, SettingRow


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of the log."""

    id: int
    at: datetime
    who: str
    did: str
    subject: str
    said: dict[str, Any]


SIGNED = "digest"
"""Under this name a line of the log keeps the digest of the record it tells of."""


def write_log(
    session: Session, at: datetime, actor: Actor | None, did: str, subject: str, said: Mapping[str, Any] | None = None
) -> None:
    """Note who did what to which record ("need/147"), inside the caller's unit of work."""
    session.add(
        LogRow(
            at=at,
            account_id=actor.id if actor else None,
            who=actor.name if actor else "the register",
            did=did,
            subject=subject,
            said=as_plain(dict(said)) if said else None,
        )
    )


def accounts_who(session: Session, did: str, subject: str) -> frozenset[int]:
    """Numbers of all accounts that ever did something, told by its first words, to one record."""
    wanted = select(LogRow.account_id).where(LogRow.subject == subject, col(LogRow.did).startswith(did))
    return frozenset(number for number in session.exec(wanted) if number is not None)


def signed_in_log(session: Session) -> list[tuple[str, str]]:
    """Every record the log tells of: what was done, and the digest, in order. Older lines name no digest."""
    lines = session.exec(
        select(LogRow.did, LogRow.said).where(col(LogRow.subject).startswith("candidate/")).order_by(col(LogRow.id))
    )
    return [(did, str(said[SIGNED])) for did, said in lines if said and SIGNED in said]


def read_log(session: Session, subject: str = "", *, before: int = 0, most: int = 100) -> list[LogLine]:
    """Lines of the log, newest first; of one record where `subject` is given."""
    wanted = select(LogRow)
    if subject:
        wanted = wanted.where(LogRow.subject == subject)
    if before:
        wanted = wanted.where(col(LogRow.id) < before)
    rows = session.exec(wanted.order_by(col(LogRow.id).desc()).limit(most))
    return [LogLine(row.id or 0, row.at, row.who, row.did, row.subject, row.said or {}) for row in rows]


def changes_since(session: Session, subject: str, version: int) -> dict[str, tuple[Any, Any, str]]:
    """What was changed after that version: field → (was, is, who)."""
    rows = session.exec(select(LogRow).where(LogRow.subject == subject).order_by(col(LogRow.id)))
    changed: dict[str, tuple[Any, Any, str]] = {}
    for row in rows:
        said = row.said or {}
        if said.get("version", 0) <= version:
            continue
        for name, (was, now) in said.get("changes", {}).items():
            first = changed[name][0] if name in changed else was
            changed[name] = (first, now, row.who)
    return changed


def read_setting(session: Session, key: str, default: Any = None) -> Any:
    """One setting of the register."""
    row = session.get(SettingRow, key)
    return default if row is None else row.value


def write_setting(session: Session, key: str, value: Any) -> None:
    """Keep one setting of the register."""
    row = session.get(SettingRow, key)
    if row is None:
        session.add(SettingRow(key=key, value=value))
    else:
        row.value = value
        session.add(row)
