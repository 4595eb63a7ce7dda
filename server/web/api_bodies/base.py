"""What every body of the API stands on: the fields of a form as one flat JSON object."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from server.domain.errors import Faults

Given = dict[str, str | list[str]]
Value = str | int | float | bool | list[str] | None


class Fields(BaseModel):
    """A flat object: texts as the forms take them; numbers and true/false are taken as text."""

    model_config = ConfigDict(extra="allow")

    @model_validator(mode="before")
    @classmethod
    def is_flat(cls, plain: Any) -> Any:
        """Refuse what no form field could hold."""
        if isinstance(plain, Mapping):
            for name, value in plain.items():
                several = value if isinstance(value, list) else [value]
                if any(isinstance(one, list | dict) for one in several):
                    raise ValueError(f"“{name}” holds an object; the fields are flat")
        return plain

    def given(self, further: re.Pattern[str] | None = None) -> Given:
        """The fields as the services read them. Raises Faults for a field that there is not."""
        known = set(type(self).model_fields)
        faults: dict[str, str] = {}
        fields: Given = {}
        for name, value in self.model_dump(exclude_unset=True).items():
            if name not in known and (further is None or not further.fullmatch(name)):
                faults[name] = f"There is no field “{name}” here."
            elif isinstance(value, list):
                fields[name] = [_text(one) for one in value]
            else:
                fields[name] = _text(value)
        if faults:
            raise Faults(faults)
        return fields


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else ""
    return str(value)


def numbered(letter: str, names: tuple[str, ...]) -> re.Pattern[str]:
    """The names of numbered fields: r1_text … r12_side."""
    return re.compile(rf"{letter}([1-9]|1[0-2])_({'|'.join(names)})")


class ReasonIn(Fields):
    """Why something is withdrawn or decided."""

    reason: Value = Field(None, description="A sentence. Needed.")


VERSION = Field(
    None,
    description="The version of the record that you read. Needed; where somebody changed it since, nothing is kept "
    "and the answer (409) says what they changed.",
)
"""How every body that changes a record speaks of its version."""
