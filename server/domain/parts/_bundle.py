"""A bundle of round wires: how thick it gets, and how it is drawn inside something round.

Source: the tightest circle round equal circles is geometry (computed; the
ten-wire figure from memory); 1.2·√(Σd²) for hand-laid or mixed bundles is
common practice. The larger of the two is taken.
"""

from fractions import Fraction
from math import asin, cos, hypot, pi, sin, sqrt

from server.domain.drawing import Circle, Dimension, Shape
from server.domain.parts._computed import Given, given
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, write_value
from server.domain.sources import Source, Standing

BUNDLE_RULE = Source("equal circles in a circle; 1.2·√Σd² for loose bundles", standing=Standing.COMMON_PRACTICE)

_TIGHT = {
    1: "1",
    2: "2",
    3: "2.155",
    4: "2.414",
    5: "2.701",
    6: "3",
    7: "3",
    8: "3.305",
    9: "3.613",
    10: "3.813",
    19: "4.864",
}
"""Number of equal wires to the diameter of the tightest circle, in wire diameters."""


def bundle_diameter(wires: int, wire_diameter: Fraction) -> Fraction:
    """Diameter of a bundle of equal round wires, in the unit of the wire's diameter.

    One wire is itself. Raises ValueError for no wire.
    """
    if wires < 1:
        raise ValueError("a bundle has at least one wire")
    if wires == 1:
        return wire_diameter
    loose = Fraction(1.2 * sqrt(wires)).limit_denominator(10**6)
    tight = Fraction(_TIGHT.get(wires, "0"))
    return max(loose, tight) * wire_diameter


def mixed_bundle_diameter(wire_diameters: tuple[Fraction, ...]) -> Fraction:
    """Diameter of a loose bundle of unequal wires: 1.2·√(Σd²), never less than the thickest two side by side."""
    if not wire_diameters:
        raise ValueError("a bundle has at least one wire")
    if len(wire_diameters) == 1:
        return wire_diameters[0]
    if len(set(wire_diameters)) == 1:
        return bundle_diameter(len(wire_diameters), wire_diameters[0])
    loose = Fraction(1.2 * sqrt(sum(float(one) ** 2 for one in wire_diameters))).limit_denominator(10**6)
    return max(loose, sum(sorted(wire_diameters)[-2:], Fraction(0)))


def given_bundle(case: Case, diameter: str, wires: str, wire_diameter: str) -> Given | None:
    """The bundle's diameter: as measured, else worked out from number and diameter of its wires."""
    measured = given(case, diameter)
    if measured is not None:
        return measured
    count, each = given(case, wires), given(case, wire_diameter)
    if count is None or each is None or count.most is None or each.most is None:
        return None
    number = max(1, int(count.most))
    size = bundle_diameter(number, each.most)
    least = bundle_diameter(number, each.least if each.least is not None else each.most)
    share = size / each.most
    return Given(
        f"{write_value(size, Kind.LENGTH)} ({number} wires of {each.text})",
        least,
        size,
        each.doubt * share,
        each.known_from,
        "bundle worked out from its wires, not measured",
    )


def wire_centres(wires: int, wire_diameter: float, bundle: float) -> list[tuple[float, float]]:
    """Centres of the wires laid in rings inside the bundle's circle, from the outside inwards.

    All lengths in one unit; the rings are drawn in by a few hundredths where
    equal rings need more room than the tightest packing.
    """
    radius = bundle / 2
    for widening in range(100):
        ring = radius * (1 + widening / 100) - wire_diameter / 2
        places = _rings(wires, wire_diameter, ring)
        if len(places) == wires:
            reach = max((sqrt(x * x + y * y) for x, y in places), default=0.0)
            fit = min(1.0, (radius - wire_diameter / 2) / reach) if reach else 1.0
            return _settled([(x * fit, y * fit) for x, y in places], wire_diameter, radius - wire_diameter / 2)
    return []


def _settled(places: list[tuple[float, float]], wire_diameter: float, reach: float) -> list[tuple[float, float]]:
    """The wires pushed apart until none overlaps, staying within `reach` of the middle."""
    # the tiny turn keeps wires of one ring from blocking each other for ever
    spots = [[x + wire_diameter * 0.01 * (at % 3), y] for at, (x, y) in enumerate(places)]
    for _ in range(400):
        overlap = 0.0
        for at, one in enumerate(spots):
            for other in spots[:at]:
                dx, dy = one[0] - other[0], one[1] - other[1]
                apart = hypot(dx, dy) or 1e-9
                push = (wire_diameter - apart) / 2
                if push > 0:
                    overlap = max(overlap, push)
                    one[0] += dx / apart * push
                    one[1] += dy / apart * push
                    other[0] -= dx / apart * push
                    other[1] -= dy / apart * push
        for one in spots:
            out = hypot(one[0], one[1])
            if out > reach:
                one[0], one[1] = one[0] * reach / out, one[1] * reach / out
        if overlap < wire_diameter * 0.002:
            break
    return [(one[0], one[1]) for one in spots]


def _rings(wires: int, wire_diameter: float, ring: float) -> list[tuple[float, float]]:
    places: list[tuple[float, float]] = []
    while len(places) < wires and ring > -1e-9:
        if ring < wire_diameter / 2 - 1e-6:
            if wires - len(places) == 2 and ring > wire_diameter * 0.35:
                places += [(-wire_diameter / 2, 0.0), (wire_diameter / 2, 0.0)]
            else:
                places.append((0.0, 0.0))
            break
        fitting = max(1, int(pi / asin(min(1.0, wire_diameter / 2 / ring)) + 0.01))
        number = min(fitting, wires - len(places))
        places += [(ring * cos(2 * pi * k / number), ring * sin(2 * pi * k / number)) for k in range(number)]
        ring -= wire_diameter
    return places


def bundle_in_hole(
    hole: float, bundle: float, wires: int, wire_diameter: float, *, outside: float, style: str = "outline"
) -> tuple[Shape, ...]:
    """A round hole of this diameter (mm) with the bundle lying on its floor, dimensioned; `outside` 0 draws no wall."""
    shapes: list[Shape] = []
    if outside > hole:
        shapes.append(Circle(0, 0, outside / 2, "fill"))
    shapes.append(Circle(0, 0, hole / 2, style))
    drop = (hole - bundle) / 2
    if wires > 1 and wire_diameter > 0:
        shapes.append(Circle(0, drop, bundle / 2, "thin"))
        shapes += [
            Circle(x, y + drop, wire_diameter / 2, "outline") for x, y in wire_centres(wires, wire_diameter, bundle)
        ]
    else:
        shapes.append(Circle(0, drop, bundle / 2, "outline"))
    edge = max(hole, outside, bundle) / 2
    gap = hole - bundle
    shapes += [
        Dimension(-hole / 2, edge, hole / 2, edge, f"bore {_mm(hole)}"),
        Dimension(-bundle / 2, -edge, bundle / 2, -edge, f"bundle {_mm(bundle)}"),
        Dimension(
            edge, -hole / 2, edge, -hole / 2 + gap, f"{'clearance' if gap >= 0 else 'too tight by'} {_mm(abs(gap))}"
        ),
    ]
    return tuple(shapes)


def _mm(value: float) -> str:
    return write_value(Fraction(value).limit_denominator(10**6), Kind.LENGTH, 2)
