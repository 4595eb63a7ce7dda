"""Adding to the chain of signed records: one at a time."""

import sqlalchemy as sa
from sqlmodel import Session


def hold_chain(session: Session) -> None:
    """Let nobody else add to the chain until this unit of work ends; whoever waited reads what was added meanwhile.

    Called before anything is read that a signature rests on. SQLite's writers wait for each other anyway.
    """
    if session.get_bind().dialect.name == "postgresql":
        session.execute(sa.text("LOCK TABLE sign_off IN SHARE ROW EXCLUSIVE MODE"))
