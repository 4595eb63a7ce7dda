"""The joint in section, to scale: the original and the offered rivet side by side, before and after setting.

Sheets lie flat, the made head is on top; y counts downwards from where the
grip begins (under a protruding head, at the outer face of a countersunk one).
Sizes nobody gave are drawn by usual proportions, and the description says so.
"""

from dataclasses import dataclass, field
from fractions import Fraction
from math import radians, tan

from server.domain import joints
from server.domain.drawing import Dimension, Drawing, Label, Path, Shape, extent_of, line, polygon
from server.domain.parts._kit import Case, PartClass
from server.domain.parts._rivet_profiles import Point, formed_end, head_profile, usual_head
from server.domain.parts._rivet_setting import allowance_for, offered_length
from server.domain.parts._rivets import BLIND, FLUSH_HEADS, SOLID, TUBULAR
from server.domain.quantities import Kind, write_value
from server.domain.specification import Joint


@dataclass(slots=True)
class Section:
    """One rivet as it is drawn, sizes in mm; None where not known."""

    title: str
    kind: str
    name: str
    body: float
    length: float | None
    head: str
    head_diameter: float
    head_height: float
    half_angle: float
    bore: float
    solid: float
    assumed: list[str] = field(default_factory=list)

    @property
    def is_flush(self) -> bool:
        """True for a countersunk head."""
        return self.head in FLUSH_HEADS


def draw(case: Case) -> tuple[Drawing, ...]:
    """The joint in section with what is known, a view for each rivet at one scale; none where no body diameter is."""
    joint = case.wanted.joint if case.wanted.joint and case.wanted.joint.grip is not None else None
    sections = [one for one in (_original(case), _offered(case)) if one is not None]
    panels = [tuple(_panel(case, section, joint, 0.0)) for section in sections]
    frame = extent_of(shape for panel in panels for shape in panel)
    stack = _stack_said(joint)
    return tuple(
        Drawing(f"Joint in section, {section.title}", f"{stack} {_section_said(case, section, joint)}", panel, frame)
        for section, panel in zip(sections, panels, strict=True)
    )


def _half_width(section: Section) -> float:
    return max(2.0 * section.body, section.head_diameter * 0.75)


def _original(case: Case) -> Section | None:
    body = case.wanted_size("body_diameter")
    if body is None:
        return None
    head = case.wanted_word("head_style")
    under, over = case.wanted_size("length_under_head"), case.wanted_size("length_over_all")
    sizes = {key: case.wanted_size(key) for key in _SIZES}
    return _section("Original", case.part_class, body, over if head in FLUSH_HEADS else under, head, sizes)


def _offered(case: Case) -> Section | None:
    body = case.size("body_diameter")
    if body is None or not case.offered_class.has_joint:
        return None
    length, _, _ = offered_length(case)
    sizes = {key: case.size(key) for key in _SIZES}
    value = length.value if length else None
    return _section("Offered", case.offered_class, body, value, case.word("head_style"), sizes)


_SIZES = ("head_diameter", "head_height", "head_angle", "bore_diameter", "bore_depth", "wall")


def _section(
    title: str,
    kind: PartClass,
    body: Fraction,
    length: Fraction | None,
    head: str,
    sizes: dict[str, Fraction | None],
) -> Section:
    known = {key: float(value) for key, value in sizes.items() if value is not None}
    d = float(body)
    usual = usual_head(head, d)
    assumed = []
    if not head:
        assumed.append("the head's form")
    if "head_diameter" not in known or ("head_height" not in known and head not in FLUSH_HEADS):
        assumed.append("the head's size")
    if head in FLUSH_HEADS and "head_angle" not in known:
        assumed.append("a cone of 100°")
    bore, solid = _bore_of(kind.key, body, length, known, assumed)
    return Section(
        title=f"{title}: {kind.name}",
        kind=kind.key,
        name=kind.name,
        body=d,
        length=None if length is None else float(length),
        head=head,
        head_diameter=known.get("head_diameter", usual[0]),
        head_height=known.get("head_height", usual[1]),
        half_angle=known.get("head_angle", 100.0) / 2,
        bore=bore,
        solid=solid,
        assumed=assumed,
    )


