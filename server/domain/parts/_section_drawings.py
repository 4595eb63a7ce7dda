"""Drawings of fasteners and bushes in section, and of two thread forms over each other."""

from fractions import Fraction
from math import radians, tan

from server.domain.drawing import Dimension, Drawing, Label, Path, Shape, line, polygon
from server.domain.parts._bolts import with_numbers_read
from server.domain.parts._kit import Case, Draw
from server.domain.parts._threads import offered_thread, wanted_threads
from server.domain.quantities import Kind, write_value
from server.domain.threads import Thread, differences, root_diameter

TURNS = 5
PROFILE_WIDTH = 40.0
"""Width in mm that five turns of the wanted thread are enlarged to."""
GAP = 6.0
_COINCIDE = "The two thread forms coincide: one line is both."


def thread_shapes(wanted: Thread | None, offered: Thread | None, top: float) -> tuple[Shape, ...]:
    """Both thread forms over each other, first crest on first crest, enlarged; flats in place of roundings.

    Empty where not even one form can be drawn. `top` is where the figure begins, mm.
    """
    drawn = [
        (thread, style)
        for thread, style in ((wanted, "before"), (offered, "outline"))
        if thread is not None and _can_draw(thread)
    ]
    if not drawn:
        return ()
    first = drawn[0][0]
    assert first.pitch is not None
    scale = PROFILE_WIDTH / (TURNS * float(first.pitch))
    reach = TURNS * float(first.pitch)
    # both hang from the larger crest, so that a difference of diameter is seen at the crest
    largest = max(float(thread.major or 0) for thread, _ in drawn) / 2
    shapes: list[Shape] = [_profile(thread, reach, largest, scale, top, style) for thread, style in drawn]
    names = " over ".join(str(thread) for thread, _ in drawn)
    said = f"{names}, {scale:.0f} times enlarged{'; the two coincide' if _coincide(wanted, offered) else ''}"
    shapes.append(Label(PROFILE_WIDTH / 2, top + GAP + scale * float(first.pitch), said))
    return tuple(shapes)


def _coincide(wanted: Thread | None, offered: Thread | None) -> bool:
    """Would both profiles be one line, so that a reader looks for the second?"""
    if wanted is None or offered is None or not _can_draw(wanted) or not _can_draw(offered):
        return False
    ours, theirs = ((one.pitch, one.angle, one.major, root_diameter(one)) for one in (wanted, offered))
    return ours == theirs


def _can_draw(thread: Thread) -> bool:
    return thread.angle is not None and thread.pitch is not None and root_diameter(thread) is not None


def _profile(thread: Thread, reach: float, largest: float, scale: float, top: float, style: str) -> Path:
    assert thread.angle is not None
    assert thread.pitch is not None
    assert thread.major is not None
    root = root_diameter(thread)
    assert root is not None
    pitch, crest = float(thread.pitch), largest - float(thread.major) / 2
    depth = float(thread.major - root) / 2
    flank = depth * tan(radians(float(thread.angle) / 2))
    flat = (pitch - 2 * flank) / 2
    points: list[tuple[float, float]] = []
    at = -flat / 2
    while at < reach:
        points += [
            (at, crest),
            (at + flat, crest),
            (at + flat + flank, crest + depth),
            (at + 2 * flat + flank, crest + depth),
        ]
        at += pitch
    return line(*((x * scale, top + y * scale) for x, y in points if x <= reach), style=style)


def thread_drawing(*keys: str) -> Draw:
    """Draws two threads over each other: the first pair of these characteristics that differs, else the first."""

    def draw(case: Case) -> Drawing | None:
        pairs = [(wanted_threads(case, key)[0], offered_thread(case, key)) for key in keys]
        known = [(ours[0] if ours else None, theirs) for ours, theirs in pairs]
        apart = [(ours, theirs) for ours, theirs in known if ours and theirs and differences(ours, theirs)]
        for ours, theirs in (*apart, *known):
            drawing = _thread_pair(ours, theirs)
            if drawing is not None:
                return drawing
        return None

    return draw


