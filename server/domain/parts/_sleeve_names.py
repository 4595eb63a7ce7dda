"""What the names of sleeving sizes mean: gauge numbers, metric bores, heat-shrink inches, flat widths.

A gauge number names the BARE solid conductor that the sleeve slides over, so
“No. 20” is far too small for an insulated No. 20 wire. Source: the rows of
tables/sleeving.csv, each with its own.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import pi

from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table


@dataclass(frozen=True, slots=True)
class NamedSleeve:
    """A size of the table: bore as supplied (limits, mm), and the greatest recovered bore of heat-shrink."""

    label: str
    kind: str
    low: Fraction
    high: Fraction
    recovered: Fraction | None
    wall: Fraction | None
    source: Source
    note: str = ""

    @property
    def is_gauge(self) -> bool:
        """True where the name is a wire gauge number."""
        return self.kind == "awg_sleeving"


_GAUGE = re.compile(r"(?:\b(?:no|nr|awg|gauge|size)\b\.?\s*|#\s*)(\d{1,2})\b|\b(\d{1,2})\s*awg\b", re.IGNORECASE)
_FLAT = re.compile(r"flat\D{0,12}(\d+(?:[.,]\d+)?)\s*mm|(\d+(?:[.,]\d+)?)\s*mm\s+flat", re.IGNORECASE)
_MILLIMETRES = re.compile(r"(\d+(?:[.,]\d+)?)\s*mm\b", re.IGNORECASE)
_INCHES = re.compile(r"(\d+-\d+/\d+|\d+/\d+|\d+)\s*(?:in\b|inch|\"|″)", re.IGNORECASE)
_SHRINK = re.compile(r"shrink|2\s*:\s*1|Schrumpf", re.IGNORECASE)
_RATIO = re.compile(r"(\d)\s*:\s*1")


def read_sleeve_name(text: str, *, is_heat_shrink: bool = False) -> NamedSleeve | None:
    """The size a name stands for; None where it is no name of the table.

    Takes “No. 20”, “AWG 14”, “5.5 mm”, “flat 10 mm” and, for heat-shrink,
    “1/4 in” or “3/8 in 2:1”. Another shrink ratio than 2:1 is not tabled.
    """
    flat = _FLAT.search(text)
    if flat:
        return _flat_width(Fraction((flat.group(1) or flat.group(2)).replace(",", ".")))
    shrinks = is_heat_shrink or bool(_SHRINK.search(text))
    ratio = _RATIO.search(text)
    if shrinks:
        inches = _INCHES.search(text)
        if inches is None or (ratio is not None and ratio.group(1) != "2"):
            return None
        return _row("heat_shrink", f"{inches.group(1)} in")
    gauge = _GAUGE.search(text)
    if gauge:
        return _row("awg_sleeving", f"AWG {int(gauge.group(1) or gauge.group(2))}")
    millimetres = _MILLIMETRES.search(text)
    if millimetres:
        return _row("mm_sleeving", f"{float(millimetres.group(1).replace(',', '.')):g} mm")
    return None


def _row(kind: str, label: str) -> NamedSleeve | None:
    """The first row of this label: the makers' sheets stand before the trade list."""
    for row in read_table("sleeving"):
        if row["kind"] != kind or row["size_label"] != label:
            continue
        nominal = row["nominal_id_mm"]
        low = Fraction(row["min_id_mm"] or nominal)
        high = Fraction(row["max_id_mm"] or nominal or row["min_id_mm"])
        return NamedSleeve(
            label,
            kind,
            low,
            high,
            Fraction(row["recovered_id_max_mm"]) if row["recovered_id_max_mm"] else None,
            Fraction(row["wall_nominal_mm"]) if row["wall_nominal_mm"] else None,
            Source(row["source"], row["series"], standing=_standing(row["verification"])),
            row["note"],
        )
    return None


def _standing(said: str) -> Standing:
    if said.startswith("memory"):
        return Standing.MEMORY
    return Standing.DERIVED if said.startswith("computed") else Standing.SEEN


def round_of_flat(width: Fraction) -> Fraction:
    """Bore in mm of a thin round sleeve that lies flat this wide: the circumference is twice the width."""
    return Fraction(2 * float(width) / pi).limit_denominator(10**6)


def _flat_width(width: Fraction) -> NamedSleeve:
    bore = round_of_flat(width)
    return NamedSleeve(
        f"flat {float(width):g} mm",
        "flat_width",
        bore,
        bore,
        None,
        None,
        Source("geometry: circumference of a flattened tube", standing=Standing.DERIVED),
        "sold by its flat width, not by its bore",
    )
