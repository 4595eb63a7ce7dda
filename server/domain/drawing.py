"""Drawings as numbers: shapes in millimetres, drawn to scale by whoever renders them.

Coordinates: x to the right, y downwards, in mm of the thing drawn. Styles name
what a line means, not how it looks: "outline", "thin", "centre", "before"
(dashed), "hatch-a", "hatch-b", "fill", "zone", "doubt", "against".
"""

from collections.abc import Iterable
from dataclasses import dataclass

Step = tuple[str, tuple[float, ...]]
"""One step of a path: ("M", (x, y)), ("L", (x, y)), ("Q", (cx, cy, x, y)),
("A", (rx, ry, turn, large, sweep, x, y)), ("Z", ())."""


@dataclass(frozen=True, slots=True)
class Path:
    """An open or closed line."""

    steps: tuple[Step, ...]
    style: str = "outline"


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about (x, y)."""

    x: float
    y: float
    radius: float
    style: str = "outline"


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a place; `anchor` is start, middle or end."""

    x: float
    y: float
    text: str
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Dimension:
    """A dimension line from (x1, y1) to (x2, y2) with its text, offset from the outline by the renderer."""

    x1: float
    y1: float
    x2: float
    y2: float
    text: str


Shape = Path | Circle | Label | Dimension


@dataclass(frozen=True, slots=True)
class Drawing:
    """One figure: title and description for those who can't see it, shapes for those who can.

    `frame` (left, top, right, bottom in mm) makes figures that belong together
    come out at one scale, whatever each of them holds.
    """

    title: str
    description: str
    shapes: tuple[Shape, ...]
    frame: tuple[float, float, float, float] | None = None


def extent_of(shapes: Iterable[Shape]) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of these shapes in mm; words count as the point they stand at."""
    xs: list[float] = []
    ys: list[float] = []
    for shape in shapes:
        if isinstance(shape, Path):
            for name, numbers in shape.steps:
                points = numbers[5:] if name == "A" else numbers
                xs.extend(points[0::2])
                ys.extend(points[1::2])
        elif isinstance(shape, Circle):
            xs.extend((shape.x - shape.radius, shape.x + shape.radius))
            ys.extend((shape.y - shape.radius, shape.y + shape.radius))
        elif isinstance(shape, Dimension):
            xs.extend((shape.x1, shape.x2))
            ys.extend((shape.y1, shape.y2))
        else:
            xs.append(shape.x)
            ys.append(shape.y)
    return (min(xs), min(ys), max(xs), max(ys)) if xs else (0.0, 0.0, 1.0, 1.0)


def polygon(*points: tuple[float, float], style: str = "outline") -> Path:
    """A closed figure through these points."""
    first, *rest = points
    return Path((("M", first), *(("L", point) for point in rest), ("Z", ())), style)


def line(*points: tuple[float, float], style: str = "thin") -> Path:
    """An open line through these points."""
    first, *rest = points
    return Path((("M", first), *(("L", point) for point in rest)), style)
