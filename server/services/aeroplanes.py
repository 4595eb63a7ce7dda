"""What is shown of an aeroplane: itself, its needs by state, its steps."""

from dataclasses import dataclass
from datetime import date

from sqlmodel import Session

from server.domain.register import Aeroplane, Step
from server.services.candidates import list_candidates
from server.services.steps import StepLine, lines_of
from server.storage import yard
from server.storage.engine import Store
from server.storage.needs import NeedFilter, count_needs

MOST = 1000


@dataclass(frozen=True, slots=True)
class NeedCount:
    """An aeroplane's needs by state; `to_sign` are open ones with a proposal that waits for a signature."""

    open: int
    to_sign: int
    met: int
    withdrawn: int


@dataclass(frozen=True, slots=True)
class AeroplaneSheet:
    """An aeroplane with what hangs on it."""

    aeroplane: Aeroplane
    needs: NeedCount
    steps: tuple[StepLine, ...]

    @property
    def next_step(self) -> Step | None:
        """The first step in order that is still ahead."""
        return next((line.step for line in self.steps if not line.is_done), None)


def get_aeroplane_sheet(store: Store, number: int, today: date) -> AeroplaneSheet:
    """An aeroplane with its counts and steps. Raises NotFound."""
    with store.read() as session:
        return _sheet_of(session, yard.aeroplane_of(yard.get_aeroplane(session, number)), _waiting(session), today)


def list_aeroplane_sheets(store: Store, today: date, *, withdrawn: bool = False) -> list[AeroplaneSheet]:
    """All aeroplanes with their counts and steps; the withdrawn ones only when asked for."""
    with store.read() as session:
        waiting = _waiting(session)
        return [_sheet_of(session, one, waiting, today) for one in yard.list_aeroplanes(session, withdrawn=withdrawn)]


def _waiting(session: Session) -> tuple[int, ...]:
    """The needs with a candidate that waits for a signature."""
    return tuple({line.need_id for line in list_candidates(session, undecided=True, most=MOST)})


def _sheet_of(session: Session, plane: Aeroplane, waiting: tuple[int, ...], today: date) -> AeroplaneSheet:
    counts = {
        state: count_needs(session, NeedFilter(aeroplane_id=plane.id, state=state))
        for state in ("open", "met", "withdrawn")
    }
    chosen = NeedFilter(aeroplane_id=plane.id, numbers=waiting)
    to_sign = count_needs(session, chosen) if waiting else 0
    needs = NeedCount(counts["open"], to_sign, counts["met"], counts["withdrawn"])
    return AeroplaneSheet(plane, needs, tuple(lines_of(session, plane.id, today)))
