"""The part classes: one file each, found by looking into this package.

A module whose name does not start with an underscore holds one PART_CLASS.
"""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from server.domain.errors import NotFound
from server.domain.parts._kit import PartClass

GENERAL = "general"


@cache
def part_classes() -> dict[str, PartClass]:
    """All part classes by key, in order of family and name."""
    names = [module.name for module in iter_modules(__path__) if not module.name.startswith("_")]
    found: list[PartClass] = [import_module(f"{__name__}.{name}").PART_CLASS for name in names]
    found.sort(key=lambda one: (one.family, one.name))
    return {one.key: one for one in found}


def part_class(key: str) -> PartClass:
    """The part class of this key. Raises NotFound, naming the key."""
    try:
        return part_classes()[key]
    except KeyError:
        raise NotFound(f"There is no part class “{key}”.") from None
