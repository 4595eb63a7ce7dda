"""Where a part sits, as typed: the joint it clamps, and its distance from the datum. No register is asked for it."""

from fractions import Fraction

from server.domain.errors import Unreadable
from server.domain.quantities import Kind, Quantity
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


def joint_said(joint: Joint | None) -> dict[str, str]:
    """A joint in words, field by field, for the log; what is not known is left out, and nothing where there is none."""
    if joint is None:
        return {}
    said = {
        f"joint_sheet_{place}": ", ".join(
            part for part in (ply.name, ply.material, _size_said(ply.thickness, ply.expanded)) if part
        )
        for place, ply in enumerate(joint.plies, start=1)
    }
    said |= {
        "joint_hole": _size_said(joint.hole, joint.hole_expanded),
        "joint_edge_distance": _size_said(joint.edge_distance),
        "joint_pitch": _size_said(joint.pitch),
        "joint_seat_angle": _size_said(joint.seat_angle),
        "joint_reached_from": "" if joint.access is Access.UNKNOWN else joint.access.value,
        "joint_known_from": str(joint.known),
    }
    return {name: words for name, words in said.items() if words}


def _size_said(size: Quantity | None, doubt: Fraction | None = None) -> str:
    """A size as it was written, with its doubt in mm."""
    if size is None:
        return ""
    return size.text if doubt is None else f"{size.text} ± {float(doubt):g} mm"
