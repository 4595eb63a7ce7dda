"""The shipped tables for reading: every row with its figures, its source, and how far that may be leaned on.

Nothing is stored: the rows are the ones the check itself reads.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from server.domain.errors import NotFound
from server.domain.material_table import standing_of
from server.domain.material_words import fold_material
from server.domain.sources import SHAKY, Standing
from server.domain.tables.read import read_notes, read_table

PAGE = 25


@dataclass(frozen=True, slots=True)
class ShippedRow:
    """One row: its number in the table, what it is about, its figures as (name, value), and its source.

    `how_seen` is what the table itself says of its source; `standing` the cautious reading of it.
    """

    table: str
    number: int
    title: str
    said: tuple[tuple[str, str], ...]
    source: str
    how_seen: str
    standing: Standing

    @property
    def is_shaky(self) -> bool:
        """True where the row informs and proves nothing by itself."""
        return self.standing in SHAKY

    @property
    def url(self) -> str:
        """Where this row can be linked to."""
        return f"/handbook/{self.table}/{self.number}"


@dataclass(frozen=True, slots=True)
class ShippedTable:
    """One table: its key in the address, its name, the columns that name a row, and where its source stands.

    `source` and `standing` hold for rows that name none of their own.
    """

    key: str
    file: str
    name: str
    heads: tuple[str, ...]
    sources: tuple[str, ...] = ("source",)
    seen: tuple[str, ...] = ()
    source: str = ""
    standing: Standing = Standing.SEEN
    hidden: tuple[str, ...] = ()

    @property
    def notes(self) -> str:
        """What stands at the table's head."""
        return read_notes(self.file)

    @property
    def count(self) -> int:
        """How many rows it has."""
        return len(read_table(self.file))


_STATUS = ("source_status",)
_CHECKED = ("verification",)
_SOURCE_STATUS_HIDDEN = ("key", "forms", "size_low_mm", "size_high_mm", "tempers", "stress_unit", "density_unit")
_TABLES = (
    ShippedTable(
        "materials", "materials", "Materials: strength and weight", ("alloy", "clad", "temper_as_printed", "form"),
        seen=_STATUS, hidden=(*_SOURCE_STATUS_HIDDEN, "modulus_unit"),
    ),
    ShippedTable("designations", "material_designations", "Designations of materials", ("alias",), seen=_STATUS),
    ShippedTable(
        "families", "material_families", "Families of materials", ("name",), (),
        source="usage of the trade; dictionaries", standing=Standing.COMMON_PRACTICE, hidden=("key",),
    ),
    ShippedTable("tempers", "old_tempers", "Old temper letters", ("alloy", "suffix"), seen=_STATUS),
    ShippedTable("stand-ins", "material_stand_ins", "Named stand-ins", ("original", "candidate"), seen=_STATUS),
    ShippedTable("galvanic", "galvanic", "Metals in contact", ("scheme", "group_or_metal"), seen=_STATUS),
    ShippedTable(
        "surfaces", "galvanic_surfaces", "Surfaces in the couple tables", ("name",), (),
        source="this register's reading of the couple tables", standing=Standing.DERIVED, hidden=("key",),
    ),
    ShippedTable("hazards", "hazards", "Materials that hurt", ("name",), seen=_STATUS, hidden=("key",)),
    ShippedTable("bends", "bend_radii", "Bend radii of sheet", ("alloy_temper", "thickness_in")),
    ShippedTable("gauges", "gauges", "Sheet and wire gauges", ("system", "gauge")),
    ShippedTable("fits", "fits", "Limits and fits", ("kind", "symbol", "over_mm", "to_mm")),
    ShippedTable("threads", "threads", "Screw threads", ("family", "designation")),
    ShippedTable(
        "lookalikes", "thread_lookalikes", "Threads that look alike", ("a", "b"), (),
        source="computed from the sizes; remarks: usage of the trade", standing=Standing.DERIVED,
    ),
    ShippedTable(
        "an-bolts", "an_bolts", "Bolts of the AN series", ("bolt",), (),
        source="AN3 to AN6 grip and length table, as reproduced in a kit builder's manual", standing=Standing.QUOTED,
    ),
    ShippedTable(
        "rivet-alloys", "rivets_alloys", "Rivet alloys", ("designation", "code"), ("fsu_source",), ("fsu_status",),
        source="NAVEDTRA 14315 Table 3-1 for the head marks", hidden=("key",),
    ),
    ShippedTable(
        "rivet-heads", "rivets_heads", "Rivet heads", ("standard", "head", "d_frac_in"), ("source", "place"),
        ("status",),
    ),
    ShippedTable(
        "solid-rivets", "rivets_solid", "Solid rivets: holes and driven heads", ("d_frac_in",), ("hole_source",),
        ("hole_status",), hidden=("dash_32nds",),
    ),
    ShippedTable("metric-rivets", "rivets_metric", "Metric rivets", ("standard", "head", "d_mm"), seen=("status",)),
    ShippedTable("semi-tubular-rivets", "rivets_semi_tubular", "Semi-tubular rivets", ("vendor", "head", "d_frac_in"),
                 seen=("status",)),
    ShippedTable("blind-rivets", "rivets_blind", "Blind rivets", ("code",), (),
                 source="US Army TM 10-5410-221-14-1, Table 4-3"),
    ShippedTable("splices", "rivets_splice", "Rivets in a sheet splice", ("table", "t_in", "d_frac_in"), (),
                 source="FAA AC 43.13-1B (8 Sep 1998), Tables 4-9 to 4-11, as publicly transcribed"),
    ShippedTable("cables", "cables", "Control cable", ("diameter_in", "construction"), (),
                 source="AC 43.13-1B (8 Sep 1998), Table 7-3"),
    ShippedTable("wire", "wire", "Electric wire", ("system", "size", "construction"), seen=_CHECKED),
    ShippedTable("sleeving", "sleeving", "Sleeving and braid", ("kind", "series", "size_label"), seen=_CHECKED),
    ShippedTable("conduit", "conduit", "Conduit", ("kind", "series", "size_label"), seen=_CHECKED),
    ShippedTable("lamps", "lamps", "Lamps and their bases", ("record", "code"), seen=_CHECKED),
)  # fmt: skip


