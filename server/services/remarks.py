"""Questions and answers on a candidate, between whoever proposed it and whoever may sign it.

They are open until the decision; then they stand in the frozen record. Nothing
said is changed or deleted: it is taken back by whoever said it, with a reason.
"""

from collections.abc import Sequence

from server.domain.errors import Faults, NotAllowed, NotFound
from server.domain.register import Actor, UserRole
from server.services.candidates import load_candidate
from server.services.finds import cleaned, photo_row
from server.services.typed import NOTE, Given, Typed
from server.services.yard import reason_given, require
from server.storage.engine import Store
from server.storage.files import Files
from server.storage.log import write_log
from server.storage.tables import RemarkRow

DECIDED = "This is decided; what was said stands in its record."


def add_remark(
    store: Store, files: Files, actor: Actor, number: int, given: Given, photos: Sequence[tuple[str, bytes]] = ()
) -> int:
    """Ask something of a candidate, or answer a question; the remark's number.

    Fields: text, answered_to (number of the question). Raises Faults, NotAllowed, NotFound.
    """
    require(actor, UserRole.RESTORER)
    typed = Typed(given)
    text = typed.text("text", "The question or answer", most=NOTE, required=True)
    answered = typed.number("answered_to", "The question", low=1, high=2_000_000_000)
    pictures = cleaned(typed, photos)
    now = store.clock()
    with store.write() as session:
        candidate = load_candidate(session, number)
        if not candidate.is_undecided:
            raise Faults({"text": DECIDED})
        if answered is not None and answered not in {one.id for one in candidate.remarks if one.answers is None}:
            typed.fault("answered_to", "There is no such question on this candidate.")
        typed.done()
        row = RemarkRow(candidate_id=number, text=text, by=actor.name, by_id=actor.id, at=now, answered_to=answered)
        session.add(row)
        session.flush()
        for name, picture in pictures:
            session.add(photo_row(files, picture, name, actor, now, remark_id=row.id))
        did = "asked" if answered is None else "answered"
        write_log(session, now, actor, f"{did}: {text[:200]}", f"candidate/{number}")
        assert row.id is not None
        return row.id


def withdraw_remark(store: Store, actor: Actor, remark_id: int, reason: str) -> int:
    """Take back what one said oneself, with a reason; the candidate's number. Raises Faults, NotAllowed, NotFound."""
    require(actor, UserRole.RESTORER)
    reason = reason_given({"reason": reason})
    now = store.clock()
    with store.write() as session:
        row = session.get(RemarkRow, remark_id)
        if row is None:
            raise NotFound("There is no such question or answer.")
        if row.by_id != actor.id or row.withdrawn_at is not None:
            raise NotAllowed("Only whoever said it takes it back, and only once.")
        if not load_candidate(session, row.candidate_id).is_undecided:
            raise Faults({"reason": DECIDED})
        row.withdrawn_at, row.withdrawn_reason = now, reason
        session.add(row)
        write_log(session, now, actor, f"took back a question or answer: {reason}", f"candidate/{row.candidate_id}")
        return row.candidate_id
