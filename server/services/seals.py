"""Sealing the records, and the key that does it.

Every record gets one seal, in the unit of work that signs it. Records that
are older than the seals are sealed when the next one is, or by an upgrade.
"""

from datetime import datetime

from sqlmodel import Session, col, select

from server.domain.seals import FIRST_SEAL, Seal
from server.storage.chain import hold_chain
from server.storage.engine import Store
from server.storage.log import read_setting, write_log, write_setting
from server.storage.seal_key import NoSealKey, SealKey, make_key, read_key
from server.storage.tables import SealRow, SignOffRow

KEYS = "seal_keys"
"""The setting that holds the public keys, the newest last."""


def public_keys(session: Session) -> tuple[str, ...]:
    """The register's public keys, the newest last; none before the first seal."""
    return tuple(str(one) for one in read_setting(session, KEYS, []))


def key_in(session: Session, store: Store) -> SealKey:
    """The register's key; made where there never was one. Raises NoSealKey."""
    if store.seal_key is None:
        raise NoSealKey("Nothing says where the key that seals the records lies; name the data folder.")
    known = public_keys(session)
    if not known:
        key = read_key(store.seal_key) if store.seal_key.exists() else make_key(store.seal_key)
        write_setting(session, KEYS, [key.public])
        return key
    key = read_key(store.seal_key)
    if key.public != known[-1]:
        raise NoSealKey(f"{store.seal_key} is another key than the register's. Put the right one back from the backup.")
    return key


def seal_records(session: Session, store: Store, now: datetime) -> int:
    """Seal every record that has no seal yet, in order; how many. Raises NoSealKey."""
    last = session.exec(select(SealRow).order_by(col(SealRow.id).desc()).limit(1)).first()
    previous, number = (last.signature, last.id or 0) if last else (FIRST_SEAL, 0)
    open_ones = session.exec(
        select(SignOffRow).where(col(SignOffRow.id) > (last.record_id if last else 0)).order_by(col(SignOffRow.id))
    ).all()
    if not open_ones and public_keys(session):
        return 0  # nothing to seal: an upgrade goes on without the key
    key = key_in(session, store)
    for row in open_ones:
        number += 1
        seal = Seal(number, row.id or 0, now.isoformat(), row.digest, key.public, previous)
        previous = key.sign(seal.statement)
        session.add(
            SealRow(
                id=number,
                record_id=seal.record,
                sealed_at=seal.sealed_at,
                head=seal.head,
                key=seal.key,
                previous=seal.previous,
                signature=previous,
            )
        )
    session.flush()
    return len(open_ones)


def seal_all(store: Store) -> int:
    """Make the key where there is none, and seal what is not sealed; how many records. Raises NoSealKey."""
    with store.write() as session:
        hold_chain(session)
        return seal_records(session, store, store.clock())


def replace_key(store: Store) -> str:
    """Another key for a register that lost its own; the public half. Old seals keep the old one.

    Raises NoSealKey where a key file is there.
    """
    if store.seal_key is None:
        raise NoSealKey("Nothing says where the key that seals the records lies; name the data folder.")
    key = make_key(store.seal_key)
    with store.write() as session:
        write_setting(session, KEYS, [*public_keys(session), key.public])
        write_log(session, store.clock(), None, f"made another key for the seals: {key.public}", "seal")
    return key.public


def seal_of(session: Session, record: int) -> Seal | None:
    """The seal under a record, if there is one."""
    row = session.exec(select(SealRow).where(SealRow.record_id == record)).first()
    if row is None:
        return None
    return Seal(row.id or 0, row.record_id, row.sealed_at, row.head, row.key, row.previous, row.signature)