def _bore_of(
    kind: str, body: Fraction, length: Fraction | None, known: dict[str, float], assumed: list[str]
) -> tuple[float, float]:
    """Bore diameter, and how far the shank is solid under the head (0: hollow throughout)."""
    d = float(body)
    if kind in {SOLID, "split_rivet"}:
        return 0.0, float(length or 0)
    bore = known.get("bore_diameter", d - 2 * known["wall"] if "wall" in known else 0.0)
    if not bore:
        bore = 0.7 * d
        assumed.append("the bore's diameter")
    if kind in {TUBULAR, BLIND} or length is None:
        return bore, 0.0
    if "bore_depth" not in known:
        assumed.append("the bore's depth")
    printed = joints.semi_tubular_bore_depths(body)
    depth = known.get("bore_depth", float(printed[0][1]) if printed else 0.8 * d)
    return bore, max(0.0, float(length) - depth)


def _panel(case: Case, section: Section, joint: Joint | None, x: float) -> list[Shape]:
    half = _half_width(section)
    grip = float(joint.grip) if joint and joint.grip is not None else None
    shapes: list[Shape] = [Label(x, -section.head_height - section.body * 0.9 - 1, section.title)]
    hole = section.body
    if joint and joint.hole and joint.hole.value is not None:
        hole = max(float(joint.hole.value), section.body)
    if joint:
        shapes += _sheets(section, joint, x, half, hole)
    if section.length is not None:
        shapes.append(
            _mirrored(x, [*_head(section), (section.body / 2, section.length), (0, section.length)], "before")
        )
        if section.bore:
            b, top = section.bore / 2, section.solid
            shapes.append(
                line((x - b, section.length), (x - b, top), (x + b, top), (x + b, section.length), style="before")
            )
    if grip is not None:
        shapes += _set_rivet(case, section, x, grip, hole)
        shapes.append(Dimension(x - half, 0, x - half, grip, f"grip {_mm(grip)}"))
    bottom = max(section.length or 0, (grip or 0) + section.body)
    shapes.append(line((x, -section.head_height * 1.3 - 0.5), (x, bottom + section.body * 0.4), style="centre"))
    shapes.append(
        Dimension(x - section.body / 2, bottom + 1, x + section.body / 2, bottom + 1, f"⌀ {_mm(section.body)}")
    )
    if section.length is not None and grip is not None and section.length > grip:
        side = x + section.body * 1.3
        shapes.append(Dimension(side, grip, side, section.length, f"stick-out {_mm(section.length - grip)}"))
    return shapes


def _head(section: Section) -> list[Point]:
    return head_profile(section.head, section.body, section.head_diameter, section.head_height, section.half_angle)


def _sheets(section: Section, joint: Joint, x: float, half: float, hole: float) -> list[Shape]:
    shapes: list[Shape] = []
    y = 0.0
    for number, ply in enumerate(joint.plies):
        assert ply.thickness is not None
        assert ply.thickness.value is not None
        below = y + float(ply.thickness.value)
        edge: list[Point] = [(hole / 2, y), (hole / 2, below)]
        if section.is_flush and number == 0:
            cone = min(below, (section.head_diameter - hole) / 2 * _cotangent(section.half_angle))
            at_bottom = max(hole / 2, section.head_diameter / 2 - cone / _cotangent(section.half_angle))
            edge = [(section.head_diameter / 2, 0.0), (at_bottom, cone), (at_bottom, below)]
        style = "hatch-a" if number % 2 == 0 else "hatch-b"
        for sign in (-1, 1):
            outer = x + sign * half
            shapes.append(
                polygon((outer, y), *((x + sign * r, level) for r, level in edge), (outer, below), style=style)
            )
        name = ply.name or f"sheet {number + 1}"
        shapes.append(Label(x + half + 0.5, (y + below) / 2, f"{name} {_mm(below - y)}", "start"))
        y = below
    return shapes


def _cotangent(half_angle: float) -> float:
    return 1 / tan(radians(half_angle))


