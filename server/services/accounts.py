"""Signing in and out, accounts, and tokens for the API.

Passwords are hashed with argon2id. Wrong passwords slow an account down: from
the third in a row each one doubles the wait, up to fifteen minutes.
"""

import hashlib
import secrets
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerifyMismatchError
from sqlmodel import Session, col, select

from server.domain.errors import Faults, NotAllowed, Refused
from server.domain.register import Actor, UserRole
from server.services.codes import WRONG_CODE, step_in
from server.services.typed import Given, Typed
from server.services.yard import check_version
from server.storage import accounts as held
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.tables import AccountRow, SessionRow, TokenRow

SHORTEST_PASSWORD = 10
LONGEST_PASSWORD = 200
FREE_TRIES = 3
LONGEST_WAIT = timedelta(minutes=15)
SIGNED_IN_FOR = timedelta(hours=12)
MOST_TOKENS = 20
NOTED_EVERY = timedelta(minutes=1)

_HASHER = PasswordHasher()
WRONG = "This name and password do not go together."


class TooManyTries(Refused):
    """Too many wrong passwords: wait."""


def digest_token(token: str) -> str:
    """What is kept of a token: its SHA-256."""
    return hashlib.sha256(token.encode()).hexdigest()


def make_password() -> str:
    """A password that nobody chose, easy to read out: four groups of five signs."""
    signs = "abcdefghjkmnpqrstuvwxyz23456789"
    return "-".join("".join(secrets.choice(signs) for _ in range(5)) for _ in range(4))


def check_password(text: str) -> str:
    """The fault of a new password in words; "" where it will do."""
    if len(text) < SHORTEST_PASSWORD:
        return f"A password has at least {SHORTEST_PASSWORD} characters."
    if len(text) > LONGEST_PASSWORD:
        return f"A password has at most {LONGEST_PASSWORD} characters."
    if len(set(text)) < 4:
        return "This password repeats the same few characters."
    return ""


@cache
def _nobody() -> str:
    """The hash of an account that there is not."""
    return _HASHER.hash("nobody has this password")


def matches(password_hash: str, password: str) -> bool:
    """Does this password belong to that hash?"""
    try:
        return _HASHER.verify(password_hash, password)
    except (VerifyMismatchError, InvalidHashError):
        return False


def sign_in(store: Store, name: str, password: str) -> tuple[str, Actor]:
    """Sign in: the token for the cookie, and who it is.

    Raises Faults for a wrong pair, TooManyTries while the account is slowed down.
    """
    now = store.clock()
    refusal: Refused | None = None
    nobody = _nobody()  # slow once, at the first try after a start, whoever it is
    with store.write() as session:
        row = held.find_account(session, name, hold=True)  # wrong tries sent at once are counted one by one
        if row is not None:
            refuse_while_slowed(row, now)
        # an unknown name costs as much time as a known one
        good = matches(row.password_hash if row else nobody, password[:LONGEST_PASSWORD])
        if row is None or not good or not row.is_active:
            refusal = Faults({"password": WRONG})
            if row is not None:
                note_wrong_try(row, now)
                session.add(row)
        else:
            row.wrong_tries, row.blocked_until = 0, None
            session.add(row)
            token = _start(session, row, now)
            actor = held.actor_of(row)
            write_log(session, now, actor, "signed in", f"account/{row.id}")
    if refusal is not None:
        raise refusal
    return token, actor


def refuse_while_slowed(row: AccountRow, now: datetime) -> None:
    """Raise TooManyTries while the account has to wait."""
    if row.blocked_until is not None and row.blocked_until > now:
        wait = int((row.blocked_until - now).total_seconds()) + 1
        raise TooManyTries(f"Too many wrong passwords; try again in {wait} seconds.")


