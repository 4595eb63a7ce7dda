"""Drawings to scale of what is round or square-edged: the original dashed, the find in full line, middle on middle.

Only sizes that are known are drawn, and never one for another.
"""

from collections.abc import Iterable

from server.domain.drawing import Circle, Dimension, Drawing, Shape, line, polygon
from server.domain.parts._kit import Case, Draw, in_sentence
from server.domain.quantities import Kind, write_value

_SIDES = ((True, "Original, dashed", "before"), (False, "Find, full line", "outline"))
_GAP = 0.14
"""Room between an outline and its dimension lines, as a part of the largest half size drawn."""
_STEP = 0.28
"""The same between one dimension line and the next, with its words."""
_MOST_TURNS = 80
"""More turns than this are one grey line to the eye."""

Known = dict[str, float]
"""Sizes of one side in mm, of a count the number, by characteristic; only those that are known."""


def _known(case: Case, keys: Iterable[str], *, is_wanted: bool) -> Known:
    size = case.wanted_size if is_wanted else case.size
    return {key: float(value) for key in keys if (value := size(key)) is not None and value > 0}


def _said(case: Case, name: str, sizes: Known) -> str:
    parts = []
    for key in sizes:
        one = case.part_class.characteristic(key)
        size = case.wanted_size(key) if name.startswith("Original") else case.size(key)
        if one is not None and one.kind is not None and size is not None:
            parts.append(f"{in_sentence(one.label)} {write_value(size, one.kind)}")
    return f"{name}: {', '.join(parts)}."


def _mm(case: Case, key: str, *, is_wanted: bool) -> str:
    size = case.wanted_size(key) if is_wanted else case.size(key)
    return "" if size is None else write_value(size, Kind.LENGTH)


def first_of(*draws: Draw) -> Draw:
    """The first of these that has something to draw."""

    def draw(case: Case) -> "Drawing | tuple[Drawing, ...] | None":
        return next((made for each in draws if (made := each(case)) is not None), None)

    return draw


def rings(title: str, *keys: str) -> Draw:
    """Circles of these diameters about one middle: a washer, the end of a hose, a cable."""

    def draw(case: Case) -> Drawing | None:
        shapes: list[Shape] = []
        said: list[str] = []
        sides = [(_known(case, keys, is_wanted=side[0]), *side) for side in _SIDES]
        largest = max((size / 2 for sizes, *_ in sides for size in sizes.values()), default=0.0)
        for sizes, is_wanted, name, style in sides:
            if not sizes:
                continue
            said.append(_said(case, name, sizes))
            for number, (key, size) in enumerate(sizes.items(), start=1):
                shapes.append(Circle(0.0, 0.0, size / 2, style))
                # the original's dimensions stand above, the find's below
                y = largest * (1 + _STEP * number) * (-1 if is_wanted else 1)
                shapes.append(Dimension(-size / 2, y, size / 2, y, _mm(case, key, is_wanted=is_wanted)))
        if not shapes:
            return None
        shapes.append(line((-1.1 * largest, 0.0), (1.1 * largest, 0.0), style="centre"))
        return Drawing(title, " ".join(said), tuple(shapes))

    return draw


def boxes(title: str, along: str, across: str) -> Draw:
    """Rectangles of these two sizes about one middle: a placard, a strap cut across, a lamp from the side."""

    def draw(case: Case) -> Drawing | None:
        shapes: list[Shape] = []
        said: list[str] = []
        sides = [(_known(case, (along, across), is_wanted=side[0]), *side) for side in _SIDES]
        full = [side for side in sides if len(side[0]) == len({along, across})]
        wide = max((sizes[along] / 2 for sizes, *_ in full), default=0.0)
        tall = max((sizes[across] / 2 for sizes, *_ in full), default=0.0)
        for sizes, is_wanted, name, style in full:
            said.append(_said(case, name, sizes))
            shapes += _box(sizes[along] / 2, sizes[across] / 2, style)
            out = -1 if is_wanted else 1
            x, y = out * wide * (1 + _GAP), out * (tall + wide * _GAP)
            w, h = sizes[along] / 2, sizes[across] / 2
            shapes.append(Dimension(-w, y, w, y, _mm(case, along, is_wanted=is_wanted)))
            shapes.append(Dimension(x, -h, x, h, _mm(case, across, is_wanted=is_wanted)))
        return Drawing(title, " ".join(said), tuple(shapes)) if shapes else None

    return draw


