"""Outlines to scale: a circle is as wide as its size, and what is not known is not drawn (own rule)."""

import pytest

from server.domain.drawing import Circle, Drawing, Path
from server.domain.offer import Offered
from server.domain.parts import part_class, part_classes
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Case
from server.domain.quantities import Quantity
from server.domain.specification import Wanted

SHAPELESS = {"terminal_block", "leathercloth", "paint_finish"}
"""Classes of which no size tells a shape."""


def drawn(key: str, wanted: dict[str, str], offered: dict[str, str]) -> Drawing | None:
    one = part_class(key)

    def of(name: str, text: str) -> Quantity:
        kind = one.by_key[name].kind
        assert kind is not None
        return size(kind, text)

    needs = tuple(wants(name, of(name, text)) for name, text in wanted.items())
    said = tuple(measures(name, of(name, text)) for name, text in offered.items())
    assert one.draw is not None
    made = one.draw(Case(Wanted(key, needs), Offered(key, said), one, one))
    assert made is None or isinstance(made, Drawing)
    return made


def circles(made: Drawing | None, style: str) -> list[float]:
    assert made is not None
    return sorted(2 * one.radius for one in made.shapes if isinstance(one, Circle) and one.style == style)


def test_every_class_with_a_shape_is_drawn() -> None:
    assert {key for key, one in part_classes().items() if one.draw is None} == SHAPELESS


def test_rings_are_as_wide_as_their_sizes() -> None:
    sizes = {"bore": "3.75", "outside_diameter": "7.9"}
    made = drawn("washer", sizes, {"bore": "4.1", "outside_diameter": "9.0"})
    assert circles(made, "before") == pytest.approx([3.75, 7.9])
    assert circles(made, "outline") == pytest.approx([4.1, 9.0])
    assert made is not None
    assert "Original, dashed: bore 3.75" in made.description
    assert "Find, full line: bore 4.1" in made.description


def test_an_unknown_size_is_left_out() -> None:
    assert circles(drawn("hose", {"bore": "6.35"}, {}), "before") == pytest.approx([6.35])
    assert circles(drawn("hose", {"bore": "6.35"}, {}), "outline") == []
    assert drawn("hose", {}, {}) is None
    assert drawn("placard", {"width_over_all": "80"}, {"height_over_all": "20"}) is None


def test_a_box_has_both_its_sides() -> None:
    made = drawn("placard", {"width_over_all": "80", "height_over_all": "20"}, {})
    assert made is not None
    (box,) = [one for one in made.shapes if isinstance(one, Path) and one.style == "before"]
    corners = [point for name, point in box.steps if name in "ML"]
    assert {x for x, _ in corners} == {-40.0, 40.0}
    assert {y for _, y in corners} == {-10.0, 10.0}


def test_a_spring_shows_its_turns_where_they_are_counted() -> None:
    sizes = {"free_length": "50", "coil_outside_diameter": "10", "wire_diameter": "1"}
    turns = circles(drawn("spring", {}, sizes | {"active_turns": "8"}), "outline")
    assert len(turns) == 9 + 8
    assert turns == pytest.approx([1.0] * 17)
    assert circles(drawn("spring", {}, sizes), "outline") == []  # a box: nobody counted
    # sixty turns of 1 mm don't go into 50 mm: nothing is drawn that can't be
    assert circles(drawn("spring", {}, sizes | {"active_turns": "60"}), "outline") == []


def test_chains_are_laid_on_their_first_roller() -> None:
    made = drawn("chain", {"pitch": "9.525", "roller_diameter": "6.35"}, {"pitch": "12.7", "roller_diameter": "7.75"})
    assert made is not None
    assert [one.x for one in made.shapes if isinstance(one, Circle)] == pytest.approx([0, 9.525, 0, 12.7])