def _thread_pair(ours: Thread | None, theirs: Thread | None) -> Drawing | None:
    shapes = thread_shapes(ours, theirs, 0.0)
    if not shapes:
        return None
    said = [f"Wanted {ours}: {ours.sizes}."] if ours else []
    said += [f"Offered {theirs}: {theirs.sizes}."] if theirs else []
    said += [_COINCIDE] if _coincide(ours, theirs) else []
    return Drawing("Thread forms over each other", " ".join(said), shapes)


def bolt_drawing(case: Case) -> Drawing | None:
    """Original and find under each other to scale, the stack about them, and their threads enlarged."""
    case = with_numbers_read(case)
    shapes: list[Shape] = []
    said: list[str] = []
    y = 0.0
    for is_wanted, style in ((True, "before"), (False, "outline")):
        sizes = _sizes(case, is_wanted, ("shank_diameter", "grip", "length_under_head", "across_flats", "head_height"))
        view = _bolt_view(sizes, y, style)
        if not view:
            continue
        name = "Original" if is_wanted else "Find"
        shapes += view
        said.append(f"{name}: shank {_mm(sizes['shank_diameter'])}, grip {_mm(sizes['grip'])}.")
        shank = float(sizes["shank_diameter"] or 0)
        shapes.append(Label(_bolt_end(sizes) + 3, y + shank, name, "start"))
        y += 2 * shank + GAP
    if shapes:
        stack = _stack(case, y)
        shapes += stack
        y += GAP if stack else 0
    wanted, _ = wanted_threads(case, "thread")
    offered = offered_thread(case, "thread")
    threads = thread_shapes(wanted[0] if wanted else None, offered, y + GAP)
    if not shapes and not threads:
        return None
    said.append("The heads are drawn in proportion where they were not measured." if shapes else "")
    if wanted:
        said.append(f"Wanted thread {wanted[0]}: {wanted[0].sizes}.")
        said.append(_COINCIDE if _coincide(wanted[0], offered) else "")
    return Drawing("Bolt to scale, threads enlarged", " ".join(part for part in said if part), (*shapes, *threads))


def _sizes(case: Case, is_wanted: bool, keys: tuple[str, ...]) -> dict[str, Fraction | None]:
    return {key: case.wanted_size(key) if is_wanted else case.size(key) for key in keys}


def _mm(value: Fraction | None) -> str:
    return "not known" if value is None else write_value(value, Kind.LENGTH)


def _bolt_view(sizes: dict[str, Fraction | None], y: float, style: str) -> list[Shape]:
    shank, grip = sizes["shank_diameter"], sizes["grip"]
    if shank is None or grip is None:
        return []
    d, g = float(shank), float(grip)
    whole = _bolt_end(sizes)
    width = float(sizes["across_flats"] or Fraction(3, 2) * shank)
    height = float(sizes["head_height"] or shank * Fraction(6, 10))
    middle = y + d
    return [
        polygon(
            (-height, middle - width / 2),
            (0, middle - width / 2),
            (0, middle + width / 2),
            (-height, middle + width / 2),
            style=style,
        ),
        polygon(
            (0, middle - d / 2), (whole, middle - d / 2), (whole, middle + d / 2), (0, middle + d / 2), style=style
        ),
        line((g, middle - d / 2), (g, middle + d / 2), style="thin"),
        line((g, middle - 0.4 * d), (whole, middle - 0.4 * d), style="thin"),
        line((g, middle + 0.4 * d), (whole, middle + 0.4 * d), style="thin"),
        line((-height - 2, middle), (whole + 2, middle), style="centre"),
        Dimension(0, middle + width / 2, g, middle + width / 2, f"grip {_mm(grip)}"),
    ]


