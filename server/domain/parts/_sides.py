"""Sizes of which only one side can be wrong: a stronger rope, a hotter-standing seal, a longer life."""

from collections.abc import Iterable

from server.domain.parts._computed import one_sided_row
from server.domain.parts._kit import Case, Check
from server.domain.specification import Form
from server.domain.verdict import Row


def at_least(*keys: str) -> Check:
    """A check of sizes that may be larger than the original's; the keys belong into the `covers` of the class."""
    return _sided(keys, Form.AT_LEAST, "the original's figure taken as the least")


def at_most(*keys: str) -> Check:
    """A check of sizes that may be smaller than the original's; the keys belong into the `covers` of the class."""
    return _sided(keys, Form.AT_MOST, "the original's figure taken as the most")


def _sided(keys: tuple[str, ...], form: Form, note: str) -> Check:
    def check(case: Case) -> Iterable[Row]:
        for key in keys:
            row = one_sided_row(case, key, form, note)
            if row is not None:
                yield row

    return check
