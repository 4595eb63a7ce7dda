"""What the API takes of finds."""

from pydantic import ConfigDict, Field

from server.web.api_bodies.base import VERSION, Fields, Value

STATEMENT_FIELDS = ("characteristic", "text", "basis", "instrument", "uncertainty", "stage", "by", "on", "sure")


class FindFields(Fields):
    """A find's own fields."""

    text: Value = Field(None, description="What it is. Needed, unless a reading or photograph shows it.")
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


class FindIn(FindFields):
    """A find as its form takes it, without photographs: those are attached to it afterwards.

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

    evidence: Value = Field(None, description="Kinds of provenance; several as a list. “none” is an answer.")
    evidence_note: Value = None
    capture_id: Value = Field(
        None, description="Drawn by the sender, at most 64 signs: sent again, the find it became comes back."
    )
    anyway: bool = Field(False, description="true keeps it although one that is here looks like it.")


class FindEdit(FindFields):
    """A find's own fields, changed. What is left out stays as it is; “” clears it."""

    version: Value = VERSION


class StatementIn(Fields):
    """One characteristic of a find, claimed or measured. Sizes are texts with their unit."""

    characteristic: Value = Field(None, description="Its key in the part class. Needed.")
    text: Value = Field(None, description="The size or word. Needed.")
    basis: Value = Field(None, description="claimed or measured; claimed where left out.")
    instrument: Value = Field(None, description="The key of the instrument, where it was measured.")
    uncertainty: Value = Field(None, description="What it may be out by, U (k = 2); else the instrument's usual doubt.")
    stage: Value = Field(None, description="Before or after plating.")
    by: Value = Field(None, description="Who measured; yourself where left out.")
    on: Value = Field(None, description="The day; today where left out.")
    sure: Value = Field(None, description="true where a size that looks implausible is really so.")


class EvidenceIn(Fields):
    """One piece of a find's provenance."""

    kind: Value = Field(None, description="tag, certificate, invoice … “none” is an answer. Needed.")
    note: Value = Field(None, description="What it says.")
