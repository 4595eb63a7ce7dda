"""How strict the whole is: by what the aeroplane will be and what the part does.

The table is ours, built on the difference the trade makes between a flying
aeroplane and an exhibit (common practice). A shop's keeper may tighten a cell
("appearance only" → "contributes" → "governs"), never loosen one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from server.domain.conformity import STRICT_PROBABILITY, USUAL_PROBABILITY
from server.domain.specification import Role, Use, Weight
from server.domain.verdict import Concern

G, C, A = Weight.GOVERNS, Weight.CONTRIBUTES, Weight.APPEARANCE

_FLYING = {
    Role.PRIMARY: {Concern.STRENGTH: G, Concern.FIT: G, Concern.FUNCTION: G},
    Role.CONTROL: {Concern.STRENGTH: G, Concern.FIT: G, Concern.FUNCTION: G},
    Role.SECONDARY: {Concern.STRENGTH: G, Concern.FIT: G, Concern.FUNCTION: G},
    Role.SYSTEMS: {Concern.STRENGTH: G, Concern.FIT: G, Concern.FUNCTION: G},
    Role.FURNISHING: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: G},
    Role.APPEARANCE: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
}
_DISPLAY = {
    Role.PRIMARY: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
    Role.CONTROL: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
    Role.SECONDARY: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
    Role.SYSTEMS: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
    Role.FURNISHING: {Concern.STRENGTH: C, Concern.FIT: G, Concern.FUNCTION: C},
    Role.APPEARANCE: {Concern.STRENGTH: C, Concern.FIT: C, Concern.FUNCTION: C},
}

Cell = tuple[Use, Role, Concern]


def _shipped() -> dict[Cell, Weight]:
    cells: dict[Cell, Weight] = {}
    for use in Use:
        for role in Role:
            # unknown is never the easy answer: it counts as primary structure
            known = Role.PRIMARY if role is Role.UNKNOWN else role
            line = (_FLYING if use.flies else _DISPLAY)[known]
            for concern in Concern:
                if concern is Concern.HAZARD:
                    cells[use, role, concern] = G
                elif concern is Concern.APPEARANCE:
                    cells[use, role, concern] = A if use.flies else C
                else:
                    cells[use, role, concern] = line[concern]
    for role in (Role.FURNISHING, Role.APPEARANCE):
        cells[Use.DISPLAY, role, Concern.APPEARANCE] = G
    return cells


SHIPPED: Mapping[Cell, Weight] = _shipped()


@dataclass(frozen=True, slots=True)
class Strictness:
    """The shipped table with a shop's own tightened cells laid over it."""

    tightened: Mapping[Cell, Weight] = field(default_factory=dict)

    def weight(self, use: Use, role: Role, concern: Concern, wished: Weight | None = None) -> Weight:
        """The binding weight: the strictest of shipped table, shop's table and the requirement's own."""
        cell = (use, role, concern)
        if not self.tightened:
            shipped = SHIPPED[cell]
            return wished if wished is not None and wished.rank < shipped.rank else shipped
        said = [SHIPPED[cell], self.tightened.get(cell), wished]
        if role is Role.UNKNOWN:
            # unknown counts as primary structure in the shop's own table too
            said.append(self.tightened.get((use, Role.PRIMARY, concern)))
        return min((one for one in said if one is not None), key=lambda one: one.rank)

    def probability(self, use: Use, role: Role) -> float:
        """Conformance probability asked: 0.975 for primary structure and controls that fly, else 0.95.

        The 0.95 is the default of ISO 14253-1 as quoted; the stricter figure is common practice.
        """
        strict = use.flies and role in {Role.PRIMARY, Role.CONTROL, Role.UNKNOWN}
        return STRICT_PROBABILITY if strict else USUAL_PROBABILITY


def loosened(tightened: Mapping[Cell, Weight]) -> list[Cell]:
    """Cells of a shop's table that would loosen the shipped one; a keeper may save none of them."""
    return [cell for cell, weight in tightened.items() if weight.rank > SHIPPED[cell].rank]
