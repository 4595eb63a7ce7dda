"""What the API's changes share: the version that was read, fields over fields, and what was sent to be attached."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from starlette.responses import JSONResponse

from server.domain.errors import Faults, Overtaken
from server.domain.plain import as_plain
from server.services.yard import changed_meanwhile
from server.settings import MAX_PAPER, MAX_PHOTO, MAX_PHOTOS_AT_ONCE
from server.storage.engine import Store
from server.web.api_bodies import Given
from server.web.posted import Posted

_MB = 1024 * 1024


class Meanwhile(Overtaken):
    """The record is no longer of the version that was sent: the one it has, and field → (was, is, who)."""

    def __init__(self, version: int, changes: Mapping[str, tuple[Any, Any, str]]) -> None:
        super().__init__("Somebody else changed this since the version that you read.")
        self.version = version
        self.changes = changes


def overtaken_answer(error: Overtaken) -> JSONResponse:
    """That somebody was faster, with what they changed as far as the refusal knows it by field (409)."""
    changes: Mapping[str, tuple[Any, Any, str]] | None = getattr(error, "changes", None)
    sentence = (
        "Somebody else changed this since the version that you read. Look at what they changed, then send yours again "
        "with the version it has now."
    )
    body = {
        # a refusal that keeps no fields says in its own sentence what there is now
        "refused": str(error) if changes is None else sentence,
        "version": getattr(error, "version", None),
        "changes": {name: {"was": was, "now": now, "who": who} for name, (was, now, who) in (changes or {}).items()},
    }
    return JSONResponse(as_plain(body), 409)


def saved(store: Store, kind: str, number: int, given: Given, save: Callable[[], Any]) -> None:
    """Save an aeroplane, step or supplier. Raises Meanwhile, with what was changed, where somebody was faster."""
    try:
        save()
    except Overtaken as overtaken:
        version, changes = changed_meanwhile(store, kind, number, int(str(given["version"])))
        raise Meanwhile(version, changes) from overtaken


def typed_fields(record: Any, names: Iterable[str]) -> Given:
    """Fields of a record as its form holds them."""
    return {name: _as_typed(getattr(record, name)) for name in names}


def _as_typed(value: Any) -> str | list[str]:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    if isinstance(value, tuple | list):
        return [str(one) for one in value]
    return value.isoformat() if isinstance(value, date) else str(value)


def over(held: Given, given: Given) -> Given:
    """What is sent over what is there, for a change of some fields.

    Raises Faults where the version is missing: a change is made to what somebody has read.
    """
    version = str(given.get("version", "")).strip()
    if not version.isascii() or not version.isdigit() or len(version) > 9:
        raise Faults({"version": "Send the version of the record that you read."})
    return {**held, **given}


ATTACHED: dict[str, Any] = {
    "requestBody": {
        "required": True,
        "content": {
            "multipart/form-data": {
                "schema": {
                    "type": "object",
                    "description": f"Photographs (JPEG, PNG, WebP, HEIC …; {MAX_PHOTOS_AT_ONCE} at once, "
                    f"{MAX_PHOTO // _MB} MB each) are written anew without what a camera hides in them; papers "
                    f"(PDF, picture, zip, plain text; {MAX_PAPER // _MB} MB each) are kept as they are.",
                    "properties": {
                        "photos": {"type": "array", "items": {"type": "string", "format": "binary"}},
                        "papers": {"type": "array", "items": {"type": "string", "format": "binary"}},
                        "caption": {"type": "string", "maxLength": 300, "description": "What they show."},
                    },
                }
            }
        },
    }
}
"""How a body with photographs and papers is described: the page's own form, read by the same reader."""


@dataclass(frozen=True, slots=True)
class Sent:
    """The files of such a body: names and bytes as sent, never trusted."""

    photos: list[tuple[str, bytes]]
    papers: list[tuple[str, bytes]]
    caption: str


def sent_of(posted: Posted) -> Sent:
    """What was sent to be attached. Raises Faults for a field that there is not."""
    strange = [name for name in posted.fields if name != "caption"]
    strange += [name for name in posted.files if name not in {"photos", "papers"}]
    if strange:
        raise Faults({name: f"There is no field “{name}” here." for name in strange})
    photos, papers = ([(one.name, one.content) for one in posted.files.get(name, ())] for name in ("photos", "papers"))
    return Sent(photos, papers, posted.text("caption"))
