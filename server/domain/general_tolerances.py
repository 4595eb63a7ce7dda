"""General tolerances, for a drawing that gives none: always an assumption, always shown."""

from fractions import Fraction
from functools import lru_cache

from server.domain.parts._kit import StandardLimits
from server.domain.sources import Source
from server.domain.specification import Requirement

ISO_2768 = Source("ISO 2768-1", "linear dimensions, class m", "1989")
ISO_2768_COARSEST = Source("ISO 2768-1", "linear dimensions, classes c and v", "1989")

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

_COARSEST: tuple[tuple[str, str], ...] = (
    ("3", "0.2"),
    ("6", "0.5"),
    ("30", "1"),
    ("120", "1.5"),
    ("400", "2.5"),
    ("1000", "4"),
    ("2000", "6"),
    ("4000", "8"),
)
"""The same of class v, which begins over 3 mm; up to there class c, the coarsest that the standard has."""

_SMALLEST = Fraction(1, 2)


@lru_cache(maxsize=1024)
def general_limits(nominal: Fraction) -> StandardLimits | None:
    """Limits of ISO 2768-1 class m round a nominal length in mm; None outside 0.5 to 4000 mm."""
    allowed = _allowed(nominal, _MEDIUM)
    if allowed is None:
        return None
    spread = Fraction(allowed)
    said = f"the source gives no limits; general tolerance ±{allowed} mm assumed"
    return StandardLimits(nominal - spread, nominal + spread, ISO_2768, said)


def stock_limits(nominal: Fraction, _requirement: Requirement) -> StandardLimits | None:
    """Limits of a sheet's thickness or a tube's wall in mm: class m of ISO 2768-1, narrowed to a tenth of it.

    The standard is for what is cut and bent; thin stock is rolled and drawn closer (common practice). What the
    tenth lets through the standard lets through too, so the proof stays the standard's.
    """
    general, tenth = general_limits(nominal), nominal / 10
    if general is None or general.high - nominal <= tenth:
        return general
    said = f"{general.said}, narrowed to a tenth of the thickness as stock runs (common practice)"
    return StandardLimits(nominal - tenth, nominal + tenth, general.source, said)


@lru_cache(maxsize=1024)
def coarsest_limits(nominal: Fraction) -> StandardLimits | None:
    """The widest limits any class of ISO 2768-1 lays round a nominal length in mm; None outside 0.5 to 4000 mm.

    They prove nothing of what lies within; what lies outside was never made to this nominal.
    """
    allowed = _allowed(nominal, _COARSEST)
    if allowed is None:
        return None
    spread = Fraction(allowed)
    said = f"the coarsest general tolerance allows ±{allowed} mm"
    return StandardLimits(nominal - spread, nominal + spread, ISO_2768_COARSEST, said)


def _allowed(nominal: Fraction, table: tuple[tuple[str, str], ...]) -> str | None:
    if nominal < _SMALLEST:
        return None
    return next((allowed for up_to, allowed in table if nominal <= Fraction(up_to)), None)
