"""General tolerances, for a drawing that gives none: always an assumption, always shown."""

from fractions import Fraction
from functools import lru_cache

from server.domain.parts._kit import StandardLimits
from server.domain.sources import Source

ISO_2768 = Source("ISO 2768-1", "linear dimensions, class m", "1989")

_MEDIUM: tuple[tuple[str, str], ...] = (
    ("3", "0.1"),
    ("6", "0.1"),
    ("30", "0.2"),
    ("120", "0.3"),
    ("400", "0.5"),
    ("1000", "0.8"),
    ("2000", "1.2"),
    ("4000", "2"),
)
"""Sizes over 0.5 mm up to and including the first figure: plus and minus the second, mm."""


@lru_cache(maxsize=1024)
def general_limits(nominal: Fraction) -> StandardLimits | None:
    """Limits of ISO 2768-1 class m round a nominal length in mm; None outside 0.5 to 4000 mm."""
    if nominal < Fraction(1, 2):
        return None
    for up_to, allowed in _MEDIUM:
        if nominal <= Fraction(up_to):
            spread = Fraction(allowed)
            return StandardLimits(
                nominal - spread,
                nominal + spread,
                ISO_2768,
                f"the source gives no limits; general tolerance ±{allowed} mm assumed",
            )
    return None
