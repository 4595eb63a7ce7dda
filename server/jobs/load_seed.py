"""Loads the demonstration register from the files of seed/, through the same services that people use.

Every date of the story is kept: the clock is set to it while its entry is
made. The accounts' password is known and printed, so the register is marked
as a demonstration and only served on the loopback address.
"""

import tomllib
from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any

from argon2 import PasswordHasher
from sqlalchemy import event
from sqlmodel import Session

from server.domain.errors import Faults, Refused
from server.domain.evidence_depth import LABORATORY
from server.domain.register import Actor
from server.services import candidates, finds, needs, remarks, signing, yard
from server.services.accounts import open_account
from server.services.indexing import gathered
from server.settings import SEED
from server.storage.engine import OneUnit, Store
from server.storage.files import Files
from server.storage.log import write_setting

PASSWORD = "show me the shop"  # noqa: S105  (printed by the demonstration; no real register has it)
QUICK = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(PASSWORD)
"""A slow hash would guard a password that is printed, and the story signs many records with it."""
REGISTER = "Kelpmoor shed, demonstration"

KINDS = {
    "drawing": "DRAWING",
    "as printed": "PRINTED",
    "as stamped": "STAMPED",
    "corrected": "CORRECTED",
    "superseding": "SUPERSEDING",
    "trade name": "TRADE_NAME",
    "schematic designator": "SCHEMATIC",
}
READINGS = {"sure": "SURE", "doubtful": "DOUBTFUL", "guess": "GUESS"}
SUPPLIER_STATES = {"active": "ANSWERS", "silent": "SILENT", "gone": "GONE"}
STEP_STATES = {"open": "AHEAD", "done": "DONE"}
ANSWERS = {"right": "RIGHT", "will do": "WILL_DO", "not right": "NOT_RIGHT"}
DECISIONS = {"approved": "APPROVED", "approved with conditions": "CONDITIONAL", "refused": "REFUSED"}

Plain = dict[str, Any]


class BadSeed(Refused):
    """A file of the demonstration does not go into the register; the sentence names the entry."""


def read_seed(folder: Path, name: str, key: str) -> list[Plain]:
    """All entries of one kind, from NAME.toml or from every file of the folder NAME."""
    single = folder / f"{name}.toml"
    paths = [single] if single.exists() else sorted((folder / name).glob("*.toml"))
    return [entry for path in paths for entry in tomllib.loads(path.read_text(encoding="utf-8")).get(key, [])]


def text_of(value: Any) -> str:
    """A TOML value as it would have been typed."""
    if value is None:
        return ""
    if isinstance(value, date):
        return value.isoformat()
    return str(value)


class Held(OneUnit):
    """One unit of work that holds on to every row: the demonstration goes in whole or not at all."""

    def __init__(self, store: Store, session: Session) -> None:
        super().__init__(store, session)
        self._held: list[Any] = []
        # a session forgets what nobody holds, and would ask for the same rows again with every entry
        for made in ("pending_to_persistent", "loaded_as_persistent"):
            event.listen(session, made, lambda _, row: self._held.append(row))


