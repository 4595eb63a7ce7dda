"""The log, and answers to the one question that goes over everything, as the API gives them."""

from datetime import datetime
from typing import Any

from pydantic import Field

from server.web.api_models.base import Answer


class LogOut(Answer):
    """One line of the log: who did what to which record."""

    id: int
    at: datetime
    who: str
    did: str
    subject: str = Field(description="The record, such as “need/147”.")
    said: dict[str, Any] = Field(
        description="What more is known: `version`, `reason`, and `changes`, field → what it was and what it is."
    )


class HitOut(Answer):
    """A need or find that may be meant, with what speaks for it."""

    id: int
    number: str = Field(description="As it is said: “N 0147”, “F 0312”.")
    title: str
    score: float
    band: str = Field(description="likely, possible, faint.")
    speaks_for: list[str]
    speaks_against: list[str]
    outcome: str | None = Field(description="What the check came to, where it was made.")
    alike: list[str] = Field(description="Others of the same specification, by number.")
    alike_ids: list[int]
    ref: str
    place: str
    asked: list[tuple[str, bool | None]] = Field(
        description="The question in pieces: true where this answers it, false where it contradicts, else null."
    )


class RankedOut(Answer):
    """One side of an answer, best first."""

    read: list[str] = Field(description="What was understood of the question.")
    hits: list[HitOut]
    total: int = Field(description="How many there are in all; `hits` may be fewer.")
    is_cut: bool = Field(description="More may be there than were looked at; narrow the question.")


class FoundOut(Answer):
    """Needs and finds for a question in any words, units and spellings."""

    needs: RankedOut
    finds: RankedOut
