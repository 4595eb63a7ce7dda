"""Drawings to scale of structural parts: the find in outline, the original dashed where both are known."""

from collections.abc import Callable
from fractions import Fraction
from math import cos, radians, sin, tan

from server.domain.drawing import Circle, Dimension, Drawing, Label, Path, Shape, Step, line, polygon
from server.domain.parts._bend_rows import blank_length
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, write_value

Sizes = dict[str, float]


def _sizes(case: Case, keys: tuple[str, ...]) -> tuple[Sizes, Sizes]:
    """Offered sizes, and wanted ones, in mm, as far as known."""
    offered = {key: float(size) for key in keys if (size := case.size(key)) is not None}
    wanted = {key: float(size) for key in keys if (size := case.wanted_size(key)) is not None}
    return offered, wanted


def _both(
    case: Case, keys: tuple[str, ...], needed: tuple[str, ...], draw: Callable[[Sizes, str], list[Shape]]
) -> tuple[list[Shape], Sizes, str]:
    """Shapes of the find (outline), else of the original alone; the original dashed behind the find."""
    offered, wanted = _sizes(case, keys)
    has_find = all(offered.get(key, 0) > 0 for key in needed)
    has_original = all(wanted.get(key, 0) > 0 for key in needed)
    if has_find:
        behind = draw(wanted, "before") if has_original else []
        said = "The find in full line" + (", the original dashed." if behind else ".")
        return [*behind, *draw(offered, "outline")], offered, said
    if has_original:
        return draw(wanted, "outline"), wanted, "The original as wanted; the find has not been measured."
    return [], {}, ""


def _mm(value: float) -> str:
    return write_value(Fraction(value).limit_denominator(1000), Kind.LENGTH)


# ---- castings and fittings: a plate with two lugs seen from the front ----

_PLATE = (
    "hole_centres",
    "hole_diameter",
    "lug_width",
    "length_over_all",
    "width_over_all",
    "height_over_all",
    "bore",
)


def _plate(sizes: Sizes, style: str) -> list[Shape]:
    centres, hole = sizes["hole_centres"], sizes["hole_diameter"]
    lug = sizes.get("lug_width") or max(2 * hole, sizes.get("length_over_all", 0) - centres, 1.0)
    half, r = centres / 2, lug / 2
    body = sizes.get("height_over_all") or sizes.get("width_over_all") or lug
    b = max(body / 2, r)
    shapes: list[Shape] = []
    if b > r * 1.05 and half > r:
        # a body higher than its lugs: a block between two rounded ears
        shapes.append(
            Path(
                (
                    ("M", (-half, -r)),
                    ("L", (-half + r, -r)),
                    ("L", (-half + r, -b)),
                    ("L", (half - r, -b)),
                    ("L", (half - r, -r)),
                    ("L", (half, -r)),
                    ("A", (r, r, 0, 0, 1, half, r)),
                    ("L", (half - r, r)),
                    ("L", (half - r, b)),
                    ("L", (-half + r, b)),
                    ("L", (-half + r, r)),
                    ("L", (-half, r)),
                    ("A", (r, r, 0, 0, 1, -half, -r)),
                    ("Z", ()),
                ),
                style,
            )
        )
    else:
        shapes.append(
            Path(
                (
                    ("M", (-half, -r)),
                    ("L", (half, -r)),
                    ("A", (r, r, 0, 0, 1, half, r)),
                    ("L", (-half, r)),
                    ("A", (r, r, 0, 0, 1, -half, -r)),
                    ("Z", ()),
                ),
                style,
            )
        )
    shapes += [Circle(-half, 0, hole / 2, style), Circle(half, 0, hole / 2, style)]
    if sizes.get("bore"):
        shapes.append(Circle(0, 0, sizes["bore"] / 2, style))
    return shapes


