"""Strength of covering fabric by the duty of the aeroplane."""

from collections.abc import Iterable
from dataclasses import replace

from server.domain.demand import demand_for
from server.domain.fabric_strength import FABRIC_TABLE, LIMITS
from server.domain.parts._computed import one_sided_row
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.specification import Form, Known, KnownFrom, Requirement
from server.domain.verdict import Row

KEYS = ("strength_warp", "strength_fill")


def strength_rows(case: Case) -> Iterable[Row]:
    """Warp and fill against the original's figure, else against the least strength for this duty and condition.

    The limit follows the fabric that the aeroplane needs, not the fabric that was fitted.
    """
    duty = case.wanted_word("covering_duty")
    limits = LIMITS.get(duty)
    condition = case.word("condition") or "new"
    for key in KEYS:
        one = case.part_class.characteristic(key)
        assert one is not None
        asked = demand_for(case, one)
        if asked is not None or limits is None:
            row = one_sided_row(case, key, Form.AT_LEAST, "the original's figure taken as the least")
            if row is not None:
                yield row
            continue
        least = limits.least(condition)
        text = f"at least {write_value(least, Kind.LINE_FORCE, 1, unit='lbf/in')} ({condition})"
        wanted = Requirement(
            key,
            Form.AT_LEAST,
            text,
            Quantity(Kind.LINE_FORCE, least, "lbf/in", text, low=least),
            known=Known(KnownFrom.MANUAL, str(FABRIC_TABLE)),
        )
        filled = replace(case, wanted=replace(case.wanted, requirements=(*case.wanted.requirements, wanted)))
        row = one_sided_row(filled, key, Form.AT_LEAST, "")
        if row is not None:
            assumed = "" if case.word("condition") else "taken as new; say whether it is new or in service"
            notes = "; ".join(part for part in (row.assumption, assumed) if part)
            yield replace(row, sources=(*row.sources, FABRIC_TABLE), assumption=notes)
