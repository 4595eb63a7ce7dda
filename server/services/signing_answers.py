"""What the signer answered: the kind of change, read from a form and from a frozen record."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from server.domain.change_kind import (
    Asked,
    Change,
    ChangeKind,
    Critical,
    Way,
    faults_of,
    left_open,
    questions_for,
    sources_of,
)
from server.services.typed import NOTE, Typed


def read_change(typed: Typed, *, flies: bool, today: date, approving: bool) -> Change:
    """The answers about the kind of change; faults at their fields where an approval is asked for."""
    change = Change(
        kind=typed.word("change_kind", ChangeKind, "What goes in"),
        critical=typed.word("change_critical", Critical, "Can harm follow"),
        data=typed.text("change_data", "The data it rests on", most=NOTE),
        asked=typed.word("change_authority", Asked, "Does the authority have to be asked"),
        way=typed.word("change_authority_way", Way, "By which way"),
        said=typed.text("change_authority_said", "Who says so, and why", most=NOTE),
        reference=typed.text("change_authority_ref", "Number of the answer"),
        on=typed.day("change_authority_on", "Date of the answer"),
    )
    if approving:
        for name, sentence in faults_of(change, flies, today).items():
            typed.fault(name, sentence)
    return change


def plain_change(change: Change, *, flies: bool) -> dict[str, Any]:
    """The answers as they are frozen: each with its question, what they leave open, and the sources."""
    said = {
        "change_kind": change.kind or "",
        "change_critical": change.critical or "",
        "change_data": change.data,
        "change_authority": change.asked or "",
    }
    asked = [{"question": one.text, "answer": str(said[one.key]) or "not answered"} for one in questions_for(flies)]
    if not flies and change.data:
        asked.append({"question": "Which data does it rest on?", "answer": change.data})
    return {
        "form": "for an aeroplane that flies" if flies else "short form, for static display",
        "asked": asked,
        "authority": {"way": change.way or "", "said": change.said, "reference": change.reference, "on": change.on},
        "open": left_open(change),
        "sources": [str(source) for source in sources_of(change, flies)],
        "critical": change.counts_as_critical,
        "waits": change.asked in {Asked.TO_ASK, Asked.WAITING},
    }


def was_critical(record: Mapping[str, Any]) -> bool:
    """Did the first signer hold the part for critical, or not know?"""
    return bool(record.get("change", {}).get("critical"))
