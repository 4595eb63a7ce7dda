"""The joint in section: to scale from the numbers, and told in words. Checked against geometry and constant volume."""

from fractions import Fraction
from itertools import pairwise
from math import isfinite, pi
from typing import Any

import pytest

from server.domain.drawing import Dimension, Drawing, Label, Path
from server.domain.offer import Offered
from server.domain.parts import part_class
from server.domain.parts._kit import Case
from server.domain.parts._rivet_profiles import Point, head_profile
from server.domain.specification import Wanted
from server.domain.tables.read import read_table
from tests.domain.rivet_builders import degrees, find, inch, joint, mm, need

KINDS = ("solid_rivet", "semi_tubular_rivet", "tubular_rivet", "split_rivet", "blind_rivet")
STACK = joint(mm("1"), mm("1.5"), hole=mm("3.3"))


def drawing(wanted: Wanted, offered: Offered) -> Drawing | None:
    draw = part_class(wanted.part_class).draw
    assert draw is not None
    figures = draw(Case(wanted, offered, part_class(wanted.part_class), part_class(offered.part_class)))
    assert isinstance(figures, tuple)
    if not figures:
        return None
    assert len({figure.frame for figure in figures}) == 1, "views that belong together have one scale"
    return Drawing(
        " and ".join(figure.title for figure in figures),
        " ".join(figure.description for figure in figures),
        tuple(shape for figure in figures for shape in figure.shapes),
    )


def drawn(wanted: Wanted, offered: Offered) -> Drawing:
    found = drawing(wanted, offered)
    assert found is not None
    return found


def points(path: Path) -> list[Point]:
    return [(numbers[-2], numbers[-1]) for _, numbers in path.steps if numbers]


def paths(figure: Drawing, style: str) -> list[list[Point]]:
    return [points(shape) for shape in figure.shapes if isinstance(shape, Path) and shape.style == style]


def volume_of(half: list[Point]) -> float:
    """Volume of the body of revolution about x = 0 whose right half this closed line is (Pappus), in mm³."""
    ring = [*half, half[0]]
    return abs(sum((x1**2 + x1 * x2 + x2**2) * (y2 - y1) for (x1, y1), (x2, y2) in pairwise(ring))) * pi / 3


def right_half(path: list[Point]) -> list[Point]:
    centre = (min(x for x, _ in path) + max(x for x, _ in path)) / 2
    return [(x - centre, y) for x, y in path if x >= centre - 1e-9]


def solid(**more: Any) -> Offered:
    return find("solid_rivet", head_style="round", body_diameter=mm("3.2"), length_under_head=mm("6.5"), **more)


WANTED = need("solid_rivet", STACK, head_style="universal", body_diameter=mm("3.2"), length_under_head=mm("7"))


def test_original_and_offered_stand_side_by_side_before_and_after() -> None:
    figure = drawn(WANTED, solid())
    assert len(paths(figure, "before")) == 2
    assert len(paths(figure, "outline")) == 2
    titles = [shape.text for shape in figure.shapes if isinstance(shape, Label)]
    assert "Original: Rivet, solid" in titles
    assert "Offered: Rivet, solid" in titles


def test_sheets_are_drawn_in_their_own_thickness_and_hatched_in_turn() -> None:
    figure = drawn(WANTED, solid())
    for style, thickness in (("hatch-a", 1.0), ("hatch-b", 1.5)):
        for sheet in paths(figure, style):
            levels = [y for _, y in sheet]
            assert max(levels) - min(levels) == pytest.approx(thickness)


def test_the_hole_in_the_drawing_is_the_hole_in_the_work() -> None:
    left, right = paths(drawn(WANTED, solid()), "hatch-a")[:2]
    assert min(x for x, _ in right) - max(x for x, _ in left) == pytest.approx(3.3)


def test_dimensions_say_grip_stick_out_and_diameter() -> None:
    figure = drawn(WANTED, solid())
    said = {shape.text.replace("\u202f", " ") for shape in figure.shapes if isinstance(shape, Dimension)}
    assert {"grip 2.5 mm", "stick-out 4 mm", "stick-out 4.5 mm", "⌀ 3.2 mm"} <= said
    lengths = [
        shape.y2 - shape.y1
        for shape in figure.shapes
        if isinstance(shape, Dimension) and shape.text.startswith("stick-out")
    ]
    assert sorted(lengths) == pytest.approx([4.0, 4.5])


def test_driving_moves_metal_and_makes_none() -> None:
    # constant volume: the rivet set fills hole and driven head with what it was before
    figure = drawn(WANTED, solid())
    for before, after in zip(paths(figure, "before"), paths(figure, "outline"), strict=True):
        assert volume_of(right_half(after)) == pytest.approx(volume_of(right_half(before)), rel=0.01)


