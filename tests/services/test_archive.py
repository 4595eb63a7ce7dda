"""An archive of records is proven with nothing but the file and the public key; any byte changed in it is found."""

import io
import json
import random
import zipfile
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from server.services import archive, exported, seals
from server.services.records import Frozen, load_record
from server.storage.engine import Store
from server.storage.files import Files
from tests.builders import PASSWORD, Shop, shop
from tests.services.test_seals import attach_paper, signed

PAPER = b"letter of the owner: the rail was riveted by hand\n"


def pages(_record: Frozen) -> dict[str, bytes]:
    """What stands for the sheet on paper here; the sheet itself is tested with the pages."""
    return {".pdf": b"%PDF-1.7 in place of a sheet"}


@pytest.fixture
def made(sqlite_store: Store, files: Files) -> Shop:
    made = shop(sqlite_store, files)
    signed(made)
    refused_with_a_paper(made)
    return made


def refused_with_a_paper(made: Shop) -> int:
    from server.services import candidates, signing

    need = made.need()
    attach_paper(made, need, PAPER)
    number = made.propose(need, made.find())
    shown = candidates.get_candidate(made.store, number).shown_digest
    given = {"decision": "refused", "reason": "The tail splits when it is rolled: tried three.", "password": PASSWORD}
    return signing.sign(made.store, made.approver, number, given | {"shown": shown})


def key_of(made: Shop) -> str:
    with made.store.read() as session:
        return seals.public_keys(session)[-1]


def held(made: Shop) -> dict[str, bytes]:
    return dict(archive.archive_files(made.store, made.files, pages))


def put_together(there: dict[str, bytes], path: Path) -> Path:
    path.write_bytes(archive.zip_of(iter(there.items()), datetime(2026, 11, 24, 9, 0, tzinfo=UTC)))
    return path


def test_it_holds_everything_under_its_digest(made: Shop, tmp_path: Path) -> None:
    there = held(made)
    digest = sha256(PAPER).hexdigest()
    assert set(there) == {
        "README.txt",
        "contents.json",
        "records/R0001.json",
        "records/R0001.pdf",
        "records/R0002.json",
        "records/R0002.pdf",
        f"files/{digest}",
    }
    assert there[f"files/{digest}"] == PAPER
    path = put_together(there, tmp_path / "all.zip")
    assert exported.check_export(path, [key_of(made)]) == exported.Checked(2, [], [])
    archive.write_folder(iter(there.items()), tmp_path / "all")
    assert exported.check_export(tmp_path / "all", [key_of(made)]) == exported.Checked(2, [], [])


