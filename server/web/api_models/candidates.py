"""Proposals as the API answers them, with their sheets and decisions."""

from datetime import datetime

from pydantic import Field

from server.web.api_models.base import Answer
from server.web.api_models.needs import AttachmentOut
from server.web.api_models.sheets import SheetOut


class CandidateLineOut(Answer):
    """A proposal as one line of a list."""

    id: int
    need_id: int
    find_id: int
    item: str
    find_text: str
    outcome: str
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime = Field(description="When the outcome was computed; the candidate itself is checked anew.")
    decision: str = Field(description="The decision that stands; “” while none does.")
    step_id: int | None
    authenticity: str
    first_signed_by: str = Field(description="Who gave the first of two signatures, while the second is awaited.")
    first_signed_by_id: int | None


class SignOffOut(Answer):
    """One decision: who, when, and the digest of its frozen record."""

    id: int
    decision: str
    signed_by: str
    signed_by_id: int
    signed_at: datetime
    digest: str = Field(description="SHA-256 of the record in canonical form.")
    previous: str = Field(description="The digest of the record before it.")


class RemarkOut(Answer):
    """A question on a proposal, or the answer to one."""

    id: int
    text: str
    by: str
    by_id: int
    at: datetime
    answers: int | None = Field(description="The number of the question it answers; null for a question.")
    attachments: list[AttachmentOut]


class CandidateOut(Answer):
    """A find proposed for a need, with the check as it was then and as it is on what is known now."""

    id: int
    need_id: int
    find_id: int
    note: str
    proposed_by: str
    proposed_by_id: int
    proposed_at: datetime
    checked_at: datetime
    authenticity: str | None = Field(
        description="A person's answer: right, will do, not right; null while nobody answered."
    )
    authenticity_reason: str
    authenticity_by: str
    authenticity_at: datetime | None
    version: int
    withdrawn_reason: str
    decisions: list[SignOffOut]
    remarks: list[RemarkOut]
    sheet: SheetOut
    sheet_then: SheetOut