def _start(session: Session, row: AccountRow, now: datetime) -> str:
    """Start a signed-in browser: the token for its cookie. Those that ran out are forgotten."""
    for over in session.exec(select(SessionRow).where(col(SessionRow.expires_at) <= now)):
        session.delete(over)
    token = secrets.token_urlsafe(32)
    assert row.id is not None
    session.add(
        SessionRow(
            token_digest=digest_token(token),
            account_id=row.id,
            created_at=now,
            seen_at=now,
            expires_at=now + SIGNED_IN_FOR,
        )
    )
    return token


def note_wrong_try(row: AccountRow, now: datetime) -> None:
    """Count a wrong password or code; from the third in a row on the account has to wait."""
    row.wrong_tries += 1
    if row.wrong_tries >= FREE_TRIES:
        wait = min(timedelta(seconds=2 ** min(row.wrong_tries - FREE_TRIES + 1, 12)), LONGEST_WAIT)
        row.blocked_until = now + wait


def check_again(store: Store, actor: Actor, password: str, code: str = "", *, asks: str = "to sign") -> dict[str, str]:
    """Is it still this person? Password, and code where one is set up: the faults by field, {} where it is.

    A wrong one is kept at once, whatever becomes of what was asked for, and slows the account down as at
    the door. A code is only looked at here: it counts when it is used. Raises TooManyTries while slowed down.
    """
    if not password:
        return {"password": f"Type your password again {asks}."}
    now = store.clock()
    with store.write() as session:
        row = held.get_account(session, actor.id, hold=True)
        refuse_while_slowed(row, now)
        faults: dict[str, str] = {}
        if not matches(row.password_hash, password[:LONGEST_PASSWORD]):
            faults["password"] = f"Type your password again {asks}; this was not it."
        elif row.totp_secret and not code:
            return {"totp": "Type the code that your authenticator app shows now."}
        elif row.totp_secret and step_in(row.totp_secret, code, now, row.totp_last_step) is None:
            faults["totp"] = WRONG_CODE
        if faults:
            note_wrong_try(row, now)
            session.add(row)
        elif row.wrong_tries:
            row.wrong_tries, row.blocked_until = 0, None
            session.add(row)
    return faults


def who_is(store: Store, token: str) -> Actor | None:
    """Who is signed in with this cookie; None for nobody."""
    if not token:
        return None
    with store.read() as session:
        return held.actor_of_session(session, digest_token(token), store.clock())


def sign_out(store: Store, token: str) -> None:
    """Forget this signed-in browser."""
    with store.write() as session:
        row = session.get(SessionRow, digest_token(token))
        if row is not None:
            session.delete(row)


def open_account(store: Store, actor: Actor | None, given: Given, *, password: str, hashed: str = "") -> Actor:
    """Open an account. Raises Faults for what is missing, NotAllowed for anyone but a keeper.

    `hashed` is a hash of the password made before, where many accounts have one.
    """
    if actor is not None and not actor.may(UserRole.KEEPER):
        raise NotAllowed("Only the keeper of the register opens accounts.")
    typed = Typed(given)
    sign_in_name = typed.text("sign_in", "Sign-in name", most=60, required=True).casefold()
    if sign_in_name and not all(sign.isalnum() or sign in "._-" for sign in sign_in_name):
        typed.fault("sign_in", "A sign-in name has letters, digits, point, dash and underscore only.")
    name = typed.text("name", "Name", most=100, required=True)
    role = typed.word("role", UserRole, "Role", required=True)
    licence = _licence(typed)
    if fault := check_password(password):
        typed.fault("password", fault)
    with store.write() as session:
        if sign_in_name and held.find_account(session, sign_in_name) is not None:
            typed.fault("sign_in", f"There is an account “{sign_in_name}” already.")
        typed.done()
        assert role is not None
        now = store.clock()
        row = AccountRow(
            sign_in=sign_in_name,
            name=name,
            role=role.value,
            password_hash=hashed or _HASHER.hash(password),
            licence_kind=licence[0],
            licence_number=licence[1],
            licence_until=licence[2],
            created_at=now,
        )
        session.add(row)
        session.flush()
        write_log(session, now, actor, "opened an account", f"account/{row.id}", {"name": name, "role": role})
        return held.actor_of(row)


