"""Drawings of the core as SVG: classes instead of style, title and description first.

One unit of the picture is one CSS pixel on a desk; a view is 400 units wide
at most, so that its words stay legible on a phone. Lengths come in millimetres
and are drawn to one scale in both directions.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN
from fractions import Fraction

import segno
from markupsafe import Markup, escape

from server.domain.drawing import Circle, Dimension, Drawing, Label, Path, Shape, extent_of
from server.domain.quantities import as_decimal_text
from server.domain.verdict import Band

WIDTH = 400.0
TALLEST = 320.0
EDGE = 14.0
LETTER = 7.4

CLASSES = {
    "outline": "o",
    "thin": "thin",
    "centre": "centre",
    "before": "before",
    "hatch-a": "o hatch-a",
    "hatch-b": "o hatch-b",
    "fill": "o solid",
    "zone": "zone",
    "doubt": "doubt",
    "against": "against",
    "proven": "proven",
    "dot": "dot",
}


@dataclass(frozen=True, slots=True)
class _View:
    """Millimetres to units of the picture."""

    scale: float
    left: float
    top: float
    middle: float
    upper: float

    def x(self, value: float) -> float:
        return round((value * self.scale) + self.left, 2)

    def y(self, value: float) -> float:
        return round((value * self.scale) + self.top, 2)


def draw(drawing: Drawing, ident: str) -> Markup:
    """One drawing as SVG; `ident` makes its ids unique on the page."""
    left, top, right, bottom = drawing.frame or extent_of(drawing.shapes)
    wide, tall = right - left or 1.0, bottom - top or 1.0
    left_words, right_words = _words_beside(drawing.shapes, (left + right) / 2)
    room = WIDTH - 2 * EDGE - left_words - right_words
    scale = min(max(room, 120.0) / wide, (TALLEST - 2 * EDGE - 32) / tall)
    width = wide * scale + 2 * EDGE + left_words + right_words
    height = tall * scale + 2 * EDGE + 32
    view = _View(
        scale, EDGE + left_words - left * scale, EDGE + 16 - top * scale, (left + right) / 2, top + tall * 0.12
    )
    inner = Markup("").join(_shape(shape, view) for shape in drawing.shapes)
    return Markup(
        '<svg class="plate" viewBox="0 0 {} {}" role="img" aria-labelledby="{}-t {}-d">'
        '<title id="{}-t">{}</title><desc id="{}-d">{}</desc>{}</svg>'
    ).format(
        round(max(width, WIDTH), 1),
        round(height, 1),
        ident,
        ident,
        ident,
        drawing.title,
        ident,
        drawing.description,
        inner,
    )


def _words_beside(shapes: Iterable[Shape], middle: float) -> tuple[float, float]:
    """Room for words that stand out to the left and to the right."""
    left = right = 0.0
    for shape in shapes:
        if isinstance(shape, Label):
            length = len(shape.text) * LETTER
            if shape.anchor == "start":
                right = max(right, length)
            elif shape.anchor == "end":
                left = max(left, length)
        elif isinstance(shape, Dimension) and _is_upright(shape):
            # the words of an upright dimension stand on its outer side
            length = len(shape.text) * LETTER + 8
            left, right = (max(left, length), right) if shape.x1 <= middle else (left, max(right, length))
    return min(left, 130.0), min(right, 130.0)


def _is_upright(shape: Dimension) -> bool:
    return abs(shape.x1 - shape.x2) < abs(shape.y1 - shape.y2)


def _shape(shape: Shape, view: _View) -> Markup:
    if isinstance(shape, Path):
        steps = " ".join(_step(name, numbers, view) for name, numbers in shape.steps)
        return Markup('<path class="{}" d="{}"/>').format(CLASSES.get(shape.style, "o"), steps)
    if isinstance(shape, Circle):
        radius = round(shape.radius * view.scale, 2)
        name = CLASSES.get(shape.style, "o")
        return Markup('<circle class="{}" cx="{}" cy="{}" r="{}"/>').format(
            name, view.x(shape.x), view.y(shape.y), radius
        )
    if isinstance(shape, Label):
        turned = {"start": "t-small", "middle": "t-small middle", "end": "t-small end"}[shape.anchor]
        return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(
            turned, view.x(shape.x), view.y(shape.y) + 4, shape.text
        )
    return _dimension(shape, view)


def _step(name: str, numbers: tuple[float, ...], view: _View) -> str:
    if name == "Z":
        return "Z"
    if name == "A":
        rx, ry, turn, large, sweep, x, y = numbers
        radii = f"{round(rx * view.scale, 2)} {round(ry * view.scale, 2)}"
        return f"A{radii} {turn:g} {int(large)} {int(sweep)} {view.x(x)} {view.y(y)}"
    pairs = [f"{view.x(numbers[i])} {view.y(numbers[i + 1])}" for i in range(0, len(numbers), 2)]
    return name + " ".join(pairs)


def _dimension(shape: Dimension, view: _View) -> Markup:
    x1, y1, x2, y2 = view.x(shape.x1), view.y(shape.y1), view.x(shape.x2), view.y(shape.y2)
    upright = _is_upright(shape)
    line = Markup('<path class="thin" d="M{} {}L{} {}"/>').format(x1, y1, x2, y2)
    if upright:
        top, bottom = min(y1, y2), max(y1, y2)
        heads = f"M{x1} {top}l-3.5 9h7zM{x1} {bottom}l-3.5 -9h7z" if bottom - top > 20 else _outside(x1, top, bottom)
        outside = shape.x1 > view.middle
        words = Markup('<text class="t-small{}" x="{}" y="{}">{}</text>').format(
            "" if outside else " end", x1 + 6 if outside else x1 - 6, round((top + bottom) / 2 + 4, 2), shape.text
        )
    else:
        near, far = min(x1, x2), max(x1, x2)
        heads = f"M{near} {y1}l9 -3.5v7zM{far} {y1}l-9 -3.5v7z"
        words = Markup('<text class="t-small middle" x="{}" y="{}">{}</text>').format(
            round((near + far) / 2, 2), y1 - 5 if shape.y1 < view.upper else y1 + 16, shape.text
        )
    return line + Markup('<path class="arrow" d="{}"/>').format(heads) + words


def _outside(x: float, top: float, bottom: float) -> str:
    """Arrow heads from outside, where there is no room between."""
    return f"M{x} {top}l-3.5 -9h7zM{x} {bottom}l-3.5 9h7z"


def band(one: Band, ident: str) -> Markup:
    """A tolerance band to scale: the limits, the measured value, and its doubt either way."""
    known = [side for side in (one.low, one.high) if side is not None]
    lowest = min([*known, one.value - one.doubt])
    highest = max([*known, one.value + one.doubt])
    spread = highest - lowest or abs(one.value) or Fraction(1)
    start, end = lowest - spread * Fraction(35, 100), highest + spread * Fraction(35, 100)

    def x(value: Fraction) -> float:
        return round(10 + 280 * float((value - start) / (end - start)), 1)

    left = x(one.low) if one.low is not None else 4.0
    right = x(one.high) if one.high is not None else 296.0
    doubt = _plain(one.doubt, ROUND_CEILING)
    said = f"{_plain(one.value)} {one.unit}, doubt {doubt} either way; {_limits(one)}"
    marks = [
        Markup('<path class="thin" d="M4 40H296"/>'),
        Markup('<rect class="zone" x="{}" y="20" width="{}" height="20"/>').format(left, max(right - left, 1)),
    ]
    at = x(one.value)
    if one.doubt:
        near, far = x(one.value - one.doubt), x(one.value + one.doubt)
        marks.append(Markup('<path class="doubt" d="M{} 30H{}M{} 23v14M{} 23v14"/>').format(near, far, near, far))
    marks.append(Markup('<circle class="dot" cx="{}" cy="30" r="5"/>').format(at))
    alone = one.low is None or one.high is None or one.low == one.high
    apart = alone or right - left > 48
    if one.low is not None:
        marks.append(
            Markup('<text class="{} t-small" x="{}" y="58">{}</text>').format(
                "middle" if apart else "end", left, _least(one.low)
            )
        )
    if one.high is not None and one.high != one.low:
        marks.append(
            Markup('<text class="{} t-small" x="{}" y="58">{}</text>').format(
                "middle" if apart else "", right, _most(one.high)
            )
        )
    marks.append(Markup('<text class="middle t-small t-bold" x="{}" y="14">{}</text>').format(at, _plain(one.value)))
    return Markup('<svg class="plate" id="{}" viewBox="0 0 300 62" role="img" aria-label="{}">{}</svg>').format(
        ident, escape(said), Markup("").join(marks)
    )


def _plain(value: Fraction, rounding: str = ROUND_HALF_EVEN) -> str:
    size = abs(value)
    return as_decimal_text(value, 3 if size < 100 else 2 if size < 1000 else 1, rounding)


def _least(limit: Fraction) -> str:
    """A lower limit, rounded inward."""
    return _plain(limit, ROUND_CEILING)


def _most(limit: Fraction) -> str:
    """An upper limit, rounded inward."""
    return _plain(limit, ROUND_FLOOR)


def _limits(one: Band) -> str:
    if one.low is not None and one.high is not None:
        return f"limits {_least(one.low)} to {_most(one.high)}"
    return f"at least {_least(one.low)}" if one.low is not None else f"at most {_most(one.high or Fraction(0))}"


def dots(text: str) -> Markup:
    """A text as a QR code (ISO/IEC 18004), black on white with its quiet zone; attributes only, no style."""
    code = segno.make(text, error="m", micro=False)
    picture = code.svg_inline(scale=4, border=4, light="#fff", svgclass="qr", lineclass=None, omitsize=True)
    return Markup(picture)  # noqa: S704  (squares only: the text is in their pattern)
