"""What the API takes of needs."""

from pydantic import ConfigDict, Field

from server.web.api_bodies.base import VERSION, Fields, Value

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


class NeedFields(Fields):
    """A need's own fields."""

    item: Value = Field(None, description="What is wanted.")
    part_class: Value = Field(None, description="Key of the part class; “general” where none fits.")
    aeroplane_id: Value = None
    role: Value = Field(None, description="What the part does on the aeroplane, such as “secondary structure”.")
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


class NeedIn(NeedFields):
    """A need as its form takes it. Needed are item, part_class, aeroplane_id and role.

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

    text: Value = Field(None, description="The line it was opened with.")
    mark: Value = Field(None, description="A number or name the part goes by; several as a list.")
    mark_kind: Value = Field(None, description="The kind of each `mark`, in the same order.")
    mark_reading: Value = Field(
        None, description="How surely each `mark` was read, in the same order: “read surely”, “doubtful” or “a guess”."
    )
    anyway: bool = Field(False, description="true opens it although one that is open looks like it.")


class NeedEdit(NeedFields):
    """A need's own fields, changed. What is left out stays as it is; “” clears it."""

    version: Value = VERSION


class DesignationIn(Fields):
    """A number or name the part goes by. Several in one text (“W 41, W 42”) are entered each for itself."""

    text: Value = Field(None, description="Needed.")
    kind: Value = Field(None, description="drawing, as stamped on the part, trade name … Needed.")
    reading: Value = Field(None, description="How surely it was read: “read surely”, “doubtful” or “a guess”.")
    note: Value = None


class RequirementIn(Fields):
    """What one source says of one characteristic of the original. Sizes are texts with their unit."""

    characteristic: Value = Field(None, description="Its key in the part class. Needed.")
    text: Value = Field(None, description="The size or word, as the source has it. Needed, but for a sample.")
    form: Value = Field(None, description="How it binds: limits, at least, one of, as the sample …")
    layer: Value = Field(None, description="as designed, as found, as fitted now: never mixed.")
    known_from: Value = Field(None, description="drawing, measured on the original, estimate … Needed.")
    reference: Value = Field(None, description="The paper and place. Needed for a drawing, manual or catalogue.")
    instrument: Value = Field(None, description="The key of the instrument, where it was measured.")
    uncertainty: Value = Field(None, description="What the measurement may be out by, U (k = 2), with its unit.")
    weight: Value = Field(None, description="governs, contributes, appearance only; by the rule where left out.")
    serials: Value = Field(None, description="For which works numbers, such as “from 12”.")
    side: Value = None
    sure: Value = Field(None, description="true where a size that looks implausible is really so.")


class EnquiryIn(Fields):
    """What was tried, or who was asked with what answer."""

    kind: Value = Field(None, description="tried or asked.")
    supplier_id: Value = Field(None, description="Who was asked.")
    text: Value = Field(None, description="What was tried or asked.")
    answer: Value = None
    on: Value = Field(None, description="The day; today where left out.")


class JointIn(Fields):
    """What a rivet or bolt clamps: the whole of it, in place of what was entered before.

    The sheets from the made head inwards go along as ply1_name, ply1_material, ply1_thickness, ply1_uncertainty …
    ply8_…; sizes as text with their unit. Without any field the joint is cleared.
    """

    hole: Value = None
    hole_uncertainty: Value = None
    edge_distance: Value = None
    pitch: Value = None
    seat_angle: Value = None
    access: Value = Field(None, description="From one side or both.")
    joint_known_from: Value = Field(None, description="Where it is known from. Needed.")
    joint_reference: Value = None
    joint_instrument: Value = None
    version: Value = Field(
        None, description="The version of the need that you read. Needed where it has a joint already."
    )
    reason: Value = Field(None, description="Why a joint is cleared.")
