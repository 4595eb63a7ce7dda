"""Rows on a bend: is it wider than the alloy needs, and how long is the blank?"""

from collections.abc import Iterator

from server.domain.offer import Basis
from server.domain.parts._kit import Case
from server.domain.quantities import Kind, write_both, write_value
from server.domain.sheetmetal import FORMULA, RADII, Bend, BendFit, bend_limit, flat_pattern
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

_FIT = {
    BendFit.WIDE: (Verdict.PROVEN, "wide enough by the table"),
    BendFit.BETWEEN: (Verdict.JUDGED, "between the two ends of the table's range: the approver decides"),
    BendFit.TIGHT: (Verdict.AGAINST, "tighter than the table's best case: it may have cracked the grain"),
}


def bend_rows(case: Case) -> Iterator[Row]:
    """The inside radius against the printed range for this alloy, temper and thickness."""
    said, radius, thickness = case.statement("bend_radius"), case.size("bend_radius"), case.size("thickness")
    if said is None or radius is None:
        return
    found = case.handbook.resolve(case.word("material"), "sheet")
    limit = bend_limit(found.alloy, found.temper, thickness) if thickness else None
    measure = None
    if thickness is None or limit is None:
        verdict = Verdict.OPEN
        lack = "the thickness is not known" if thickness is None else f"no radii are printed for {found.said or 'it'}"
        sentence = f"{lack[0].upper()}{lack[1:]}; old alloys have none in the table."
        measure = MeasureNext("bend_radius", "Bend a test strip of the same sheet and look at it", "magnifier", 3)
        wanted = "by alloy and thickness"
    else:
        verdict, tail = _FIT[limit.judge(radius, thickness)]
        low, high = limit.low * thickness, limit.high * thickness
        wanted = f"{write_value(low, Kind.LENGTH)} to {write_value(high, Kind.LENGTH)}"
        clad = " Clad sheet may go slightly tighter." if "1" in limit.footnotes and found.is_clad else ""
        ratio = float(radius / thickness)
        sentence = (
            f"Inside radius {write_both(radius)} is {ratio:.1f} times the thickness; {limit.alloy_temper} takes"
            f" {float(limit.low):g} to {float(limit.high):g} times: {tail}.{clad}"
        )
        if verdict is Verdict.PROVEN and said.basis is Basis.CLAIMED:
            verdict = Verdict.OPEN
            measure = MeasureNext("bend_radius", "Measure the inside radius", "radius gauge", 1)
    yield Row(
        "bend_limit",
        "Bend and alloy",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        wanted,
        said.text,
        verdict,
        sentence,
        sources=(RADII,),
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure,
    )


def blank_length(case: Case) -> str:
    """The flat blank of a bent angle, in words; "" while a size is missing. For whoever makes a new one."""
    sizes = [case.wanted_size(key) for key in ("leg_a", "leg_b", "bend_radius", "thickness")]
    if any(size is None for size in sizes):
        return ""
    first, second, radius, thickness = (float(size) for size in sizes if size is not None)
    angle = case.wanted_size("bend_angle")
    try:
        flat = flat_pattern([first, second], [Bend(radius, float(angle) if angle else 90.0)], thickness)
    except ValueError:
        return ""
    return f"blank {flat.length:.2f} mm, bend allowance {flat.allowances[0]:.2f} mm ({FORMULA})"
