"""A form that somebody overtook: what they changed meanwhile, and the form again with all that was typed."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.services.yard import changed_meanwhile
from server.storage.engine import Store
from server.web.addresses import number_in
from server.web.log_words import field_label, said_value
from server.web.posted import Form, Posted, form_of


@dataclass(frozen=True, slots=True)
class Meanwhile:
    """One field that somebody else changed: what it was, what it is, and who did it."""

    label: str
    was: str
    now: str
    who: str


def form_overtaken(store: Store, kind: str, number: int, posted: Posted) -> tuple[Form, list[Meanwhile]]:
    """The form with what was typed, set to the record's present version; and what changed meanwhile."""
    seen = posted.text("version")
    version, changes = changed_meanwhile(store, kind, number, number_in(seen) or 0)
    sentence = "Somebody else changed this since you opened it. Your typing is kept: look, then save again."
    fields: Mapping[str, str | list[str]] = {**posted.fields, "version": str(version)}
    changed = [
        Meanwhile(field_label(kind, name), said_value(name, was), said_value(name, now), who)
        for name, (was, now, who) in changes.items()
    ]
    return form_of(fields, {"": sentence}), changed
