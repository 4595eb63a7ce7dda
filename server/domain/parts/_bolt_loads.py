"""What a bolt carries in tension and in single shear, against the original."""

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from server.domain.an_bolts import GRIP_TOLERANCE
from server.domain.bolt_strength import (
    BoltMetal,
    metal_of,
    proof_load,
    read_strength_class,
    shear,
    shear_in_thread,
    tension,
    tension_sources,
)
from server.domain.demand import demand_for, standing_requirements
from server.domain.offer import Basis
from server.domain.parts._computed import found, label_row, statement_row
from server.domain.parts._kit import Case
from server.domain.parts._threads import offered_thread, wanted_threads
from server.domain.quantities import Kind, as_decimal_text, write_value
from server.domain.rows import characteristic_row, missing_offer, missing_original, with_demand
from server.domain.sources import method
from server.domain.threads import Thread
from server.domain.verdict import Concern, MeasureNext, Row, Verdict

REDUCED = Fraction(95, 100)
"""A shank thinner than this share of the thread is a reduced one (common practice)."""
STRENGTH_IS_NOT_ALL = (
    "Strength alone proves no bolt: shank, grip, thread run-out, fatigue and plating are asked besides."
)


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of the strength comparison."""

    metal: BoltMetal
    thread: Thread | None
    text: str
    is_measured: bool


def strength_rows(case: Case) -> Iterable[Row]:
    """Tension and single shear against the original; the open row of the strength class while one side is not known."""
    by_class = case.part_class.characteristic("strength_class")
    by_stress = case.part_class.characteristic("tensile_strength")
    assert by_class is not None
    assert by_stress is not None
    demand, stress = demand_for(case, by_class), demand_for(case, by_stress)
    said = case.statement("strength_class") or case.statement("tensile_strength")
    if demand is None and stress is None:
        yield missing_original(case, by_class, said)
        return
    ours = _wanted_side(case)
    if ours is None:
        # no class of the tables: the words and the figure are held against each other as they are
        for one in (by_class, by_stress):
            row = characteristic_row(case, one)
            if row is not None:
                yield row
        return
    if said is None:
        known = demand or stress
        assert known is not None
        yield with_demand(missing_offer(case, by_class if demand is not None else by_stress, known), known)
        return
    theirs = _offered_side(case)
    if theirs is None:
        yield statement_row(
            case,
            by_class,
            Verdict.OPEN,
            f"{by_class.label}: “{said.text}” is in no table here; give the tensile strength by standard or test.",
            wanted=ours.text,
            offered=said.text,
            sources=(method("unknown is not equal"),),
            measure=MeasureNext("tensile_strength", "Find out: tensile strength", "hardness tester or certificate", 4),
        )
        return
    yield _load_row(case, "tension", "Tension it carries", ours, theirs, _tension(ours), _tension(theirs))
    need, have = _proof(ours), _proof(theirs)
    if need is not None and have is not None:
        yield _load_row(case, "proof", "Proof load", ours, theirs, need, have)
    yield _shear_row(case, ours, theirs)


def _wanted_side(case: Case) -> _Side | None:
    threads, _ = wanted_threads(case, "thread")
    thread = threads[0] if threads else None
    major = thread.major if thread else None
    standing, _ = standing_requirements(case, "strength_class")
    for row in standing:
        metal = read_strength_class(row.words[0] if row.words else row.text, major)
        if metal is not None:
            return _Side(metal, thread, row.text, is_measured=True)
    stress = case.wanted_size("tensile_strength")
    if stress is None:
        return None
    return _Side(metal_of(stress), thread, write_value(stress, Kind.STRESS), is_measured=True)


def _offered_side(case: Case) -> _Side | None:
    thread = offered_thread(case, "thread")
    tested = case.statement("tensile_strength")
    if tested is not None and tested.quantity is not None and tested.quantity.value is not None:
        least = tested.quantity.value - (tested.doubt or tested.quantity.half_step)
        return _Side(metal_of(least), thread, tested.text, tested.basis is Basis.MEASURED)
    said = case.statement("strength_class")
    if said is None:
        return None
    metal = read_strength_class(said.words[0] if said.words else said.text, thread.major if thread else None)
    return None if metal is None else _Side(metal, thread, said.text, said.basis is Basis.MEASURED)


def _tension(side: _Side) -> Fraction | None:
    return tension(side.metal, side.thread) if side.thread is not None else None


def _proof(side: _Side) -> Fraction | None:
    return proof_load(side.metal, side.thread) if side.thread is not None else None


def _load_row(
    case: Case,
    key: str,
    label: str,
    ours: _Side,
    theirs: _Side,
    need: Fraction | None,
    have: Fraction | None,
    doubtful: str = "",
) -> Row:
    one = label_row(key, label, Concern.STRENGTH, Kind.FORCE)
    sources = (*ours.metal.sources, *theirs.metal.sources)
    if key == "tension" and ours.thread is not None and theirs.thread is not None:
        sources = (*tension_sources(ours.metal, ours.thread), *tension_sources(theirs.metal, theirs.thread))
    sources = tuple(dict.fromkeys(sources))
    if need is None or have is None:
        side = "the original" if need is None else "the find"
        said = f"{label}: can't be worked out while the thread of {side} is not known."
        return statement_row(
            case, one, Verdict.OPEN, said, wanted=ours.text, offered=theirs.text, sources=sources,
            measure=MeasureNext("thread", "Find out: thread", "pitch gauge and calliper", 2, need is None),
        )  # fmt: skip
    share = as_decimal_text(have / need * 100, 1)
    said = f"{label}: original {_newtons(need)}, find {_newtons(have)}, {share} % of it{doubtful}."
    enough = have >= need
    if not enough:
        verdict = Verdict.AGAINST if not doubtful else Verdict.OPEN
    else:
        verdict = Verdict.PROVEN if theirs.is_measured and not doubtful else Verdict.OPEN
        if not theirs.is_measured:
            said += " By its claim only; a mark on a head is a claim until tested or certified."
    measure = MeasureNext("strength_class", "Have the strength shown", "hardness tester or certificate", 4)
    return statement_row(
        case,
        one,
        verdict,
        f"{said} {STRENGTH_IS_NOT_ALL}" if enough else said,
        wanted=f"{ours.metal.name}: {_newtons(need)}",
        offered=f"{theirs.metal.name}: {_newtons(have)}",
        sources=sources,
        caution=theirs.metal.caution,
        departs=not enough or theirs.metal.name != ours.metal.name,
        measure=measure if verdict is Verdict.OPEN else None,
    )


def _newtons(force: Fraction) -> str:
    return f"{write_value(force, Kind.FORCE, 0)} ({write_value(force, Kind.FORCE, 0, unit='lbf')})"


def _shear_row(case: Case, ours: _Side, theirs: _Side) -> Row:
    """Single shear; by the root where the thread of the find reaches into the last shear plane."""
    our_shank = _shank(ours, case.wanted_size("shank_diameter"))
    size = found(case, "shank_diameter")
    their_shank = _shank(theirs, None if size is None else size.low if not size.is_measured else size.value)
    need = shear(ours.metal, our_shank) if our_shank is not None else None
    have = shear(theirs.metal, their_shank) if their_shank is not None else None
    root = shear_in_thread(theirs.metal, theirs.thread) if theirs.thread is not None else None
    where = _thread_in_shear(case)
    doubtful = ""
    if where is not False and root is not None and have is not None and need is not None:
        if where is True or root >= need:
            have = min(root, have)
        elif have >= need:
            doubtful = f", but only {_newtons(root)} should the thread lie in the shear plane; its grip is not known"
    return _load_row(case, "shear", "Single shear it carries", ours, theirs, need, have, doubtful)


def _shank(side: _Side, size: Fraction | None) -> Fraction | None:
    """The diameter that shear is reckoned with: the nominal one, as handbooks do, unless the shank is reduced."""
    major = side.thread.major if side.thread is not None else None
    if major is None or (size is not None and size < REDUCED * major):
        return size
    return major


def _thread_in_shear(case: Case) -> bool | None:
    """Does the thread of the find reach past the last joint face? None while grip or stack is not known."""
    joint, size = case.wanted.joint, found(case, "grip")
    if size is None:
        return None
    if joint is None or joint.grip is None or len(joint.plies) < 2:
        # without a stack the original's grip says where the thread began
        original = case.wanted_size("grip")
        return None if original is None else bool(size.high < original - GRIP_TOLERANCE)
    last = joint.plies[-1].thickness
    assert last is not None
    assert last.value is not None
    return bool(size.value < joint.grip - last.value)
