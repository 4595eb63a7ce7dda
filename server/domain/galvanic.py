"""Metals in contact: does the find eat its neighbour, or the neighbour the find?

The surfaces that touch are judged: a plated part by its plating, chromate and
phosphate ignored, hard anodising as an insulator (MIL-DTL-14072F, 3.13). Two
group schemes come first; the index and the sea-water chart are quoted, partly
from memory, and are shown beside them. Where they disagree all are shown and
a person decides.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from server.domain.designations import resolve
from server.domain.material_meaning import Resolution
from server.domain.material_table import source_of
from server.domain.material_words import finish_in, fold_material
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table

COUPLE_RULE = Source("MIL-DTL-14072F", "para 3.13")
GROUP_419A = Source("MIL-HDBK-419A", "vol. II Table 1-24")
GROUP_5 = Source("airframe design textbook of 1988, five groups", standing=Standing.QUOTED)
INDEX = Source("anodic index after MIL-F-14072", "cadmium, zinc and castings from memory", standing=Standing.QUOTED)
SEA_CHART = Source("marine corrosion chart, Ag/AgCl", standing=Standing.QUOTED)
AREA_RULE = Source("MIL-STD-1250A", "para 5.7")
JOINT_RULE = Source("airframe training page after the FAA airframe handbook", standing=Standing.QUOTED)

HARSH, NORMAL, CONTROLLED = Fraction("0.15"), Fraction("0.25"), Fraction("0.50")
"""Largest index difference for bare contact, V: outdoors, ordinary store, controlled air. An aeroplane is outdoors."""


@dataclass(frozen=True, slots=True)
class Surface:
    """A metal surface: its place in each scheme; empty where a scheme is silent about it.

    `index` in V (the two ends where sources or lines differ), `sea_mv` likewise in mV.
    """

    key: str
    name: str
    group5: str
    group419: str
    index: tuple[Fraction, Fraction] | None
    sea_mv: tuple[Fraction, Fraction] | None

    @property
    def insulates(self) -> bool:
        """True for hard anodising: any metal may touch it."""
        return self.key == "hard anodised"


_CADMIUM_OTHER_PAGE = Fraction("0.80")
"""Another page prints cadmium as 0.80 V where the table from memory has 0.95: both are kept."""

_HARD_ANODISED = Surface("hard anodised", "hard anodised aluminium", "", "", None, None)


@cache
def surfaces() -> dict[str, Surface]:
    """All surfaces by key."""
    figures = {
        (row["scheme"], row["group_or_metal"]): Fraction(row["value"])
        for row in read_table("galvanic")
        if row["scheme"] in {"anodic_index", "seawater_potential"}
    }

    def ends(scheme: str, names: str, *more: Fraction) -> tuple[Fraction, Fraction] | None:
        found = [figures[scheme, name] for name in names.split("|") if name] + list(more)
        return (min(found), max(found)) if found else None

    made = {}
    for row in read_table("galvanic_surfaces"):
        other = (_CADMIUM_OTHER_PAGE,) if row["key"] == "cadmium" else ()
        made[row["key"]] = Surface(
            row["key"],
            row["name"],
            row["group5"],
            row["group_419A"],
            ends("anodic_index", row["index_rows"], *other),
            ends("seawater_potential", row["sea_rows"]),
        )
    return made | {_HARD_ANODISED.key: _HARD_ANODISED}


def surface_of(resolution: Resolution, finish: str = "") -> Surface | None:
    """The surface that touches: the plating where there is one, else the metal.

    None for what conducts nothing, or where the metal is not settled.
    """
    plating = finish_in(fold_material(finish))[0] or resolution.finish
    if plating == "anodised":
        plating = ""
    if plating:
        return surfaces().get(plating)
    keys = {one.galvanic for one in resolution.families}
    if len(keys) != 1:
        return None
    key = keys.pop()
    if key == "aluminium" and resolution.alloy.startswith("2") and len(resolution.alloy) == 4:
        key = "aluminium-copper"
    return surfaces().get(key)


def surface_named(text: str, finish: str = "") -> Surface | None:
    """The surface of what a text names ("cadmium-plated steel"); None where it is no metal or not known."""
    return surface_of(resolve(text), finish)


@dataclass(frozen=True, slots=True)
class Couple:
    """Two surfaces in contact: what each scheme says.

    `same_419` and `same_5` are None where that scheme is silent. `volts` and
    `millivolts` are the smallest and largest difference that the sources allow.
    """

    one: Surface
    other: Surface
    same_5: bool | None
    same_419: bool | None
    volts: tuple[Fraction, Fraction] | None
    millivolts: tuple[Fraction, Fraction] | None

    @property
    def is_insulated(self) -> bool:
        """True where one of the two does not conduct."""
        return self.one.insulates or self.other.insulates

    @property
    def is_similar(self) -> bool | None:
        """Do the groups call the two similar? False where either says they differ, None where both are silent."""
        if self.one.key == self.other.key:
            return True
        said = [one for one in (self.same_419, self.same_5) if one is not None]
        return all(said) if said else None

    @property
    def disagrees(self) -> bool:
        """True where the groups call two metals similar and the index or the chart may not."""
        if not self.is_similar or self.one.key == self.other.key:
            return False
        over = self.volts is not None and self.volts[1] > HARSH
        return over or (self.millivolts is not None and self.millivolts[1] > 200)

    @property
    def eaten(self) -> Surface | None:
        """The one that corrodes: the clearly higher index, else the lower group; None where it can't be told."""
        if self.one.index and self.other.index:
            for first, second in ((self.one, self.other), (self.other, self.one)):
                if first.index and second.index and first.index[0] > second.index[1]:
                    return first
        order = ["I", "II", "III", "IV", "V"]
        if self.same_5 is False:
            return min((self.one, self.other), key=lambda surface: order.index(surface.group5))
        return None

    @property
    def has_magnesium(self) -> bool:
        """Magnesium in a joint asks for full insulation."""
        return "magnesium" in {self.one.key, self.other.key}