def _bolt_end(sizes: dict[str, Fraction | None]) -> float:
    """How far the bolt reaches from under its head, mm; two diameters of thread where that is not known."""
    length = sizes["length_under_head"]
    return float(length if length is not None else (sizes["grip"] or 0) + 2 * (sizes["shank_diameter"] or 0))


def _stack(case: Case, bottom: float) -> list[Shape]:
    joint = case.wanted.joint
    if joint is None or joint.grip is None:
        return []
    shapes: list[Shape] = []
    x = 0.0
    for number, ply in enumerate(joint.plies):
        assert ply.thickness is not None
        assert ply.thickness.value is not None
        end = x + float(ply.thickness.value)
        hatch = "hatch-a" if number % 2 == 0 else "hatch-b"
        shapes.append(polygon((x, bottom), (end, bottom), (end, bottom + 3), (x, bottom + 3), style=hatch))
        x = end
    shapes.append(Dimension(0, bottom + 3, x, bottom + 3, f"stack {_mm(joint.grip)}"))
    return shapes


def bush_drawing(case: Case) -> Drawing | None:
    """Original and find of a bush, spacer or bearing ring side by side in half section, to scale."""
    shapes: list[Shape] = []
    said: list[str] = []
    x = 0.0
    long_key = "length_over_all" if case.part_class.characteristic("length_over_all") else "width"
    for is_wanted, hatch in ((True, "hatch-a"), (False, "hatch-b")):
        sizes = _sizes(case, is_wanted, ("bore", "outside_diameter", long_key))
        bore, outside, long = sizes["bore"], sizes["outside_diameter"], sizes[long_key]
        if bore is None or outside is None or long is None or outside <= bore:
            continue
        b, o, whole = float(bore) / 2, float(outside) / 2, float(long)
        for near, far in ((-o, -b), (b, o)):
            shapes.append(polygon((x, near), (x + whole, near), (x + whole, far), (x, far), style=hatch))
        shapes.append(line((x - 2, 0), (x + whole + 2, 0), style="centre"))
        shapes.append(Dimension(x, o, x + whole, o, _mm(long)))
        name = "Original" if is_wanted else "Find"
        shapes.append(Label(x + whole / 2, -o - 2, name))
        said.append(f"{name}: bore {_mm(bore)}, outside {_mm(outside)}, length {_mm(long)}.")
        x += whole + 2 * GAP
    return Drawing("Section to scale", " ".join(said), tuple(shapes)) if shapes else None


def pin_drawing(case: Case) -> Drawing | None:
    """Original and find of a pin under each other, to scale; a taper pin with its taper."""
    shapes: list[Shape] = []
    said: list[str] = []
    y = 0.0
    keys = ("shank_diameter", "small_end_diameter", "large_end_diameter", "length_over_all", "length_under_head")
    for is_wanted, style in ((True, "before"), (False, "outline")):
        sizes = _sizes(case, is_wanted, keys)
        large = sizes["large_end_diameter"] or sizes["shank_diameter"] or sizes["small_end_diameter"]
        small = sizes["small_end_diameter"] or sizes["shank_diameter"] or large
        long = sizes["length_under_head"] or sizes["length_over_all"]
        if large is None or small is None or long is None:
            continue
        wide, narrow, whole = float(large) / 2, float(small) / 2, float(long)
        middle = y + wide
        ends = ((0.0, middle - wide), (whole, middle - narrow), (whole, middle + narrow), (0.0, middle + wide))
        shapes.append(polygon(*ends, style=style))
        shapes.append(line((-2, middle), (whole + 2, middle), style="centre"))
        name = "Original" if is_wanted else "Find"
        shapes.append(Label(0.0, middle + wide + 2, name, "start"))
        said.append(f"{name}: {_mm(large)} to {_mm(small)} over {_mm(long)}.")
        y = middle + wide + GAP
    return Drawing("Pin to scale", " ".join(said), tuple(shapes)) if shapes else None
