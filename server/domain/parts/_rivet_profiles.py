"""Half profiles of rivet heads and formed ends, in mm from the axis and from where the grip begins."""

from math import cos, pi, radians, sin, sqrt, tan

from server.domain.parts._rivets import BLIND, COUNTERSUNK, RAISED_COUNTERSUNK, SOLID, SPLIT

Point = tuple[float, float]
_ARC_POINTS = 10

_USUAL = {
    "universal": (2.0, 0.43),
    "round": (2.0, 0.75),
    "flat": (2.0, 0.4),
    "oval": (1.75, 0.27),
    "truss": (2.3, 0.33),
    "pan": (1.72, 0.57),
    "brazier": (2.5, 0.5),
    "mushroom": (2.25, 0.5),
    COUNTERSUNK: (1.8, 0.34),
    RAISED_COUNTERSUNK: (1.8, 0.45),
}
"""Head diameter and height as parts of D where nobody gave them: truss and pan from ANSI B18.1.1, oval from makers'
tables, the rest from memory. For the picture only; nothing is judged by them."""


def usual_head(style: str, body: float) -> Point:
    """Usual head diameter and height in mm; a universal head's where the style isn't known."""
    wide, high = _USUAL.get(style, _USUAL["universal"])
    return wide * body, high * body


def head_profile(style: str, body: float, diameter: float, height: float, half_angle: float) -> list[Point]:
    """Right half of a made head, from the axis on top to the shank; of a countersunk head the cone lies below 0."""
    r, a, h = body / 2, diameter / 2, height
    if style in {COUNTERSUNK, RAISED_COUNTERSUNK}:
        depth = max(0.0, (a - r) / tan(radians(half_angle)))
        crown = _cap(a, max(0.2 * h, 0.05)) if style == RAISED_COUNTERSUNK else [(0.0, 0.0), (a, 0.0)]
        return [*crown, (r, depth)]
    if style == "flat":
        return [(0, -h), (a, -h), (a, 0), (r, 0)]
    if style == "pan":
        return [(0, -h), (0.78 * a, -h), (a, -0.35 * h), (a, 0), (r, 0)]
    if style in {"universal", ""}:
        rim = [(r + (a - r) * sin(t), -0.2 * h - 0.8 * h * cos(t)) for t in _steps(pi / 2)]
        return [(0, -h), *rim, (a, 0), (r, 0)]
    return [*_cap(a, min(h, a)), (a, 0), (r, 0)]


def _steps(end: float) -> list[float]:
    return [end * n / _ARC_POINTS for n in range(_ARC_POINTS + 1)]


def _cap(half_width: float, height: float) -> list[Point]:
    """A spherical cap from its crown to its rim."""
    radius = (half_width**2 + height**2) / (2 * height)
    across = [half_width * sin(t) for t in _steps(pi / 2)]
    return [(x, -height + radius - sqrt(max(0.0, radius**2 - x**2))) for x in across]


def formed_end(
    kind: str, body: float, grip: float, stick_out: float, bore: float, height: float, *, flush: bool = False
) -> list[Point]:
    """Right half of the second head, from the shank at the far side to the axis or the bore's wall."""
    r = body / 2
    if kind == SOLID:
        return [(r, grip), (0, grip)] if flush else _driven(body, grip, height)
    if kind == SPLIT:
        thick = 0.4 * body
        reach = r + stick_out
        return [(r, grip), (reach, grip), (reach, grip + 0.3 * thick), (r, grip + thick), (0, grip + 0.2 * thick)]
    if kind == BLIND:
        swell = 0.75 * body
        return [
            (r, grip),
            (swell, grip),
            (swell, grip + 0.6 * body),
            (r, grip + 1.2 * body),
            (bore / 2, grip + 1.2 * body),
        ]
    return _rolled(r, grip, stick_out, bore / 2)


def _driven(body: float, grip: float, height: float) -> list[Point]:
    """A driven head with bulged sides that holds as much as a plain one 1.5 D wide and as high."""
    wide = 0.75 * body
    side = [(0.947 * wide + 0.082 * wide * sin(t), grip + height * t / pi) for t in _steps(pi)]
    return [*side, (0, grip + height)]


def _rolled(r: float, grip: float, stick_out: float, bore: float) -> list[Point]:
    """The wall rolled outwards: half a ring from outside the hole back to the bore."""
    reach = r + 0.6 * stick_out
    middle, half = (reach + bore) / 2, (reach - bore) / 2
    deep = min(half, 0.7 * stick_out)
    return [(r, grip), *((middle + half * cos(t), grip + deep * sin(t)) for t in _steps(pi))]
