"""A drawing from its stored form, for showing what was frozen."""

from collections.abc import Mapping
from typing import Any

from server.domain.drawing import Circle, Dimension, Drawing, Label, Path, Shape


def drawing_from_plain(plain: Mapping[str, Any]) -> Drawing:
    """The drawing as it was made then."""
    frame = plain.get("frame")
    return Drawing(
        title=plain["title"],
        description=plain["description"],
        shapes=tuple(_shape(one) for one in plain["shapes"]),
        frame=(frame[0], frame[1], frame[2], frame[3]) if frame else None,
    )


def _shape(plain: Mapping[str, Any]) -> Shape:
    """A shape is told by the field that only its kind has."""
    if "steps" in plain:
        return Path(tuple((name, tuple(numbers)) for name, numbers in plain["steps"]), plain["style"])
    if "radius" in plain:
        return Circle(**plain)
    if "anchor" in plain:
        return Label(**plain)
    return Dimension(**plain)
