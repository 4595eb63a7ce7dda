"""One kind of rivet in another's place: what is gained, what is lost, and where it may never go."""

from collections.abc import Mapping

from server.domain import rivet_sources as src
from server.domain.parts._kit import KindChange
from server.domain.parts._rivets import BLIND, SEMI_TUBULAR, SOLID, SPLIT, TUBULAR
from server.domain.sources import Source, common_practice
from server.domain.specification import Role

_CARRIES = frozenset({Role.PRIMARY, Role.CONTROL})
_STRUCTURE = frozenset({Role.PRIMARY, Role.CONTROL, Role.SECONDARY})
KINDS = common_practice("what each kind of rivet does well and badly")

_CHANGES: dict[tuple[str, str], tuple[str, str, Source, frozenset[Role]]] = {
    (SOLID, SEMI_TUBULAR): (
        "it sets with light blows or a squeeze.",
        "its tail is hollow, it fills its hole badly, and no strength is published for it.",
        src.HOLLOW_FOR_SOLID,
        _STRUCTURE,
    ),
    (SOLID, TUBULAR): (
        "it is light and sets with little force.",
        "it is hollow where the sheets meet and shears far earlier.",
        src.HOLLOW_FOR_SOLID,
        _STRUCTURE,
    ),
    (SOLID, SPLIT): (
        "it sets with a hammer and needs no drilled hole in soft stuff.",
        "its prongs carry next to nothing, and they don't fill a hole.",
        src.HOLLOW_FOR_SOLID,
        _STRUCTURE,
    ),
    (SOLID, BLIND): (
        "it is set from one side.",
        "it gives more under load than solid ones, in whatever number; below its smallest grip it doesn't clamp.",
        src.REPAIR_MANUAL_BLIND,
        _CARRIES,
    ),
    (SEMI_TUBULAR, SOLID): (
        "it has a full shank.",
        "it takes far more force to drive: it may crack a lining or spread soft stuff.",
        KINDS,
        frozenset(),
    ),
    (SEMI_TUBULAR, TUBULAR): (
        "it is lighter and rolls with less force.",
        "it has no solid shank under the head, and shears earlier.",
        KINDS,
        _CARRIES,
    ),
    (SEMI_TUBULAR, SPLIT): (
        "it sets with a hammer.",
        "its prongs hold less than a roll and may cut what lies under them.",
        KINDS,
        _STRUCTURE,
    ),
    (SEMI_TUBULAR, BLIND): (
        "it is set from one side.",
        "its blind head looks different, and it clamps only within its grip range.",
        KINDS,
        _CARRIES,
    ),
    (TUBULAR, SEMI_TUBULAR): (
        "its shank is solid under the head, so it is stiffer and shears later.",
        "there is no bore to drain or lace through; it weighs more, and its own bore has to end at the work.",
        KINDS,
        frozenset(),
    ),
    (TUBULAR, SOLID): (
        "it is stronger.",
        "there is no bore; it takes far more force to drive and may crush or spread what it holds.",
        KINDS,
        frozenset(),
    ),
    (TUBULAR, SPLIT): (
        "it sets with a hammer.",
        "its prongs hold less than a roll, and the back looks different.",
        KINDS,
        _STRUCTURE,
    ),
    (TUBULAR, BLIND): (
        "it is set from one side.",
        "its blind head looks different, its stem may stay in the bore, and it clamps only within its grip range.",
        KINDS,
        _CARRIES,
    ),
    (SPLIT, SOLID): (
        "it is stronger.",
        "it needs a drilled hole and a washer in soft stuff, and force that soft stuff doesn't stand.",
        KINDS,
        frozenset(),
    ),
    (SPLIT, SEMI_TUBULAR): (
        "its roll is smooth and holds more.",
        "it needs a hole of its own size; the back looks different.",
        KINDS,
        frozenset(),
    ),
    (SPLIT, TUBULAR): (
        "its roll is smooth and holds more.",
        "it needs a hole of its own size; the back looks different.",
        KINDS,
        frozenset(),
    ),
    (SPLIT, BLIND): (
        "it is set from one side.",
        "it pulls through soft stuff without a washer, and clamps only within its grip range.",
        KINDS,
        frozenset(),
    ),
    (BLIND, SOLID): (
        "it fills its hole and carries its full shear.",
        "it is set from both sides.",
        src.REPAIR_MANUAL_BLIND,
        frozenset(),
    ),
    (BLIND, SEMI_TUBULAR): (
        "it needs no stem and shows a neat roll.",
        "it is set from both sides, and its tail is hollow.",
        KINDS,
        _CARRIES,
    ),
    (BLIND, TUBULAR): (
        "it needs no stem and shows a neat roll.",
        "it is set from both sides, and it is hollow throughout.",
        KINDS,
        _CARRIES,
    ),
    (BLIND, SPLIT): (
        "it sets with a hammer.",
        "it is set from both sides, and its prongs carry next to nothing.",
        KINDS,
        _STRUCTURE,
    ),
}


def stands_in(wanted: str) -> Mapping[str, KindChange]:
    """What every other kind of rivet gains and loses in this one's place, and where it may never go on what flies."""
    return {
        offered: KindChange(gained, lost, source, refused)
        for (original, offered), (gained, lost, source, refused) in _CHANGES.items()
        if original == wanted
    }
