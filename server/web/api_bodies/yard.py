"""What the API takes of aeroplanes, steps of assembly and suppliers."""

from pydantic import Field

from server.web.api_bodies.base import VERSION, Fields, Value


class AeroplaneIn(Fields):
    """An aeroplane. Needed are type and use."""

    type: Value = None
    maker: Value = None
    serial: Value = Field(None, description="The maker's works number.")
    registration: Value = None
    built: Value = None
    use: Value = Field(None, description="What it will be: certified, under a permit, static display …")
    authority: Value = None
    drawing_unit: Value = Field(None, description="mm, in, or “” where it is not known.")
    note: Value = None


class AeroplaneEdit(AeroplaneIn):
    """An aeroplane, changed. What is left out stays as it is; “” clears it."""

    version: Value = VERSION


class SupplierIn(Fields):
    """A firm or person parts come from. Needed is name."""

    name: Value = None
    kind: Value = None
    place: Value = None
    contact: Value = Field(None, description="How to reach them.")
    state: Value = Field(None, description="answers, silent, gone.")
    last_confirmed: Value = Field(None, description="The day they last answered.")
    note: Value = None


class SupplierEdit(SupplierIn):
    """A supplier, changed. What is left out stays as it is; “” clears it."""

    version: Value = VERSION


class StepFields(Fields):
    """A step's own fields."""

    aeroplane_id: Value = None
    place_in_order: Value = Field(None, description="A number; the steps follow one another by it.")
    name: Value = None
    closes: Value = Field(None, description="What it closes over.")
    due: Value = Field(None, description="A day.")
    note: Value = None
    after: Value = Field(None, description="The numbers of the steps that must be done first, as a list.")


class StepIn(StepFields):
    """A step of assembly. Needed are aeroplane_id and name."""

    state: Value = Field(None, description="ahead or done; ahead where left out.")


class StepEdit(StepFields):
    """A step, changed. What is left out stays as it is; “” or an empty list clears it.

    That it is done, or ahead again, is said by itself.
    """

    version: Value = VERSION


class StepStateIn(Fields):
    """That a step is done, or ahead again."""

    reason: Value = Field(None, description="Needed where something holds it up, and to take it back.")
    version: Value = VERSION