def shipped_tables() -> tuple[ShippedTable, ...]:
    """Every table that can be read."""
    return _TABLES


def shipped_table(key: str) -> ShippedTable:
    """The table of this key. Raises NotFound."""
    found = next((one for one in _TABLES if one.key == key), None)
    if found is None:
        raise NotFound(f"There is no table “{key}” in the handbook.")
    return found


@cache
def rows_of(key: str) -> tuple[ShippedRow, ...]:
    """Every row of a table, in the order it was printed. Raises NotFound."""
    table = shipped_table(key)
    return tuple(_row(table, number, row) for number, row in enumerate(read_table(table.file), start=1))


def row_of(key: str, number: int) -> ShippedRow:
    """One row by its number in the table. Raises NotFound."""
    rows = rows_of(key)
    if not 1 <= number <= len(rows):
        raise NotFound("There is no such row in this table.")
    return rows[number - 1]


def row_of_material(key: str) -> ShippedRow | None:
    """The row behind a line of figures by the line's own key; None for a shop's line."""
    for number, row in enumerate(read_table("materials"), start=1):
        if row["key"] == key:
            return row_of("materials", number)
    return None


def row_of_name(alias: str, alloy: str) -> ShippedRow | None:
    """The row behind a listed name; None where the list has none such."""
    for number, row in enumerate(read_table("material_designations"), start=1):
        if (row["alias"], row["alloy"]) == (alias, alloy):
            return row_of("designations", number)
    return None


def find_rows(key: str, words: str, *, shaky_only: bool = False) -> list[ShippedRow]:
    """The rows in which every one of these words stands; all of them for no words. Raises NotFound."""
    wanted = fold_material(words).split()
    return [
        one
        for one in rows_of(key)
        if (one.is_shaky or not shaky_only) and all(word in _folded(key, one.number) for word in wanted)
    ]


