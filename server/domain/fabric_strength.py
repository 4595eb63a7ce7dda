"""Least strength of covering fabric, new and in service."""

from dataclasses import dataclass
from fractions import Fraction

from server.domain.sources import Source

FABRIC_TABLE = Source("AC 43.13-1B", "Table 2-1 and para 2-33", "8 Sep 1998")
FABRIC_CHANGE = Source("AC 43.13-1B", "para 2-5", "8 Sep 1998")

_LBF_IN = Fraction("4.4482216152605") / Fraction(254, 10)
"""One lbf/in in N/mm."""


@dataclass(frozen=True, slots=True)
class FabricLimits:
    """Least strength of a strip in lbf/in, new and in service."""

    new: int
    in_service: int

    def least(self, condition: str) -> Fraction:
        """Least strength in N/mm of cloth that is "new" or "in service"."""
        return (self.new if condition == "new" else self.in_service) * _LBF_IN


LIMITS: dict[str, FabricLimits] = {
    "upper": FabricLimits(80, 56),
    "lower": FabricLimits(65, 46),
    "glider": FabricLimits(50, 35),
}
"""By the duty of the covering: 9 psf or 160 mph and more; below both; gliders to 8 psf and 135 mph."""