def plate_drawing(case: Case) -> Drawing | None:
    """Front view with two lugs and their holes at the given centres; None while centres or hole are missing."""
    shapes, sizes, said = _both(case, _PLATE, ("hole_centres", "hole_diameter"), _plate)
    if not shapes:
        return None
    half, hole = sizes["hole_centres"] / 2, sizes["hole_diameter"]
    high = max(sizes.get("height_over_all", 0), sizes.get("lug_width", 0), hole * 2) / 2
    marks: list[Shape] = [
        line((-half - hole, 0), (half + hole, 0), style="centre"),
        line((-half, -hole), (-half, hole), style="centre"),
        line((half, -hole), (half, hole), style="centre"),
        Dimension(-half, high * 1.4, half, high * 1.4, f"centres {_mm(2 * half)}"),
        Label(half, -high * 1.25, f"⌀ {_mm(hole)}"),
    ]
    title = f"{case.part_class.name}: front view with its holes"
    words = f"{said} Two holes of {_mm(hole)} at {_mm(2 * half)} centres. The outline between them is schematic."
    return Drawing(title, words, (*shapes, *marks))


# ---- tubes ----


def _ring(sizes: Sizes, style: str) -> list[Shape]:
    outside, wall = sizes["outside_diameter"], sizes["wall"]
    inner = max(outside / 2 - wall, 0)
    return [Circle(0, 0, outside / 2, style), Circle(0, 0, inner, style)]


def tube_drawing(case: Case) -> Drawing | None:
    """Section of a round tube; None while diameter or wall is missing."""
    shapes, sizes, said = _both(case, ("outside_diameter", "wall"), ("outside_diameter", "wall"), _ring)
    if not shapes:
        return None
    half = sizes["outside_diameter"] / 2
    marks: list[Shape] = [
        line((-half * 1.15, 0), (half * 1.15, 0), style="centre"),
        line((0, -half * 1.15), (0, half * 1.15), style="centre"),
        Dimension(-half, half * 1.35, half, half * 1.35, f"⌀ {_mm(2 * half)}"),
        Label(0, -half * 1.25, f"wall {_mm(sizes['wall'])}"),
    ]
    words = f"{said} Outside {_mm(2 * half)}, wall {_mm(sizes['wall'])}."
    return Drawing("Section of the tube", words, (*shapes, *marks))


def _oval(sizes: Sizes, style: str) -> list[Shape]:
    a, b, wall = sizes["major_axis"] / 2, sizes["minor_axis"] / 2, sizes["wall"]
    made: list[Shape] = []
    for off in (0.0, wall):
        x, y = a - off, b - off
        if min(x, y) <= 0:
            continue
        made.append(
            Path((("M", (-x, 0)), ("A", (x, y, 0, 0, 1, x, 0)), ("A", (x, y, 0, 0, 1, -x, 0)), ("Z", ())), style)
        )
    return made


def streamline_drawing(case: Case) -> Drawing | None:
    """Section of a streamline tube, drawn as an ellipse; None while an axis or the wall is missing."""
    keys = ("major_axis", "minor_axis", "wall")
    shapes, sizes, said = _both(case, keys, keys, _oval)
    if not shapes:
        return None
    a, b = sizes["major_axis"] / 2, sizes["minor_axis"] / 2
    marks: list[Shape] = [
        Dimension(-a, b * 1.5, a, b * 1.5, _mm(2 * a)),
        Dimension(a * 1.2, -b, a * 1.2, b, _mm(2 * b)),
    ]
    words = f"{said} {_mm(2 * a)} by {_mm(2 * b)}, wall {_mm(sizes['wall'])}; drawn as an ellipse, in truth sharper."
    return Drawing("Section of the streamline tube", words, (*shapes, *marks))


# ---- sheet: a bend seen from the end ----

_BENT = ("leg_a", "leg_b", "bend_radius", "thickness", "bend_angle")


def _bent(sizes: Sizes, style: str) -> list[Shape]:
    """Two legs and the bend between; the bend's outer tangent lies at the origin of both legs."""
    t, r = sizes["thickness"], sizes.get("bend_radius", 0.0)
    turn = radians(sizes.get("bend_angle", 90.0) or 90.0)
    back = tan(turn / 2) * (r + t) if turn < 3.1 else r + t
    first, second = max(sizes["leg_a"] - back, 0.1), max(sizes["leg_b"] - back, 0.1)
    # the first leg runs to the left along y = 0 (outside face), the bend turns upwards about (0, -(r + t))
    centre = (0.0, -(r + t))
    outer_end = (centre[0] + (r + t) * sin(turn), centre[1] + (r + t) * cos(turn))
    inner_end = (centre[0] + r * sin(turn), centre[1] + r * cos(turn))
    along = (cos(turn), -sin(turn))
    tip_out = (outer_end[0] + second * along[0], outer_end[1] + second * along[1])
    tip_in = (inner_end[0] + second * along[0], inner_end[1] + second * along[1])
    inner: Step = ("A", (r, r, 0, 0, 1, 0.0, -t)) if r > 0 else ("L", (0.0, -t))
    steps: tuple[Step, ...] = (
        ("M", (-first, 0.0)),
        ("L", (0.0, 0.0)),
        ("A", (r + t, r + t, 0, 0, 0, *outer_end)),
        ("L", tip_out),
        ("L", tip_in),
        ("L", inner_end),
        inner,
        ("L", (-first, -t)),
        ("Z", ()),
    )
    return [Path(steps, style)]