@cache
def _folded(key: str, number: int) -> str:
    one = row_of(key, number)
    said = " ".join(f"{name} {value}" for name, value in one.said)
    return fold_material(f"{one.title} {said} {one.source} {one.how_seen}")


# ---- one row ----


def _row(table: ShippedTable, number: int, row: dict[str, str]) -> ShippedRow:
    title = " ".join(_head(name, row[name]) for name in table.heads if row[name])
    source = ", ".join(row[name] for name in table.sources if row[name]) or table.source
    how_seen = "; ".join(row[name] for name in table.seen if row[name])
    left_out = {*table.heads, *table.sources, *table.seen, *table.hidden}
    said = tuple((_label(name), _value(name, row)) for name in row if row[name] and name not in left_out)
    return ShippedRow(
        table.key, number, title or f"row {number}", said, source, how_seen, _standing(table, source, how_seen)
    )


def _head(name: str, value: str) -> str:
    if name == "clad":
        return "clad"
    unit = next((f" {unit}" for ending, unit in _UNITS if name.endswith(ending)), "")
    return f"{value}{unit}".replace("_", " ")


_DOUBTFUL = (
    (Standing.MEMORY, re.compile(r"memory|unverified|suspect|forum")),
    (Standing.COMMON_PRACTICE, re.compile(r"common practice|shop practice|trade usage|usage of the trade")),
    (Standing.QUOTED, re.compile(r"quot|not seen|summari|wikipedia|encyclop|published|reproduced|as held")),
    (Standing.DERIVED, re.compile(r"computed|derived|arithmetic|by rule|inferred|nominal")),
)  # fmt: skip
"""Tried in order: the weakest word said of how a source was seen counts."""


def _standing(table: ShippedTable, source: str, how_seen: str) -> Standing:
    if table.seen == _STATUS:
        return standing_of(how_seen)
    said = (how_seen or source).casefold()
    for standing, pattern in _DOUBTFUL:
        if pattern.search(said):
            return standing
    return table.standing


_LABELS = {
    "uts": "ultimate tension",
    "yield": "yield",
    "shear_ult": "ultimate shear",
    "bearing_ult_eD2": "ultimate bearing, e/D 2.0",
    "bearing_yield_eD2": "bearing yield, e/D 2.0",
    "elongation_pct": "elongation, %",
    "iacs_pct": "conductivity, % IACS",
    "max_service_c": "highest service, °C",
    "melting_c": "melts at, °C",
    "thickness_or_size": "size",
    "group_419A": "group, 419A",
    "t_in": "sheet, in",
    "d_frac_in": "diameter, in",
    "fsu_ksi": "ultimate shear, ksi",
}
_UNITS = (
    ("_kn_m", "kN/m"),
    ("_per_inch", "per inch"),
    ("_mm2", "mm²"),
    ("_mm", "mm"),
    ("_in", "in"),
    ("_um", "µm"),
    ("_lbf", "lbf"),
    ("_ksi", "ksi"),
    ("_deg", "°"),
    ("_cmil", "cmil"),
)
_WITH_UNIT = dict.fromkeys(("uts", "yield", "shear_ult", "bearing_ult_eD2", "bearing_yield_eD2"), "stress_unit") | {
    "density": "density_unit",
    "modulus": "modulus_unit",
}


def _label(name: str) -> str:
    if name in _LABELS:
        return _LABELS[name]
    for ending, unit in _UNITS:
        if name.endswith(ending):
            return f"{name.removesuffix(ending).replace('_', ' ')}, {unit}"
    return name.replace("_", " ")


def _value(name: str, row: dict[str, str]) -> str:
    value, unit = row[name], row.get(_WITH_UNIT.get(name, ""), "")
    if ";" in value and name in {"words", "members_or_rule", "index_rows"}:
        value = "; ".join(part.strip() for part in value.split(";"))
    return f"{value} {unit}" if unit else value


def shaky_count(key: str) -> int:
    """How many rows of a table inform only."""
    return sum(1 for one in rows_of(key) if one.is_shaky)


def tables_and_counts() -> Iterator[tuple[ShippedTable, int]]:
    """Every table with the number of its rows that inform only."""
    return ((one, shaky_count(one.key)) for one in _TABLES)
