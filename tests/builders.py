"""Small registers for the tests: people, an aeroplane, a need, a find. Everything in them is invented."""

from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from argon2 import PasswordHasher

from server.domain.register import Actor
from server.services import candidates, finds, needs, signing, yard
from server.storage.accounts import actor_of
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.tables import AccountRow

PASSWORD = "a long enough word"
CHANGE = {
    "change_kind": "another part or material",
    "change_critical": "no",
    "change_data": "Sample kept in the shop, drawer 4",
    "change_authority": "need not be asked",
    "change_authority_said": "The permit engineer left furnishing to the shop.",
}
"""What a signer answers about the kind of change, where it is a plain one."""
PAPER = "Drawing X 1, issue 2"
LOOKED_AT = "Looked at by two of us; it carries no load there."


def sign_form(store: Store, number: int, answer: str = LOOKED_AT, **more: str) -> dict[str, str]:
    """A complete form to approve a candidate: what is shown now, every row answered with `answer`."""
    shown = candidates.get_candidate(store, number)
    given = {
        "decision": "approved with conditions",
        "conditions": "for display only",
        "shown": shown.shown_digest,
        "password": PASSWORD,
        **CHANGE,
    }
    for row in shown.sheet.to_answer:
        given |= {signing.reason_field(row): answer, signing.reference_field(row): PAPER}
    return given | more


@cache
def quick_hash(password: str) -> str:
    """One quick hash for all accounts of the tests: the register's own are slow on purpose, at every check."""
    return PasswordHasher(time_cost=1, memory_cost=8, parallelism=1).hash(password)


def account(store: Store, sign_in: str, role: str, **licence: Any) -> Actor:
    """An account with the tests' password."""
    with store.write() as session:
        row = AccountRow(
            sign_in=sign_in,
            name=sign_in.capitalize(),
            role=role,
            password_hash=quick_hash(PASSWORD),
            created_at=store.clock(),
            **licence,
        )
        session.add(row)
        session.flush()
        return actor_of(row)


@dataclass(frozen=True)
class Shop:
    """A small shop: its people, its aeroplane, and one step of assembly."""

    store: Store
    files: Files
    keeper: Actor
    restorer: Actor
    approver: Actor
    viewer: Actor
    aeroplane: int
    step: int

    def need(self, **given: str | list[str]) -> int:
        """Open a need: a tubular rivet of the door lining, unless told otherwise."""
        fields: dict[str, str | list[str]] = {
            "item": "Rivet, tubular: door lining rail",
            "part_class": "tubular_rivet",
            "aeroplane_id": str(self.aeroplane),
            "zone": "cabin",
            "side": "left",
            "quantity_text": "40 off",
            "role": "furnishing",
            "step_id": str(self.step),
        }
        return needs.open_need(self.store, self.restorer, fields | given)

    def require(self, need: int, characteristic: str, text: str, **more: str) -> None:
        """Add what the drawing says."""
        given = {
            "characteristic": characteristic,
            "text": text,
            "form": "limits",
            "layer": "as designed",
            "known_from": "drawing",
            "reference": "drawing 41-207",
        }
        needs.add_requirement(self.store, self.restorer, need, given | more)

    def find(self, text: str = "brass tubular rivets, 3 mm, bag of 50", **given: str | list[str]) -> int:
        """Log a find."""
        fields: dict[str, str | list[str]] = {"text": text, "part_class": "tubular_rivet", "quantity_text": "50 off"}
        return finds.log_find(self.store, self.files, self.restorer, fields | given)

    def measure(self, find: int, characteristic: str, text: str, **more: str) -> None:
        """Enter a reading of ours."""
        given = {"characteristic": characteristic, "text": text, "basis": "measured", "stage": "bare, will stay so"}
        finds.add_statement(self.store, self.restorer, find, given | more)

    def propose(self, need: int, find: int) -> int:
        """Propose the find for the need."""
        return candidates.propose(self.store, self.restorer, need, find)


def shop(store: Store, files: Files, use: str = "static display") -> Shop:
    """A shop with four people; the approver's licence is valid to the end of 2027."""
    keeper = account(store, "keeper", "keeper")
    made = Shop(
        store=store,
        files=files,
        keeper=keeper,
        restorer=account(store, "rosa", "restorer"),
        approver=account(
            store, "alma", "approver", licence_kind="Inspector", licence_number="I-7", licence_until=_end(store)
        ),
        viewer=account(store, "vic", "viewer"),
        aeroplane=yard.save_aeroplane(
            store, keeper, {"type": "Plover 2", "serial": "14", "registration": "QX-PLV", "use": use}
        ),
        step=0,
    )
    step = yard.save_step(
        store, made.restorer, {"aeroplane_id": str(made.aeroplane), "name": "Hang the door", "due": "2026-12-09"}
    )
    return Shop(**{**made.__dict__, "step": step})


def _end(store: Store) -> date:
    return store.clock().date().replace(year=2027, month=12, day=31)
