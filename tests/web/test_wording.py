"""How values are said on a page; the forms are the register's own."""

import pytest

from server.web.wording import days_said


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "measured, micrometer, Maud, 2026-12-09, before plating",
            "measured, micrometer, Maud, 9 Dec 2026, before plating",
        ),
        ("2026-01-31", "31 Jan 2026"),
        ("measured, eye", "measured, eye"),
        ("", ""),
        ("part 2026-13-45", "part 2026-13-45"),
        ("drawing 12026-12-09", "drawing 12026-12-09"),
        ("order X2026-12-09-7", "order X2026-12-09-7"),
    ],
)
def test_a_day_in_a_line_is_said_as_days_are_said(text: str, said: str) -> None:
    assert days_said(text) == said
