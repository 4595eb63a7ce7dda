"""The command line as a new user tries it: what it prints where, its exit codes, and what it refuses."""

import csv
import io
import json
import os
import re
import shutil
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from server.domain.parts import part_classes
from server.jobs import cli, serving
from server.settings import ROOT
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.search_index import Scope, SearchIndex
from tests.builders import shop

COMMANDS = ("serve", "demo", "init", "account", "match", "check", "import", "export", "verify", "upgrade")


class Ran(NamedTuple):
    """What one command did."""

    code: int
    out: str
    err: str

    def json(self) -> Any:
        return json.loads(self.out)

    def lines(self) -> list[Any]:
        return [json.loads(line) for line in self.out.splitlines()]


Run = Callable[..., Ran]


@pytest.fixture
def run(capfdbinary: pytest.CaptureFixture[bytes], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    """Runs one command in this process, with an empty environment of its own."""
    for name in [name for name in os.environ if name.startswith("MAKEGOOD_")]:
        monkeypatch.delenv(name)
    monkeypatch.chdir(tmp_path)

    def ran(*arguments: str, stdin: bytes = b"") -> Ran:
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8"))
        capfdbinary.readouterr()
        try:
            code = cli.main([*arguments])
        except SystemExit as left:
            code = left.code if isinstance(left.code, int) else 1
        sys.stdout.flush()
        sys.stderr.flush()
        out, err = capfdbinary.readouterr()
        return Ran(code, out.decode(), err.decode())

    return ran


@pytest.fixture(scope="session")
def initialised(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A register as `init` makes it, once for all tests here."""
    folder = tmp_path_factory.mktemp("made") / "register"
    environment = {name: value for name, value in os.environ.items() if not name.startswith("MAKEGOOD_")}
    subprocess.run(
        [sys.executable, "-m", "server", "--data", str(folder), "init", "--no-input", "--json"],
        cwd=ROOT,
        env=environment,
        check=True,
        capture_output=True,
        timeout=120,
    )
    return folder


@pytest.fixture
def data(initialised: Path, tmp_path: Path) -> str:
    """A copy of it, the key of its seals with it."""
    folder = tmp_path / "register"
    folder.mkdir()
    for name in ("register.sqlite3", "seal.key"):
        shutil.copy(initialised / name, folder)
    return str(folder)


def write(path: Path, *plain: dict[str, Any]) -> str:
    path.write_text("".join(json.dumps(one, ensure_ascii=False) + "\n" for one in plain), encoding="utf-8")
    return str(path)


# --- help and usage ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help(run: Run, command: str) -> None:
    said = run(command, "--help")
    assert said.code == 0
    assert said.out.startswith(f"usage: makegood {command}")
    assert said.err == ""


def test_help_names_every_command(run: Run) -> None:
    said = run("--help")
    assert all(re.search(rf"^    {command} ", said.out, re.MULTILINE) for command in COMMANDS)
    assert run("--version").out.startswith("makegood ")


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["sell"],
        ["match"],
        ["check"],
        ["import", "hats", "x"],
        ["import", "needs"],
        ["export", "suppliers", "--open"],
        ["account"],
        ["account", "add", "joe"],
        ["match", "x", "--limit", "0"],
        ["match", "x", "--limit", "many"],
        ["serve", "--port", "0"],
        ["serve", "--port", "65536"],
        ["check", "x.json", "--example", "bolt"],
    ],
)
def test_wrong_usage_is_two(run: Run, arguments: Sequence[str]) -> None:
    said = run(*arguments)
    assert said.code == 2
    assert said.out == ""
    assert said.err


def test_a_wrong_setting_is_named(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("MAKEGOOD_PORT", "eleven")
    said = run("verify")
    assert said.code == 2
    assert "MAKEGOOD_PORT" in said.err
    assert "eleven" in said.err


@pytest.mark.parametrize(
    "arguments",
    [["serve"], ["match", "x"], ["verify"], ["upgrade"], ["account", "list"], ["export", "needs"]],
)
def test_without_a_register_it_says_so(run: Run, arguments: Sequence[str], tmp_path: Path) -> None:
    said = run(*arguments)
    assert said.code == 1
    assert said.out == ""
    assert "no register in" in said.err
    assert "Traceback" not in said.err
    assert not (tmp_path / "data").exists()


def test_the_data_folder_may_stand_before_or_after(run: Run, data: str, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = run("--data", data, "account", "list", "--json")
    assert expected.code == 0
    assert run("account", "--data", data, "list", "--json") == expected
    assert run("account", "list", "--data", data, "--json") == expected
    monkeypatch.setenv("MAKEGOOD_DATA", data)
    assert run("account", "list", "--json") == expected
    assert run("--data", "elsewhere", "account", "list").code == 1


def test_a_file_that_is_no_database_is_said_in_a_sentence(run: Run, tmp_path: Path) -> None:
    (tmp_path / "register.sqlite3").write_bytes(b"no database at all, for sure" * 100)
    said = run("--data", str(tmp_path), "verify")
    assert said.code == 1
    assert "Traceback" not in said.err
    assert len(said.err.splitlines()) == 1


# --- init and accounts ------------------------------------------------------------------------------------------------


def test_init_makes_a_password_up_and_prints_it_once(run: Run, tmp_path: Path) -> None:
    folder = str(tmp_path / "new")
    first = run("init", "--data", folder, "--no-input", "--json").json()
    other = run("init", "--data", str(tmp_path / "other"), "--no-input", "--json").json()
    assert first["account"] == "keeper"
    assert len(first["password"]) >= 16
    assert first["password"] != other["password"]
    assert first["password"].encode() not in (Path(folder) / "register.sqlite3").read_bytes()
    again = run("init", "--data", folder, "--no-input")
    assert again.code == 1
    assert "already" in again.err
    assert run("--data", folder, "account", "list", "--json").json() == [
        {"sign_in": "keeper", "name": "keeper", "role": "keeper", "active": True}
    ]


def test_init_in_words(run: Run, tmp_path: Path) -> None:
    said = run("--data", str(tmp_path / "new"), "init", "--no-input", "--account", "hedda")
    assert "hedda" in said.out
    assert len(re.findall(r"Password, shown this once: \S+", said.out)) == 1


def test_init_asks_for_no_password_where_nobody_is(run: Run, tmp_path: Path) -> None:
    said = run("--data", str(tmp_path / "new"), "init")
    assert said.code == 2
    assert "--no-input" in said.err
    assert not (tmp_path / "new").exists()


def test_an_init_that_is_refused_leaves_nothing(run: Run, tmp_path: Path) -> None:
    said = run("--data", str(tmp_path / "new"), "init", "--no-input", "--account", "two words")
    assert said.code == 1
    assert "sign_in" in said.err
    assert not (tmp_path / "new").exists()


def test_accounts_are_opened_and_get_new_passwords(run: Run, data: str) -> None:
    opened = run(
        "account", "add", "nella", "--name", "Nella", "--role", "restorer", "--no-input", "--json", "--data", data
    )
    assert opened.code == 0
    renewed = run("account", "password", "nella", "--no-input", "--json", "--data", data)
    assert renewed.json()["password"] != opened.json()["password"]
    assert "nella" in run("account", "list", "--data", data).out
    assert run("account", "password", "nobody", "--no-input", "--data", data).code == 1
    twice = run("account", "add", "nella", "--name", "N", "--role", "viewer", "--no-input", "--data", data)
    assert twice.code == 1
    assert "already" in twice.err


def test_a_taken_port_is_said_before_anything_is_served(run: Run, data: str) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        said = run("serve", "--data", data, "--port", str(port))
    assert said.code == 1
    assert str(port) in said.err
    assert "listens" not in said.out


# --- import, match, export --------------------------------------------------------------------------------------------

TEXTS = (
    {"ref": "A-1", "text": "semi tubular rivet brass oval hd 3/32 x 5/16, door lining, 40 off"},
    {"ref": "A-2", "text": "cloth sleeving 3 mm bore, panel loom"},
    {"ref": "A-3", "text": "ball bearing 10 x 26 x 8 mm, control column"},
)


def test_lines_of_text_are_taken_in_and_matched(run: Run, data: str, tmp_path: Path) -> None:
    path = write(tmp_path / "needs.jsonl", *TEXTS)
    assert run("import", "needs", path, "--data", data, "--json").json() == {"imported": 3, "left_out": []}
    asked = "10x26x8 bearing\r\n\nZahnbürste\n\xff\n".encode("latin-1")
    answers = run("match", "-", "--data", data, stdin=asked).lines()
    assert len(answers) == 4
    hit = answers[0]["hits"][0]
    assert hit["ref"] == "A-3"
    assert {"number", "ref", "score", "for", "against"} <= set(hit)
    assert hit["for"]
    assert answers[1]["hits"] == []
    assert answers[0]["text"] == "10x26x8 bearing"
    one = run("match", "oval brass rivets 3/32", "--data", data, "--json").json()
    assert one["hits"][0]["ref"] == "A-1"
    spoken = run("match", "oval brass rivets 3/32", "--data", data).out
    assert "[A-1]" in spoken
    assert "Read as:" in spoken
    assert run("match", "--limit", "1", "--data", data, "rivet bearing sleeving", "--json").json()["hits"][1:] == []


def test_finds_are_asked_the_other_way_round(run: Run, data: str, tmp_path: Path) -> None:
    path = write(
        tmp_path / "finds.jsonl", {"ref": "F-1", "text": "box of ball bearings 10 x 26 x 8", "quantity_text": "7"}
    )
    assert run("import", "finds", path, "--data", data).out == "1 finds taken in.\n"
    hits = run("match", "ball bearing 10 x 26 x 8 mm", "--finds", "--data", data, "--json").json()["hits"]
    assert hits[0]["ref"] == "F-1"


def test_exports_are_whole_and_in_utf_8(run: Run, data: str, tmp_path: Path) -> None:
    run("import", "needs", write(tmp_path / "n.jsonl", *TEXTS, {"text": "Öse Messing 5 mm"}), "--data", data)
    plain = run("export", "needs", "--data", data).lines()
    assert [one["ref"] for one in plain] == ["A-1", "A-2", "A-3", ""]
    assert plain[0]["part_class"] == "semi_tubular_rivet"
    assert {one["characteristic"] for one in plain[0]["requirements"]} >= {"body_diameter", "length_under_head"}
    assert "Öse" in plain[3]["text"]
    target = tmp_path / "out.csv"
    assert run("export", "needs", str(target), "--data", data) == Ran(0, "", "")
    rows = list(csv.DictReader(io.StringIO(target.read_bytes().decode("utf-8"), newline="")))
    assert [row["ref"] for row in rows] == ["A-1", "A-2", "A-3", ""]
    assert rows[0]["quantity_text"] == "40 off"
    assert run("export", "needs", str(tmp_path), "--data", data).code == 1


def test_a_spreadsheet_is_taken_in_from_standard_input(run: Run, data: str) -> None:
    content = "\ufeffRef;Text\r\nB-1;Buchse Bronze 12 x 16 x 20 mm, Ruderpedal\r\n".encode()
    assert run("import", "needs", "-", "--data", data, stdin=content).code == 0
    (plain,) = run("export", "needs", "--data", data).lines()
    assert (plain["ref"], plain["part_class"]) == ("B-1", "bush")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", ["no lines"]),
        (b"ref,text\n", ["no lines"]),
        (b'{"text": 1\n{"item": "x"}\n', ["line 1", "line 2", "nothing was taken in"]),
        (b"ref,text,weight\nA,brass bush,3\n", ["line 2", "weight"]),
        ("text\nmüde".encode("cp1252"), ["Line 2", "--encoding"]),
        (b"[[", ["no JSON"]),
    ],
)
def test_an_import_that_is_refused_says_why(run: Run, data: str, content: bytes, words: Sequence[str]) -> None:
    said = run("import", "needs", "-", "--data", data, stdin=content)
    assert said.code == 1
    assert said.out == ""
    assert "Traceback" not in said.err
    for word in words:
        assert word in said.err
    assert run("export", "needs", "--data", data).out == ""


def test_bad_lines_come_as_json_too(run: Run, data: str) -> None:
    said = run("import", "needs", "-", "--json", "--data", data, stdin=b'{"item": "x"}\n' * 30)
    assert said.code == 1
    assert len(said.json()["faults"]) == 30
    assert "further lines" in said.err


def test_unknown_columns_are_left_out_only_when_told(run: Run, data: str) -> None:
    content = b"ref,text,weight\nA,brass bush,3\n"
    said = run("import", "needs", "-", "--skip-unknown", "--data", data, stdin=content)
    assert said.code == 0
    assert "weight" in said.err


def test_an_import_is_done_as_an_account_that_may(run: Run, data: str, tmp_path: Path) -> None:
    path = write(tmp_path / "n.jsonl", *TEXTS)
    run("account", "add", "maud", "--name", "Maud", "--role", "viewer", "--no-input", "--data", data)
    assert run("import", "needs", path, "--as", "maud", "--data", data).code == 1
    assert run("import", "needs", path, "--as", "nobody", "--data", data).code == 1
    assert run("import", "needs", path, "--aeroplane", "7", "--data", data).code == 1
    assert run("import", "needs", str(tmp_path / "gone.csv"), "--data", data).code == 1


# --- check ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", list(part_classes()))
def test_the_example_of_every_class_is_checked(run: Run, tmp_path: Path, key: str) -> None:
    example = run("check", "--example", key)
    assert example.code == 0
    path = tmp_path / "example.json"
    path.write_text(example.out, encoding="utf-8")
    said = run("check", str(path), "--json")
    assert said.code == 0
    sheet = said.json()
    assert sheet["verdict"] == example.json()["expect"]
    assert sheet["rows"]
    assert all(row["verdict"] and row["sentence"] and row["sources"] for row in sheet["rows"])
    assert f"WILL IT WORK THERE: {sheet['verdict'].upper()}" in run("check", str(path)).out.upper()


def test_classes_and_schemas_are_printed(run: Run) -> None:
    assert [one["key"] for one in run("check", "--classes", "--json").json()] == list(part_classes())
    assert all(key in run("check", "--classes").out for key in part_classes())
    assert run("check", "--schema", "bolt").json()["$schema"].endswith("2020-12/schema")
    for option in ("--schema", "--example"):
        said = run("check", option, "hubcap")
        assert said.code == 1
        assert "hubcap" in said.err


def test_a_wrong_file_gets_every_fault_at_once(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "wrong.json"
    plain = {
        "need": {"part_class": "bush", "requirements": [{"characteristic": "bore", "text": "wide", "known_from": "x"}]},
        "find": {"part_class": "bush", "statements": [{"characteristic": "colour", "text": "red"}]},
    }
    path.write_text(json.dumps(plain), encoding="utf-8")
    said = run("check", str(path))
    assert said.code == 1
    assert said.out == ""
    paths = {line.split(":", 1)[0] for line in said.err.splitlines()}
    assert paths == {
        "need.requirements[0].text",
        "need.requirements[0].known_from",
        "find.statements[0].characteristic",
    }
    assert set(run("check", str(path), "--json").json()["faults"]) == paths


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe", b"[" * 100_000, b'{"need": NaN}'])
def test_a_file_that_is_no_check_is_refused(run: Run, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "x.json"
    path.write_bytes(content)
    said = run("check", str(path))
    assert said.code == 1
    assert said.err
    assert "Traceback" not in said.err
    assert run("check", str(tmp_path / "gone.json")).code == 1


def test_a_stream_goes_on_after_a_bad_line(run: Run) -> None:
    example = run("check", "--example", "bolt").json()
    lines = [
        json.dumps({**example, "ref": 1}),
        "no json",
        "",
        json.dumps({"ref": "two", "need": {}, "find": {}}),
        "[" * 100_000,
        json.dumps({**example, "ref": 3}),
    ]
    said = run("check", "-", stdin="\n".join(lines).encode() + b"\n\xff\xfe\n")
    assert said.code == 1
    answers = said.lines()
    assert [answer.get("ref") for answer in answers] == [1, None, "two", None, 3, None]
    assert [answer.get("line") for answer in answers] == [None, 2, 4, 5, None, 7]
    assert answers[0]["verdict"] == answers[4]["verdict"] == example["expect"]
    assert "need.part_class" in answers[2]["faults"]
    assert run("check", "-", stdin=json.dumps(example).encode()).code == 0
    assert run("check", "-", stdin=b"") == Ran(0, "", "")


def test_a_stream_takes_what_example_prints(run: Run) -> None:
    # own rule: what `--example` prints `check` accepts, piped into `check -` too, though it goes over many lines
    printed = run("check", "--example", "bolt").out
    example = json.loads(printed)
    said = run("check", "-", stdin=printed.encode())
    assert said.code == 0
    assert [answer["verdict"] for answer in said.lines()] == [example["expect"]]
    torn = printed[: len(printed) // 2].rsplit("\n", 1)[0]
    said = run("check", "-", stdin="\n".join([torn, json.dumps(example), printed, "{", printed]).encode())
    assert said.code == 1
    kinds = ["faults" if "faults" in answer else answer["verdict"] for answer in said.lines()]
    assert kinds == ["faults", example["expect"], example["expect"], "faults", example["expect"]]


def test_check_loads_no_database() -> None:
    code = "import sys, server.jobs.checking, server.services.check_schema; print(*sys.modules)"
    ran = subprocess.run([sys.executable, "-c", code], cwd=ROOT, check=True, capture_output=True, text=True, timeout=60)
    assert not {"sqlalchemy", "sqlmodel", "fastapi"} & set(ran.stdout.split())


def test_check_asks_for_no_register(run: Run, tmp_path: Path) -> None:
    assert run("check", "-", stdin=json.dumps(run("check", "--example", "pin").json()).encode()).code == 0
    assert list(tmp_path.iterdir()) == []


# --- records ----------------------------------------------------------------------------------------------------------


def test_an_empty_register_verifies(run: Run, data: str) -> None:
    assert run("verify", "--data", data, "--json").json() == {"records": 0, "broken": [], "notes": []}
    assert run("upgrade", "--data", data).code == 0


def test_a_register_of_another_version_asks_for_an_upgrade(run: Run, data: str) -> None:
    with sqlite3.connect(f"{data}/register.sqlite3") as connection:
        connection.execute("UPDATE alembic_version SET version_num = '0001'")
    connection.close()
    said = run("match", "x", "--data", data)
    assert said.code == 1
    assert "makegood upgrade" in said.err


def test_a_register_read_by_another_version_is_not_served_until_the_upgrade_read_it(
    run: Run, data: str, tmp_path: Path
) -> None:
    """Own rule: as with a database of another version; what nothing finds is never passed off as not there."""
    needs = write(tmp_path / "n.jsonl", {"text": "brass bush 12 mm"}, {"text": "split pin 1/16 x 3/4"})
    assert run("import", "needs", needs, "--data", data).code == 0
    with sqlite3.connect(f"{data}/register.sqlite3") as connection:
        connection.execute("UPDATE search_row SET row = x'0100' WHERE subject_id = 1")
    connection.close()
    for arguments in (["serve", "--port", "9"], ["match", "bush"]):
        said = run(*arguments, "--data", data)
        assert (said.code, said.out) == (1, "")
        assert "makegood upgrade" in said.err
    assert "read anew: 1." in run("upgrade", "--data", data).out
    assert "read anew: 0." in run("upgrade", "--data", data).out
    assert run("match", "brass bush", "--data", data, "--json").json()["hits"]


def test_words_are_counted_before_serving(store: Store, files: Files) -> None:
    """What was typed in one by one is counted, too."""
    shop(store, files).need()
    serving.count_words(store)
    with store.read() as session:
        assert SearchIndex(session, Scope("need")).doc_counts(["ttubularrivet"]) == {"ttubularrivet": 1}


def test_a_reader_that_has_enough_is_no_error(data: str, tmp_path: Path) -> None:
    path = tmp_path / "n.jsonl"
    path.write_text("".join(json.dumps({"text": f"brass bush {size} mm"}) + "\n" for size in range(5, 400)))
    command = [sys.executable, "-m", "server", "--data", data]
    subprocess.run([*command, "import", "needs", str(path)], cwd=ROOT, check=True, capture_output=True, timeout=300)
    with subprocess.Popen([*command, "export", "needs"], cwd=ROOT, stdout=-1, stderr=-1) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        assert process.stdout.readline()
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait(timeout=120) == 0
