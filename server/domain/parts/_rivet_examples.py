"""Worked comparisons of rivets: how a joint and a rivet are written down in the examples."""

from fractions import Fraction

from server.domain.offer import Offered, Statement
from server.domain.parts._examples import measures, size
from server.domain.parts._rivets import FLUSH_HEADS
from server.domain.quantities import Kind, Quantity
from server.domain.specification import Access, Joint, Known, KnownFrom, Ply

_FINE = Fraction(1, 100)


def inches(value: str) -> Quantity:
    """A length written in inches."""
    return size(Kind.LENGTH, value, "in")


def millimetres(value: str) -> Quantity:
    """A length written in mm."""
    return size(Kind.LENGTH, value)


def stack(*sheets: tuple[str, str, Quantity], hole: Quantity | None = None, edge: Quantity | None = None,
          pitch: Quantity | None = None, seat: str = "", access: Access = Access.BOTH) -> Joint:  # fmt: skip
    """A joint measured with a micrometer, made head first; `seat` is the countersink's whole angle in degrees."""
    return Joint(
        tuple(Ply(name, material, thickness, _FINE) for name, material, thickness in sheets),
        hole=hole,
        hole_expanded=_FINE if hole else None,
        edge_distance=edge,
        pitch=pitch,
        seat_angle=size(Kind.ANGLE, seat) if seat else None,
        access=access,
        known=Known(KnownFrom.DRAWING if seat else KnownFrom.ON_ORIGINAL, instrument="micrometer"),
    )


def measured_rivet(
    part_class: str, material: str, head: str, body: Quantity, length: Quantity, *more: Statement
) -> Offered:
    """A find with body and length measured: with a micrometer and a calliper."""
    key = "length_over_all" if head in FLUSH_HEADS else "length_under_head"
    return Offered(
        part_class,
        (
            measures("material", material),
            measures("head_style", head),
            measures("body_diameter", body, instrument="micrometer"),
            measures(key, length, instrument="calliper"),
            *more,
        ),
    )
