"""What the API takes of proposals, and for a check by itself."""

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from server.web.api_bodies.base import Fields, Value


class ProposalIn(BaseModel):
    """A find put forward for a need."""

    model_config = ConfigDict(extra="forbid")

    need_id: int = Field(ge=1, le=2_000_000_000)
    find_id: int = Field(ge=1, le=2_000_000_000)
    note: str = Field(
        "", max_length=5000, description="Needed where the same was refused before: what is different now."
    )


class JudgementIn(Fields):
    """A person's answer: is it right for this restoration?"""

    answer: Value = Field(None, description="right, will do, not right. Needed.")
    reason: Value = Field(None, description="A sentence. Needed.")
    version: Value = Field(
        None, description="The version of the proposal that you read. Needed where somebody judged it already."
    )


class RemarkIn(Fields):
    """A question on a proposal, or the answer to one."""

    text: Value = Field(None, description="Needed.")
    answered_to: Value = Field(None, description="The number of the question that this answers.")


class CheckIn(BaseModel):
    """A need and a find for checking, without keeping either.

    Sizes are texts with their unit, as on the forms; every fault comes back at once, by its path.
    """

    model_config = ConfigDict(
        extra="allow",
        json_schema_extra={
            "examples": [
                {
                    "need": {
                        "part_class": "general",
                        "use": "static display",
                        "role": "furnishing",
                        "requirements": [],
                    },
                    "find": {"part_class": "general", "statements": []},
                }
            ]
        },
    )

    need: dict[str, Any] = Field(
        description="part_class, use, role, serial, side, touches, arm, drawing_unit, requirements (objects with "
        "characteristic, text, known_from, reference, form, layer …), joint (plies, hole, edge_distance …)."
    )
    find: dict[str, Any] = Field(
        description="part_class, origin, evidence, finish_to_come, statements (objects with characteristic, text, "
        "basis, instrument, uncertainty, stage …)."
    )
