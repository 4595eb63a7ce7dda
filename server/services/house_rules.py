"""The shop's own rules: the register's name, and the table of what counts, tightened where the shop wants it."""

from collections.abc import Mapping
from dataclasses import dataclass
from zoneinfo import ZoneInfo, available_timezones

from server.domain.errors import Faults
from server.domain.register import Actor, UserRole
from server.domain.specification import Role, Use, Weight
from server.domain.strictness import SHIPPED, Cell, loosened
from server.domain.verdict import Concern
from server.services.candidates import strictness_of
from server.services.clocks import DEFAULT_ZONE, zone_of
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage.engine import Store
from server.storage.log import read_setting, write_log, write_setting

DEFAULT_NAME = "Makegood"
LONGEST_NAME = 60


@dataclass(frozen=True, slots=True)
class CountingCell:
    """One cell of the table: how a concern counts for a role on an aeroplane of this use."""

    use: Use
    role: Role
    concern: Concern
    shipped: Weight
    weight: Weight

    @property
    def name(self) -> str:
        """The cell's name in a form."""
        return cell_name((self.use, self.role, self.concern))

    @property
    def is_tightened(self) -> bool:
        """The shop has set it stricter than it came."""
        return self.weight is not self.shipped

    @property
    def choices(self) -> tuple[Weight, ...]:
        """What it may be set to: as it came, or stricter."""
        return tuple(one for one in Weight if one.rank <= self.shipped.rank)


def cell_name(cell: Cell) -> str:
    """The name of a cell in a form: "counts_permit_primary_strength"."""
    return "_".join(("counts", *(one.name.casefold() for one in cell)))


@dataclass(frozen=True, slots=True)
class Shop:
    """What every page and sheet says of the register: its name, whether it is invented, and by which clocks."""

    name: str
    is_demo: bool
    zone: ZoneInfo


def shop_of(store: Store) -> Shop:
    """The register's name, whether it is a demonstration, and its zone."""
    with store.read() as session:
        return Shop(
            name=str(read_setting(session, "name", DEFAULT_NAME)),
            is_demo=bool(read_setting(session, "is_demo", False)),
            zone=zone_of(session),
        )


def set_zone(store: Store, actor: Actor, given: Given) -> None:
    """Set the zone whose clocks times are shown by; records keep UTC. Raises Faults, NotAllowed."""
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    zone = typed.text("zone", "Zone", most=60, required=True)
    if zone and zone not in available_timezones():
        typed.fault("zone", f"There is no zone “{zone}”. Choose one from the list, such as Europe/Lisbon or UTC.")
    typed.done()
    with store.write() as session:
        if read_setting(session, "zone", DEFAULT_ZONE) != zone:
            write_setting(session, "zone", zone)
            write_log(session, store.clock(), actor, f"set the clocks to {zone}", "setting/zone")


def counting_table(store: Store) -> list[CountingCell]:
    """Every cell of the table as it counts here, in order of use, role and concern."""
    with store.read() as session:
        tightened = strictness_of(session).tightened
    return [CountingCell(*cell, shipped, tightened.get(cell, shipped)) for cell, shipped in SHIPPED.items()]


def rename_register(store: Store, actor: Actor, given: Given) -> None:
    """Give the register another name. Raises Faults, NotAllowed."""
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    name = typed.text("name", "Name", most=LONGEST_NAME, required=True)
    typed.done()
    with store.write() as session:
        was = str(read_setting(session, "name", DEFAULT_NAME))
        if was == name:
            return
        write_setting(session, "name", name)
        said = {"changes": {"name": [was, name]}}
        write_log(session, store.clock(), actor, "renamed the register", "setting/name", said)


def tighten(store: Store, actor: Actor, given: Given) -> int:
    """Set what counts, cell by cell, with a reason; how many cells changed.

    A cell may be set stricter than it came and back to how it came, never looser: such a form is
    refused whole. Cells that are not in the form stay as they are. Raises Faults, NotAllowed.
    """
    require(actor, UserRole.KEEPER)
    typed = Typed(given)
    asked: dict[Cell, Weight] = {}
    for cell in SHIPPED:
        weight = typed.word(cell_name(cell), Weight, _words(cell))
        if weight is not None:
            asked[cell] = weight
    for cell in loosened(asked):
        typed.fault(
            cell_name(cell),
            f"{_words(cell)}: “{asked[cell]}” is looser than “{SHIPPED[cell]}”; the table is only ever tightened.",
        )
    reason = typed.text("reason", "The reason", most=NOTE)
    typed.done()
    now = store.clock()
    with store.write() as session:
        before = dict(strictness_of(session).tightened)
        changed = {
            cell: (was, weight) for cell, weight in asked.items() if (was := before.get(cell, SHIPPED[cell])) != weight
        }
        if not changed:
            return 0
        if not reason:
            raise Faults({"reason": "Give the reason: who signs will want to know why it counts more here."})
        after = {**before, **asked}
        write_setting(session, "tightened", _plain({c: w for c, w in after.items() if w is not SHIPPED[c]}))
        for cell, (was, weight) in changed.items():
            said = {"changes": {_words(cell): [was, weight]}, "reason": reason}
            write_log(session, now, actor, "changed what counts", "setting/tightened", said)
        return len(changed)


def _words(cell: Cell) -> str:
    use, role, concern = cell
    return f"{concern.value.capitalize()} of {role.value}, {use.value}"


def _plain(tightened: Mapping[Cell, Weight]) -> list[dict[str, str]]:
    return [
        {"use": use.value, "role": role.value, "concern": concern.value, "weight": weight.value}
        for (use, role, concern), weight in tightened.items()
    ]
