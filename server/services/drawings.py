"""The drawing of a comparison, out of the part class's own numbers."""

from server.domain.drawing import Drawing
from server.domain.offer import Offered
from server.domain.parts import GENERAL, part_class
from server.domain.parts._kit import Case
from server.domain.specification import Wanted


def drawings_of(wanted: Wanted, offered: Offered) -> tuple[Drawing, ...]:
    """What can be drawn of this comparison, to scale; none where the numbers are not known."""
    needed = part_class(wanted.part_class)
    if needed.draw is None:
        return ()
    made = needed.draw(Case(wanted, offered, needed, part_class(offered.part_class or GENERAL)))
    if made is None:
        return ()
    return made if isinstance(made, tuple) else (made,)