def _licence(typed: Typed) -> tuple[str, str, date | None]:
    return (
        typed.text("licence_kind", "Kind of licence or authority", most=120),
        typed.text("licence_number", "Licence number", most=60),
        typed.day("licence_until", "Licence valid until"),
    )


def change_account(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Change name, role, licence, or shut an account. Raises Faults, NotAllowed, NotFound, Overtaken."""
    if not actor.may(UserRole.KEEPER):
        raise NotAllowed("Only the keeper of the register changes accounts.")
    typed = Typed(given)
    name = typed.text("name", "Name", most=100, required=True)
    role = typed.word("role", UserRole, "Role", required=True)
    kind, licence_number, until = _licence(typed)
    is_active = typed.flag("is_active")
    if number == actor.id and (not is_active or (role is not None and role is not UserRole.KEEPER)):
        typed.fault("role", "You can't take the register's keys from yourself; let another keeper do it.")
    with store.write() as session:
        row = held.get_account(session, number)
        typed.done()
        check_version(row, typed, "This account")
        assert role is not None
        before = _account_said(row)
        row.name, row.role, row.is_active = name, role.value, is_active
        row.licence_kind, row.licence_number, row.licence_until = kind, licence_number, until
        after = _account_said(row)
        changes = {key: [before[key], after[key]] for key in after if before[key] != after[key]}
        if not changes:
            return
        row.version += 1
        session.add(row)
        if not is_active:
            _sign_out_everywhere(session, row)
        said = {"version": row.version, "changes": changes}
        write_log(session, store.clock(), actor, "changed an account", f"account/{number}", said)


def _account_said(row: AccountRow) -> dict[str, str]:
    until = row.licence_until.isoformat() if row.licence_until else ""
    return {
        "name": row.name,
        "role": row.role,
        "licence": " ".join(part for part in (row.licence_kind, row.licence_number, until) if part),
        "active": "yes" if row.is_active else "no",
    }


def change_password(store: Store, actor: Actor, old: str, new: str, again: str | None = None) -> str:
    """Change one's own password; every browser is signed out but this one, whose new token comes back.

    `again` is the new password typed a second time, None where nobody was asked for it. Wrong present
    passwords slow the account down as at the door. Raises Faults, TooManyTries.
    """
    now = store.clock()
    with store.write() as session:
        row = held.get_account(session, actor.id, hold=True)
        refuse_while_slowed(row, now)
        faults: dict[str, str] = {}
        if not matches(row.password_hash, old[:LONGEST_PASSWORD]):
            faults["old_password"] = "This is not your present password."  # noqa: S105  (a sentence, no secret)
            note_wrong_try(row, now)
            session.add(row)
        if fault := check_password(new):
            faults["new_password"] = fault
        elif again is not None and again != new:
            faults["again"] = "The two new passwords differ; type the second one anew."
        if not faults:
            set_password_of(session, row, new)
            write_log(session, now, actor, "changed the password", f"account/{actor.id}")
            return _start(session, row, now)
    raise Faults(faults)  # after the unit of work, so that the wrong try is kept


def reset_password(store: Store, actor: Actor, number: int, password: str) -> None:
    """Give an account another password and sign out all its browsers. Raises Faults, NotAllowed, NotFound."""
    if not actor.may(UserRole.KEEPER):
        raise NotAllowed("Only the keeper of the register resets passwords.")
    if fault := check_password(password):
        raise Faults({"password": fault})
    with store.write() as session:
        row = held.get_account(session, number)
        set_password_of(session, row, password)
        write_log(session, store.clock(), actor, "reset the password", f"account/{number}", {"name": row.name})


def set_password_of(session: Session, row: AccountRow, password: str) -> None:
    """Set a password and sign out every browser of the account."""
    row.password_hash = _HASHER.hash(password)
    row.wrong_tries, row.blocked_until = 0, None
    session.add(row)
    _sign_out_everywhere(session, row)


def _sign_out_everywhere(session: Session, row: AccountRow) -> None:
    for signed_in in session.exec(select(SessionRow).where(SessionRow.account_id == row.id)):
        session.delete(signed_in)


def make_token(store: Store, actor: Actor, name: str, *, may_write: bool) -> str:
    """A token for the API, shown once. Raises Faults where it has no name, or too many are alive."""
    typed = Typed({"name": name})
    name = typed.text("name", "What the token is for", most=100, required=True)
    token = "mg_" + secrets.token_urlsafe(32)
    now = store.clock()
    with store.write() as session:
        alive = [one for one in held.list_tokens(session, actor.id) if one.revoked_at is None]
        if len(alive) >= MOST_TOKENS:
            typed.fault("name", f"You have {len(alive)} tokens; end one that is not used any more.")
        typed.done()
        session.add(
            TokenRow(
                account_id=actor.id, name=name, token_digest=digest_token(token), may_write=may_write, created_at=now
            )
        )
        said = {"name": name, "may": "read and write" if may_write else "read"}
        write_log(session, now, actor, "made an API token", f"account/{actor.id}", said)
    return token


def revoke_token(store: Store, actor: Actor, number: int) -> int:
    """End a token of one's own, or as the keeper anybody's; whose it was. Raises NotAllowed."""
    now = store.clock()
    with store.write() as session:
        row = session.get(TokenRow, number)
        if row is None or (row.account_id != actor.id and not actor.may(UserRole.KEEPER)):
            raise NotAllowed("This token is not yours.")
        if row.revoked_at is None:
            row.revoked_at = now
            session.add(row)
            write_log(session, now, actor, "ended an API token", f"account/{row.account_id}", {"name": row.name})
        return row.account_id


def whose_token(store: Store, token: str) -> tuple[Actor, bool] | None:
    """Whose API token this is and whether it may write; None for an unknown or ended one.

    When it was last used is kept to the minute.
    """
    digest, now = digest_token(token), store.clock()
    with store.read() as session:
        found = held.actor_of_token(session, digest)
        row = held.find_token(session, digest)
    if found is not None and row is not None and (row.used_at is None or now - row.used_at >= NOTED_EVERY):
        with store.write() as session:
            used = session.get(TokenRow, row.id)
            assert used is not None
            used.used_at = now
            session.add(used)
    return found


@dataclass(frozen=True, slots=True)
class Token:
    """An API token as its owner sees it: never the token itself."""

    id: int
    name: str
    may_write: bool
    made_at: datetime
    used_at: datetime | None
    ended_at: datetime | None


@dataclass(frozen=True, slots=True)
class Account:
    """An account as the keeper sees it."""

    actor: Actor
    is_active: bool
    is_slowed: bool
    created_at: datetime
    version: int
    tokens: tuple[Token, ...] = ()
    codes_since: datetime | None = None
    codes_wait: bool = False


def get_account(store: Store, number: int) -> Account:
    """An account with its tokens. Raises NotFound."""
    with store.read() as session:
        row = held.get_account(session, number)
        tokens = tuple(
            Token(one.id or 0, one.name, one.may_write, one.created_at, one.used_at, one.revoked_at)
            for one in held.list_tokens(session, number)
        )
        return _account_of(row, store.clock(), tokens)


def list_accounts(store: Store) -> list[Account]:
    """All accounts: those in use first, by name."""
    with store.read() as session:
        found = [_account_of(row, store.clock()) for row in held.list_accounts(session)]
    return sorted(found, key=lambda one: not one.is_active)


def _account_of(row: AccountRow, now: datetime, tokens: tuple[Token, ...] = ()) -> Account:
    slowed = row.blocked_until is not None and row.blocked_until > now
    return Account(
        held.actor_of(row),
        row.is_active,
        slowed,
        row.created_at,
        row.version,
        tokens,
        row.totp_since,
        bool(row.totp_pending),
    )
