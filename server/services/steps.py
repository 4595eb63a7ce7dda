"""The board of steps: what each one waits for, and saying that it is done."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from server.domain.errors import Faults
from server.domain.register import Actor, Aeroplane, Step, StepState, UserRole, need_number
from server.services.candidates import list_candidates
from server.services.clocks import day_of
from server.services.signing import empty_reason
from server.services.typed import NOTE, Given, Typed
from server.services.yard import check_version, require
from server.storage import yard
from server.storage.engine import Store
from server.storage.log import write_log
from server.storage.needs import NeedFilter, NeedLine, list_needs

MOST = 1000
NAMED = 4


@dataclass(frozen=True, slots=True)
class StepLine:
    """A step on the board: how many open needs hold it up, and which steps before it are not done."""

    step: Step
    open_needs: int
    waits_for: tuple[Step, ...]
    days_late: int

    @property
    def is_done(self) -> bool:
        """The step is done."""
        return self.step.state is StepState.DONE


@dataclass(frozen=True, slots=True)
class Board:
    """The steps of one aeroplane in their order."""

    aeroplane: Aeroplane
    lines: tuple[StepLine, ...]


@dataclass(frozen=True, slots=True)
class StepSheet:
    """A step with all that must be there before it, and what comes before and after it."""

    line: StepLine
    aeroplane: Aeroplane
    before: tuple[Step, ...]
    after: tuple[Step, ...]
    open_needs: tuple[NeedLine, ...]
    to_sign: frozenset[int]
    met_needs: tuple[NeedLine, ...]

    @property
    def is_held_up(self) -> bool:
        """Something stands in the way of doing it."""
        return bool(self.open_needs or self.line.waits_for)


def lines_of(session: Session, aeroplane_id: int, today: date) -> list[StepLine]:
    """The steps of an aeroplane, in order, with what each waits for."""
    steps = yard.list_steps(session, aeroplane_id)
    waiting = yard.count_open_needs(session)
    return [_line(step, steps, waiting.get(step.id, 0), today) for step in steps]


def _line(step: Step, steps: Sequence[Step], waiting: int, today: date) -> StepLine:
    ahead = step.state is StepState.AHEAD
    undone = tuple(one for one in steps if one.id in step.after and one.state is StepState.AHEAD)
    late = (today - step.due).days if ahead and step.due is not None and step.due < today else 0
    return StepLine(step, waiting, undone if ahead else (), late)


def list_boards(store: Store, today: date, aeroplane_id: int | None = None) -> list[Board]:
    """The board: every aeroplane with its steps, or one. An aeroplane without steps comes with none."""
    with store.read() as session:
        planes = yard.list_aeroplanes(session)
        chosen = [one for one in planes if aeroplane_id is None or one.id == aeroplane_id]
        return [Board(one, tuple(lines_of(session, one.id, today))) for one in chosen]


def get_step_sheet(store: Store, number: int, today: date) -> StepSheet:
    """A step with what must be there before it. Raises NotFound."""
    with store.read() as session:
        return _sheet_of(session, number, today)


def _sheet_of(session: Session, number: int, today: date) -> StepSheet:
    row = yard.get_step(session, number)
    step = yard.step_of(row, yard.steps_before(session, [number]).get(number, ()))
    steps = yard.list_steps(session, step.aeroplane_id)
    open_needs = list_needs(session, NeedFilter(step_id=number), most=MOST)
    undecided = list_candidates(session, undecided=True, most=MOST)
    return StepSheet(
        line=_line(step, steps, len(open_needs), today),
        aeroplane=yard.aeroplane_of(yard.get_aeroplane(session, step.aeroplane_id)),
        before=tuple(one for one in steps if one.id in step.after),
        after=tuple(one for one in steps if number in one.after),
        open_needs=tuple(open_needs),
        to_sign=frozenset(line.need_id for line in undecided if line.step_id == number),
        met_needs=tuple(list_needs(session, NeedFilter(step_id=number, state="met"), most=MOST)),
    )


def standing_in_the_way(sheet: StepSheet) -> str:
    """What holds a step up, in one sentence; "" where nothing does."""
    said: list[str] = []
    if sheet.open_needs:
        count = len(sheet.open_needs)
        named = ", ".join(f"{need_number(one.id)} {one.item}" for one in sheet.open_needs[:NAMED])
        rest = f" and {count - NAMED} more" if count > NAMED else ""
        said.append(f"{count} open need{'' if count == 1 else 's'}: {named}{rest}")
    said.extend(f"the step before it, “{one.name}”, is not done" for one in sheet.line.waits_for)
    return "; ".join(said)


def finish_step(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Mark a step done. Refused while something holds it up, unless a reason is given; that is logged.

    Raises Faults naming what stands in the way, NotAllowed, NotFound, Overtaken.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    reason = typed.text("reason", "The reason", most=NOTE)
    typed.done()
    now = store.clock()
    with store.write() as session:
        sheet = _sheet_of(session, number, day_of(session, now))
        row = yard.get_step(session, number)
        check_version(row, typed, "This step")
        if row.withdrawn_at is not None:
            raise Faults({"reason": "This step was withdrawn."})
        if row.state == StepState.DONE.value:
            raise Faults({"reason": "This step is marked done already."})
        held_up = standing_in_the_way(sheet)
        if held_up and (fault := empty_reason(reason)):
            raise Faults({"reason": f"Not done yet: {held_up}. To mark it done all the same: {fault}"})
        row.state = StepState.DONE.value
        row.version += 1
        session.add(row)
        said = {"version": row.version, "reason": reason, "held up by": held_up}
        did = f"marked step “{row.name}” done{' although it was held up' if held_up else ''}"
        write_log(session, now, actor, did, f"step/{number}", {key: value for key, value in said.items() if value})


def reopen_step(store: Store, actor: Actor, number: int, given: Given) -> None:
    """Say that a step is ahead again, with a reason. Raises Faults, NotAllowed, NotFound, Overtaken."""
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    reason = typed.text("reason", "The reason", most=NOTE, required=True)
    typed.done()
    with store.write() as session:
        row = yard.get_step(session, number)
        check_version(row, typed, "This step")
        if row.withdrawn_at is not None or row.state != StepState.DONE.value:
            raise Faults({"reason": "Only a step that is done can be taken back."})
        row.state = StepState.AHEAD.value
        row.version += 1
        session.add(row)
        said = {"version": row.version, "reason": reason}
        write_log(session, store.clock(), actor, f"took step “{row.name}” back: ahead again", f"step/{number}", said)
