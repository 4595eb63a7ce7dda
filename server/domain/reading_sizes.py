"""What a text was read as: sizes with roles and places, designators, amounts; and how a number becomes a quantity."""

import functools
import re
from dataclasses import dataclass
from fractions import Fraction

from server.domain.gauges import Gauge, circle_area
from server.domain.quantities import INCH, UNITS, Kind, Quantity, as_decimal_text
from server.domain.reading_numbers import HALF, NUMBER, RULE_DENOMINATORS, Number, number_of
from server.domain.reading_threads import Thread
from server.domain.unit_spellings import Spelled, spellings

Span = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Size:
    """One size found in a text.

    `role` is one of reading_words.ROLES. `span` covers number, unit and
    tolerance in the original text; readings that exclude each other share it.
    `position` is 1, 2, 3 in a product such as 3/32 x 5/16, else 0. `weight`
    is 1 for the sure reading, less for a second one. `is_derived`: not
    written but worked out (from a designator's code, or the third of outside
    diameter, bore and wall). `fit` holds fit letters ("H7") as written.
    """

    quantity: Quantity
    role: str
    span: Span
    position: int = 0
    weight: float = 1.0
    thread: Thread | None = None
    fit: str = ""
    is_derived: bool = False


@dataclass(frozen=True, slots=True)
class Amount:
    """How many are offered or asked for: 50 with the word "off"."""

    number: int
    word: str
    span: Span


@dataclass(frozen=True, slots=True)
class Reading:
    """Everything that was read from one text, in the order of the text.

    `rest` is the text without sizes, designators, amounts and noise such as
    prices and dates: the words that are left for comparing.
    """

    sizes: tuple[Size, ...]
    designators: tuple[str, ...]
    amounts: tuple[Amount, ...]
    rest: str
    designator_spans: tuple[Span, ...] = ()


MM = spellings(None)["mm"]
IN = spellings(None)["in"]
_MM2 = UNITS["mm²"]

# "14/0.30": so many strands of such a diameter; three decimals below 0.1 are inches, the older British way
STRANDS = re.compile(
    r"(?P<count>[0-9]{1,4})/(?P<d>[0-9]?[.,][0-9]{1,4})(?![0-9]|[.,/][0-9])(?:[ ]?(?P<unit>mm(?!²|2)|in\b|\"))?"
)
FEET_INCHES = re.compile(
    rf"""(?P<feet>[0-9]{{1,4}})(?:
        [ ]?(?:ft|feet|foot|')\.?[ ]?[,-]?[ ]?(?P<inches>{NUMBER})[ ]?(?:inch(?:es)?\b|ins?\b\.?|"|'')
        |'(?P<bare>[0-9]{{1,2}})(?![0-9/.,a-z'"])
    )""",
    re.VERBOSE,
)


@functools.lru_cache(maxsize=8192)
def in_base(number: str, spelled: Spelled) -> tuple[Fraction, Fraction, Fraction | None]:
    """Value, half of the last decimal and the other reading's value of a number text, in the kind's own unit."""
    found = number_of(number)
    if found is None:
        raise ValueError(number)
    other = spelled.to_base(found.other) if found.other is not None else None
    return spelled.to_base(found.value), spelled.span_to_base(found.half_step), other


def has_two_readings(number: Number, spelled: Spelled) -> bool:
    """True for "1.200 mm" and "1,200 mm": 1.2 or 1200; and for "101/2": 50 1/2 or 10 1/2.

    A point with three decimals is decimal in inches and pounds, where
    drawings are written so, and where the last of them is no 0 (3.175 mm:
    thousands are round, and nobody writes three decimals for nothing).
    """
    if number.other is None:
        return False
    if "," in number.text or number.form == "fraction":
        return True
    return spelled.unit.name not in {"in", "lb", "thou", "in²"} and number.text.endswith("0")


def plain_quantity(number: Number, spelled: Spelled, text: str, note: str = "") -> Quantity:
    """A number with its unit as a quantity, decimals first."""
    value, half_step, _ = in_base(number.text, spelled)
    return Quantity(spelled.kind, value, spelled.unit.name, text, half_step=half_step, note=note or spelled.note)


def gauge_length(gauge: Gauge, text: str) -> Quantity:
    """A gauge number as thickness or diameter."""
    unit = "mm" if gauge.inch is None else "in"
    return Quantity(Kind.LENGTH, gauge.mm, unit, text, half_step=gauge.doubt, note=gauge.length_note)


def gauge_area(gauge: Gauge, text: str) -> Quantity:
    """A gauge number as a conductor's area."""
    return Quantity(Kind.AREA, gauge.area, "mm²", text, note=gauge.area_note)


def strands_area(found: re.Match[str], text: str) -> Quantity:
    """Strands × diameter as a conductor's area (π/4 × d² each; wire-table practice, from memory)."""
    typed = found["d"].replace(",", ".")
    diameter = Fraction(typed)
    places = len(typed.split(".")[1])
    unit = found["unit"]
    is_inch = unit in {"in", '"'} or (unit is None and places >= 3 and diameter < Fraction(1, 10))
    mm = diameter * INCH if is_inch else diameter
    count = int(found["count"])
    area = circle_area(mm) * count
    # a doubt of the diameter weighs twice in the area
    half_step = area / 10**places / diameter if diameter else Fraction(0)
    said = f"{count} strands of {as_decimal_text(mm, 4)} mm" + (" (read as inches)" if is_inch and not unit else "")
    return Quantity(Kind.AREA, area, _MM2.name, text, half_step=half_step, note=f"{said}, π/4 × d² each")


def feet_inches(found: re.Match[str], text: str) -> Quantity | None:
    """ "4ft 6in" as one length; None where the inches are no number."""
    inches = number_of(found["inches"] or found["bare"])
    if inches is None:
        return None
    value = (int(found["feet"]) * 12 + inches.value) * INCH
    return Quantity(Kind.LENGTH, value, "in", text, half_step=inches.half_step * INCH)


def is_rule_fraction(value: Fraction) -> bool:
    """True for a fraction found on rules and drills: halves to sixty-fourths."""
    return value.denominator == 1 or value.denominator in RULE_DENOMINATORS


def bare_readings(number: Number) -> tuple[tuple[Spelled, float], ...]:
    """Which unit a number without one may have where a role or a product makes it a length, with weights.

    A fraction and a leading point are inches, a whole number or one or two
    decimals millimetres; three decimals are the inch drawing's way but not
    only (and 0.035 mm is nobody's size). Common practice.
    """
    if number.form == "fraction":
        return ((IN, 1.0),) if is_rule_fraction(number.value) else ()
    if number.is_point_first:
        return ((IN, 1.0),)
    if number.places >= 3:
        return ((IN, 0.9), (MM, 0.1)) if number.value < HALF else ((IN, 0.6), (MM, 0.4))
    return ((MM, 1.0),)
