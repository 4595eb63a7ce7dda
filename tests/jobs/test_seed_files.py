"""The files of the demonstration hold together: keys, words, sizes, pictures, and the answers to the check.

Nothing here looks into a database: files and domain only. That they go into a
register is the loader's own test.
"""

import io
import re
import tomllib
from collections import Counter
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from server.domain.equivalence import compare
from server.domain.instruments import INSTRUMENTS
from server.domain.offer import Basis, Evidence, Offered, Origin, Stage, Statement
from server.domain.parts import GENERAL, part_class, part_classes
from server.domain.parts._kit import Characteristic
from server.domain.quantities import Kind
from server.domain.reading import implausible, read_quantity, read_uncertainty
from server.domain.register import Fault, UserRole
from server.domain.specification import (
    Access,
    Form,
    Joint,
    Known,
    KnownFrom,
    Layer,
    Ply,
    Requirement,
    Role,
    Use,
    Wanted,
    Weight,
)
from server.domain.verdict import Outcome, Sheet, Verdict
from server.services.signing import empty_reason
from server.settings import SEED

Plain = dict[str, Any]

PICTURES = SEED / "pictures"
LARGEST_PICTURE = 60_000
"""Bytes; the whole demonstration stays small enough to be read over a slow line."""

SUPPLIER_KINDS = {
    "aviation supply",
    "car-restoration trade",
    "foundry",
    "industrial supply",
    "laboratory",
    "made in the shop",
    "museum",
    "plater",
    "private person",
}
_OR = re.compile(r"\s*(?:;|\bor\b|\boder\b)\s*")


@cache
def entries(name: str, key: str) -> tuple[Plain, ...]:
    """All entries of one kind, out of NAME.toml or every file of the folder NAME."""
    single = SEED / f"{name}.toml"
    paths = [single] if single.exists() else sorted((SEED / name).glob("*.toml"))
    return tuple(entry for path in paths for entry in tomllib.loads(path.read_text(encoding="utf-8"))[key])


def by_key(name: str, key: str) -> dict[str, Plain]:
    return {entry["key"]: entry for entry in entries(name, key)}


NEEDS = by_key("needs", "need")
FINDS = by_key("finds", "find")
AEROPLANES = by_key("aeroplanes", "aeroplane")
STEPS = by_key("steps", "step")
SUPPLIERS = by_key("suppliers", "supplier")
ACCOUNTS = by_key("accounts", "account")
CANDIDATES = entries("candidates", "candidate")
DECIDED = [one for one in CANDIDATES if "decision" in one]
APPROVED = [one for one in DECIDED if one["decision"]["outcome"] != "refused"]


def name_of(candidate: Plain) -> str:
    return f"{candidate['need']} / {candidate['find']}"


# --- what the texts become --------------------------------------------------


def pieces(text: str, one: Characteristic, form: Form) -> list[str]:
    """The words or sizes of a requirement, one by one."""
    several = form is Form.ONE_OF or (one.kind is None and form in {Form.LIMITS, Form.EXACTLY})
    return [piece for piece in _OR.split(text) if piece] if several else [text]


def characteristic(class_key: str, key: str) -> Characteristic:
    found = part_class(class_key or GENERAL).characteristic(key)
    assert found is not None, f"{class_key} has no “{key}”"
    return found


def requirement(said: Plain, need: Plain) -> Requirement:
    one = characteristic(need["part_class"], said["characteristic"])
    form, unit = Form[said["form"]], AEROPLANES[need["aeroplane"]]["drawings_unit"] or None
    texts = [] if form is Form.AS_SAMPLE else pieces(said["text"], one, form)
    sizes = tuple(read_quantity(text, one.kind, drawing_unit=unit) for text in texts if one.kind is not None)
    return Requirement(
        one.key,
        form,
        said["text"],
        quantity=sizes[0] if len(sizes) == 1 else None,
        words=tuple(texts) if one.kind is None else (),
        one_of=sizes if len(sizes) > 1 else (),
        layer=Layer[said["layer"]],
        known=Known(KnownFrom[said["known_from"]], said.get("reference", ""), said.get("instrument", "")),
        weight=Weight[said["weight"]] if "weight" in said else None,
        expanded=read_uncertainty(said["uncertainty"], one.kind) if "uncertainty" in said and one.kind else None,
        serials=said.get("serials", ""),
        side=said.get("side", ""),
    )


