"""A second factor to sign: a code from an authenticator app beside the password (TOTP, RFC 6238).

Optional for each account. Set up on the account page: the secret is shown once
and counts from the first right code on. At the signature a code counts once,
and one step of 30 s before or after the present one is let through (RFC 6238,
5.2). Whoever lost the device has it taken off by another keeper.
"""

from dataclasses import dataclass
from datetime import datetime

import pyotp
import sqlalchemy as sa
from sqlmodel import Session, col

from server.domain.errors import Faults, NotAllowed
from server.domain.register import Actor, UserRole
from server.services import accounts
from server.services.codes import STEP, WRONG_CODE, step_in
from server.storage import accounts as held
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.tables import AccountRow


@dataclass(frozen=True, slots=True)
class Offer:
    """A new secret, shown once: as text, and as the address that authenticator apps read."""

    secret: str
    address: str


def since_when(store: Store, actor: Actor) -> datetime | None:
    """Since when this account signs with a code; None where it does not."""
    with store.read() as session:
        return held.get_account(session, actor.id).totp_since


def offer(store: Store, actor: Actor, password: str, code: str = "", issuer: str = "Makegood") -> Offer:
    """A new secret for the account, not in force until it is confirmed.

    The password is asked for, and a code of the present device where there is one: a browser left open
    is not enough. Raises Faults, TooManyTries.
    """
    if faults := accounts.check_again(store, actor, password, code, asks="to set this up"):
        raise Faults(faults)
    with store.write() as session:
        row = held.get_account(session, actor.id, hold=True)
        use_code(session, row, code, store.clock())
        row.totp_pending = pyotp.random_base32()  # 160 bits (RFC 4226, 4, R6)
        session.add(row)
        address = pyotp.TOTP(row.totp_pending, interval=STEP).provisioning_uri(name=row.sign_in, issuer_name=issuer)
        return Offer(row.totp_pending, address)


def confirm(store: Store, actor: Actor, code: str) -> None:
    """The first right code of the new device: from now on signing asks for one. Raises Faults, TooManyTries."""
    now = store.clock()
    with store.write() as session:
        row = held.get_account(session, actor.id, hold=True)
        accounts.refuse_while_slowed(row, now)
        if not row.totp_pending:
            raise Faults({"totp": "Start the set-up first."})
        step = step_in(row.totp_pending, code, now, None)
        if step is not None:
            row.totp_secret, row.totp_pending = row.totp_pending, ""
            row.totp_since, row.totp_last_step = now, step
            write_log(session, now, actor, "set up codes for signing", f"account/{actor.id}")
        else:
            accounts.note_wrong_try(row, now)
        session.add(row)
    if step is None:  # after the unit of work, so that the wrong try is kept
        raise Faults({"totp": WRONG_CODE})


def use_code(session: Session, row: AccountRow, code: str, now: datetime) -> None:
    """Let a code count, once, inside the caller's unit of work: undone with it. Raises Faults where it did already."""
    if not row.totp_secret:
        return
    step = step_in(row.totp_secret, code, now, row.totp_last_step)
    if step is not None:
        # asked of the database and not of the row in hand: of two at the same moment, one is too late
        later = sa.or_(col(AccountRow.totp_last_step).is_(None), col(AccountRow.totp_last_step) < step)
        taken = session.execute(
            sa.update(AccountRow).where(col(AccountRow.id) == row.id, later).values(totp_last_step=step)
        )
        if taken.rowcount == 1:  # type: ignore[attr-defined]
            return
    raise Faults({"totp": WRONG_CODE})


def take_off(store: Store, actor: Actor, number: int) -> None:
    """For somebody who lost the device: signing asks for no code until it is set up anew.

    Never one's own: a browser left open would be enough. Raises NotAllowed, NotFound.
    """
    if not actor.may(UserRole.KEEPER):
        raise NotAllowed("Only the keeper of the register takes a second factor off.")
    if actor.id == number:
        raise NotAllowed("You can't take it off yourself; let another keeper do it.")
    with store.write() as session:
        row = held.get_account(session, number, hold=True)
        forget(row)
        session.add(row)
        write_log(session, store.clock(), actor, "took off the codes for signing", f"account/{number}")


def forget(row: AccountRow) -> None:
    """No second factor any more; the last step stays, so that no old code counts again."""
    row.totp_secret, row.totp_pending, row.totp_since = "", "", None
