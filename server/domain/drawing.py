"""Drawings as numbers: shapes in millimetres, drawn to scale by whoever renders them.

Coordinates: x to the right, y downwards, in mm of the thing drawn. Styles name
what a line means, not how it looks: "outline", "thin", "centre", "before"
(dashed), "hatch-a", "hatch-b", "fill", "zone", "doubt", "against".
"""

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
    """One figure: title and description for those who can't see it, shapes for those who can."""

    title: str
    description: str
    shapes: tuple[Shape, ...]


def polygon(*points: tuple[float, float], style: str = "outline") -> Path:
    """A closed figure through these points."""
    first, *rest = points
    return Path((("M", first), *(("L", point) for point in rest), ("Z", ())), style)


def line(*points: tuple[float, float], style: str = "thin") -> Path:
    """An open line through these points."""
    first, *rest = points
    return Path((("M", first), *(("L", point) for point in rest)), style)
