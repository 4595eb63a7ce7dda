"""Rules of the house that no single test of a room would notice."""

import ast
import hashlib
import re
import subprocess
from pathlib import Path

import pytest

from server.settings import ROOT, STATIC, TEMPLATES
from server.web.respond import ENVIRONMENT

ALLOWED = {"README.md", "DEVELOPERS.md", "pyproject.toml", "requirements.lock", "LICENSE"}
FOLDERS = {"server", "templates", "static", "migrations", "tests", "seed"}
PAGES = sorted(path.relative_to(TEMPLATES).as_posix() for path in TEMPLATES.rglob("*.html"))
MODULES = sorted((ROOT / "server").rglob("*.py"))


def test_the_top_level_holds_what_the_design_card_names() -> None:
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode:
        pytest.skip("not a git checkout")
    top = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    assert {name for name in top if not name.startswith(".")} <= ALLOWED | FOLDERS


@pytest.mark.parametrize("name", PAGES)
def test_every_template_compiles(name: str) -> None:
    ENVIRONMENT.get_template(name)


@pytest.mark.parametrize("name", PAGES)
def test_no_template_needs_an_unsafe_policy(name: str) -> None:
    text = re.sub(r"\{#.*?#\}", "", (TEMPLATES / name).read_text(encoding="utf-8"), flags=re.DOTALL)
    assert not re.search(r"<[^>]*\sstyle\s*=", text), "inline style"
    assert not re.search(r"<style\b", text), "style element"
    assert not re.search(r"<script(?![^>]*\bsrc=)", text), "inline script"
    assert not re.search(r"\son\w+\s*=\s*[\"']", text), "event attribute"
    assert "hx-on" not in text
    assert "hx-boost" not in text
    assert "|safe" not in text.replace(" ", "")


def test_vendored_files_are_what_they_were() -> None:
    for folder in (STATIC / "vendor", ROOT / "tests/browser/vendor"):
        for line in (folder / "SHA256SUMS").read_text().splitlines():
            digest, name = line.split()
            content = (folder / name.lstrip("*")).read_bytes()
            assert hashlib.sha256(content).hexdigest() == digest, name


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(ROOT).as_posix())
def test_every_public_name_says_what_it_is(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), "the module itself"
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            assert ast.get_docstring(node), node.name


@pytest.mark.parametrize("path", [path for path in MODULES if "domain" in path.parts], ids=lambda path: path.name)
def test_the_core_has_no_clock_and_draws_no_lots(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for word in ("datetime.now", "date.today", "time.time", "import random", "uuid4", "os.environ"):
        assert word not in text, word
