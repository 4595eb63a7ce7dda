"""Seals, and that any change of any sign in the record is found.

RFC 8032, section 7.1, TEST 1 and TEST 2 (published vectors, typed from the RFC)
hold the signature; the rest holds the register against itself changed.
"""

import json
import random
import shutil
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import sqlalchemy as sa
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from server.domain.seals import FIRST_SEAL, Seal, is_signed
from server.services import candidates, seals, signing, verifying
from server.storage.engine import Store, make_engine
from server.storage.files import Files
from server.storage.raw import raw_rows
from server.storage.seal_key import NoSealKey, read_key
from server.storage.tables import AttachmentRow, SealRow, SignOffRow
from tests.builders import PASSWORD, Shop, shop, sign_form
from tests.conftest import Clock


def signed(made: Shop) -> int:
    """One signed record over a find with a photograph's bytes beside it; the record's number."""
    need = made.need()
    made.require(need, "body_diameter", "2.95 to 3.05 mm")
    find = made.find()
    made.measure(find, "body_diameter", "3.00 mm", instrument="micrometer")
    number = made.propose(need, find)
    given = sign_form(made.store, number, marking="yellow paint dot, µ", reversible="yes")
    return signing.sign(made.store, made.approver, number, given)


@pytest.fixture
def made(store: Store, files: Files) -> Shop:
    return shop(store, files)


def what_is_wrong(store: Store, files: Files) -> list[str]:
    return [one.what for one in verifying.verify(store, files)[1]]


# RFC 8032, 7.1: secret key, public key, message (text here), signature
VECTORS = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        (
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e06522490155"
            "5fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"
        ),
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "r",
        (
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da"
            "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"
        ),
    ),
]


@pytest.mark.parametrize(("secret", "public", "text", "signature"), VECTORS)
def test_the_signature_is_the_published_one(
    tmp_path: Path, secret: str, public: str, text: str, signature: str
) -> None:
    (tmp_path / "seal.key").write_text(secret + "\n")
    key = read_key(tmp_path / "seal.key")
    assert key.public == public
    assert key.sign(text) == signature
    assert is_signed(text, signature, public)
    assert not is_signed(text + " ", signature, public)
    assert not is_signed(text, signature.upper(), public)


def test_every_record_gets_one_seal_and_they_follow_each_other(made: Shop) -> None:
    numbers = [signed(made) for _ in range(3)]
    with made.store.read() as session:
        found = [seals.seal_of(session, number) for number in numbers]
        (key,) = seals.public_keys(session)
    made_ones = [one for one in found if isinstance(one, Seal)]
    assert [one.number for one in made_ones] == [1, 2, 3]
    assert [one.previous for one in made_ones] == [FIRST_SEAL, made_ones[0].signature, made_ones[1].signature]
    assert all(is_signed(one.statement, one.signature, key) for one in made_ones)
    assert verifying.verify(made.store, made.files, [key]) == (3, [])


def test_the_private_key_is_a_file_of_its_owner_and_nowhere_in_the_database(made: Shop, tmp_path: Path) -> None:
    signed(made)
    path = made.store.seal_key
    assert path is not None
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    secret = path.read_text().strip()
    assert len(secret) == 64
    for database in tmp_path.glob("register.sqlite3*"):
        assert secret.encode() not in database.read_bytes()
        assert bytes.fromhex(secret) not in database.read_bytes()


def test_another_registers_key_signs_nothing_here(made: Shop) -> None:
    signed(made)
    assert made.store.seal_key is not None
    made.store.seal_key.write_text(Ed25519PrivateKey.generate().private_bytes_raw().hex())
    with pytest.raises(NoSealKey, match="another key"):
        signed(made)
    made.store.seal_key.unlink()
    with pytest.raises(NoSealKey, match="backup"):
        signed(made)
    made.store.seal_key.write_text("nothing like a key")
    with pytest.raises(NoSealKey, match="can't be read") as refused:
        signed(made)
    assert "nothing like" not in str(refused.value)
    assert verifying.verify(made.store, made.files) == (1, [])


def test_a_lost_key_is_followed_by_another_and_the_old_seals_hold(made: Shop) -> None:
    signed(made)
    assert made.store.seal_key is not None
    with pytest.raises(NoSealKey, match="there already"):
        seals.replace_key(made.store)
    made.store.seal_key.unlink()
    newer = seals.replace_key(made.store)
    signed(made)
    with made.store.read() as session:
        older, now = seals.public_keys(session)
    assert now == newer
    assert verifying.verify(made.store, made.files) == (2, [])
    assert "not the register's" in verifying.verify(made.store, made.files, [older])[1][0].what


