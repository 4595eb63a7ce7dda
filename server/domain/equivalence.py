"""The check: what was wanted against what is offered, row by row, and the whole.

Pure and explainable: the same input gives the same sheet, and every row says
which rule it followed and where that rule comes from.
"""

from collections.abc import Iterable

from server.domain.galvanic_rows import galvanic_rows
from server.domain.handbook import SHIPPED, Handbook
from server.domain.hazards import hazard_rows
from server.domain.offer import Offered
from server.domain.parts import GENERAL, part_class
from server.domain.parts._kit import Case, PartClass
from server.domain.rows import characteristic_row
from server.domain.sources import Source, method
from server.domain.specification import Wanted, Weight
from server.domain.strictness import Strictness
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Sheet, Verdict
from server.domain.weight import weight_rows

ENGINE = "1.1"
HANDBOOK = "2026-11"
_SHIPPED_STRICTNESS = Strictness()
KIND_RULE = method("another kind of part is a departure, whatever its sizes")


def compare(
    wanted: Wanted, offered: Offered, strictness: Strictness | None = None, handbook: Handbook = SHIPPED
) -> Sheet:
    """Compare one find with one need, by the shop's own rules and handbook where they are given.

    Raises NotFound for a part class that does not exist.
    """
    needed = part_class(wanted.part_class)
    given = part_class(offered.part_class or GENERAL)
    case = Case(wanted, offered, needed, given, strictness or _SHIPPED_STRICTNESS, handbook)
    rows = [_kind_row(case), *_general_rows(case)]
    for check in needed.checks:
        rows.extend(check(case))
    # what eats its neighbour, and what can hurt somebody, concerns every class
    held = {row.key for row in rows}
    rows.extend(row for row in (*galvanic_rows(case), *hazard_rows(case), *weight_rows(case)) if row.key not in held)
    ordered = _in_order(rows, needed)
    used = handbook.used_on(_all_words(case)) if handbook is not SHIPPED else SHIPPED
    outcome, decided_by = _whole(ordered)
    if not offered.statements and outcome in {Outcome.LIKE_FOR_LIKE, Outcome.WITH_REASONS}:
        # what stands of the place alone says nothing of a find that nobody has looked at
        outcome, decided_by = Outcome.NOT_PROVEN, "kind"
    return Sheet(
        part_class=needed.key,
        offered_class=given.key,
        rows=ordered,
        outcome=outcome,
        decided_by=decided_by,
        measure_next=_measure_next(ordered),
        cautions=_cautions(needed, given, ordered),
        probability_wanted=case.probability,
        engine=ENGINE,
        handbook=f"{HANDBOOK} and the shop's rows {used.digest}" if used.digest else HANDBOOK,
        notes=tuple(f"From the shop's own handbook: {said}." for said in used.said),
    )


def _all_words(case: Case) -> frozenset[str]:
    """Every word said of either side and of what it touches: what may lead to a row of the shop's."""
    wanted, offered = case.wanted, case.offered
    said = [word for one in wanted.requirements for word in (*one.words, one.text)]
    said += [word for one in offered.statements for word in (*one.words, one.text)]
    plies = wanted.joint.plies if wanted.joint else ()
    return frozenset((*said, *wanted.touches, *(ply.material for ply in plies)))


def _kind_row(case: Case) -> Row:
    needed, given = case.part_class, case.offered_class
    verdict, sentence, source = _judge_kind(case, needed, given)
    measure = None
    if verdict is Verdict.OPEN:
        measure = MeasureNext("kind", "Say what kind of part the find is", "eye", 1)
    return Row(
        "kind",
        "Kind of part",
        Concern.FUNCTION,
        # what a thing is weighs as much as whether it goes in
        case.weight(Concern.FIT),
        needed.name,
        given.name,
        verdict,
        sentence,
        sources=(source,),
        departs=verdict in {Verdict.AGAINST, Verdict.JUDGED},
        measure=measure,
    )


def _judge_kind(case: Case, needed: PartClass, given: PartClass) -> tuple[Verdict, str, Source]:
    if needed.key == given.key:
        return Verdict.PROVEN, f"Both are of the kind “{needed.name}”.", KIND_RULE
    if given.key == GENERAL:
        return Verdict.OPEN, f"The find has not been told apart yet: is it a “{needed.name}”?", KIND_RULE
    change = needed.stands_in.get(given.key)
    if change is None:
        said = f"Wanted is a “{needed.name}”; a “{given.name}” is another thing."
        return Verdict.AGAINST, said, KIND_RULE
    said = f"Gained: {change.gained} Lost: {change.lost}"
    banned = case.wanted.role in change.refused_for
    if banned and (case.wanted.use.flies or not change.refused_only_flying):
        said = f"The kind differs, and not for {case.wanted.role} of an aeroplane {_use(case)}. {said}"
        return Verdict.AGAINST, said, change.source
    return Verdict.JUDGED, f"The kind differs; a person has to answer for it. {said}", change.source


def _use(case: Case) -> str:
    return "that flies" if case.wanted.use.flies else "on display"


def _general_rows(case: Case) -> Iterable[Row]:
    covered = case.part_class.covers
    for one in case.part_class.characteristics:
        if one.key in covered or one.of_place:
            continue
        row = characteristic_row(case, one)
        if row is not None:
            yield row


def _in_order(rows: list[Row], needed: PartClass) -> tuple[Row, ...]:
    place = needed.places
    # the sort keeps the order of rows that have no place of their own
    return tuple(sorted(rows, key=lambda row: -1 if row.key == "kind" else place.get(row.key, len(place))))


def _whole(rows: tuple[Row, ...]) -> tuple[Outcome, str]:
    governing = [row for row in rows if row.weight is Weight.GOVERNS]
    for row in governing:
        if row.verdict is Verdict.AGAINST:
            return Outcome.NOT_EQUIVALENT, row.key
    for row in governing:
        if row.verdict is Verdict.OPEN:
            return Outcome.NOT_PROVEN, row.key
    for row in sorted(rows, key=lambda one: one.weight.rank):
        if row.weight is not Weight.APPEARANCE and (row.departs or row.verdict in {Verdict.AGAINST, Verdict.OPEN}):
            return Outcome.WITH_REASONS, row.key
    for row in rows:
        if row.is_reserved:
            return Outcome.WITH_REASONS, row.key
    proven = [row for row in rows if row.key != "kind" and row.verdict is Verdict.PROVEN]
    if not proven:
        return Outcome.NOT_PROVEN, "kind"
    return Outcome.LIKE_FOR_LIKE, ""


def _measure_next(rows: tuple[Row, ...]) -> tuple[MeasureNext, ...]:
    """Open rows in the order in which they settle the whole: what governs first, the cheapest first."""
    asked = [(row, row.measure) for row in rows if row.measure is not None]
    asked.sort(key=lambda pair: (pair[0].weight.rank, pair[0].verdict is not Verdict.OPEN, pair[1].effort))
    seen: dict[tuple[str, str], MeasureNext] = {}
    for _, measure in asked:
        seen.setdefault((measure.characteristic, measure.what), measure)
    return tuple(seen.values())


def _cautions(needed: PartClass, given: PartClass, rows: tuple[Row, ...]) -> tuple[str, ...]:
    said = [*needed.cautions, *given.cautions, *(row.caution for row in rows if row.caution)]
    return tuple(dict.fromkeys(said))