def _set_rivet(case: Case, section: Section, x: float, grip: float, hole: float) -> list[Shape]:
    """The rivet after setting, as predicted; nothing where its length isn't known or it doesn't come through."""
    if section.length is None or section.length <= grip:
        return []
    stick_out = section.length - grip
    height = _driven_height(section, grip, hole)
    tail_is_flush = section.kind == SOLID and case.wanted_word("tail_form") == "flush"
    end = formed_end(section.kind, section.body, grip, stick_out, section.bore, height, flush=tail_is_flush)
    head = _head(section)
    if section.kind in {TUBULAR, BLIND}:
        b = section.bore / 2
        rim = [(max(r, b), level) for r, level in head]
        inner = [*rim, *end, (b, rim[0][1])]
        return [polygon(*((x + sign * r, level) for r, level in inner), style="outline") for sign in (-1, 1)]
    shank: list[Point] = [(hole / 2, grip)] if section.kind == SOLID else []
    tail: list[Point] = [(section.bore / 2, section.solid), (0, section.solid)] if section.bore else []
    return [_mirrored(x, [*head, *shank, *end, *tail], "outline")]


def _driven_height(section: Section, grip: float, hole: float) -> float:
    """Height of the driven head 1.5 D wide, by volume."""
    if section.kind != SOLID or section.length is None:
        return 0.0
    wide = 1.5 * section.body
    volume = (section.length - grip) * section.body**2 - grip * (hole**2 - section.body**2)
    return max(0.0, volume / wide**2)


def _mirrored(x: float, right: list[Point], style: str) -> Path:
    """A closed body of revolution about x from its right half, drawn from the axis on top to the axis below."""
    left = [(-r, level) for r, level in reversed(right) if r > 0]
    return polygon(*((x + r, level) for r, level in [*right, *left]), style=style)


def _stack_said(joint: Joint | None) -> str:
    if joint is None:
        return "The sheets it goes through are not known; the rivets are drawn alone, to scale."
    sheets = "; ".join(
        f"{ply.name or f'sheet {number}'} {write_value(ply.thickness.value, Kind.LENGTH)} {ply.material}".strip()
        for number, ply in enumerate(joint.plies, 1)
        if ply.thickness is not None and ply.thickness.value is not None
    )
    assert joint.grip is not None
    hole = ""
    if joint.hole and joint.hole.value is not None:
        hole = f" The hole is {write_value(joint.hole.value, Kind.LENGTH)}."
    return (
        f"Section to scale, made head on top. From the head inwards: {sheets};"
        f" together a grip of {write_value(joint.grip, Kind.LENGTH)}.{hole}"
    )


def _section_said(case: Case, section: Section, joint: Joint | None) -> str:
    head = section.head.replace("_", " ") or "unknown"
    said = [f"{section.title}: body {_mm(section.body)}, {head} head"]
    if section.length is None:
        said.append("length not known, so it is not drawn set")
    else:
        said.append(f"{_mm(section.length)} {'over all' if section.is_flush else 'under the head'}")
    grip = float(joint.grip) if joint and joint.grip is not None else None
    if grip is not None and section.length is not None:
        said.append(_stick_out_said(case, section, grip, joint))
    if section.assumed:
        said.append(f"not given and drawn by usual proportions: {', '.join(section.assumed)}")
    return "; ".join(said) + "."


def _stick_out_said(case: Case, section: Section, grip: float, joint: Joint | None) -> str:
    assert section.length is not None
    stick_out = section.length - grip
    if stick_out <= 0:
        return f"it ends {_mm(-stick_out)} short of the far side"
    said = f"it sticks out {_mm(stick_out)}, {stick_out / section.body:.2f} D"
    if section.kind == SOLID:
        hole = section.body
        if joint and joint.hole and joint.hole.value is not None:
            hole = max(hole, float(joint.hole.value))
        height = _driven_height(section, grip, hole)
        said += f", enough for a driven head {_mm(1.5 * section.body)} wide and {_mm(height)} high"
    if section.solid and section.bore:
        said += f"; its shank is solid for {_mm(section.solid)} under the head"
    if section.kind == case.offered_class.key and section.title.startswith("Offered") and joint and joint.grip:
        needs = allowance_for(case, Fraction(section.body).limit_denominator(10**6), joint.grip)
        if needs is not None and section.kind != BLIND:
            fits = float(needs.low) - 1e-6 <= stick_out <= float(needs.high) + 1e-6
            said += f"; it needs {_mm(float(needs.low))} to {_mm(float(needs.high))}, so it is " + (
                "long enough and not too long" if fits else "too short" if stick_out < float(needs.low) else "too long"
            )
    return said


def _mm(value: float) -> str:
    return write_value(Fraction(value).limit_denominator(10**6), Kind.LENGTH, 2)
