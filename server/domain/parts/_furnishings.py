"""What is asked of furnishing in an aeroplane that flies: how it burns."""

from collections.abc import Iterable

from server.domain.parts._computed import statement_row
from server.domain.parts._kit import Case
from server.domain.rows import characteristic_row
from server.domain.sources import method
from server.domain.specification import Role
from server.domain.verdict import MeasureNext, Row, Verdict

BURN_RULE = method("how furnishing may burn is a local rule; the authority says which test is asked")
NITRATE_CAUTION = (
    "Cellulose nitrate burns fiercely and gives off poisonous fumes; old brittle stock can catch fire by itself."
    " Keep it apart, cool and aired, never test it with a flame; ask the fire authority about keeping it."
)
BURN_CAUTION = "Furnishing of an aeroplane that flies must not spread fire: ask your authority which test it asks for."


def burn_row(case: Case) -> Iterable[Row]:
    """The burn test: the general row where one is asked for; an open one where it flies and nobody has said."""
    one = case.part_class.characteristic("flame_test")
    assert one is not None
    row = characteristic_row(case, one)
    if row is not None and row.wanted != "not known":
        yield row
        return
    inside = case.wanted.role in {Role.FURNISHING, Role.APPEARANCE}
    if not (case.wanted.use.flies and inside):
        return
    statement = case.statement(one.key)
    yield statement_row(
        case,
        one,
        Verdict.OPEN,
        "Nobody has said yet which burn test is asked of this furnishing; that is for the local authority.",
        wanted="not known",
        offered=statement.text if statement is not None else "not said",
        sources=(BURN_RULE,),
        caution=BURN_CAUTION,
        measure=MeasureNext(one.key, "Ask which burn test is wanted", "the local authority", 2, about_original=True),
    )
