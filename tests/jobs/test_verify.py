"""makegood verify, seal-key and export records, as they are typed."""

import json
import stat
from pathlib import Path

import pytest

from server.jobs.cli import main
from server.storage.engine import Store
from server.storage.files import Files
from tests.builders import shop
from tests.services.test_seals import raw, signed


@pytest.fixture
def folder(sqlite_store: Store, files: Files, tmp_path: Path) -> Path:
    made = shop(sqlite_store, files)
    signed(made)
    sqlite_store.close()
    return tmp_path


def test_a_whole_register_is_said_to_be_whole(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(folder), "verify"]) == 0
    assert "1 record, every one as it was signed" in capsys.readouterr().out


def test_the_first_that_does_not_hold_is_named(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with raw(folder) as database:
        database.execute("UPDATE sign_off SET signed_by = 'Somebody'")
    assert main(["--data", str(folder), "verify"]) == 1
    said = capsys.readouterr().err
    assert said.startswith("The first that does not hold: R\u00a00001: the list beside it")
    assert main(["--data", str(folder), "verify", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["broken"][0]["record"] == "R\u00a00001"


def test_an_export_is_proven_without_the_register(
    folder: Path,
    tmp_path_factory: pytest.TempPathFactory,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    away = tmp_path_factory.mktemp("away")
    assert main(["--data", str(folder), "seal-key"]) == 0
    key = capsys.readouterr().out.strip()
    assert len(key) == 64
    (away / "key.txt").write_text(key + "\n")
    assert main(["--data", str(folder), "export", "records", str(away / "all.zip")]) == 0
    assert main(["--data", str(folder), "export", "records", str(away / "all")]) == 0
    assert main(["--data", str(folder), "export", "records", str(away / "all")]) == 1  # never over others
    monkeypatch.setenv("MAKEGOOD_DATA", str(away / "no register here"))
    assert main(["verify", str(away / "all.zip"), "--public-key", key]) == 0
    assert main(["verify", str(away / "all"), "--public-key", str(away / "key.txt")]) == 0
    assert main(["verify", str(away / "all" / "records" / "R0001.json"), "--public-key", key]) == 0
    assert main(["verify", str(away / "all.zip"), "--public-key", key[:-1] + ("0" if key[-1] != "0" else "1")]) == 1
    assert main(["verify", str(away / "all.zip"), "--public-key", "no key"]) == 2
    pdf = away / "all" / "records" / "R0001.pdf"
    pdf.write_bytes(pdf.read_bytes()[:-1] + b" ")
    assert main(["verify", str(away / "all"), "--public-key", key]) == 1
    assert "R0001.pdf: it was changed after the export" in capsys.readouterr().err


def test_init_makes_the_key_and_a_lost_one_is_followed_by_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    place = tmp_path / "new"
    assert main(["--data", str(place), "init", "--no-input"]) == 0
    assert stat.S_IMODE((place / "seal.key").stat().st_mode) == 0o600
    capsys.readouterr()
    assert main(["--data", str(place), "seal-key"]) == 0
    first = capsys.readouterr().out.split()
    assert main(["--data", str(place), "seal-key", "--new"]) == 1
    assert "never written over" in capsys.readouterr().err
    (place / "seal.key").unlink()
    assert main(["--data", str(place), "seal-key", "--new"]) == 0
    assert capsys.readouterr().out.split()[0] == first[0]


def test_an_upgrade_seals_what_is_older_than_the_seals(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    with raw(folder) as database:
        database.execute("DELETE FROM seal")
        database.execute("DELETE FROM setting WHERE key = 'seal_keys'")
    assert main(["--data", str(folder), "verify"]) == 1
    assert main(["--data", str(folder), "upgrade"]) == 0
    assert "sealed now: 1" in capsys.readouterr().out
    assert main(["--data", str(folder), "verify"]) == 0


def test_the_last_digest_is_said_and_asked_for_later(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(folder), "verify"]) == 0
    digest = capsys.readouterr().err.split("--has ")[1].strip()
    assert main(["--data", str(folder), "verify", "--has", digest]) == 0
    assert main(["--data", str(folder), "verify", "--has", "0" * 64]) == 1
    assert "kept elsewhere: no record here has the digest 000" in capsys.readouterr().err
    assert main(["--data", str(folder), "verify", "--has", "abc"]) == 2
    assert main(["verify", "export.zip", "--has", digest]) == 2