def test_records_from_before_the_seals_are_sealed_later(sqlite_store: Store, files: Files, tmp_path: Path) -> None:
    made = shop(sqlite_store, files)
    for _ in range(2):
        signed(made)
    with raw(tmp_path) as database:
        database.execute("DELETE FROM seal")
    assert all("no seal" in what for what in what_is_wrong(sqlite_store, files))
    assert seals.seal_all(sqlite_store) == 2
    assert seals.seal_all(sqlite_store) == 0
    assert verifying.verify(sqlite_store, files) == (2, [])


@contextmanager
def raw(folder: Path) -> Iterator[sqlite3.Connection]:
    """The database file opened by somebody who takes the triggers off first."""
    database = sqlite3.connect(folder / "register.sqlite3", isolation_level=None)
    for table in ("sign_off", "seal", "log_entry"):
        for verb in ("update", "delete"):
            database.execute(f"DROP TRIGGER IF EXISTS {table}_no_{verb}")
    database.execute("PRAGMA ignore_check_constraints = ON")
    yield database
    database.close()


COLUMNS = [
    *(("sign_off", name) for name in ("id", "candidate_id", "decision", "signed_by", "signed_by_id", "signed_at")),
    *(("sign_off", name) for name in ("record", "digest", "previous")),
    *(("seal", name) for name in ("id", "record_id", "sealed_at", "head", "key", "previous", "signature")),
]


def test_the_columns_tried_are_all_there_are(store: Store) -> None:
    there = [("sign_off", one) for one in SignOffRow.model_fields] + [("seal", one) for one in SealRow.model_fields]
    assert sorted(there) == sorted(COLUMNS)


