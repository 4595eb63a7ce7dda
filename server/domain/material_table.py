"""The handbook's lines: one for each alloy, temper and form, with what the figures are and who says so.

A figure knows its class: a design minimum is not a typical value, and what a
separately cast test bar bears is not what the casting bears. Figures are exact
fractions in MPa, g/cm³, GPa and mm.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cache

from server.domain.quantities import UNITS
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table


class ValueClass(StrEnum):
    """What kind of figure a line holds; decides what it may be compared with."""

    DESIGN_MINIMUM = "design minimum"
    SPECIFICATION_MINIMUM = "specification minimum"
    TYPICAL = "typical"
    IN_THE_CASTING = "casting, in the part"
    TEST_BAR = "casting test bar"
    WOOD = "wood design value"
    MEMORY = "memory, do not decide on it"
    NONE = "not comparable"

    @property
    def is_minimum(self) -> bool:
        """True for figures that every good piece reaches."""
        return self in {ValueClass.DESIGN_MINIMUM, ValueClass.SPECIFICATION_MINIMUM}


_STANDING = {
    "digitised copy": Standing.SEEN,
    "mirror of the text": Standing.SEEN,
    "text page seen": Standing.SEEN,
    "quoted page": Standing.QUOTED,
    "derived": Standing.DERIVED,
    "common practice": Standing.COMMON_PRACTICE,
    "memory, unverified": Standing.MEMORY,
}


def standing_of(status: str) -> Standing:
    """How a source was seen, from the table's own words; anything unclear counts as memory."""
    return _STANDING.get(status, Standing.MEMORY)


def source_of(text: str, status: str) -> Source:
    """A table's source cell as a source; a copied-out table is named as one."""
    place = "digitised copy of its tables" if status == "digitised copy" else ""
    return Source(text.split("; IACS", maxsplit=1)[0], place, standing=standing_of(status))


@dataclass(frozen=True, slots=True)
class Properties:
    """One line of the table. A figure that nobody printed is None, never zero.

    Strengths in MPa, `modulus_gpa` in GPa, `density` in g/cm³, `elongation`
    and `iacs` in percent, `size_low` and `size_high` in mm. `memory_cells`
    names figures that are from memory though the rest of the line is not.
    """

    key: str
    family: str
    alloy: str
    is_clad: bool
    tempers: tuple[str, ...]
    forms: frozenset[str]
    said: str
    size_low: Fraction | None
    size_high: Fraction | None
    density: Fraction | None
    uts: Fraction | None
    yield_: Fraction | None
    shear: Fraction | None
    bearing: Fraction | None
    bearing_yield: Fraction | None
    elongation: Fraction | None
    modulus_gpa: Fraction | None
    iacs: Fraction | None
    max_service_c: Fraction | None
    width_strength_kn_m: Fraction | None
    width_strength_worn_kn_m: Fraction | None
    value_class: ValueClass
    basis: str
    direction: str
    source: Source
    memory_cells: frozenset[str]
    notes: str

    @property
    def is_memory(self) -> bool:
        """True where the whole line may only inform."""
        return self.value_class is ValueClass.MEMORY

    def holds_at(self, size: Fraction | None) -> bool:
        """Is this thickness or diameter, in mm, within the line's range? True where either is not known."""
        if size is None:
            return True
        return (self.size_low is None or size >= self.size_low) and (self.size_high is None or size <= self.size_high)


def _number(text: str) -> Fraction | None:
    return Fraction(text) if text else None


def _in(text: str, unit: str) -> Fraction | None:
    number = _number(text)
    if number is None:
        return None
    if unit == "Msi":
        return UNITS["ksi"].to_base(number * 1000) / 1000
    if unit == "GPa":
        return number
    return UNITS[unit].to_base(number)


def _properties(row: dict[str, str]) -> Properties:
    stress = row["stress_unit"]
    form = row["form"]
    size = row["thickness_or_size"]
    named = (row["alloy"], "clad" if row["clad"] else "", row["temper_as_printed"], form, size)
    return Properties(
        key=row["key"],
        family=row["family"],
        alloy=row["alloy"],
        is_clad=row["clad"] == "yes",
        tempers=tuple(part for part in row["tempers"].split(";") if part),
        forms=frozenset(row["forms"].split(";")),
        said=", ".join(part for part in named if part),
        size_low=_number(row["size_low_mm"]),
        size_high=_number(row["size_high_mm"]),
        density=_in(row["density"], row["density_unit"]),
        uts=_in(row["uts"], stress),
        yield_=_in(row["yield"], stress),
        shear=_in(row["shear_ult"], stress),
        bearing=_in(row["bearing_ult_eD2"], stress),
        bearing_yield=_in(row["bearing_yield_eD2"], stress),
        elongation=_number(row["elongation_pct"]),
        modulus_gpa=_in(row["modulus"], row["modulus_unit"]),
        iacs=_number(row["iacs_pct"]),
        max_service_c=_number(row["max_service_c"]),
        width_strength_kn_m=_number(row["width_strength_kn_m"]),
        width_strength_worn_kn_m=_number(row["width_strength_worn_min_kn_m"]),
        value_class=ValueClass(row["value_class"]),
        basis=row["basis"],
        direction=row["direction"],
        source=source_of(row["source"], row["source_status"]),
        memory_cells=frozenset(row["memory_cells"].split(";")) - {""},
        notes=row["notes"],
    )


@cache
def all_properties() -> dict[str, Properties]:
    """Every line of the table by its key."""
    return {row["key"]: _properties(row) for row in read_table("materials")}


@cache
def _lines_by_alloy() -> dict[str, tuple[Properties, ...]]:
    lines: dict[str, list[Properties]] = {}
    for one in all_properties().values():
        lines.setdefault(one.alloy, []).append(one)
    return {alloy: tuple(every) for alloy, every in lines.items()}


def properties(key: str) -> Properties:
    """The line of this key. Raises KeyError for one that does not exist."""
    return all_properties()[key]


def lines_for(
    alloy: str,
    temper: str = "",
    form: str = "",
    size: Fraction | None = None,
    *,
    is_clad: bool | None = None,
    more: tuple[Properties, ...] = (),
) -> tuple[Properties, ...]:
    """Lines of this alloy and temper that hold for a form and a size in mm; empty where there is none.

    An empty temper takes lines that have none to tell apart, never a guess
    among tempers. A form without a line of its own falls back to nothing:
    a bar's figure is not a sheet's. `more` are a shop's own lines beside the
    shipped ones.
    """
    found = [
        one
        for one in (*_lines_by_alloy().get(alloy, ()), *(line for line in more if line.alloy == alloy))
        if (temper in one.tempers or not one.tempers or one.tempers == ("any",))
        and (not form or form in one.forms or "any" in one.forms)
        and one.holds_at(size)
        and (is_clad is None or one.is_clad == is_clad)
    ]
    return tuple(found)


def known_alloys() -> frozenset[str]:
    """All alloys that have a line."""
    return frozenset(one.alloy for one in all_properties().values())
