"""Open conditions of approvals: listed, counted, and closed by a signed entry."""

from dataclasses import dataclass
from datetime import date

from server.domain.conditions import Condition, in_order
from server.domain.errors import Faults, NotAllowed
from server.domain.plain import as_plain
from server.domain.register import Actor, Aeroplane, Decision, UserRole, record_number
from server.domain.sign_rules import authority_fault
from server.services.accounts import check_again
from server.services.candidates import load_candidate
from server.services.clocks import day_of
from server.services.sign_rules import rule_of
from server.services.signing import add_record, at_the_chain, empty_reason, later_entry, log_signed, settle
from server.services.typed import NOTE, Given, Typed
from server.services.yard import require
from server.storage import yard
from server.storage.conditions import close_row, get_condition_row, list_conditions
from server.storage.engine import Store


@dataclass(frozen=True, slots=True)
class ConditionSheet:
    """An aeroplane's conditions: the open ones, overdue first, and those that were closed, the latest first."""

    aeroplane: Aeroplane
    open: tuple[Condition, ...]
    closed: tuple[Condition, ...]
    today: date

    @property
    def overdue(self) -> int:
        """How many are past their day."""
        return sum(one.is_overdue(self.today) for one in self.open)


def conditions_of(store: Store, aeroplane: int) -> ConditionSheet:
    """The conditions that approvals on this aeroplane were given under. Raises NotFound."""
    now = store.clock()
    with store.read() as session:
        today = day_of(session, now)
        plane = yard.aeroplane_of(yard.get_aeroplane(session, aeroplane))
        still = list_conditions(session, aeroplane=aeroplane)
        closed = list_conditions(session, aeroplane=aeroplane, closed=True)
    return ConditionSheet(plane, tuple(in_order(still, today)), tuple(reversed(closed)), today)


def close_condition(store: Store, actor: Actor, number: int, given: Given) -> int:
    """Close a condition by a signed entry; the aeroplane's number.

    Fields: reason (what was done, and found), password (typed again), totp (the code, where the account
    signs with one). Raises Faults, NotAllowed, NotFound, TooManyTries, Overtaken where somebody else
    signed at the same moment.
    """
    require(actor, UserRole.APPROVER)
    typed = Typed(given)
    now = store.clock()
    doubts = check_again(store, actor, typed.raw("password"), typed.raw("totp"))
    with at_the_chain(store, now) as session:
        row = get_condition_row(session, number)
        if row.closed_at is not None:
            raise Faults({"reason": f"This condition was closed already, by {row.closed_by}."})
        candidate = load_candidate(session, row.candidate_id)
        if fault := authority_fault(rule_of(session, candidate), actor, day_of(session, now)):
            raise NotAllowed(fault)
        reason = typed.text("reason", "What was done", most=NOTE)
        if fault := empty_reason(reason):
            typed.fault("reason", "Say in a sentence what was done and what was found." if not reason else fault)
        settle(session, actor, typed, doubts, now)
        closes = as_plain(
            {
                "condition": number,
                "text": row.text,
                "due": row.due,
                "due_words": row.due_words,
                "record": row.sign_off_id,
            }
        )
        said = later_entry(Decision.CLOSED, reason, closes=closes)
        signed = add_record(session, actor, candidate, said, now)
        close_row(session, row, record=signed, by=actor.name, reason=reason, at=now)
        did = f"closed a condition: {record_number(signed)}, “{row.text}”"
        log_signed(session, actor, candidate, did, signed, now)
        return row.aeroplane_id
