"""Nicked and broken strands: how many may stay.

Source: AC 43.13-1B, Table 11-13.
"""

from server.domain.parts._computed import ac, found, label_row, statement_row
from server.domain.parts._kit import Case
from server.domain.parts._wire_conductor import offered_name
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

STRAND_TABLE = ac("Table 11-13")


def strands_allowed(gauge: int, *, is_aluminium: bool = False) -> tuple[int, int]:
    """How many nicked and how many broken strands a stranded wire of this gauge may have; aluminium none."""
    if is_aluminium:
        return 0, 0
    if gauge >= 14:
        return 2, 0
    if gauge >= 10:
        return 4, 0
    return 6, 6


def damage_rows(case: Case) -> list[Row]:
    """Damage counted on the find; nothing where nobody counted."""
    nicked, broken = found(case, "nicked_strands"), found(case, "broken_strands")
    if nicked is None and broken is None:
        return []
    one = label_row("strand_damage", "Nicked and broken strands", Concern.STRENGTH)
    name = offered_name(case)
    counted = " and ".join(
        f"{int(size.value)} {word}" for size, word in ((nicked, "nicked"), (broken, "broken")) if size is not None
    )
    measure = None
    if name is None or name.gauge is None:
        verdict, limits = Verdict.OPEN, "by gauge number"
        said = f"{counted}: how many may stay goes by gauge number, which is not known."
        measure = MeasureNext("size_name", "Find out: gauge number", "eye", 1)
    else:
        most = strands_allowed(name.gauge, is_aluminium=case.word("conductor_material") == "aluminium")
        limits = f"at most {most[0]} nicked and {most[1]} broken"
        fits = (nicked is None or nicked.value <= most[0]) and (broken is None or broken.value <= most[1])
        said = f"{counted} on No. {name.name}: {limits} are allowed."
        verdict = Verdict.PROVEN if fits else Verdict.AGAINST
        if fits and (nicked is None or broken is None or not (nicked.is_measured and broken.is_measured)):
            verdict, said = Verdict.OPEN, f"{said} Both have to be counted."
            measure = MeasureNext("broken_strands", "Count nicked and broken strands", "Magnifier with scale", 2)
    return [
        statement_row(
            case, one, verdict, said, wanted=limits, offered=counted, sources=(STRAND_TABLE,), measure=measure
        )
    ]