@pytest.fixture(scope="module")
def three_records(migrated_sqlite: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a register of three signed records, made once."""
    folder = tmp_path_factory.mktemp("three")
    shutil.copy(migrated_sqlite, folder / "register.sqlite3")
    store = Store(make_engine(f"sqlite:///{folder / 'register.sqlite3'}"), Clock())
    made = shop(store, Files(folder / "files"))
    for _ in range(3):
        signed(made)
    store.close()
    return folder


@pytest.mark.parametrize(("table", "column"), COLUMNS)
def test_any_byte_of_any_column_that_changes_is_found(
    three_records: Path, files: Files, tmp_path: Path, table: str, column: str
) -> None:
    shutil.copytree(three_records, tmp_path, dirs_exist_ok=True)
    sqlite_store = Store(make_engine(f"sqlite:///{tmp_path / 'register.sqlite3'}"), Clock())
    assert what_is_wrong(sqlite_store, files) == []
    chance = random.Random(f"{table}.{column}")
    with raw(tmp_path) as database:
        for turn in range(24):
            row = chance.randint(1, 3)
            (was,) = database.execute(f"SELECT {column} FROM {table} WHERE id = ?", (row,)).fetchone()
            text = str(was).encode()
            at = chance.randrange(len(text))
            if isinstance(was, int):
                now: bytes | int = chance.choice([one for one in range(4, 99) if one != was])
            else:
                # the last turns flip one bit only: case, blanks and T for a blank are such changes
                byte = (
                    text[at] ^ (1 << chance.randrange(8))
                    if turn > 12
                    else chance.choice([one for one in range(256) if one != text[at]])
                )
                now = text[:at] + bytes([byte]) + text[at + 1 :]
            changed = now if isinstance(now, int) else Text(now)
            put(database, table, column, row, changed)
            found = what_is_wrong(sqlite_store, files)
            assert found, f"{table}.{column} of row {row}: {was!r} became {now!r} and nobody saw it"
            put(database, table, column, row, was, now if column == "id" and isinstance(now, int) else None)
            assert what_is_wrong(sqlite_store, files) == []
    sqlite_store.close()


class Text(bytes):
    """Bytes to be stored as text, whether they are UTF-8 or not."""


def put(
    database: sqlite3.Connection, table: str, column: str, row: int, value: int | str | bytes, at: int | None = None
) -> None:
    """Write one value; where the id itself was changed, the row is now at `at`."""
    placed = "CAST(? AS TEXT)" if isinstance(value, Text) else "?"
    database.execute(f"UPDATE {table} SET {column} = {placed} WHERE id = ?", (value, at or row))


def test_any_byte_of_any_file_that_changes_is_found(sqlite_store: Store, files: Files, tmp_path: Path) -> None:
    made = shop(sqlite_store, files)
    need = made.need()
    content = b"letter of the owner: the rail was riveted by hand\n"
    attach_paper(made, need, content)
    number = made.propose(need, made.find())
    shown = candidates.get_candidate(made.store, number)
    given = {"decision": "refused", "reason": "The tail splits when it is rolled: tried three.", "password": PASSWORD}
    signing.sign(made.store, made.approver, number, given | {"shown": shown.shown_digest})
    with made.store.read() as session:
        (row,) = raw_rows(session, SignOffRow)
    (attached,) = verifying.attachments_of(json.loads(row["record"]))
    path = files.path(attached["digest"])
    for at in range(len(content)):
        path.write_bytes(content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :])
        assert what_is_wrong(sqlite_store, files) == ["the paper “letter.txt” is gone or was changed"]
    path.unlink()
    assert what_is_wrong(sqlite_store, files) == ["the paper “letter.txt” is gone or was changed"]
    path.write_bytes(content)
    assert what_is_wrong(sqlite_store, files) == []


def attach_paper(made: Shop, need: int, content: bytes) -> None:
    """Hang a paper on a need."""
    digest = made.files.put(content)
    with made.store.write() as session:
        session.add(
            AttachmentRow(
                kind="paper",
                need_id=need,
                digest=digest,
                media_type="text/plain; charset=utf-8",
                name="letter.txt",
                size=len(content),
                by="Rosa",
                created_at=made.store.clock(),
            )
        )


def test_a_seal_taken_out_is_found(sqlite_store: Store, files: Files, tmp_path: Path) -> None:
    made = shop(sqlite_store, files)
    for _ in range(3):
        signed(made)
    with raw(tmp_path) as database:
        database.execute("DELETE FROM seal WHERE id = 2")
    found = verifying.verify(sqlite_store, files)[1]
    assert found[0].record.endswith("0002")
    assert "no seal" in found[0].what


def test_a_register_sealed_anew_with_another_key_is_found_by_the_key_kept_elsewhere(
    sqlite_store: Store, files: Files, tmp_path: Path
) -> None:
    made = shop(sqlite_store, files)
    signed(made)
    with sqlite_store.read() as session:
        (kept,) = seals.public_keys(session)
    with raw(tmp_path) as database:
        database.execute("DELETE FROM seal")
        database.execute("DELETE FROM setting WHERE key = 'seal_keys'")
    assert sqlite_store.seal_key is not None
    sqlite_store.seal_key.unlink()
    seals.seal_all(sqlite_store)
    assert verifying.verify(sqlite_store, files) == (1, [])
    assert "not the register's" in verifying.verify(sqlite_store, files, [kept])[1][0].what


@pytest.mark.parametrize("statement", ["UPDATE seal SET head = ''", "DELETE FROM seal"])
def test_the_database_itself_refuses_a_change_of_a_seal(made: Shop, statement: str) -> None:
    signed(made)
    with pytest.raises(sa.exc.DatabaseError, match="only ever added"), made.store.engine.begin() as connection:
        connection.exec_driver_sql(statement)


# --- cut off at the end: the chain that is left still holds ---------------------------------------------


def _cut_the_last(folder: Path, *, log_too: bool) -> None:
    with raw(folder) as database:
        (last,) = database.execute("SELECT max(id) FROM sign_off").fetchone()
        database.execute("DELETE FROM seal WHERE record_id = ?", (last,))
        database.execute("DELETE FROM condition WHERE sign_off_id = ?", (last,))
        database.execute("DELETE FROM sign_off WHERE id = ?", (last,))
        if log_too:
            database.execute("DELETE FROM log_entry WHERE subject LIKE 'candidate/%' AND said LIKE '%digest%'")


def test_a_record_cut_off_the_end_with_its_seal_is_missed_by_the_log(
    sqlite_store: Store, files: Files, tmp_path: Path
) -> None:
    made = shop(sqlite_store, files)
    signed(made)
    signed(made)
    last = verifying.last_record(sqlite_store)
    assert last is not None
    sqlite_store.close()
    _cut_the_last(tmp_path, log_too=False)
    store = Store(make_engine(f"sqlite:///{tmp_path / 'register.sqlite3'}"))
    (missed,) = what_is_wrong(store, files)
    assert last[1] in missed
    assert "not here" in missed
    store.close()


def test_cut_out_of_the_log_as_well_it_is_missed_by_the_digest_kept_elsewhere(
    sqlite_store: Store, files: Files, tmp_path: Path
) -> None:
    made = shop(sqlite_store, files)
    signed(made)
    first = verifying.last_record(sqlite_store)
    signed(made)
    last = verifying.last_record(sqlite_store)
    assert first is not None
    assert last is not None
    assert verifying.verify(sqlite_store, files, kept=[first[1], last[1]]) == (2, [])
    sqlite_store.close()
    _cut_the_last(tmp_path, log_too=True)
    store = Store(make_engine(f"sqlite:///{tmp_path / 'register.sqlite3'}"))
    assert verifying.verify(store, files) == (1, [])  # the chain alone can't know
    (missed,) = verifying.verify(store, files, kept=[first[1], last[1]])[1]
    assert last[1] in missed.what
    store.close()