class Loader:
    """One loading: the keys of the files and the numbers the register gave them."""

    def __init__(self, store: Store, files: Files, folder: Path) -> None:
        self.store = store
        self.files = files
        self.folder = folder
        self.people: dict[str, Actor] = {}
        self.numbers: dict[tuple[str, str], int] = {}
        self.keeper: Actor | None = None

    def at(self, day: Any, hour: int = 10) -> None:
        """Set the register's clock to this day of the story."""
        when = day if isinstance(day, date) else date(2026, 9, 1)
        moment = datetime.combine(when, time(hour), UTC)
        self.store.clock = lambda: moment

    def person(self, key: Any) -> Actor:
        """The account of this key, else the keeper."""
        assert self.keeper is not None
        return self.people.get(str(key or ""), self.keeper)

    def number(self, kind: str, key: Any) -> str:
        """The register's number of an entry, as typed in a form; "" for none."""
        if not key:
            return ""
        try:
            return str(self.numbers[kind, str(key)])
        except KeyError:
            raise BadSeed(f"seed: there is no {kind} “{key}”") from None

    def load(self) -> None:
        """Load everything, in the order in which one thing needs another."""
        self.at(date(2025, 3, 1))
        with self.store.write() as session:
            write_setting(session, "name", REGISTER)
            write_setting(session, "is_demo", True)
        self._accounts()
        for entry in read_seed(self.folder, "aeroplanes", "aeroplane"):
            self._aeroplane(entry)
        for entry in read_seed(self.folder, "suppliers", "supplier"):
            self._told(f"supplier “{entry['key']}”", self._supplier, entry)
        self._steps(read_seed(self.folder, "steps", "step"))
        with gathered(self.store):
            for entry in read_seed(self.folder, "needs", "need"):
                self._told(f"need “{entry['key']}”", self._need, entry)
            for entry in sorted(read_seed(self.folder, "finds", "find"), key=lambda one: text_of(one.get("on"))):
                self._told(f"find “{entry['key']}”", self._find, entry)
        entries = read_seed(self.folder, "candidates", "candidate")
        for entry in sorted(entries, key=lambda one: text_of(one.get("on"))):
            self._told(f"candidate {entry['need']} / {entry['find']}", self._candidate, entry)

    def _told(self, what: str, load: Any, entry: Plain) -> None:
        try:
            load(entry)
        except Faults as faults:
            raise BadSeed(f"seed, {what}: {faults}") from faults

    def _accounts(self) -> None:
        for entry in read_seed(self.folder, "accounts", "account"):
            given = {
                name: text_of(entry.get(name)) for name in ("sign_in", "name", "role", "licence_kind", "licence_number")
            }
            given["licence_until"] = text_of(entry.get("valid_until") or entry.get("licence_until"))
            actor = open_account(self.store, None, given, password=PASSWORD, hashed=QUICK)
            self.people[entry.get("key", actor.sign_in)] = actor
            if entry["role"] == "keeper" and self.keeper is None:
                self.keeper = actor
        if self.keeper is None:
            raise BadSeed("seed/accounts.toml names no keeper")

    def _aeroplane(self, entry: Plain) -> None:
        names = ("type", "maker", "serial", "registration", "built", "use", "authority", "note")
        given = {name: text_of(entry.get(name)) for name in names}
        given["drawing_unit"] = text_of(entry.get("drawings_unit"))
        self.numbers["aeroplane", entry["key"]] = yard.save_aeroplane(self.store, self.person(None), given)

    def _supplier(self, entry: Plain) -> None:
        self.at(entry.get("last_confirmed") or date(2026, 1, 12))
        given = {name: text_of(entry.get(name)) for name in ("name", "kind", "place", "contact", "note")}
        given["last_confirmed"] = text_of(entry.get("last_confirmed"))
        given["state"] = SUPPLIER_STATES[entry.get("status", "active")]
        self.numbers["supplier", entry["key"]] = yard.save_supplier(self.store, self.person(None), given)

    def _steps(self, entries: list[Plain]) -> None:
        after: dict[str, list[str]] = {}
        for entry in entries:
            self.numbers["step", entry["key"]] = yard.save_step(self.store, self.person(None), self._step(entry, []))
            after[entry["key"]] = entry.get("after", [])
        for entry in entries:
            before = [self.number("step", key) for key in after[entry["key"]]]
            if before:
                number = self.numbers["step", entry["key"]]
                yard.save_step(self.store, self.person(None), self._step(entry, before), number)

    def _step(self, entry: Plain, after: list[str]) -> dict[str, str | list[str]]:
        return {
            "aeroplane_id": self.number("aeroplane", entry["aeroplane"]),
            "place_in_order": text_of(entry.get("order", 0)),
            "name": entry["name"],
            "closes": text_of(entry.get("closes")),
            "due": text_of(entry.get("due")),
            "state": STEP_STATES[entry.get("state", "open")],
            "note": text_of(entry.get("note")),
            "after": after,
        }

    def _need(self, entry: Plain) -> None:
        self.at(entry.get("on", date(2026, 3, 2)), 8)
        actor = self.person(entry.get("opened_by") or entry.get("owner"))
        names = ("item", "part_class", "zone", "side", "station", "arm", "chapter", "role", "note", "ref", "text")
        given: dict[str, str | list[str]] = {name: text_of(entry.get(name)) for name in names}
        given |= {
            "aeroplane_id": self.number("aeroplane", entry["aeroplane"]),
            "step_id": self.number("step", entry.get("step")),
            "quantity_text": text_of(entry.get("quantity")),
            "still_wanted": text_of(entry.get("still_wanted")),
            "wrong": [str(word) for word in entry.get("wrong", [])],
            "touches": ", ".join(entry.get("touches", [])),
        }
        number = needs.open_need(self.store, actor, given)
        self.numbers["need", entry["key"]] = number
        for one in entry.get("designations", []):
            said = {"text": one["text"], "kind": KINDS[one["kind"]], "note": text_of(one.get("note"))}
            needs.add_designation(self.store, actor, number, {**said, "reading": READINGS[one.get("reading", "sure")]})
        for one in entry.get("requirements", []):
            needs.add_requirement(
                self.store, actor, number, {name: text_of(value) for name, value in one.items()} | {"sure": "yes"}
            )
        if entry.get("joint"):
            needs.set_joint(self.store, actor, number, joint_fields(entry["joint"]))
        for text in entry.get("tried", []):
            needs.add_enquiry(self.store, actor, number, {"kind": "TRIED", "text": text_of(text)})
        for one in entry.get("asked", []):
            asked = {
                "kind": "ASKED",
                "supplier_id": self.number("supplier", one.get("supplier")),
                "on": text_of(one.get("on")),
                "text": text_of(one.get("text")),
                "answer": text_of(one.get("answer")),
            }
            needs.add_enquiry(self.store, actor, number, asked)
        self._pictures(actor, entry, need_id=number)

    def _pictures(self, actor: Actor, entry: Plain, *, need_id: int | None = None, find_id: int | None = None) -> None:
        for said in entry.get("photos", []):
            name, caption = (said, "") if isinstance(said, str) else (said["file"], text_of(said.get("caption")))
            content = (self.folder / "pictures" / name).read_bytes()
            spoken = caption or Path(name).stem.replace("-", " ").capitalize() + " (drawn for the demonstration)"
            finds.attach(
                self.store,
                self.files,
                actor,
                photos=[(name, content)],
                need_id=need_id,
                find_id=find_id,
                caption=spoken,
            )

    def _find(self, entry: Plain) -> None:
        self.at(entry.get("on"), 11)
        actor = self.person(entry.get("logged_by"))
        names = ("text", "part_class", "origin", "condition", "smallest_lot", "lead_time", "bin", "note", "ref")
        given: dict[str, str | list[str]] = {name: text_of(entry.get(name)) for name in names}
        given |= {
            "supplier_id": self.number("supplier", entry.get("supplier")),
            "quantity_text": text_of(entry.get("quantity")),
            "price_text": text_of(entry.get("price")),
            "finish_to_come": "yes" if entry.get("finish_to_come") else "",
        }
        number = finds.log_find(self.store, self.files, actor, given)
        self.numbers["find", entry["key"]] = number
        for one in entry.get("statements", []):
            said = {name: text_of(value) for name, value in one.items()} | {"sure": "yes"}
            said["by"] = self.people[one["by"]].name if one.get("by") in self.people else text_of(one.get("by"))
            finds.add_statement(self.store, actor, number, said)
        self._measured_again(number, entry)
        for one in entry.get("evidence", []):
            finds.add_evidence(self.store, actor, number, {"kind": one["kind"], "note": text_of(one.get("note"))})
        self._pictures(actor, entry, find_id=number)

    def _measured_again(self, number: int, entry: Plain) -> None:
        """A second person went over the piece and found the same: every reading of the shop once more."""
        again = entry.get("measured_again")
        if not again:
            return
        self.at(again.get("on") or entry.get("on"), 12)
        second = self.person(again["by"])
        for one in entry.get("statements", []):
            outside = one.get("instrument") in LABORATORY or (one.get("by") and one["by"] not in self.people)
            if one["basis"] != "MEASURED" or one.get("stage") == "BEFORE" or outside:
                continue
            said = {name: text_of(value) for name, value in one.items()} | {"sure": "yes", "by": second.name}
            finds.add_statement(self.store, second, number, said | {"on": text_of(again.get("on"))})

    def _candidate(self, entry: Plain) -> None:
        self.at(entry.get("on"), 14)
        actor = self.person(entry.get("proposed_by"))
        need, find = self.numbers["need", entry["need"]], self.numbers["find", entry["find"]]
        number = candidates.propose(self.store, actor, need, find, text_of(entry.get("note")))
        judged = entry.get("authenticity")
        if judged:
            said = {"answer": ANSWERS[judged["answer"]], "reason": text_of(judged.get("reason"))}
            candidates.judge_authenticity(self.store, self.person(judged.get("by")), number, said)
        self._asked(number, entry)
        decision = entry.get("decision")
        if decision:
            self._sign(number, decision)

    def _asked(self, number: int, entry: Mapping[str, Any]) -> None:
        """Questions and answers before the decision."""
        numbers: list[int] = []
        for one in entry.get("asked", []):
            self.at(one.get("on"), 15)
            question = one.get("answers")
            given = {"text": text_of(one["text"]), "answered_to": str(numbers[question - 1]) if question else ""}
            numbers.append(remarks.add_remark(self.store, self.files, self.person(one["by"]), number, given))

    def _sign(self, number: int, decision: Mapping[str, Any]) -> None:
        self.at(decision.get("on"), 16)
        actor = self.person(decision["by"])
        shown = candidates.get_candidate(self.store, number)
        given = {
            "shown": shown.shown_digest,
            "password": PASSWORD,
            "decision": DECISIONS[decision["outcome"]],
            "reason": text_of(decision.get("reason")),
            "conditions": text_of(decision.get("conditions")),
            "used": text_of(decision.get("used")),
            "marking": text_of(decision.get("marking")),
            "reversible": text_of(decision.get("reversible")),
        }
        for key, said in decision.get("reasons", {}).items():
            given[f"reason_{key}"] = text_of(said)
        for key, said in decision.get("references", {}).items():
            given[f"reference_{key}"] = text_of(said)
        for key, said in decision.get("change", {}).items():
            given[f"change_{key}"] = text_of(said)
        signing.sign(self.store, actor, number, given)
        second = decision.get("second")
        if second:
            self._sign_second(number, decision, second)

    def _sign_second(self, number: int, decision: Mapping[str, Any], second: Mapping[str, Any]) -> None:
        self.at(second.get("on") or decision.get("on"), 17)
        given = {
            "shown": candidates.get_candidate(self.store, number).shown_digest,
            "password": PASSWORD,
            "decision": DECISIONS[decision["outcome"]],
            "reason": text_of(second.get("reason")),
        }
        signing.sign(self.store, self.person(second["by"]), number, given)


def joint_fields(joint: Mapping[str, Any]) -> dict[str, str]:
    """A joint as the form's fields."""
    given: dict[str, str] = {}
    for place, ply in enumerate(joint.get("plies", []), start=1):
        given |= {f"ply{place}_{name}": text_of(value) for name, value in ply.items()}
    for name in ("hole", "hole_uncertainty", "edge_distance", "pitch", "seat_angle", "access"):
        given[name] = text_of(joint.get(name))
    for name in ("known_from", "reference", "instrument"):
        given[f"joint_{name}"] = text_of(joint.get(name))
    return given


def load_seed(store: Store, files: Files, folder: Path = SEED) -> Loader:
    """Load the demonstration into an empty register. Raises BadSeed, naming the entry that does not go in."""
    with store.write() as session:
        loader = Loader(Held(store, session), files, folder)
        loader.load()
    return loader