def test_every_rivet_is_drawn_symmetrical() -> None:
    for path in paths(drawn(WANTED, solid()), "outline"):
        centre = (min(x for x, _ in path) + max(x for x, _ in path)) / 2
        mirrored = {(round(2 * centre - x, 6), round(y, 6)) for x, y in path}
        assert mirrored == {(round(x, 6), round(y, 6)) for x, y in path}


@pytest.mark.parametrize("wanted_kind", KINDS)
@pytest.mark.parametrize("offered_kind", KINDS)
def test_every_kind_is_drawn_against_every_other(wanted_kind: str, offered_kind: str) -> None:
    wanted = need(wanted_kind, STACK, head_style="oval", body_diameter=mm("3.1"), length_under_head=mm("4.5"))
    offered = find(offered_kind, head_style="flat", body_diameter=mm("3"), length_under_head=mm("4.4"))
    figure = drawn(wanted, offered)
    assert part_class(offered_kind).name in figure.description
    for shape in figure.shapes:
        if isinstance(shape, Path):
            assert all(isfinite(number) for _, numbers in shape.steps for number in numbers)


def test_the_description_stands_alone() -> None:
    said = drawn(WANTED, solid()).description.replace("\u202f", " ")
    for words in ("made head on top", "sheet 1 1 mm", "grip of 2.5 mm", "The hole is 3.3 mm", "Original: Rivet, solid",
                  "6.5 mm under the head", "sticks out 4 mm, 1.25 D", "long enough"):  # fmt: skip
        assert words in said


def test_the_description_names_what_was_drawn_by_proportion() -> None:
    assert "usual proportions: the head's size" in drawn(WANTED, solid()).description
    sized = solid(head_diameter=mm("6"), head_height=mm("2"))
    assert drawn(WANTED, sized).description.count("usual proportions") == 1


def test_a_rivet_that_ends_in_the_work_is_drawn_unset_and_said_so() -> None:
    short = find("solid_rivet", head_style="round", body_diameter=mm("3.2"), length_under_head=mm("2"))
    figure = drawn(WANTED, short)
    assert len(paths(figure, "outline")) == 1
    assert "short of the far side" in figure.description


def test_without_a_stack_the_rivets_stand_alone() -> None:
    figure = drawn(need("solid_rivet", None, body_diameter=mm("3.2")), solid())
    assert not paths(figure, "hatch-a")
    assert "not known" in figure.description


def test_without_any_diameter_there_is_no_drawing() -> None:
    assert drawing(need("solid_rivet", STACK), Offered("solid_rivet")) is None


def test_a_countersunk_head_lies_in_its_sheet() -> None:
    # 100° countersunk: depth 0.4195 (A - D) (geometry; 1 / (2 tan 50°))
    flush = find("solid_rivet", head_style="countersunk", head_angle=degrees("100"), head_diameter=mm("5.7"),
                 body_diameter=mm("3.2"), length_over_all=mm("6.5"))  # fmt: skip
    profile = head_profile("countersunk", 3.2, 5.7, 1, 50)
    assert profile[-1][1] == pytest.approx(0.4195 * 2.5, abs=0.001)
    figure = drawn(WANTED, flush)
    assert min(y for _, y in paths(figure, "outline")[1]) == pytest.approx(0)


BUTTONS = [row for row in read_table("rivets_heads") if row["head"] in {"round", "truss"} and row["crown_radius_in"]]


@pytest.mark.parametrize("row", BUTTONS, ids=lambda row: f"{row['head']} {row['d_frac_in']}")
def test_drawn_domes_have_the_standards_crown_radius(row: dict[str, str]) -> None:
    # ANSI B18.1.1 in Machinery's Handbook 31st ed.: crown radius R against the radius of the drawn cap. Standard
    # button heads are a little more than that cap, truss heads stand on a land; so within a quarter.
    wide, high = float(row["head_dia_in"]), float(row["head_height_in"])
    drawn_radius = (wide**2 / 4 + min(high, wide / 2) ** 2) / (2 * min(high, wide / 2))
    assert drawn_radius == pytest.approx(float(row["crown_radius_in"]), rel=0.25)
    profile = head_profile("round", float(Fraction(row["d_frac_in"])), wide, high, 45)
    assert min(y for _, y in profile) == pytest.approx(-min(high, wide / 2))
    assert max(x for x, _ in profile) == pytest.approx(wide / 2)


def test_a_semi_tubular_rivet_shows_where_its_bore_ends() -> None:
    offered = find("semi_tubular_rivet", head_style="oval", body_diameter=inch("0.120"), length_under_head=mm("4.4"),
                   bore_diameter=mm("2.2"), bore_depth=mm("2.4"))  # fmt: skip
    figure = drawn(need("semi_tubular_rivet", STACK, body_diameter=inch("0.120")), offered)
    assert "solid for 2 mm under the head" in figure.description.replace("\u202f", " ")
    bores = [path for path in paths(figure, "before") if len(path) == 4]
    assert any(min(y for _, y in bore) == pytest.approx(2.0) for bore in bores)