def joint(said: Plain, unit: str | None) -> Joint:
    def length(text: str | None, kind: Kind = Kind.LENGTH) -> Any:
        return read_quantity(text, kind, drawing_unit=unit) if text else None

    def doubt(text: str | None) -> Any:
        return read_uncertainty(text, Kind.LENGTH) if text else None

    return Joint(
        tuple(
            Ply(ply["name"], ply["material"], length(ply.get("thickness")), doubt(ply.get("uncertainty")))
            for ply in said["plies"]
        ),
        length(said.get("hole")),
        doubt(said.get("hole_uncertainty")),
        length(said.get("edge_distance")),
        length(said.get("pitch")),
        length(said.get("seat_angle"), Kind.ANGLE),
        Access[said.get("access", "UNKNOWN")],
        Known(KnownFrom[said["known_from"]], said.get("reference", "")),
    )


def wanted(need: Plain) -> Wanted:
    aeroplane = AEROPLANES[need["aeroplane"]]
    return Wanted(
        need["part_class"],
        tuple(requirement(said, need) for said in need["requirements"]),
        joint(need["joint"], aeroplane["drawings_unit"] or None) if "joint" in need else None,
        Role[need["role"]],
        Use[aeroplane["use"]],
        tuple(need["touches"]),
        aeroplane["serial"],
        need["side"],
        need["item"],
    )


def statement(said: Plain, find: Plain) -> Statement:
    one = characteristic(find["part_class"], said["characteristic"])
    return Statement(
        one.key,
        Basis[said["basis"]],
        said["text"],
        quantity=read_quantity(said["text"], one.kind) if one.kind is not None else None,
        words=(said["text"],) if one.kind is None else (),
        expanded=read_uncertainty(said["uncertainty"], one.kind) if "uncertainty" in said and one.kind else None,
        instrument=said.get("instrument", ""),
        stage=Stage[said.get("stage", "UNKNOWN")],
        on=str(said.get("on", find["on"])),
    )


def offered(find: Plain) -> Offered:
    return Offered(
        find["part_class"],
        tuple(statement(said, find) for said in find["statements"]),
        Origin[find["origin"]],
        tuple(Evidence[piece["kind"]] for piece in find["evidence"]),
        find.get("finish_to_come", False),
        find["text"],
    )


def sheet_of(candidate: Plain) -> Sheet:
    return compare(wanted(NEEDS[candidate["need"]]), offered(FINDS[candidate["find"]]))


# --- the files ---------------------------------------------------------------


