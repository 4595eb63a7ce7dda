"""What every answer of the API stands on: pages of lists, refusals, and the question whether it is here already."""

from typing import Any, Generic, TypeVar

from pydantic import BaseModel, ConfigDict, Field

Item = TypeVar("Item", bound=BaseModel)


class Answer(BaseModel):
    """The base of all answers."""

    model_config = ConfigDict(extra="ignore", frozen=True)


class Page(Answer, Generic[Item]):
    """One page of a list."""

    model_config = ConfigDict(json_schema_extra={"description": "One page of a list."})

    items: list[Item]
    next: int | None = Field(description="Ask again with `after` set to this for the next page; null at the end.")


class Refused(Answer):
    """Why something was not done."""

    refused: str = Field(description="A sentence for a person.")
    reference: str = Field("", description="What to quote when asking for help; only for a fault of the register.")


class Faulty(Answer):
    """Why something was not kept, field by field."""

    refused: str = Field(description="A sentence for a person.")
    faults: dict[str, str] = Field(default_factory=dict, description="For each field what would be right.")


class AlikeOut(Answer):
    """A record that is here already and looks like the one sent."""

    id: int
    number: str = Field(description="As it is said, such as “F 0312”.")
    title: str
    because: list[str] = Field(description="What speaks for its being the same, for a person.")
    quantity_text: str = Field(description="As it is said; “” where nobody counted.")


class AlikeHere(Answer):
    """Nothing was kept: it looks like a record that is here already. The likeliest first, three at most."""

    refused: str = Field(description="A sentence for a person.")
    alike: list[AlikeOut]


class ChangedOut(Answer):
    """One field that somebody else changed meanwhile."""

    was: Any
    now: Any
    who: str


class Overtaken(Answer):
    """Nothing was kept: somebody else changed the record since the version that was read."""

    refused: str = Field(description="A sentence for a person.")
    version: int | None = Field(description="The version it has now; null where none is told.")
    changes: dict[str, ChangedOut] = Field(
        description="What they changed, field by field; empty where they added to it or it is not told."
    )
