"""Castings: brackets, lugs, seat buckets, housings. One file, one part class."""

from server.domain.galvanic_rows import galvanic_rows
from server.domain.hazards import hazard_rows
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._kit import Characteristic, Choice, PartClass
from server.domain.parts._metal_rows import casting_factor_rows, hole_rows, machined_bar_rows, mass_rows
from server.domain.parts._structure import (
    CORROSION,
    CRACKS,
    FAMILY,
    FINISH,
    HAND,
    INSPECTION,
    LOOK,
    MASS,
    REPAIR,
    SMALL_LENGTH,
    WALL,
    length,
    marking,
    material,
)
from server.domain.parts._structure_drawing import plate_drawing
from server.domain.quantities import Kind
from server.domain.verdict import Concern

PROCESS = Characteristic(
    "process",
    "How it was made",
    Concern.STRENGTH,
    choices=(
        Choice("sand", "sand casting", ("sand cast", "Sandguss", "coulé en sable")),
        Choice("permanent mould", "permanent mould casting", ("chill cast", "gravity die", "Kokillenguss", "coquille")),
        Choice("die", "pressure die casting", ("die cast", "Druckguss", "sous pression")),
        Choice("investment", "investment casting", ("lost wax", "Feinguss", "cire perdue")),
        Choice(
            "machined", "machined from solid", ("from bar", "from billet", "aus dem Vollen", "taillé dans la masse")
        ),
        Choice("fabricated", "built up from sheet or welded", ("fabricated", "welded up")),
        Choice("printed", "printed", ("3D printed", "additive")),
    ),
)

PART_CLASS = PartClass(
    key="casting",
    name="Casting",
    family=FAMILY,
    names=(
        "casting",
        "cast bracket",
        "bracket casting",
        "seat bucket casting",
        "cast lug",
        "cast housing",
        "alloy casting",
        "Gussteil",
        "Gussstück",
        "Guss",
        "pièce moulée",
        "pièce coulée",
        "fonderie",
        "getto",
        "fusione",
        "odlitek",
        "odlew",
    ),
    characteristics=(
        material("Alloy and temper as cast into it or drawn: AZ91C-T6, 356-T6, LM25, Elektron AZ91, 195."),
        PROCESS,
        length("hole_diameter", "Hole diameter", plausible=SMALL_LENGTH),
        length(
            "bolt_diameter", "Bolt diameter", plausible=SMALL_LENGTH, help_text="The bolt or pin that goes through."
        ),
        length("hole_centres", "Hole centres", essential=True),
        length("lug_width", "Lug width", plausible=SMALL_LENGTH),
        length("lug_thickness", "Lug thickness", plausible=SMALL_LENGTH),
        length("wall", "Wall thickness", plausible=WALL),
        length("length_over_all", "Length over all"),
        length("width_over_all", "Width over all"),
        length("height_over_all", "Height over all"),
        length("bore", "Bore"),
        Characteristic("holes", "Number of holes", Concern.FIT, Kind.COUNT),
        HAND,
        MASS,
        CRACKS,
        INSPECTION,
        CORROSION,
        REPAIR,
        FINISH,
        marking("casting_number", "Casting number", "Raised or stamped figures and foundry mark."),
        LOOK,
    ),
    checks=(
        condition_rows,
        casting_factor_rows,
        machined_bar_rows,
        hole_rows,
        mass_rows,
        galvanic_rows,
        hazard_rows,
    ),
    covers=CONDITION_KEYS,
    draw=plate_drawing,
)