@pytest.mark.parametrize("path", sorted(SEED.rglob("*.toml")), ids=lambda path: path.name)
def test_every_file_says_that_it_is_invented(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    assert tomllib.loads(text)["invented"] is True
    head = text.split("invented = true")[0]
    assert "invented" in head
    assert all(line.startswith("#") or not line for line in head.splitlines())


def test_there_is_enough_to_try_the_register_on() -> None:
    """Counts asked of the demonstration; no outside source."""
    assert len(NEEDS) >= 60
    assert len({need["part_class"] for need in NEEDS.values()}) >= 20
    assert len(FINDS) >= 90
    assert len(SUPPLIERS) >= 15
    assert len(STEPS) >= 30
    assert len(CANDIDATES) >= 25
    assert 5 <= len(ACCOUNTS) <= 7
    assert len(AEROPLANES) >= 2


@pytest.mark.parametrize(("name", "key"), [("needs", "need"), ("finds", "find"), ("steps", "step"),
                                           ("suppliers", "supplier"), ("aeroplanes", "aeroplane"),
                                           ("accounts", "account")])  # fmt: skip
def test_no_key_is_used_twice(name: str, key: str) -> None:
    assert len(by_key(name, key)) == len(entries(name, key))


def test_addresses_use_domains_set_aside_for_examples() -> None:
    """RFC 2606, section 2: the name “example” at the top is set aside for examples (from memory)."""
    for path in SEED.rglob("*.toml"):
        for address in re.findall(r"[\w.+-]+@[\w.-]+", path.read_text(encoding="utf-8")):
            assert address.endswith(".example"), address


def test_no_password_stands_in_the_files() -> None:
    assert all("password" not in account for account in ACCOUNTS.values())
    assert {UserRole(account["role"]) for account in ACCOUNTS.values()} == set(UserRole)


# --- steps, suppliers --------------------------------------------------------


def test_steps_come_after_earlier_steps_of_the_same_aeroplane() -> None:
    for step in STEPS.values():
        assert step["state"] in {"done", "open"}
        for key in step["after"]:
            before = STEPS[key]
            assert before["aeroplane"] == step["aeroplane"]
            assert before["order"] < step["order"], step["key"]
            assert before["due"] <= step["due"], step["key"]
            assert before["state"] == "done" or step["state"] == "open", step["key"]


def test_some_steps_are_blocked_by_open_needs() -> None:
    met = {one["need"] for one in APPROVED}
    blocked = {need["step"] for key, need in NEEDS.items() if key not in met}
    assert len([step for step in STEPS.values() if step["state"] == "open" and step["key"] in blocked]) >= 10


def test_suppliers_are_of_a_known_kind_and_one_has_gone_silent() -> None:
    assert {supplier["kind"] for supplier in SUPPLIERS.values()} <= SUPPLIER_KINDS
    assert {supplier["status"] for supplier in SUPPLIERS.values()} == {"active", "silent", "gone"}
    assert all(isinstance(supplier["last_confirmed"], date) for supplier in SUPPLIERS.values())


# --- needs -------------------------------------------------------------------


@pytest.mark.parametrize("need", NEEDS.values(), ids=lambda need: need["key"])
def test_every_word_and_size_of_a_need_can_be_read(need: Plain) -> None:
    assert need["aeroplane"] in AEROPLANES
    assert STEPS[need["step"]]["aeroplane"] == need["aeroplane"]
    assert re.fullmatch(r"\d{2}(\d{2})?", need["chapter"])
    assert set(need["wrong"]) <= {fault.value for fault in Fault}
    assert need["wrong"]
    assert need["opened_by"] in ACCOUNTS
    assert need["still_wanted"] > 0
    # a comma would part one neighbour into two
    assert not any("," in touched for touched in need["touches"])
    for asked in need.get("asked", []):
        assert asked["supplier"] in SUPPLIERS
    for said in need["requirements"]:
        one = characteristic(need["part_class"], said["characteristic"])
        assert said.get("instrument", "eye") in INSTRUMENTS
        read = requirement(said, need)
        for size in (*read.one_of, *([read.quantity] if read.quantity else [])):
            assert one.plausible is None or implausible(size, *one.plausible) is None, said
        assert all(one.choice(word) for word in read.words) or not one.choices, said
        if KnownFrom[said["known_from"]] in {KnownFrom.DRAWING, KnownFrom.MANUAL, KnownFrom.CATALOGUE}:
            assert said["reference"], said
    assert wanted(need).requirements


def test_what_is_fitted_now_differs_somewhere_from_what_was_designed() -> None:
    """A part copied from somebody's substitute copies the mistake: the demonstration has such places."""
    layers = {key: {said["layer"] for said in need["requirements"]} for key, need in NEEDS.items()}
    assert sum({"DESIGNED", "FITTED"} <= said for said in layers.values()) >= 3


def test_two_drawings_of_one_hinge_disagree() -> None:
    sheet = compare(wanted(NEEDS["p17-door-hinge-lower"]), offered(FINDS["hinge-door-saloon"]))
    row = next(row for row in sheet.rows if row.key == "pin_diameter")
    assert row.verdict is Verdict.OPEN
    assert "disagree" in row.sentence


# --- finds -------------------------------------------------------------------


@pytest.mark.parametrize("find", FINDS.values(), ids=lambda find: find["key"])
def test_every_word_and_size_of_a_find_can_be_read(find: Plain) -> None:
    assert find["supplier"] in SUPPLIERS
    assert find["logged_by"] in ACCOUNTS
    for said in find["statements"]:
        one = characteristic(find["part_class"], said["characteristic"])
        read = statement(said, find)
        if one.kind is None:
            assert one.choice(said["text"]) or not one.choices, said
            continue
        assert read.quantity is not None
        assert one.plausible is None or implausible(read.quantity, *one.plausible) is None, said
        if read.instrument:
            assert INSTRUMENTS[read.instrument].kind is one.kind, said
        if read.basis is Basis.MEASURED and one.kind is not Kind.COUNT:
            assert read.doubt is not None, f"measured, but how surely? {said}"
    assert offered(find).name


def test_some_finds_are_not_named_yet_and_some_fit_nothing_today() -> None:
    assert any(not find["part_class"] for find in FINDS.values())
    wanted_classes = {need["part_class"] for need in NEEDS.values()}
    assert set(part_classes()) >= {find["part_class"] for find in FINDS.values() if find["part_class"]}
    assert wanted_classes <= set(part_classes())


# --- pictures ----------------------------------------------------------------


def test_pictures_are_there_small_and_whole() -> None:
    shown = [shot for entry in (*NEEDS.values(), *FINDS.values()) for shot in entry.get("photos", [])]
    named = {shot["file"] for shot in shown}
    files = {path.name for path in PICTURES.iterdir()}
    assert len(files) >= 20
    assert named == files
    # somebody who can't see the picture hears what it shows, and that it is none of anything real
    assert all(shot["caption"].startswith(("Drawing: ", "Sketch: ", "Rendered picture: ")) for shot in shown)
    for name in files:
        content = (PICTURES / name).read_bytes()
        assert len(content) < LARGEST_PICTURE, name
        with Image.open(io.BytesIO(content), formats=("PNG", "JPEG")) as picture:
            picture.load()
            assert not picture.getexif(), name


# --- candidates --------------------------------------------------------------


@pytest.mark.parametrize("candidate", APPROVED, ids=name_of)
def test_an_approval_answers_every_row_that_asks(candidate: Plain) -> None:
    decision = candidate["decision"]
    sheet = sheet_of(candidate)
    for row in sheet.to_answer:
        fault = empty_reason(decision["reasons"].get(row.key, ""))
        assert not fault, f"{row.key}: {fault} ({row.sentence})"
    assert set(decision.get("reasons", {})) <= {row.key for row in sheet.rows}
    assert set(decision.get("references", {})) <= {row.key for row in sheet.to_answer}
    if decision["outcome"] == "approved":
        assert sheet.outcome is not Outcome.NOT_EQUIVALENT
    else:
        assert decision["conditions"]


@pytest.mark.parametrize("candidate", [one for one in DECIDED if one not in APPROVED], ids=name_of)
def test_a_refusal_gives_its_reason_and_answers_what_speaks_against_it(candidate: Plain) -> None:
    decision = candidate["decision"]
    sheet = sheet_of(candidate)
    assert not empty_reason(decision["reason"])
    against = {row.key for row in sheet.rows if row.verdict is Verdict.AGAINST}
    assert against <= set(decision["reasons"])
    assert set(decision["reasons"]) <= {row.key for row in sheet.rows}


def test_every_outcome_and_every_decision_is_there() -> None:
    outcomes = Counter(sheet_of(one).outcome for one in CANDIDATES)
    assert set(outcomes) == set(Outcome)
    decisions = Counter(one.get("decision", {}).get("outcome", "undecided") for one in CANDIDATES)
    assert set(decisions) == {"approved", "approved with conditions", "refused", "undecided"}
    assert min(decisions.values()) >= 5


def test_every_outcome_is_there_decided_and_undecided() -> None:
    """Asked of the demonstration: whoever looks around meets each of the four before and after a signature."""
    pairs = {(sheet_of(one).outcome, "decision" in one) for one in CANDIDATES}
    assert pairs == {(outcome, is_decided) for outcome in Outcome for is_decided in (True, False)}


def test_who_signs_is_an_approver_in_date_and_not_who_proposed() -> None:
    last = date.min
    for candidate in sorted(CANDIDATES, key=lambda one: one["on"]):
        assert ACCOUNTS[candidate["proposed_by"]]["role"] != "viewer"
        judged = candidate.get("authenticity")
        if judged:
            assert ACCOUNTS[judged["by"]]["role"] != "viewer"
            assert not empty_reason(judged["reason"])
        if "decision" not in candidate:
            continue
        decision = candidate["decision"]
        signer = ACCOUNTS[decision["by"]]
        assert signer["role"] == "approver"
        assert decision["by"] != candidate["proposed_by"]
        assert candidate["on"] <= decision["on"] <= signer["valid_until"]
        # records follow one another: a later one never bears an earlier day
        assert last <= decision["on"], name_of(candidate)
        last = decision["on"]


def test_nothing_is_proposed_before_it_was_wanted_found_and_measured() -> None:
    for candidate in CANDIDATES:
        need, find = NEEDS[candidate["need"]], FINDS[candidate["find"]]
        days = [need["on"], find["on"], *(said["on"] for said in find["statements"] if "on" in said)]
        assert max(days) <= candidate["on"], name_of(candidate)


def test_something_refused_is_offered_again() -> None:
    refused = {one["need"] for one in DECIDED if one["decision"]["outcome"] == "refused"}
    waiting = {one["need"] for one in CANDIDATES if "decision" not in one}
    assert refused & waiting
