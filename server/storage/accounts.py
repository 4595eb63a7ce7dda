"""Accounts, signed-in browsers, API tokens: rows in, actors out."""

from datetime import datetime

from sqlmodel import Session, col, select

from server.domain.errors import NotFound
from server.domain.register import Actor, UserRole
from server.storage.tables import AccountRow, SessionRow, TokenRow


def actor_of(row: AccountRow) -> Actor:
    """The acting person of an account row."""
    assert row.id is not None
    return Actor(
        id=row.id,
        name=row.name,
        sign_in=row.sign_in,
        role=UserRole(row.role),
        licence_kind=row.licence_kind,
        licence_number=row.licence_number,
        licence_until=row.licence_until,
    )


def find_account(session: Session, sign_in: str, *, hold: bool = False) -> AccountRow | None:
    """The account of this sign-in name, if there is one; `hold` keeps others waiting until this unit ends."""
    wanted = select(AccountRow).where(AccountRow.sign_in == sign_in.strip().casefold())
    return session.exec(wanted.with_for_update() if hold else wanted).first()


def get_account(session: Session, number: int, *, hold: bool = False) -> AccountRow:
    """The account of this number; `hold` keeps others waiting until this unit ends. Raises NotFound."""
    row = session.get(AccountRow, number, with_for_update=hold or None)
    if row is None:
        raise NotFound("There is no such account.")
    return row


def list_accounts(session: Session) -> list[AccountRow]:
    """All accounts, by name."""
    return list(session.exec(select(AccountRow).order_by(col(AccountRow.name))))


def actor_of_session(session: Session, token_digest: str, now: datetime) -> Actor | None:
    """Who is signed in with this token; None where it is unknown, over, or the account is shut."""
    held = session.get(SessionRow, token_digest)
    if held is None or held.expires_at <= now:
        return None
    row = session.get(AccountRow, held.account_id)
    return actor_of(row) if row is not None and row.is_active else None


def actor_of_token(session: Session, token_digest: str) -> tuple[Actor, bool] | None:
    """Whose API token this is, and whether it may write; None where unknown or revoked."""
    held = find_token(session, token_digest)
    if held is None or held.revoked_at is not None:
        return None
    row = session.get(AccountRow, held.account_id)
    return (actor_of(row), held.may_write) if row is not None and row.is_active else None


def find_token(session: Session, token_digest: str) -> TokenRow | None:
    """The token of this digest, if there is one."""
    return session.exec(select(TokenRow).where(TokenRow.token_digest == token_digest)).first()


def list_tokens(session: Session, account_id: int) -> list[TokenRow]:
    """The API tokens of one account, newest first."""
    wanted = select(TokenRow).where(TokenRow.account_id == account_id)
    return list(session.exec(wanted.order_by(col(TokenRow.created_at).desc())))