@lru_cache(maxsize=1024)
def couple(one: Surface, other: Surface) -> Couple:
    """What the schemes say of two surfaces in contact."""
    return Couple(
        one,
        other,
        _same(one.group5, other.group5),
        _same(one.group419, other.group419),
        _apart(one.index, other.index),
        _apart(one.sea_mv, other.sea_mv),
    )


def _same(a: str, b: str) -> bool | None:
    return a == b if a and b else None


def _apart(
    a: tuple[Fraction, Fraction] | None, b: tuple[Fraction, Fraction] | None
) -> tuple[Fraction, Fraction] | None:
    if a is None or b is None:
        return None
    least = max(Fraction(0), max(a[0], b[0]) - min(a[1], b[1]))
    return least, max(abs(a[1] - b[0]), abs(b[1] - a[0]))


def protection(pair: Couple) -> str:
    """How such a joint is kept apart, in words; the page that says so is JOINT_RULE."""
    if pair.has_magnesium:
        return (
            "Keep the two fully apart: two coats of primer on each face, vinyl tape of 0.08 mm between, sealed edges,"
            " and a way for water to drain; where parts move on each other or run hot, three coats of primer, no tape."
        )
    return (
        "Keep the two apart: primer on both faces, at least two coats more than usual and dry between, or sealant;"
        " fasteners go in wet."
    )


def said_of(pair: Couple) -> str:
    """What each scheme says, every one with its figure."""
    parts = []
    if pair.is_insulated:
        return "hard anodising insulates: any metal may touch it"
    if pair.one.key == pair.other.key:
        return "the same metal on both sides"
    if pair.same_419 is not None or pair.same_5 is not None:
        parts.append("the groups count them as similar" if pair.is_similar else "the groups count them as different")
    if pair.volts is not None:
        low, high = (f"{float(side):.2f}" for side in pair.volts)
        spread = f"{high} V apart" if low == high else f"{low} to {high} V apart, by which source one takes"
        parts.append(f"the index puts them {spread} (outdoors at most {float(HARSH):.2f} V)")
    if pair.millivolts is not None:
        parts.append(f"the sea-water chart at most {float(pair.millivolts[1]):.0f} mV apart (200 mV is its limit)")
    return "; ".join(parts) or "no table here compares them"


def sources_of(pair: Couple) -> tuple[Source, ...]:
    """The sources that spoke about this pair."""
    spoke = [(COUPLE_RULE, True), (GROUP_419A, pair.same_419 is not None), (GROUP_5, pair.same_5 is not None)]
    spoke += [(INDEX, pair.volts is not None), (SEA_CHART, pair.millivolts is not None)]
    return tuple(source for source, did in spoke if did)


def rules() -> tuple[tuple[str, Source], ...]:
    """The couple and joint rules of the table, as text with source."""
    return tuple(
        (row["members_or_rule"], source_of(row["source"], row["source_status"]))
        for row in read_table("galvanic")
        if row["scheme"] in {"couple_rule", "joint_protection"}
    )
