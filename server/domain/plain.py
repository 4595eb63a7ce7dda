"""Values as plain JSON and back, and the canonical form that digests are taken over.

Canonical form: JSON with keys sorted, no blanks between tokens, characters as
they are (UTF-8), exact fractions as "n/d" text, times in UTC as ISO 8601.
The digest is SHA-256 over those bytes, in hexadecimal.
"""

import json
from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from typing import Any

from server.domain.quantities import Kind, Quantity
from server.domain.specification import Access, Joint, Known, KnownFrom, Ply


def as_plain(value: Any) -> Any:
    """Dataclasses, fractions, enums and times as what JSON can hold."""
    if value is None or (isinstance(value, bool | int | str) and not isinstance(value, Enum)):
        return value
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, Fraction):
        return write_fraction(value)
    if isinstance(value, float):
        return round(value, 12)
    if isinstance(value, datetime | date):
        return value.isoformat()
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: as_plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): as_plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [as_plain(item) for item in value]
    raise TypeError(f"no plain form for {type(value).__name__}")


def canonical(value: Any) -> str:
    """The one text that stands for this value."""
    return json.dumps(as_plain(value), sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def digest_of(text: str) -> str:
    """SHA-256 of a canonical text, hexadecimal."""
    # the check itself makes no digest, and loading this takes a thirtieth of the core
    from hashlib import sha256

    return sha256(text.encode()).hexdigest()


def write_fraction(value: Fraction) -> str:
    """An exact fraction as text: "381/128"."""
    return f"{value.numerator}/{value.denominator}"


def read_fraction(text: str | None) -> Fraction | None:
    """The fraction of such a text; None for an empty one."""
    return Fraction(text) if text else None


def quantity_from_plain(plain: Mapping[str, Any] | None) -> Quantity | None:
    """A quantity from its stored form; None for nothing."""
    if not plain:
        return None
    return Quantity(
        kind=Kind(plain["kind"]),
        value=read_fraction(plain["value"]),
        unit=plain["unit"],
        text=plain["text"],
        low=read_fraction(plain.get("low")),
        high=read_fraction(plain.get("high")),
        half_step=read_fraction(plain.get("half_step")) or Fraction(0),
        is_approximate=bool(plain.get("is_approximate", False)),
        note=plain.get("note", ""),
    )


def joint_from_plain(plain: Mapping[str, Any] | None) -> Joint | None:
    """A joint from its stored form; None for nothing."""
    if not plain:
        return None
    known = plain.get("known") or {"how": KnownFrom.ESTIMATE.value}
    return Joint(
        plies=tuple(
            Ply(
                ply["name"],
                ply["material"],
                quantity_from_plain(ply.get("thickness")),
                read_fraction(ply.get("expanded")),
            )
            for ply in plain.get("plies", ())
        ),
        hole=quantity_from_plain(plain.get("hole")),
        hole_expanded=read_fraction(plain.get("hole_expanded")),
        edge_distance=quantity_from_plain(plain.get("edge_distance")),
        pitch=quantity_from_plain(plain.get("pitch")),
        seat_angle=quantity_from_plain(plain.get("seat_angle")),
        access=Access(plain.get("access", Access.UNKNOWN.value)),
        known=Known(KnownFrom(known["how"]), known.get("reference", ""), known.get("instrument", "")),
    )
