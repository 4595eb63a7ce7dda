"""Control cables and their end fittings."""

from dataclasses import replace

from server.domain.cable_strength import CABLE_TABLE, diameter_limits
from server.domain.offer import Offered
from server.domain.parts._cables import condition_row, strength_row
from server.domain.parts._characteristics import (
    breaking_load,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    standard_number,
    thread,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import LOADED, allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, common_practice
from server.domain.specification import Form, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

CONSTRUCTIONS = one_of(
    ("7x19", "7×19", "extra flexible", "7 x 19"),
    ("7x7", "7×7", "flexible", "7 x 7"),
    ("6x19", "6×19", "6 x 19"),
    ("6x7", "6×7", "6 x 7"),
    ("1x19", "1×19", "nonflexible strand", "1 x 19"),
    ("1x7", "1×7", "1 x 7"),
    ("single", "Single hard wire", "piano wire", "solid wire", "Klavierdraht", "corde à piano"),
    ("streamline", "Streamline or tie rod", "tie rod", "Profildraht"),
    ("bowden", "Sheathed control", "Bowden", "Bowdenzug", "câble Bowden", "push-pull"),
)
CABLE_METALS = one_of(
    ("galvanised", "Galvanised steel", "galvanized", "zinc coated", "verzinkt", "galvanisé"),
    ("tinned", "Tinned steel", "tinned", "verzinnt", "étamé"),
    ("stainless", "Corrosion-resistant steel", "stainless", "CRES", "rostfrei", "inox"),
    ("bare", "Bare steel", "bright", "blank", "brut"),
)
ENDS = one_of(
    ("plain", "Plain, cut", "bare end"),
    ("eye splice", "Spliced eye with thimble", "hand splice", "five-tuck splice", "Spleiß", "épissure"),
    ("wrapped solder", "Wrapped and soldered eye", "Army-Navy splice", "wrap-solder"),
    ("oval sleeve", "Oval copper sleeve with thimble", "swage sleeve", "Presshülse", "manchon à sertir", "Nicopress"),
    ("swaged ball", "Swaged ball", "ball end", "Kugel"),
    ("swaged ball shank", "Swaged ball with shank", "single shank ball", "double shank ball"),
    ("swaged fork", "Swaged fork", "fork end", "Gabel", "chape"),
    ("swaged eye", "Swaged eye", "eye end", "Öse"),
    ("swaged stud", "Swaged threaded stud", "threaded terminal", "Gewindeterminal"),
    ("socket", "Poured or wedged socket", "cone"),
    ("shackle", "Shackle", "Schäkel", "manille"),
    ("nipple", "Soldered nipple", "Bowden nipple", "Nippel", "embout"),
)

_TRADE = common_practice("how control cables are built")
CONSTRUCTION_CHANGES = {
    ("7x19", "7x7"): refused_flying("it wears less on straight runs.", "flexibility over pulleys.", _TRADE),
    ("7x19", "1x19"): refused("flexibility: it is for straight runs only.", _TRADE),
    ("7x7", "1x19"): refused("flexibility: it is for straight runs only.", _TRADE),
    ("7x7", "7x19"): allowed("flexibility.", "wear resistance on straight runs; strength by the table.", CABLE_TABLE),
    ("1x19", "7x7"): allowed("flexibility.", "stretch.", _TRADE),
    ("6x19", "7x19"): allowed("a strand core that does not rot.", "the look of a fibre core.", _TRADE),
    ("single", "7x7"): allowed("it shows breakage early.", "stretch and the drag of a round wire.", _TRADE),
    ("streamline", "7x7"): refused_flying(
        "it is to be had.", "stiffness, low drag and its end fittings.", _TRADE, LOADED
    ),
}
METAL_CHANGES = {
    ("galvanised", "stainless"): allowed(
        "it does not rust.", "strength in some sizes, and life over pulleys.", CABLE_TABLE
    ),
    ("tinned", "stainless"): allowed(
        "it does not rust.", "strength in some sizes, and life over pulleys.", CABLE_TABLE
    ),
    ("stainless", "galvanised"): allowed("strength in some sizes.", "it rusts where the zinc is gone.", CABLE_TABLE),
    ("tinned", "galvanised"): allowed("it stands weather better.", "the look.", _TRADE),
    ("galvanised", "tinned"): allowed("the period look.", "it rusts sooner; it is oiled.", _TRADE),
}
_EIGHTH = (
    wants("construction", "7x19"),
    wants("diameter", of(Kind.LENGTH, low="0.125", high="0.139", unit="in")),
    wants("cable_metal", "galvanised"),
    wants("breaking_load", of(Kind.FORCE, "2000", "lbf"), form=Form.AT_LEAST),
)
EXAMPLES = (
    Example(
        "Stainless 1/8 in 7x19 for galvanised: 1760 lbf against 2000 by the table",
        Wanted("control_cable", _EIGHTH, role=Role.CONTROL, use=Use.PERMIT),
        Offered(
            "control_cable",
            (
                measures("construction", "7x19"),
                measures("diameter", of(Kind.LENGTH, "3.30"), instrument="micrometer"),
                measures("cable_metal", "stainless", instrument="analysis"),
                measures("condition", "new"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        CABLE_TABLE,
    ),
    Example(
        "Galvanised 7x19 with broken wires: strong enough once, rejected now",
        Wanted("control_cable", _EIGHTH, role=Role.CONTROL, use=Use.PERMIT),
        Offered(
            "control_cable",
            (
                measures("construction", "7x19"),
                measures("diameter", of(Kind.LENGTH, "3.30"), instrument="micrometer"),
                measures("cable_metal", "galvanised", instrument="magnet"),
                measures("condition", "broken wires"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("AC 43.13-1B", "para 7-149", "Change 1, 27 Sep 2001"),
    ),
    Example(
        "The same cable on display: broken wires are for a person to answer",
        Wanted("control_cable", _EIGHTH, role=Role.CONTROL, use=Use.DISPLAY),
        Offered(
            "control_cable",
            (
                measures("construction", "7x19"),
                measures("diameter", of(Kind.LENGTH, "3.30"), instrument="micrometer"),
                measures("cable_metal", "galvanised", instrument="magnet"),
                measures("breaking_load", of(Kind.FORCE, "9200"), expanded="100"),
                measures("condition", "broken wires"),
            ),
        ),
        Outcome.WITH_REASONS,
        common_practice("on display a worn original may stay"),
    ),
)

PART_CLASS = PartClass(
    key="control_cable",
    name="Cable, control",
    family="Mechanical",
    names=listed(
        "control cable, steel cable, wire rope, aircraft cable, flying wire, bracing wire, Bowden cable",
        "cable assembly, cable terminal, swaged terminal, cable thimble, swage sleeve, Steuerseil, Stahlseil",
        "Seil, Bowdenzug, Kausche, Presshülse, Seilendstück, câble de commande, câble Bowden, cosse",
        "manchon à sertir, embout serti",
    ),
    characteristics=(
        word("construction", "Construction", CONSTRUCTIONS, "Strands × wires, counted at a cut end.", essential=True),
        replace(
            length("diameter", "Diameter", ("0.5", "20"), "Over the crowns of the strands, unloaded.", essential=True),
            standard_limits=diameter_limits,
        ),
        word(
            "cable_metal",
            "Metal of the cable",
            CABLE_METALS,
            "Galvanised and stainless look alike when old: try a magnet and a label.",
            concern=Concern.STRENGTH,
            essential=True,
            effort=2,
            tell_with=("magnet", "analysis"),
        ),
        breaking_load(essential=True),
        length(
            "length_pin_to_pin",
            "Length, pin to pin",
            ("20", "30000"),
            "Between the centres of the end pins, at the rigging load where the drawing names one.",
            general=True,
        ),
        word(
            "lay",
            "Lay and forming",
            one_of(("preformed", "Preformed", "vorgeformt"), ("not preformed", "Not preformed")),
            "A preformed cable does not fly apart when cut.",
        ),
        word("cable_specification", "Cable specification", hint="For example MIL-W-83420, as on the reel."),
        standard_number(),
        word("end_a", "End A", ENDS, concern=Concern.FIT),
        thread("thread_a", "Thread at end A", essential=False),
        length("pin_bore_a", "Pin bore at end A", ("1", "40")),
        word("end_b", "End B", ENDS, concern=Concern.FIT),
        thread("thread_b", "Thread at end B", essential=False),
        length("pin_bore_b", "Pin bore at end B", ("1", "40")),
        word(
            "sleeve_metal",
            "Metal of the sleeves",
            one_of(
                ("copper", "Plain copper", "Kupfer", "cuivre"),
                ("zinc plated copper", "Zinc-plated copper"),
                ("tin plated copper", "Tin-plated copper"),
                ("stainless", "Stainless steel"),
                ("aluminium", "Aluminium", "aluminum"),
            ),
            "Of pressed sleeves.",
            concern=Concern.FUNCTION,
        ),
        word(
            "condition",
            "Condition",
            one_of(
                ("new", "New", "unused"),
                ("sound", "Used, no broken wire found"),
                ("broken wires", "Broken wires found"),
                ("worn", "Wires worn 40 % or more"),
                ("rusty", "Rust inside the strands"),
            ),
            "Drawn through a cloth over the whole length, and bent open to look between the strands.",
        ),
        word(
            "proof_loaded", "Proof loaded", one_of(("yes", "Yes"), ("no", "No")), "After its ends were made.", effort=3
        ),
        material("Material of end fittings"),
        marking(),
        look(),
    ),
    checks=(
        word_changes("construction", CONSTRUCTION_CHANGES),
        word_changes("cable_metal", METAL_CHANGES),
        strength_row,
        condition_row,
        thread_rows("thread_a", "thread_b"),
        number_rows("standard_number", "cable_specification"),
    ),
    covers=frozenset(
        {
            "thread_a",
            "thread_b",
            "condition",
            "construction",
            "cable_metal",
            "breaking_load",
            "standard_number",
            "cable_specification",
        }
    ),
    stands_in={
        "cord_thread": refused("strength and stiffness.", _TRADE),
        "chain": refused_flying("strength.", "it runs on wheels of its own only.", _TRADE),
        "bar": KindChange("stiffness.", "it passes no pulley.", _TRADE, frozenset({Role.CONTROL})),
    },
    cautions=(
        "A control cable that breaks can kill. Swaged ends are gauged and proof loaded; controls are inspected twice.",
        "Broken wires cut: use a cloth, not a bare hand.",
    ),
    draw=rings("Cable, cut across", "diameter"),
    examples=EXAMPLES,
    chapter="27",
    help="Wire ropes of the controls and bracing, with what is made on at both ends.",
)
