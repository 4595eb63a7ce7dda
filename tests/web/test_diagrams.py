"""Drawings as SVG: words keep inside the picture; the measure of a letter is the renderer's own."""

import re

import pytest

from server.domain.drawing import Dimension, Drawing, polygon
from server.web.diagrams import LETTER, draw


@pytest.mark.parametrize("x", [-1.1, 1.1])
def test_the_words_of_an_upright_dimension_keep_inside(x: float) -> None:
    box = polygon((-1, -1), (1, -1), (1, 1), (-1, 1))
    svg = str(draw(Drawing("Box", "A box.", (box, Dimension(x, -1, x, 1, "1234.5 mm"))), "d"))
    found = re.search(r'viewBox="0 0 ([0-9.]+) ', svg)
    word = re.search(r'<text class="([^"]*)" x="([0-9.-]+)"', svg)
    assert found is not None
    assert word is not None
    at, length = float(word[2]), len("1234.5 mm") * LETTER
    start = at - length if "end" in word[1] else at
    assert start >= 0
    assert start + length <= float(found[1])
