"""How the rivet tests write down a joint, a need and a find. Sizes are texts in inches unless said otherwise."""

from dataclasses import replace
from fractions import Fraction
from typing import Any

from server.domain.equivalence import compare
from server.domain.offer import Basis, Offered, Stage, Statement
from server.domain.quantities import INCH, UNITS, Kind, Quantity
from server.domain.specification import (
    Access,
    Form,
    Joint,
    Known,
    KnownFrom,
    Ply,
    Requirement,
    Role,
    Use,
    Wanted,
)
from server.domain.verdict import Row, Sheet

TIGHT = Fraction(1, 1000)


def thou(value: Fraction) -> float:
    """A length in mm as inches, for comparing with printed inches."""
    return float(value / INCH)


def inch(text: str, low: str = "", high: str = "") -> Quantity:
    """A length in inches: "0.125" or "1/8", with limits if given."""
    one = UNITS["in"]
    least, most = (one.to_base(Fraction(end)) if end else None for end in (low, high))
    return Quantity(Kind.LENGTH, one.to_base(Fraction(text)), "in", f"{text} in", least, most)


def mm(text: str, low: str = "", high: str = "") -> Quantity:
    """A length in mm."""
    least, most = (Fraction(end) if end else None for end in (low, high))
    return Quantity(Kind.LENGTH, Fraction(text), "mm", f"{text} mm", least, most)


def degrees(text: str) -> Quantity:
    """An angle."""
    return Quantity(Kind.ANGLE, Fraction(text), "°", f"{text}°")


def joint(
    *sheets: str | Quantity, material: str = "2024-T3 clad", doubt: Fraction | None = TIGHT, **more: Any
) -> Joint:
    """A stack of sheets, made head first, each measured to `doubt`; reached from both sides unless said otherwise."""
    plies = tuple(
        Ply(f"sheet {number}", material, inch(one) if isinstance(one, str) else one, doubt)
        for number, one in enumerate(sheets, 1)
    )
    known = Known(KnownFrom.ESTIMATE if doubt is None else KnownFrom.DRAWING)
    return Joint(plies, **{"access": Access.BOTH, "known": known, "hole_expanded": doubt, **more})


def need(
    kind: str,
    stack: Joint | None,
    *,
    role: Role = Role.SECONDARY,
    use: Use = Use.CERTIFIED,
    touches: tuple[str, ...] = (),
    **said: Any,
) -> Wanted:
    """A need for a rivet of this kind, known from a drawing."""
    known = Known(KnownFrom.DRAWING)
    requirements = tuple(
        Requirement(key, Form.EXACTLY, one, words=(one,), known=known)
        if isinstance(one, str)
        else Requirement(key, Form.LIMITS, one.text, one, known=known)
        for key, one in said.items()
    )
    return Wanted(kind, requirements, stack, role, use, touches)


def find(kind: str, *, claimed: bool = False, doubt: Fraction | None = TIGHT, **said: Any) -> Offered:
    """A find, every size measured to `doubt`; or all of it somebody's claim."""
    basis = Basis.CLAIMED if claimed else Basis.MEASURED
    statements = tuple(
        Statement(key, basis, one, words=(one,), instrument="" if claimed else "eye")
        if isinstance(one, str)
        else Statement(key, basis, one.text, one, expanded=None if claimed else doubt, stage=Stage.BARE)
        for key, one in said.items()
    )
    return Offered(kind, statements)


def claimed(offered: Offered) -> Offered:
    """The same find as somebody's word only."""
    return replace(
        offered,
        statements=tuple(replace(one, basis=Basis.CLAIMED, expanded=None, instrument="") for one in offered.statements),
    )


def row_of(wanted: Wanted, offered: Offered, key: str) -> Row:
    """The row of this key on the sheet; the test fails where there is none."""
    return next(row for row in compare(wanted, offered).rows if row.key == key)


def has_row(sheet: Sheet, key: str) -> bool:
    """Is there such a row?"""
    return any(row.key == key for row in sheet.rows)
