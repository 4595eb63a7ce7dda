"""What the API takes: the fields of the forms as one flat JSON object, and nothing the forms do not know."""

import re
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, Field, model_validator

from server.domain.errors import Faults

Given = dict[str, str | list[str]]
Value = str | int | float | bool | list[str] | None

REQUIREMENT_FIELDS = (
    "characteristic",
    "text",
    "form",
    "layer",
    "known_from",
    "reference",
    "instrument",
    "uncertainty",
    "weight",
    "serials",
    "side",
    "sure",
)
STATEMENT_FIELDS = ("characteristic", "text", "basis", "instrument", "uncertainty", "stage", "by", "on", "sure")
PLACES = 12


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


class NeedIn(Fields):
    """A need as its form takes it.

    What is known of the original goes along as r1_characteristic, r1_text, r1_known_from, r1_reference,
    r1_form, r1_layer, r1_instrument, r1_uncertainty, r1_weight, r1_serials, r1_side … r12_…; sizes as
    text with their unit. Without r1_layer, what was measured on the original is “as found”, all else “as designed”.
    Numbers the part goes by come as `mark` with `mark_kind` and `mark_reading`.
    """

    model_config = ConfigDict(
        extra="allow",
        json_schema_extra={
            "examples": [
                {
                    "item": "Bush, rudder bar",
                    "part_class": "general",
                    "aeroplane_id": 1,
                    "role": "flight or engine control",
                    "quantity_text": "2",
                    "mark": ["K3-52-117"],
                }
            ]
        },
    )

    item: Value = Field(None, description="What is wanted. Needed.")
    part_class: Value = Field(None, description="Key of the part class; “general” where none fits. Needed.")
    aeroplane_id: Value = Field(None, description="Needed.")
    role: Value = Field(None, description="What the part does on the aeroplane, such as “secondary structure”. Needed.")
    zone: Value = None
    side: Value = Field(None, description="left, right, centre or “”.")
    station: Value = None
    arm: Value = Field(None, description="How far from the datum: “1.85 m aft of datum”.")
    chapter: Value = Field(None, description="ATA 100 / JASC, two or four digits.")
    quantity_text: Value = Field(None, description="As it is said: “24 off”, “3 m”.")
    quantity: Value = Field(None, description="Pieces.")
    still_wanted: Value = None
    wrong: Value = Field(None, description="What is wrong with the original; several as a list.")
    step_id: Value = Field(None, description="The step of assembly it must be there before.")
    touches: Value = Field(None, description="Metals and materials it touches, with commas.")
    note: Value = None
    owner_id: Value = Field(None, description="Who looks after it; yourself where left out.")
    ref: Value = Field(None, description="Your own reference.")
    text: Value = Field(None, description="The line it was opened with.")
    mark: Value = Field(None, description="A number or name the part goes by; several as a list.")
    mark_kind: Value = Field(None, description="The kind of each `mark`, in the same order.")
    mark_reading: Value = Field(
        None, description="How surely each `mark` was read, in the same order: “read surely”, “doubtful” or “a guess”."
    )
    anyway: bool = Field(False, description="true opens it although one that is open looks like it.")


class FindIn(Fields):
    """A find as its form takes it, without photographs.

    Statements go along as m1_characteristic, m1_text, m1_basis (claimed or measured), m1_instrument,
    m1_uncertainty, m1_stage, m1_by, m1_on … m12_…; sizes as text with their unit.
    """

    model_config = ConfigDict(
        extra="allow",
        json_schema_extra={
            "examples": [
                {
                    "text": "Brass bush from the tin marked D",
                    "part_class": "general",
                    "origin": "old stock",
                    "quantity_text": "4",
                    "capture_id": "tablet-7-00031",
                }
            ]
        },
    )

    text: Value = Field(None, description="What it is. Needed, unless a reading goes along: nobody may know it yet.")
    part_class: Value = Field(None, description="Key of the part class; “” while it is not told apart.")
    origin: Value = Field(None, description="The kind of source, such as “old stock”.")
    supplier_id: Value = None
    from_whom: Value = Field(
        None, description="Instead of `supplier_id`: a name; nobody of that name yet, and it is entered as a supplier."
    )
    condition: Value = None
    quantity_text: Value = None
    quantity: Value = Field(None, description="Pieces.")
    smallest_lot: Value = None
    price_text: Value = Field(None, description="With its currency.")
    lead_time: Value = None
    bin: Value = Field(None, description="Where it lies.")
    finish_to_come: Value = Field(None, description="true where it is still to be plated or painted.")
    note: Value = None
    ref: Value = Field(None, description="Your own reference.")
    evidence: Value = Field(None, description="Kinds of provenance; several as a list. “none” is an answer.")
    evidence_note: Value = None
    capture_id: Value = Field(
        None, description="Drawn by the sender, at most 64 signs: sent again, the find it became comes back."
    )
    anyway: bool = Field(False, description="true keeps it although one that is here looks like it.")


class ProposalIn(BaseModel):
    """A find put forward for a need."""

    model_config = ConfigDict(extra="forbid")

    need_id: int = Field(ge=1, le=2_000_000_000)
    find_id: int = Field(ge=1, le=2_000_000_000)
    note: str = Field(
        "", max_length=5000, description="Needed where the same was refused before: what is different now."
    )


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
