"""What it is made of: alloy against alloy, and strength as far as figures go."""

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from server.domain import rivet_sources as src
from server.domain import rivet_strength as strength
from server.domain.demand import demand_for
from server.domain.offer import Basis, Statement
from server.domain.parts._kit import Case
from server.domain.parts._rivet_rows import contributing
from server.domain.parts._rivets import BLIND, RIVETS, SOLID
from server.domain.quantities import Kind, write_value
from server.domain.rows import characteristic_row
from server.domain.sources import Source
from server.domain.specification import Joint, Ply, Role
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

READ_MARK = MeasureNext(
    "material",
    "Read the mark on the heads: plain 1100, dimple 2117, raised teat 2017, two dashes 2024, raised cross 5056",
    "eye, magnifier",
    1,
)
_STRUCTURE = frozenset({Role.PRIMARY, Role.SECONDARY, Role.CONTROL})


def metal_rows(case: Case) -> Iterator[Row]:
    """All rows on the metal of the offered rivet."""
    yield from _alloy_row(case)
    if case.offered_class.key not in RIVETS:
        return
    yield from _strength_row(case)
    yield from _blind_rows(case)


def said_alloy(statement: Statement | None) -> strength.Alloy | None:
    """The rivet alloy that the find is said to be; None where the words tell none."""
    words = statement.words if statement else ()
    return next((alloy for word in words if (alloy := strength.alloy_of(word))), None)


def _wanted_alloy(case: Case) -> strength.Alloy | None:
    for one in case.wanted.requirements:
        if one.characteristic == "material":
            return next((alloy for word in one.words if (alloy := strength.alloy_of(word))), None)
    return None


def _alloy_row(case: Case) -> Iterator[Row]:
    one = case.part_class.characteristic("material")
    row = characteristic_row(case, one) if one else None
    if row is None or one is None:
        return
    demand, statement = demand_for(case, one), case.statement("material")
    solid = {case.part_class.key, case.offered_class.key} == {SOLID}
    if not solid or demand is None or demand.is_sample or demand.contradiction:
        yield row
        return
    was, now = _wanted_alloy(case), said_alloy(statement)
    if was is None or now is None or statement is None:
        yield replace(row, measure=READ_MARK) if row.verdict is Verdict.OPEN and was is not None else row
        return
    rule = strength.replacement(was, now, case.wanted_size("body_diameter"), case.size("body_diameter"))
    claimed = statement.basis is Basis.CLAIMED
    verdict = {True: Verdict.PROVEN, False: Verdict.AGAINST, None: Verdict.JUDGED}[rule.allowed]
    said = rule.said
    if claimed and verdict is not Verdict.AGAINST:
        verdict, said = Verdict.OPEN, f"{said} That is only claimed; the head mark tells."
    yield replace(
        row,
        verdict=verdict,
        sentence=f"{one.label}: {said}",
        sources=rule.sources,
        departs=not rule.same,
        caution=rule.caution,
        measure=READ_MARK if verdict is Verdict.OPEN else None,
    )


def _strength_row(case: Case) -> Iterator[Row]:
    """Shear against the original's and bearing of the sheet: figures inform, they prove nothing alone."""
    if case.part_class.key != SOLID:
        return
    key, label = "strength", "Strength against the original"
    weight = contributing(case, Concern.STRENGTH)
    test = MeasureNext("material", "Have a joint of the same sheets and rivets pulled", "Test by a laboratory", 5)
    if case.offered_class.key != SOLID:
        said = f"No strength is published that would set a “{case.offered_class.name}” against a solid rivet."
        yield Row(
            key, label, Concern.STRENGTH, weight, "as the solid rivet", "not known", Verdict.OPEN, said,
            sources=(src.HOLLOW_FOR_SOLID, src.REPAIR_MANUAL_BLIND), measure=test,
        )  # fmt: skip
        return
    was, now = _wanted_alloy(case), said_alloy(case.statement("material"))
    old, new = case.wanted_size("body_diameter"), case.size("body_diameter")
    if was is None or now is None or old is None or new is None:
        missing = "an alloy" if was is None or now is None else "a diameter"
        yield Row(
            key, label, Concern.STRENGTH, weight, was.name if was else "not known", now.name if now else "not known",
            Verdict.OPEN, f"Strength can't be compared: {missing} is not known.", sources=(src.NAVY_SELECTION,),
            measure=READ_MARK if now is None or was is None else None,
        )  # fmt: skip
        return
    joint = case.wanted.joint
    planes = 2 if joint and len(joint.plies) == 3 else 1
    before, after = strength.shear_strength(was, old, planes), strength.shear_strength(now, new, planes)
    said = _shear_said(was, now, before, after, planes)
    bearing_said, bearing_sources = _bearing_said(joint, new, after, planes, now)
    verdict = _strength_verdict(case, was, now, old, new)
    sources: list[Source] = [src.MIL_HDBK_5H, src.NAVY_SELECTION]
    if "2117" in {was.key, now.key}:
        sources.append(src.MMPDS_SHEAR)
    if was.key != now.key:
        sources.append(src.MIL_HDBK_SHEAR)
    yield Row(
        key,
        label,
        Concern.STRENGTH,
        weight,
        _force(before) if before else was.name,
        _force(after) if after else now.name,
        verdict,
        f"{said} {bearing_said}".strip(),
        sources=(*sources, *bearing_sources),
        departs=verdict is Verdict.JUDGED,
        measure=READ_MARK if verdict is Verdict.OPEN else None,
    )


