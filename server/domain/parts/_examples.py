"""Short ways to write a worked comparison down: what is wanted, what is claimed, what was measured."""

from fractions import Fraction

from server.domain.offer import Basis, Stage, Statement
from server.domain.quantities import BASE_UNIT, UNITS, Kind, Quantity
from server.domain.specification import Form, Known, KnownFrom, Requirement


def size(kind: Kind, value: str = "", unit: str = "", *, low: str = "", high: str = "") -> Quantity:
    """A size from decimal texts in a unit (the kind's own if none is named); a limit may stand without a value."""
    name = unit or BASE_UNIT[kind]
    one = UNITS[name]
    numbers = [one.to_base(Fraction(text)) if text else None for text in (value, low, high)]
    written = value or " to ".join(part for part in (low, high) if part)
    return Quantity(kind, numbers[0], name, f"{written} {name}", low=numbers[1], high=numbers[2])


def wants(
    key: str,
    what: Quantity | str,
    *,
    form: Form = Form.EXACTLY,
    known: KnownFrom = KnownFrom.DRAWING,
    expanded: str = "",
) -> Requirement:
    """One demand: a size, or a word; `expanded` is U (k = 2) in the kind's own unit where it was measured."""
    if isinstance(what, str):
        return Requirement(key, form, what, words=(what,), known=Known(known))
    return Requirement(
        key, form, what.text, what, known=Known(known), expanded=Fraction(expanded) if expanded else None
    )


def claims(key: str, what: Quantity | str) -> Statement:
    """Somebody's word."""
    if isinstance(what, str):
        return Statement(key, Basis.CLAIMED, what, words=(what,))
    return Statement(key, Basis.CLAIMED, what.text, what)


def measures(
    key: str, what: Quantity | str, *, expanded: str = "", instrument: str = "", stage: Stage = Stage.BARE
) -> Statement:
    """Our own look or measurement; `expanded` is U (k = 2) in the kind's own unit."""
    if isinstance(what, str):
        return Statement(key, Basis.MEASURED, what, words=(what,), instrument=instrument or "eye")
    return Statement(
        key,
        Basis.MEASURED,
        what.text,
        what,
        expanded=Fraction(expanded) if expanded else None,
        instrument=instrument,
        stage=stage,
    )
