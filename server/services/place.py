"""Where a part sits, as typed: the joint it clamps, and its distance from the datum. No register is asked for it."""

from server.domain.errors import Unreadable
from server.domain.quantities import Kind
from server.domain.specification import Access, Joint, Known, KnownFrom, Ply
from server.domain.weight import read_arm
from server.services.sizes import instrument_key
from server.services.typed import Typed

MOST_PLIES = 8
ARM = "Arm from the datum"


def arm_given(typed: Typed) -> str:
    """How far from the datum it sits, as typed; a fault where it can't be read."""
    text = typed.text("arm", ARM, most=60)
    if text and "arm" not in typed.faults:
        try:
            read_arm(text)
        except Unreadable as refused:
            typed.fault("arm", f"{ARM}: {refused}")
    return text


def read_joint(typed: Typed, unit: str) -> Joint | None:
    """The joint of such a form; None where every field is empty. Faults go to the fields."""
    plies: list[Ply] = []
    for number in range(1, MOST_PLIES + 1):
        name = typed.text(f"ply{number}_name", "Sheet", most=60)
        material = typed.text(f"ply{number}_material", "Material", most=60)
        thickness = typed.quantity(f"ply{number}_thickness", "Thickness", Kind.LENGTH, drawing_unit=unit)
        doubt = typed.uncertainty(f"ply{number}_uncertainty", "Uncertainty", Kind.LENGTH)
        if name or material or typed.raw(f"ply{number}_thickness"):
            plies.append(Ply(name or f"sheet {number}", material, thickness, doubt))
    hole = typed.quantity("hole", "Hole", Kind.LENGTH, drawing_unit=unit)
    hole_doubt = typed.uncertainty("hole_uncertainty", "Uncertainty of the hole", Kind.LENGTH)
    edge = typed.quantity("edge_distance", "Edge distance", Kind.LENGTH, drawing_unit=unit)
    pitch = typed.quantity("pitch", "Pitch", Kind.LENGTH, drawing_unit=unit)
    angle = typed.quantity("seat_angle", "Angle of the seat", Kind.ANGLE, drawing_unit="°")
    access = typed.word("access", Access, "Access") or Access.UNKNOWN
    how = typed.word("joint_known_from", KnownFrom, "Where it is known from")
    reference = typed.text("joint_reference", "Reference", most=300)
    instrument = instrument_key(typed, "joint_instrument")
    if not plies and hole is None and edge is None and pitch is None and angle is None:
        if access is Access.UNKNOWN or typed.faults:
            return None
    elif how is None:
        typed.fault("joint_known_from", "Say where the joint is known from.")
    known = Known(how or KnownFrom.ESTIMATE, reference, instrument)
    return Joint(tuple(plies), hole, hole_doubt, edge, pitch, angle, access, known)
