"""What setting makes of the rivet: the driven head of a solid one, the bore of a semi-tubular one in its joint."""

from collections.abc import Iterator
from fractions import Fraction

from server.domain import joints
from server.domain import rivet_sources as src
from server.domain.parts._kit import Case, in_sentence
from server.domain.parts._rivet_rows import (
    Figure,
    computed_row,
    contributing,
    grip_figure,
    joint_figure,
    missing_row,
    offered_figure,
)
from server.domain.parts._rivet_setting import offered_length
from server.domain.parts._rivets import SEMI_TUBULAR, SOLID
from server.domain.quantities import Kind, write_value
from server.domain.specification import Joint
from server.domain.verdict import Concern, MeasureNext, Row, Verdict


def forming_rows(case: Case) -> Iterator[Row]:
    """Rows on the driven head or the bore, by the kind of rivet that is offered."""
    if case.offered_class.key == SOLID:
        yield from _formed_head_rows(case)
    if case.offered_class.key == SEMI_TUBULAR:
        yield from _bore_rows(case)


def _formed_head_rows(case: Case) -> Iterator[Row]:
    """The driven head: of a trial rivet where one was measured, else as the shank's volume predicts it."""
    body = offered_figure(case, "body_diameter")
    if body is None or case.wanted_word("tail_form") == "flush":
        return
    width, height = offered_figure(case, "trial_head_width"), offered_figure(case, "trial_head_height")
    if width is not None and height is not None:
        yield from _trial_head_rows(case, body, width, height)
        return
    joint, grip = case.wanted.joint, grip_figure(case.wanted.joint)
    length, _, _ = offered_length(case)
    hole = joint_figure(joint, joint.hole, joint.hole_expanded) if joint else None
    if grip is None or length is None or hole is None or hole.value < body.value:
        return
    wide = joints.TARGET * body.value
    stick_out = length.value - grip.value
    tall = joints.driven_head_height(stick_out, body.value, hole.value, grip.value, wide)
    share = joints.TARGET**2
    ratio = (hole.value / body.value) ** 2
    figures = (
        length.times(1 / share),
        grip.times(ratio / share),
        hole.times(2 * grip.value * hole.value / body.value**2 / share),
        body.times(2 * grip.value * ratio / body.value / share),
    )
    said = (
        f"Driven 1.5 D wide the shank gives a head {float(tall / body.value):.2f} D high; aimed at is 0.5 D."
        " It is a prediction: measure the first heads."
    )
    yield computed_row(
        case,
        "formed_head",
        "Driven head, predicted height",
        Concern.FIT,
        tall,
        figures,
        (joints.FLOOR_HEIGHT * body.value, None),
        wanted="at least 0.3 D high when 1.5 D wide",
        offered=f"{write_value(tall, Kind.LENGTH)} high at {write_value(wide, Kind.LENGTH)} wide",
        sources=(src.VOLUME, src.MIL_HDBK_5H, src.P40),
        measure=MeasureNext(
            "trial_head_height", "Drive one in scrap of the same sheets and measure the head", "Calliper", 2
        ),
        weight=contributing(case, Concern.FIT),
        said=said,
    )


def _trial_head_rows(case: Case, body: Figure, width: Figure, height: Figure) -> Iterator[Row]:
    aims = (
        ("trial_head_width", "Driven head, width of a trial", width, joints.FLOOR_WIDTH, joints.TARGET),
        ("trial_head_height", "Driven head, height of a trial", height, joints.FLOOR_HEIGHT, joints.TARGET_HEIGHT),
    )
    for key, label, figure, floor, aim in aims:
        part = figure.value / body.value
        said = f"That is {float(part):.2f} D; the floor is {float(floor):g} D, aimed at is {float(aim):g} D."
        yield computed_row(
            case,
            key,
            label,
            Concern.FIT,
            figure.value,
            (figure, body.times(floor)),
            (floor * body.value, None),
            wanted=f"at least {float(floor):g} D",
            offered=figure.text,
            sources=(src.MIL_HDBK_5H,),
            measure=MeasureNext(key, f"Measure again: {in_sentence(label)}", "Micrometer", 2),
            weight=contributing(case, Concern.FIT),
            said=said,
        )


