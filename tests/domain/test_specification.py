"""Which serials and side a requirement holds for, and which two can hold at once. Own rules throughout."""

import pytest

from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Statement
from server.domain.quantities import Kind
from server.domain.reading import read_quantity
from server.domain.specification import (
    Form,
    Known,
    KnownFrom,
    Layer,
    Requirement,
    Wanted,
    holds_for,
    may_both_hold,
)
from server.domain.verdict import Verdict


def said(
    text: str = "3 mm",
    serials: str = "",
    side: str = "",
    *,
    layer: Layer = Layer.DESIGNED,
    how: KnownFrom = KnownFrom.DRAWING,
    decided: str = "",
) -> Requirement:
    return Requirement(
        "body_diameter",
        Form.LIMITS,
        text,
        quantity=read_quantity(text, Kind.LENGTH),
        layer=layer,
        known=Known(how, "X 41"),
        serials=serials,
        side=side,
        decided=decided,
    )


@pytest.mark.parametrize(
    ("one", "other", "both"),
    [
        ("", "", True),
        ("", "from 12", True),
        ("from 12", "to 11", False),
        ("from 12", "up to 12", True),
        ("12-40", "from 41", False),
        ("12-40", "40, 50", True),
        ("3, 5 and 9", "4 to 8", True),
        ("3, 5 and 9", "6 to 8", False),
        ("from 12", "the later ones", True),
    ],
)
def test_two_can_hold_at_once_where_their_serials_meet(one: str, other: str, both: bool) -> None:
    """What can't be read may be any serial: then both can hold, as `holds_for` takes it."""
    assert may_both_hold(said(serials=one), said(serials=other)) is both
    assert may_both_hold(said(serials=other), said(serials=one)) is both


@pytest.mark.parametrize(
    ("one", "other", "both"), [("", "left", True), ("left", "Left", True), ("left", "right", False)]
)
def test_two_can_hold_at_once_where_their_sides_meet(one: str, other: str, both: bool) -> None:
    assert may_both_hold(said(side=one), said(side=other)) is both


@pytest.mark.parametrize(
    ("serials", "ours", "holds"),
    [
        ("from 12", "14", True),
        ("from 12", "5", False),
        ("to 11", "11", True),
        ("12-40, 50", "50", True),
        ("12-40, 50", "45", False),
        ("3 and 5", "5", True),
        ("the later ones", "14", None),
        ("from 12, the rest", "14", None),
        ("from 12", "", None),
    ],
)
def test_serials_say_whether_it_is_ours(serials: str, ours: str, holds: bool | None) -> None:
    assert holds_for(said(serials=serials), ours, "") is holds


def test_a_decision_on_what_was_found_does_not_fight_one_on_the_drawing() -> None:
    """Decided in both layers, the drawing stands: the layers are never mixed."""
    drawn = said("2.9 to 3.1 mm", decided="issue 2 replaced issue 1")
    found = said("3.4 to 3.6 mm", layer=Layer.FOUND, decided="measured twice", how=KnownFrom.ON_ORIGINAL)
    piece = Statement("body_diameter", Basis.MEASURED, "3.00 mm", read_quantity("3.00 mm", Kind.LENGTH))
    wanted = Wanted("tubular_rivet", (found, drawn))
    (row,) = [one for one in compare(wanted, Offered("tubular_rivet", (piece,))).rows if one.key == "body_diameter"]
    assert row.wanted.startswith("2.9 to 3.1 mm")
    assert "disagree" not in row.sentence
    assert row.verdict is not Verdict.AGAINST
