"""What came in with a form: texts and files, and how it goes back onto the page."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import UploadFile

from server.settings import MAX_PAPER

Given = dict[str, str | list[str]]


@dataclass(frozen=True, slots=True)
class Upload:
    """One file of a form: name as sent, bytes as sent. Never trusted."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Posted:
    """One posted form."""

    fields: Given
    files: Mapping[str, tuple[Upload, ...]]

    def text(self, name: str) -> str:
        """The last value of a field, as typed."""
        value = self.fields.get(name, "")
        return (value[-1] if value else "") if isinstance(value, list) else value


@dataclass(frozen=True, slots=True)
class Form:
    """A form on its way to a page: what was typed, and what was wrong with it."""

    typed: dict[str, str] = field(default_factory=dict)
    many: dict[str, list[str]] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)
    prefix: str = "f"


def form_of(fields: Mapping[str, str | list[str]], faults: Mapping[str, str] | None = None, prefix: str = "f") -> Form:
    """The form to show again, with every typed value kept; `prefix` tells the forms of one page apart."""
    typed: dict[str, str] = {}
    many: dict[str, list[str]] = {}
    for name, value in fields.items():
        values = value if isinstance(value, list) else [value]
        typed[name] = values[-1] if values else ""
        many[name] = list(values)
    return Form(typed, many, dict(faults or {}), prefix)


MAX_FILES = 1000
"""Files that are read out of one form: far more than are taken, so that too many are said at their field."""


def _no_nul(text: str) -> str:
    """Without NUL, which PostgreSQL's text can't hold and nobody types."""
    return text.replace("\x00", "")


async def read_posted(request: Request) -> Posted:
    """Read the form of this request: texts by name (several kept as a list), files by name."""
    fields: Given = {}
    files: dict[str, list[Upload]] = {}
    async with request.form(max_files=MAX_FILES, max_fields=2000, max_part_size=1024 * 1024) as form:
        for sent, value in form.multi_items():
            name = _no_nul(sent)
            if isinstance(value, UploadFile):
                content = await value.read(MAX_PAPER + 1)
                if value.filename or content:
                    files.setdefault(name, []).append(Upload(_no_nul(value.filename or ""), content))
                continue
            text = _no_nul(value)
            held = fields.get(name)
            if held is None:
                fields[name] = text
            elif isinstance(held, list):
                held.append(text)
            else:
                fields[name] = [held, text]
    return Posted(fields, {name: tuple(each) for name, each in files.items()})


PostedForm = Annotated[Posted, Depends(read_posted)]