def _bore_rows(case: Case) -> Iterator[Row]:
    """Two checks of a bored tail: hollow all the way down to the work, and solid where sheets meet."""
    joint, grip = case.wanted.joint, grip_figure(case.wanted.joint)
    length, _, _ = offered_length(case)
    body = offered_figure(case, "body_diameter")
    if joint is None or grip is None or length is None or body is None:
        return
    bore = offered_figure(case, "bore_depth")
    printed = joints.semi_tubular_bore_depths(body.value)
    if bore is None:
        tables = ", ".join(f"{vendor} {write_value(depth, Kind.LENGTH)}" for vendor, depth in printed)
        said = "How deep the bore goes is not known" + (f" (makers' tables: {tables})" if tables else "") + "."
        measure = MeasureNext("bore_depth", "Measure the depth of the bore", "Depth gauge, or a pin and a calliper", 2)
        yield missing_row(
            case, "bore_in_joint", "Bore in the joint", Concern.FIT, f"{said} {_BORE_WHY}", measure,
            sources=(src.BORE_GEOMETRY, src.SEMI_TABLES),
        )  # fmt: skip
        return
    solid = length.value - bore.value
    measure = MeasureNext("bore_depth", "Measure again: depth of the bore", "Depth gauge", 2)
    yield computed_row(
        case,
        "bore_in_joint",
        "Bore in the joint",
        Concern.FIT,
        solid,
        (length, bore, grip),
        (None, grip.value),
        wanted=f"solid part no longer than the grip, {write_value(grip.value, Kind.LENGTH)}",
        offered=f"solid part {write_value(solid, Kind.LENGTH)}",
        sources=(src.BORE_GEOMETRY, src.LINING_GUIDE),
        measure=measure,
        said=_BORE_WHY,
    )
    yield _plane_row(case, joint, solid, (length, bore, grip))


_BORE_WHY = "The tail has to be hollow right down to the work, or it can't roll."


def faying_planes(joint: Joint) -> tuple[Fraction, ...]:
    """Distances in mm from the underside of the made head to where sheets meet; empty while one is missing."""
    if joint.grip is None:
        return ()
    planes, depth = [], Fraction(0)
    for ply in joint.plies[:-1]:
        assert ply.thickness is not None
        assert ply.thickness.value is not None
        depth += ply.thickness.value
        planes.append(depth)
    return tuple(planes)


def _plane_row(case: Case, joint: Joint, solid: Fraction, figures: tuple[Figure, ...]) -> Row:
    planes = faying_planes(joint)
    deepest = max(planes, default=Fraction(0))
    doubt = sum((figure.doubt or Fraction(0) for figure in figures), Fraction(0))
    clear = deepest < solid - doubt
    where = ", ".join(write_value(plane, Kind.LENGTH) for plane in planes) or "one sheet only"
    said = (
        f"The sheets meet at {where} under the head; the shank is solid down to {write_value(solid, Kind.LENGTH)}."
        if planes
        else "There is one sheet only; no sheets meet along the shank."
    )
    verdict = Verdict.PROVEN if clear else Verdict.JUDGED
    if clear and any(figure.claimed or figure.doubt is None for figure in figures):
        verdict = Verdict.OPEN
    if not clear:
        said += " Sheets may slide on the hollow part, which shears far earlier: a person says whether it carries load."
    return Row(
        "bore_at_plane",
        "Solid shank where sheets meet",
        Concern.STRENGTH,
        contributing(case, Concern.STRENGTH),
        "solid where sheets meet",
        f"solid down to {write_value(solid, Kind.LENGTH)}",
        verdict,
        said,
        sources=(src.BORE_GEOMETRY,),
        departs=not clear,
        measure=MeasureNext("bore_depth", "Measure the depth of the bore", "Depth gauge", 2)
        if verdict is Verdict.OPEN
        else None,
    )
