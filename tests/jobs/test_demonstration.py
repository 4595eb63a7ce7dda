"""The demonstration goes in whole or not at all, comes out the same every time, and its records hold."""

import json
import shutil
import sqlite3
from pathlib import Path
from typing import Any

import pytest

from server.domain.register import record_number
from server.domain.verdict import Outcome
from server.jobs import cli, load_seed
from server.settings import SEED

EVERYTHING = (
    "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'search_%' AND name NOT LIKE 'sqlite%'"
)


def counts(folder: Path) -> dict[str, int]:
    """How many rows each table has."""
    connection = sqlite3.connect(folder / "register.sqlite3")
    try:
        tables = [name for (name,) in connection.execute(EVERYTHING)]
        return {name: connection.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in tables}
    finally:
        connection.close()


@pytest.fixture(scope="session")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demonstration, loaded once for all tests here."""
    folder = tmp_path_factory.mktemp("demonstration") / "demo"
    assert cli.main(["--data", str(folder), "demo", "--load-only"]) == 0
    return folder


@pytest.fixture
def copied(loaded: Path, tmp_path: Path) -> Path:
    return shutil.copytree(loaded, tmp_path / "copy")


def test_everything_of_the_seed_is_in_it(loaded: Path) -> None:
    found = counts(loaded)
    for table, key in (("need", "need"), ("find", "find"), ("account", "account"), ("aeroplane", "aeroplane")):
        assert found[table] == len(load_seed.read_seed(SEED, f"{key}s", key)), table
    assert found["sign_off"] > 0


def test_every_outcome_waits_and_is_decided(loaded: Path) -> None:
    """As the register keeps it, not only as the files say it."""
    asked = "SELECT DISTINCT outcome, id IN (SELECT candidate_id FROM sign_off) FROM candidate"
    assert set(rows(loaded, asked)) == {(str(outcome), decided) for outcome in Outcome for decided in (0, 1)}


def test_loading_it_again_changes_nothing(copied: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = counts(copied)
    assert cli.main(["demo", "--load-only", "--data", str(copied)]) == 0
    assert counts(copied) == before
    said = capsys.readouterr().out
    assert load_seed.PASSWORD in said
    assert "invented" in said


def test_a_second_loading_gives_the_same_register(loaded: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    assert cli.main(["demo", "--load-only", "--data", str(other)]) == 0
    assert counts(other) == counts(loaded)
    texts = "SELECT item, ref, part_class, text FROM need ORDER BY id"
    assert rows(other, texts) == rows(loaded, texts)


def rows(folder: Path, question: str) -> list[Any]:
    connection = sqlite3.connect(folder / "register.sqlite3")
    try:
        return connection.execute(question).fetchall()
    finally:
        connection.close()


def said(folder: Path, what: str, file: Path) -> list[dict[str, Any]]:
    """Every open record as its JSON line has it, but for what is of this register alone."""
    assert cli.main(["export", what, str(file), "--open", "--data", str(folder)]) == 0
    own = {"number", "version", "created_at", "logged_by", "logged_at"}
    lines = map(json.loads, file.read_text(encoding="utf-8").splitlines())
    return [{name: value for name, value in line.items() if name not in own} for line in lines]


@pytest.mark.parametrize("kind", ["csv", "jsonl"])
def test_all_of_it_goes_out_and_comes_in_again(copied: Path, tmp_path: Path, kind: str) -> None:
    """Own rule: nothing under a need or a find is lost on the way out and in again."""
    data = ["--data", str(copied)]
    for what in ("needs", "finds"):
        before = said(copied, what, tmp_path / "before.jsonl")
        assert before
        file = str(tmp_path / f"{what}.{kind}")
        assert cli.main(["export", what, file, "--open", *data]) == 0
        assert cli.main(["import", what, file, *data]) == 0
        after = said(copied, what, tmp_path / "after.jsonl")
        assert len(after) == 2 * len(before)
        for one, other in zip(before, after[len(before) :], strict=True):
            assert other == one


@pytest.mark.parametrize("kind", ["csv", "jsonl"])
def test_what_it_leans_on_goes_into_an_empty_register(copied: Path, tmp_path: Path, kind: str) -> None:
    empty = tmp_path / "empty"
    assert cli.main(["init", "--no-input", "--data", str(empty)]) == 0
    for what in ("aeroplanes", "suppliers", "steps"):
        file, again = tmp_path / f"{what}.{kind}", tmp_path / f"{what}-again.{kind}"
        assert cli.main(["export", what, str(file), "--data", str(copied)]) == 0
        assert cli.main(["import", what, str(file), "--data", str(empty)]) == 0
        assert cli.main(["export", what, str(again), "--data", str(empty)]) == 0
        assert again.read_text().count("\n") > 2
        numberless = [line.partition(",")[2] for line in file.read_text().splitlines()]
        assert [line.partition(",")[2] for line in again.read_text().splitlines()] == numberless
        assert cli.main(["import", what, str(file), "--data", str(empty)]) == 1


def test_its_records_hold_until_one_is_changed(copied: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["verify", "--data", str(copied), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["broken"] == []
    connection = sqlite3.connect(copied / "register.sqlite3")
    for (name,) in connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = 'sign_off'"
    ):
        connection.execute(f"DROP TRIGGER {name}")
    second, text = connection.execute("SELECT id, record FROM sign_off ORDER BY id LIMIT 1 OFFSET 1").fetchone()
    changed = text.replace("approved", "refused", 1) if "approved" in text else text.replace("refused", "approved", 1)
    assert changed != text
    connection.execute("UPDATE sign_off SET record = ? WHERE id = ?", (changed, second))
    connection.commit()
    connection.close()
    assert cli.main(["verify", "--data", str(copied)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(f"The first that does not hold: {record_number(second)}: ")


def test_a_loading_that_breaks_off_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "demo"
    folder.mkdir()
    (folder / "notes.txt").write_text("mine")
    before = load_seed.Loader._candidate

    def breaks_off(loader: load_seed.Loader, entry: Any) -> None:
        before(loader, entry)
        raise KeyboardInterrupt

    monkeypatch.setattr(load_seed.Loader, "_candidate", breaks_off)
    assert cli.main(["demo", "--load-only", "--data", str(folder)]) == 130
    # somebody's own file stays
    assert [path.name for path in folder.iterdir()] == ["notes.txt"]


def test_a_demonstration_that_was_killed_half_way_is_loaded_anew(tmp_path: Path, loaded: Path) -> None:
    """A killed loading leaves an empty database behind, for nothing is saved before everything is in."""
    from server.settings import MIGRATIONS
    from server.storage.engine import make_engine
    from server.storage.migrate import upgrade

    folder = tmp_path / "demo"
    folder.mkdir()
    engine = make_engine(f"sqlite:///{folder / 'register.sqlite3'}")
    upgrade(engine, MIGRATIONS)
    engine.dispose()
    assert cli.main(["demo", "--load-only", "--data", str(folder)]) == 0
    assert counts(folder) == counts(loaded)


def test_fresh_forgets_what_was_done(copied: Path) -> None:
    before = counts(copied)
    connection = sqlite3.connect(copied / "register.sqlite3")
    connection.execute("UPDATE need SET item = 'changed'")
    connection.commit()
    connection.close()
    assert cli.main(["demo", "--load-only", "--fresh", "--data", str(copied)]) == 0
    assert counts(copied) == before
    assert rows(copied, "SELECT count(*) FROM need WHERE item = 'changed'") == [(0,)]


def test_one_of_an_older_reading_is_read_anew_by_itself(copied: Path) -> None:
    """Own rule: what nothing finds is never passed off as not there; a demonstration is nobody's work and is short."""
    connection = sqlite3.connect(copied / "register.sqlite3")
    read = connection.execute("SELECT row FROM search_row ORDER BY id").fetchall()
    connection.execute("UPDATE search_row SET row = x'0100' WHERE kind = 'need'")
    connection.commit()
    connection.close()
    assert cli.main(["demo", "--load-only", "--data", str(copied)]) == 0
    assert rows(copied, "SELECT row FROM search_row ORDER BY id") == read


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_its_known_passwords_are_served_on_the_loopback_only(
    copied: Path, capsys: pytest.CaptureFixture[str], command: str
) -> None:
    assert cli.main([command, "--host", "0.0.0.0", "--data", str(copied)]) == 1
    assert "loopback" in capsys.readouterr().err


def test_a_register_that_is_none_is_not_taken_for_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = str(tmp_path / "own")
    assert cli.main(["init", "--no-input", "--data", folder]) == 0
    for more in ([], ["--fresh"]):
        assert cli.main(["demo", "--load-only", "--data", folder, *more]) == 1
        assert "no demonstration" in capsys.readouterr().err
    assert cli.main(["account", "list", "--data", folder]) == 0
    assert "keeper" in capsys.readouterr().out