def test_the_readme_alone_is_enough_to_prove_a_record(made: Shop) -> None:
    """Done by hand as the README says, with none of the register's code (hashlib; Ed25519 as in RFC 8032)."""
    body = json.loads(held(made)["records/R0001.json"])
    assert sha256(body["record"].encode()).hexdigest() == body["digest"]
    seal = body["seal"]
    names = ("number", "record", "sealed_at", "head", "key", "previous")
    statement = {"form": "makegood seal 1"} | {name: seal[name] for name in names}
    text = json.dumps(statement, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    key = Ed25519PublicKey.from_public_bytes(bytes.fromhex(key_of(made)))
    key.verify(bytes.fromhex(seal["signature"]), text)
    assert seal["head"] == body["digest"]
    contents = json.loads(held(made)["contents.json"])
    signature = contents.pop("signature")
    text = json.dumps(contents, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
    key.verify(bytes.fromhex(signature), text)


def test_any_byte_of_any_file_in_it_that_changes_is_found(made: Shop, tmp_path: Path) -> None:
    there, key, chance = held(made), key_of(made), random.Random(7)
    for name, content in there.items():
        for turn in range(40):
            at = chance.randrange(len(content))
            byte = (
                content[at] ^ (1 << chance.randrange(8)) if turn % 2 else (content[at] + chance.randint(1, 255)) % 256
            )
            changed = content[:at] + bytes([byte]) + content[at + 1 :]
            path = put_together({**there, name: changed}, tmp_path / "changed.zip")
            assert exported.check_export(path, [key]).broken, f"byte {at} of {name}: {content[at]} became {byte}"


def test_any_byte_of_a_single_record_that_changes_is_found(made: Shop, tmp_path: Path) -> None:
    with made.store.read() as session:
        content = archive.record_json(session, load_record(session, 1)).encode()
    path, key, chance = tmp_path / "record.json", key_of(made), random.Random(8)
    path.write_bytes(content)
    assert exported.check_export(path, [key]).broken == []
    for _ in range(300):
        at = chance.randrange(len(content))
        path.write_bytes(content[:at] + bytes([content[at] ^ (1 << chance.randrange(8))]) + content[at + 1 :])
        if content.find(b'"public_keys"') <= at < content.find(b'"record"', content.find(b'"public_keys"')):
            continue  # the keys in the file are a help for reading; the key given is what counts
        if content.find(b'"register"') <= at < content.find(b'"seal"'):
            continue  # so is the register's name; the record under its digest says it too
        assert exported.check_export(path, [key]).broken, at


@pytest.mark.parametrize("name", ["README.txt", "contents.json", "records/R0001.json", "files/"])
def test_what_is_taken_out_is_missed(made: Shop, tmp_path: Path, name: str) -> None:
    there = held(made)
    gone = next(one for one in there if one.startswith(name))
    del there[gone]
    assert exported.check_export(put_together(there, tmp_path / "less.zip"), [key_of(made)]).broken


def test_what_is_slipped_in_is_found(made: Shop, tmp_path: Path) -> None:
    there = held(made) | {"records/R0003.pdf": b"%PDF-1.7 forged"}
    (broken,) = exported.check_export(put_together(there, tmp_path / "more.zip"), [key_of(made)]).broken
    assert "slipped in" in broken.what


def test_an_archive_sealed_by_somebody_else_is_found(made: Shop, tmp_path: Path) -> None:
    path = put_together(held(made), tmp_path / "all.zip")
    other = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a"  # RFC 8032, 7.1, TEST 1
    assert exported.check_export(path, [other]).broken
    unnamed = exported.check_export(path)
    assert unnamed.broken == []
    assert "not who sealed it" in unnamed.notes[0]


def test_a_damaged_or_foreign_file_is_refused_in_words(made: Shop, tmp_path: Path) -> None:
    whole = put_together(held(made), tmp_path / "all.zip").read_bytes()
    (tmp_path / "cut.zip").write_bytes(whole[: len(whole) // 2])
    with pytest.raises(exported.NoExport, match="damaged"):
        exported.check_export(tmp_path / "cut.zip")
    with pytest.raises(exported.NoExport, match="can't be read"):
        exported.check_export(tmp_path / "nowhere.zip")
    with zipfile.ZipFile(tmp_path / "other.zip", "w") as other:
        other.writestr("hello.txt", "no record")
    with pytest.raises(exported.NoExport, match="no exported record"):
        exported.check_export(tmp_path / "other.zip")


@pytest.mark.parametrize("text", ["", "[]", "null", '{"record": 5}', '{"seal": []}', "{" * 5000, '{"number": true}'])
def test_nonsense_is_said_to_be_broken_and_nothing_falls_over(tmp_path: Path, text: str) -> None:
    (tmp_path / "record.json").write_text(text)
    assert exported.check_export(tmp_path / "record.json").broken


def test_nothing_is_written_out_without_a_file_that_a_record_names(made: Shop) -> None:
    made.files.path(sha256(PAPER).hexdigest()).unlink()
    with pytest.raises(archive.NotWhole, match=r"letter\.txt"):
        held(made)


def test_one_record_alone_is_proven_too(made: Shop) -> None:
    one = dict(archive.archive_files(made.store, made.files, pages, [2]))
    assert "records/R0001.json" not in one
    with zipfile.ZipFile(io.BytesIO(archive.zip_of(iter(one.items()), datetime(2026, 11, 24, tzinfo=UTC)))) as read:
        assert sorted(read.namelist()) == sorted(one)
