"""How many pieces a quantity in words counts: “40 off” is 40, “7 m” counts nothing.

The words stay what they are; this is only the number beside them, and a
wrong one is worse than none. So a figure with a unit of measure, a range, a
fraction or a figure beside another figure counts nothing. Source: common
practice of stores lists; the units are those of `unit_spellings`.
"""

import re

from server.domain.reading_fold import fold
from server.domain.unit_spellings import unit_at

_FIGURE = re.compile(r"[ ]*([0-9]{1,6})(?![0-9])")
_GOES_ON = re.compile(r"[ ]*(?:$|[,;(=:](?![0-9])|-?[a-z])|\.[ ]*$")
_RANGE = re.compile(r"[ ]*(?:x|to|or|bis|oder|von|of)[ ]*[0-9]")
_OTHER_MEASURES = re.compile(
    r"[ ]*-?(?:(?:fl\.? |imp\.? |us )?"
    r"(?:l|lt|ltrs?|lit(?:er|re)s?|ml|cl|dl|hl|cc|ccm|gals?|gallons?|pts?|pints?|qts?|quarts?|gills?|oz)"
    r"|lfm|lfdm|lm|rm|qm|cbm|(?:mm|cm|dm|m|in|ft|yd)\^?[3³]"
    r"|grs?|gms?|grms?|grains?|stone|cwt|hundredweights?|t|tons?|tonnes?|tonnen?|zentner|fathoms?"
    r"|n|c|f|k|hours?|hrs?|days?|per ?cent)(?![a-z0-9-])"
)
_QUALIFIED = re.compile(r"[ ]*(?:sq|square|cu|cub|cubic|running|run|linear|lin|lfd|laufende[rn]?)\.?(?=[ ]+)")
_MULTIPLE = re.compile(r"[ ]*-?(?P<word>pairs?|prs?|paare?|doz(?:en)?|dutzend|gross|gros)(?![a-z0-9])")
_TIMES = {"p": 2, "d": 12, "g": 144}


def read_pieces(text: str) -> int | None:
    """The number of pieces that a quantity in words counts; None where it counts none, or may count something else.

    “24 off + 16 off” is 40: the sum of what was added up, where each part is a count.
    """
    counts = [_read_one(part) for part in fold(text).split("+")]
    known = [count for count in counts if count is not None]
    return sum(known) if len(known) == len(counts) else None


def _read_one(low: str) -> int | None:
    found = _FIGURE.match(low)
    if found is None or not _GOES_ON.match(low, found.end()):
        return None
    at = found.end()
    qualified = _QUALIFIED.match(low, at)
    measured = unit_at(low, low, at, None) or _OTHER_MEASURES.match(low, at)
    if measured or (qualified and unit_at(low, low, qualified.end(), None)) or _RANGE.match(low, at):
        return None
    several = _MULTIPLE.match(low, at)
    return int(found.group(1)) * (_TIMES[several["word"][0]] if several else 1)
