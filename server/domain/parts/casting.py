"""Castings: brackets, lugs, seat buckets, housings. One file, one part class."""

from fractions import Fraction

from server.domain.offer import Evidence, Offered, Origin
from server.domain.parts._condition import CONDITION_KEYS, condition_rows
from server.domain.parts._examples import measures, size, wants
from server.domain.parts._kit import Characteristic, Choice, Example, KindChange, PartClass
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
from server.domain.sources import Source, common_practice
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

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

_BRACKET = (
    wants("material", "AZ91C-T6"),
    wants("process", "sand"),
    wants("hole_centres", size(Kind.LENGTH, "76.2")),
    wants("hole_diameter", size(Kind.LENGTH, low="6.35", high="6.45")),
)
_MEASURED = (
    measures("hole_centres", size(Kind.LENGTH, "76.22"), instrument="calliper"),
    measures("hole_diameter", size(Kind.LENGTH, "6.4"), instrument="pin_gauge"),
    measures("process", "sand"),
)
EXAMPLES = (
    Example(
        "An aluminium casting with papers, in the shape of a magnesium one",
        Wanted("casting", _BRACKET, role=Role.SECONDARY, use=Use.PERMIT, name="Seat bucket bracket"),
        Offered(
            "casting",
            (
                *_MEASURED,
                measures("material", "A356-T6P", instrument="analysis"),
                measures("cracks", "none by penetrant", instrument="penetrant"),
                measures("inspection", "visual and penetrant", instrument="penetrant"),
                measures("corrosion", "none"),
            ),
            origin=Origin.SHOP_MADE,
            evidence=(Evidence.CERTIFICATE,),
            name="New bracket casting",
        ),
        Outcome.WITH_REASONS,
        Source("MIL-HDBK-5J", "Tables 4.3.2.0(b) and 3.9.5.0(c), digitised copy", "31 Jan 2003"),
    ),
    Example(
        "A salvaged casting that nobody has looked at for cracks",
        Wanted("casting", _BRACKET, role=Role.SECONDARY, use=Use.PERMIT, name="Seat bucket bracket"),
        Offered(
            "casting",
            (*_MEASURED, measures("material", "AZ91C-T6", instrument="analysis"), measures("cracks", "not looked")),
            origin=Origin.SALVAGED,
            name="Bracket from a donor",
        ),
        Outcome.NOT_PROVEN,
        Source("AC 43.13-1B", "chapter 5, Table 5-1: what each inspection finds", "8 Sep 1998"),
    ),
    Example(
        "The left-hand casting for the right-hand place",
        Wanted("casting", (*_BRACKET, wants("hand", "right")), role=Role.SECONDARY, name="Rudder pedal bracket"),
        Offered(
            "casting",
            (*_MEASURED, measures("material", "AZ91C-T6", instrument="analysis"), measures("hand", "left")),
            origin=Origin.SALVAGED,
        ),
        Outcome.NOT_EQUIVALENT,
        common_practice("a left-hand part is no right-hand part"),
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
            "bolt_diameter",
            "Bolt diameter",
            plausible=SMALL_LENGTH,
            help_text="The bolt or pin that goes through.",
            of_place=True,
        ),
        length("hole_centres", "Hole centres", essential=True),
        length("lug_width", "Lug width", plausible=SMALL_LENGTH),
        length("lug_thickness", "Lug thickness", plausible=SMALL_LENGTH),
        length("wall", "Wall thickness", plausible=WALL),
        length("length_over_all", "Length over all"),
        length("width_over_all", "Width over all"),
        length("height_over_all", "Height over all"),
        length("bore", "Bore"),
        Characteristic("holes", "Number of holes", Concern.FIT, Kind.COUNT, plausible=(Fraction(1), Fraction(100))),
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
    ),
    covers=CONDITION_KEYS,
    draw=plate_drawing,
    examples=EXAMPLES,
    stands_in={
        "forged_fitting": KindChange(
            gained="No casting factor, no pores; usually stronger.",
            lost="The look of the casting, and its weight: weigh it and ask how the grain lies.",
            source=common_practice("machined or forged in place of cast"),
        ),
        "sheet_part": KindChange(
            gained="Can be made in the shop and inspected all over.",
            lost="Stiffness of the solid shape, bosses and the look; every load path is new.",
            source=common_practice("built up in place of cast"),
            refused_for=frozenset({Role.PRIMARY, Role.CONTROL}),
        ),
    },
    help="A piece poured in a mould. Look for raised figures, and for cracks round the holes.",
)
