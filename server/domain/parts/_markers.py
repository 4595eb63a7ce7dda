"""Where a wire has to be marked.

Source: AC 43.13-1B 11-208, 11-209 and figure 11-23 (first mark about 3 in from the end).
"""

from fractions import Fraction
from math import ceil

from server.domain.parts._computed import ac
from server.domain.sources import from_memory

PITCH_RULE = ac("11-208, 11-209")
SLEEVE_PITCH_RULE = from_memory("AC 43.13-1B 11-209: printed sleeves not over 6 ft apart (the unit from memory)")
METAL_TAG_RULE = ac("11-205b, caution")
HOT_STAMP_RULE = ac("11-209, 11-210")
KEEP_RULE = ac("11-206")

INCH = Fraction(254, 10)
DIRECT_PITCH = 15 * INCH
SLEEVE_PITCH = 72 * INCH
THIN_WALL = Fraction(254, 1000)
"""10 thousandths of an inch, mm."""


def marks_wanted(wire_mm: Fraction) -> int:
    """How many direct marks a wire of this length needs: none under 3 in, one to 7 in, then every 15 in or less.

    The first and the last lie 3 in from their ends.
    """
    if wire_mm < 3 * INCH:
        return 0
    if wire_mm <= 7 * INCH:
        return 1
    return ceil((wire_mm - 6 * INCH) / DIRECT_PITCH) + 1