def _box(w: float, h: float, style: str) -> list[Shape]:
    return [polygon((-w, -h), (w, -h), (w, h), (-w, h), style=style)]


_COIL = ("free_length", "coil_outside_diameter", "wire_diameter", "active_turns")


def coil_drawing(case: Case) -> Drawing | None:
    """A coil spring cut along its middle, original above find; turns are drawn where they are counted."""
    shapes: list[Shape] = []
    said: list[str] = []
    y = 0.0
    for is_wanted, name, style in _SIDES:
        sizes = _known(case, _COIL, is_wanted=is_wanted)
        if not {"free_length", "coil_outside_diameter"} <= sizes.keys():
            continue
        long, outside = sizes["free_length"], sizes["coil_outside_diameter"]
        middle = y + outside / 2
        shapes += _turns(sizes, middle, style) or [
            polygon((0.0, y), (long, y), (long, y + outside), (0.0, y + outside), style=style)
        ]
        shapes.append(line((-0.05 * long, middle), (1.05 * long, middle), style="centre"))
        shapes.append(
            Dimension(0.0, y + 1.2 * outside, long, y + 1.2 * outside, _mm(case, _COIL[0], is_wanted=is_wanted))
        )
        shapes.append(Dimension(1.1 * long, y, 1.1 * long, y + outside, _mm(case, _COIL[1], is_wanted=is_wanted)))
        said.append(_said(case, name, sizes))
        y += 2 * outside
    return Drawing("Spring, cut along its middle", " ".join(said), tuple(shapes)) if shapes else None


def _turns(sizes: Known, middle: float, style: str) -> list[Shape]:
    """The wire cut above and below the middle, the lower row half a turn on; empty where a size is missing."""
    wire, turns = sizes.get("wire_diameter"), sizes.get("active_turns")
    long, outside = sizes["free_length"], sizes["coil_outside_diameter"]
    if wire is None or turns is None or turns > _MOST_TURNS or wire * 2 >= outside or wire * turns > long:
        return []
    pitch, reach = (long - wire) / turns, (outside - wire) / 2
    upper = [Circle(wire / 2 + pitch * turn, middle - reach, wire / 2, style) for turn in range(int(turns) + 1)]
    lower = [Circle(wire / 2 + pitch * (turn + 0.5), middle + reach, wire / 2, style) for turn in range(int(turns))]
    return [*upper, *lower]


_LINK = ("pitch", "roller_diameter", "pin_diameter")


def chain_drawing(case: Case) -> Drawing | None:
    """Two rollers with their pins, a pitch apart, original over find from the first roller on."""
    shapes: list[Shape] = []
    said: list[str] = []
    for is_wanted, name, style in _SIDES:
        sizes = _known(case, _LINK, is_wanted=is_wanted)
        if not {"pitch", "roller_diameter"} <= sizes.keys():
            continue
        for x in (0.0, sizes["pitch"]):
            shapes += [Circle(x, 0.0, sizes[key] / 2, style) for key in _LINK[1:] if key in sizes]
        y = sizes["roller_diameter"] * (-0.8 if is_wanted else 0.8)
        shapes.append(Dimension(0.0, y, sizes["pitch"], y, _mm(case, "pitch", is_wanted=is_wanted)))
        said.append(_said(case, name, sizes))
    return Drawing("Rollers a pitch apart", " ".join(said), tuple(shapes)) if shapes else None