def _strength_verdict(case: Case, was: strength.Alloy, now: strength.Alloy, old: Fraction, new: Fraction) -> Verdict:
    """Same alloy: the diameter decides, whatever the figure. Else a person judges."""
    if was.key != now.key:
        return Verdict.JUDGED
    if new < old * Fraction(97, 100):
        return Verdict.AGAINST
    said = (case.statement("material"), case.statement("body_diameter"))
    measured = all(one is not None and one.basis is Basis.MEASURED for one in said)
    return Verdict.PROVEN if measured else Verdict.OPEN


def _shear_said(
    was: strength.Alloy, now: strength.Alloy, before: Fraction | None, after: Fraction | None, planes: int
) -> str:
    kind = "double" if planes == 2 else "single"
    if before is None or after is None:
        return f"No shear figure is held for {was.name if before is None else now.name} of this diameter."
    share = f"{float(after / before) * 100:.0f} % of the original's {_force(before)}"
    unsure = "" if was.key == now.key else " The figures are from memory but for 2117: they inform, they don't prove."
    return f"One rivet in {kind} shear: {_force(after)}, {share}.{unsure}"


def _force(newtons: Fraction) -> str:
    lbf = write_value(newtons, Kind.FORCE, 0, unit="lbf")
    return f"{write_value(newtons, Kind.FORCE, 2, unit='kN')} ({lbf})"


def _bearing_sheet(joint: Joint, planes: int) -> tuple[Ply, Fraction] | None:
    """The sheet that bears hardest and the thickness it bears with; None while one is missing."""
    if joint.grip is None or len(joint.plies) < 2:
        return None
    bearing: list[tuple[Ply, Fraction]] = []
    for number, ply in enumerate(joint.plies):
        assert ply.thickness is not None
        assert ply.thickness.value is not None
        outer = planes == 2 and number in {0, len(joint.plies) - 1}
        bearing.append((ply, ply.thickness.value * (2 if outer else 1)))
    return min(bearing, key=lambda pair: pair[1])


def _bearing_said(
    joint: Joint | None, diameter: Fraction, shear: Fraction | None, planes: int, alloy: strength.Alloy
) -> tuple[str, tuple[Source, ...]]:
    found = _bearing_sheet(joint, planes) if joint else None
    if found is None:
        return "", ()
    ply, thickness = found
    said, sources = [], [src.MIL_HDBK_5H]
    ratio = thickness / diameter
    reduced = strength.REDUCED_BELOW * (2 if planes == 2 else 1)
    known = strength.sheet_bearing(ply.material, thickness)
    if ratio < strength.LEAST_SHEET_RATIO:
        said.append(f"Sheet over diameter is {float(ratio):.2f}, under 0.18: only a test tells its bearing.")
    elif known is None:
        said.append(f"How much the sheet “{ply.material or 'not named'}” bears is not held here.")
    else:
        bearing = strength.bearing_strength(known.strength, diameter, thickness)
        assert bearing is not None
        sources.append(known.source)
        governs = "" if shear is None else f"; {'shear' if shear <= bearing else 'bearing'} governs"
        said.append(
            f"The {ply.name or 'thinnest'} sheet bears {_force(bearing)} at two diameters from its edge{governs}."
        )
    if strength.LEAST_SHEET_RATIO <= ratio < reduced:
        said.append(
            f"Sheet over diameter is {float(ratio):.2f}, under {float(reduced):g}: shear counts for less there."
        )
    if alloy.key == "2117":
        splice = strength.splice_count(ply.material, thickness, diameter)
        if splice:
            said.append(splice)
            sources.append(src.AC43_SPLICE)
    return " ".join(said), tuple(sources)


def _blind_rows(case: Case) -> Iterator[Row]:
    """A blind rivet in a solid one's place: its stem, and the company it keeps."""
    if case.part_class.key != SOLID or case.offered_class.key != BLIND:
        return
    stem, statement = case.word("stem"), case.statement("stem")
    flying_structure = case.wanted.use.flies and case.wanted.role in _STRUCTURE
    measure = MeasureNext("stem", "Look at a set one, or at its maker's sheet: what becomes of the stem", "eye", 1)
    if not stem:
        verdict, said = Verdict.OPEN, "What becomes of the stem is not known."
    elif stem == "hollow" and flying_structure:
        verdict, said = Verdict.AGAINST, "A blind rivet that is hollow once set has no place in structure that flies."
    else:
        verdict, said = (
            Verdict.JUDGED,
            f"Stem: {statement.text if statement else stem}; a person says whether it will do.",
        )
    yield Row(
        "stem_in_place",
        "Stem of the blind rivet",
        Concern.STRENGTH,
        case.weight(Concern.STRENGTH),
        "a solid shank",
        statement.text if statement else "not said",
        verdict,
        said,
        sources=(src.AC43_HOLLOW, src.REPAIR_MANUAL_BLIND),
        departs=True,
        measure=measure if verdict is Verdict.OPEN else None,
    )
    yield Row(
        "mixed_pattern",
        "Blind among solid rivets",
        Concern.STRENGTH,
        contributing(case, Concern.STRENGTH),
        "a pattern of solid rivets",
        "blind rivets among them",
        Verdict.JUDGED,
        "Blind rivets give more under load than the solid ones beside them, which then carry it; more of them don't"
        " mend that. A person answers for the whole pattern.",
        sources=(src.REPAIR_MANUAL_BLIND,),
        departs=True,
    )