def bent_drawing(case: Case) -> Drawing | None:
    """End view of a bent sheet; None while a leg or the thickness is missing."""
    shapes, sizes, said = _both(case, _BENT, ("leg_a", "leg_b", "thickness"), _bent)
    if not shapes:
        return None
    first = sizes["leg_a"]
    marks: list[Shape] = [Dimension(-first, sizes["thickness"] * 4, 0, sizes["thickness"] * 4, _mm(first))]
    radius = f", inside radius {_mm(sizes['bend_radius'])}" if "bend_radius" in sizes else ", drawn with a sharp bend"
    blank = blank_length(case)
    made_of = f" As wanted: {blank}." if blank else ""
    words = f"{said} Legs {_mm(first)} and {_mm(sizes['leg_b'])}, sheet {_mm(sizes['thickness'])}{radius}.{made_of}"
    return Drawing("End view of the bend", words, (*shapes, *marks))


# ---- bar and timber ----


def _bar(sizes: Sizes, style: str) -> list[Shape]:
    if "across_flats" in sizes:
        r = sizes["across_flats"] / 2 / cos(radians(30))
        corners = [(r * cos(radians(60 * n)), r * sin(radians(60 * n))) for n in range(6)]
        return [polygon(*corners, style=style)]
    if "diameter" in sizes:
        return [Circle(0, 0, sizes["diameter"] / 2, style)]
    if "width" in sizes and ("height" in sizes or "thickness" in sizes):
        return [_box(sizes["width"], sizes.get("height") or sizes["thickness"], style)]
    return []


def _box(width: float, height: float, style: str) -> Path:
    w, h = width / 2, height / 2
    return polygon((-w, -h), (w, -h), (w, h), (-w, h), style=style)


def bar_drawing(case: Case) -> Drawing | None:
    """Section of round, hexagon or flat bar; None for other sections and while sizes are missing."""
    if case.wanted_word("section") in {"angle", "channel", "tee", "other"}:
        return None
    offered, wanted = _sizes(case, ("diameter", "across_flats", "width", "height", "thickness"))
    find, original = _bar(offered, "outline"), _bar(wanted, "before")
    if not (find or original):
        return None
    sizes = offered if find else wanted
    said = "The find in full line, the original dashed." if find and original else "To scale."
    listed = ", ".join(f"{key.replace('_', ' ')} {_mm(value)}" for key, value in sizes.items())
    shapes = [*original, *find] if find else _bar(wanted, "outline")
    return Drawing("Section of the bar", f"{said} {listed}.", tuple(shapes))


def timber_drawing(case: Case) -> Drawing | None:
    """Section of timber, with its plies where they are counted; None while the thickness is missing."""
    offered, wanted = _sizes(case, ("thickness", "width", "plies"))
    sizes = offered if "thickness" in offered else wanted
    thick = sizes.get("thickness")
    if not thick:
        return None
    width = sizes.get("width") or thick * 4
    plies = int(sizes.get("plies", 1)) or 1
    shapes: list[Shape] = [_box(width, thick, "outline")]
    for number in range(1, plies):
        y = -thick / 2 + thick * number / plies
        shapes.append(line((-width / 2, y), (width / 2, y)))
    shapes.append(Dimension(width / 2 * 1.1, -thick / 2, width / 2 * 1.1, thick / 2, _mm(thick)))
    counted = f", {plies} plies drawn even" if plies > 1 else ""
    told = "The find." if sizes is offered else "The original as wanted."
    shown = "" if "width" in sizes else " The width is not known and drawn freely."
    return Drawing("Section of the wood", f"{told} Thickness {_mm(thick)}{counted}.{shown}", tuple(shapes))
