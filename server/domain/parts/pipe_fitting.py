"""Rigid pipes and their fittings; each end is held by itself."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    FLUIDS,
    finish,
    length,
    listed,
    look,
    marking,
    material,
    one_of,
    size,
    standard_number,
    thread,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._kinds import number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Characteristic, Example, KindChange, PartClass
from server.domain.parts._section_drawings import thread_drawing
from server.domain.parts._sides import at_least
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Role, Wanted
from server.domain.verdict import Concern, Outcome

SHAPES = one_of(
    ("pipe", "Pipe", "tube", "rigid line", "Rohr", "tuyauterie"),
    ("straight", "Straight", "union", "gerade", "droit"),
    ("elbow 90", "Elbow, 90°", "elbow", "Winkel", "coude"),
    ("elbow 45", "Elbow, 45°"),
    ("tee", "Tee", "T", "T-Stück", "té"),
    ("cross", "Cross", "Kreuzstück", "croix"),
    ("banjo", "Banjo", "banjo fitting", "Ringstutzen", "raccord banjo"),
    ("bulkhead", "Bulkhead", "Schottverschraubung", "traversée"),
    ("nut", "Union nut", "flare nut", "tube nut", "Überwurfmutter", "écrou raccord"),
    ("sleeve", "Sleeve or olive", "olive", "ferrule", "Schneidring", "Klemmring", "bague"),
    ("plug", "Plug or cap", "drain plug", "Verschlussschraube", "bouchon"),
    ("reducer", "Reducer or adaptor", "adapter", "Reduzierstück", "réduction"),
    ("cock", "Cock or drain", "drain cock", "Hahn", "robinet"),
)
SEALS = one_of(
    ("flare 37", "Flare, 37°", "AN flare", "JIC"),
    ("flare 45", "Flare, 45°", "SAE flare"),
    ("flare 30", "Flare, 30° (60° cone)", "AC flare 35"),
    ("olive", "Olive or compression", "Schneidring", "olive"),
    ("nipple cone", "Soldered nipple on a cone", "AGS nipple", "solder nipple", "Lötnippel"),
    ("flat washer", "Flat face with washer", "bonded seal", "Dichtring"),
    ("taper thread", "Taper thread", "NPT", "BSPT"),
    ("o-ring", "O-ring boss"),
    ("solder", "Soldered or brazed", "gelötet", "brasé"),
    ("hose", "Hose on bead", "beaded", "Wulst"),
    ("plain", "Plain end"),
    ("none", "No such end"),
)


def _end(letter: str, *, essential: bool) -> tuple[Characteristic, ...]:
    low = letter.lower()
    return (
        word(f"seal_{low}", f"How end {letter} seals", SEALS, concern=Concern.FIT, essential=essential),
        thread(f"thread_{low}", f"Thread at end {letter}", essential=False),
        length(
            f"tube_diameter_{low}",
            f"Tube at end {letter}, outside",
            ("1", "120"),
            "Outside diameter of the pipe it takes.",
            in_sizes=True,
        ),
    )


_TRADE = common_practice("how pipes are joined")
SEAL_CHANGES = {
    ("flare 37", "flare 45"): refused("the seat: the cones don't match and leak.", _TRADE),
    ("flare 45", "flare 37"): refused("the seat: the cones don't match and leak.", _TRADE),
    ("flare 37", "flare 30"): refused("the seat: the cones don't match and leak.", _TRADE),
    ("flare 30", "flare 37"): refused("the seat: the cones don't match and leak.", _TRADE),
    ("nipple cone", "flare 37"): refused("the seat: the cones don't match and leak.", _TRADE),
    ("flare 37", "olive"): refused_flying("it needs no flaring tool.", "it lets go under vibration.", _TRADE),
    ("nipple cone", "olive"): refused_flying("it needs no soldering.", "it lets go under vibration.", _TRADE),
    ("flat washer", "taper thread"): refused("the parallel thread: it splits the boss.", _TRADE),
}


EXAMPLES = (
    Example(
        "An M10 x 1 union for a G1/8 oil line: the classic mix-up",
        Wanted(
            "pipe_fitting",
            (
                wants("shape", "straight"),
                wants("fluid", "mineral oil"),
                wants("seal_a", "nipple cone"),
                wants("thread_a", "G1/8"),
                wants("seal_b", "flat washer"),
                wants("thread_b", "G1/8"),
            ),
            role=Role.SYSTEMS,
        ),
        Offered(
            "pipe_fitting",
            (
                measures("shape", "straight"),
                measures("seal_a", "nipple cone"),
                measures("thread_a", "G1/8", instrument="thread_gauge"),
                measures("seal_b", "flat washer"),
                measures("thread_b", "M10x1", instrument="pitch_gauge"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("thread sizes of ISO 228-1 and ISO 261", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="pipe_fitting",
    name="Pipe or pipe fitting",
    family="Mechanical",
    names=listed(
        "pipe, rigid pipe, fuel pipe, oil pipe, pipe fitting, union, pipe union, elbow, tee, banjo fitting",
        "banjo bolt, flare nut, tube nut, union nut, olive, ferrule, compression ring, drain plug, drain cock",
        "adaptor, Rohrleitung, Leitung, Rohrverbindung, Verschraubung, Überwurfmutter, Schneidring, Ringstutzen",
        "Hohlschraube, Ablassschraube, raccord, tuyauterie, écrou raccord, raccord banjo, vis creuse",
        "bouchon de vidange",
    ),
    characteristics=(
        word("shape", "Shape", SHAPES, concern=Concern.FIT, essential=True),
        standard_number(),
        word("fluid", "Fluid", FLUIDS, "What runs in it.", essential=True, of_place=True),
        *_end("A", essential=True),
        *_end("B", essential=True),
        *_end("C", essential=False),
        length("bore", "Least bore", ("0.5", "120"), "The narrowest place inside.", concern=Concern.FUNCTION),
        length("wall", "Wall", ("0.2", "10"), "Of a pipe.", concern=Concern.STRENGTH),
        length("length_over_all", "Length over all", ("2", "10000"), general=True),
        length("centre_to_end_a", "Centre to end A", ("2", "500"), "Of elbows and tees."),
        length("centre_to_end_b", "Centre to end B", ("2", "500"), "Of elbows and tees."),
        length("across_flats", "Width across flats", ("3", "120")),
        size(
            "working_pressure", "Working pressure", Kind.PRESSURE, ("0.05", "700"), concern=Concern.STRENGTH, effort=3
        ),
        material(essential=True),
        finish(),
        marking(),
        look(),
    ),
    checks=(
        *(word_changes(key, SEAL_CHANGES) for key in ("seal_a", "seal_b", "seal_c")),
        thread_rows("thread_a", "thread_b", "thread_c"),
        at_least("working_pressure"),
        number_rows("standard_number"),
    ),
    covers=frozenset(
        {
            "seal_a",
            "seal_b",
            "seal_c",
            "thread_a",
            "thread_b",
            "thread_c",
            "working_pressure",
            "standard_number",
        }
    ),
    stands_in={
        "hose": KindChange(
            "give between parts that move.", "fire resistance and life: rubber ages.", _TRADE, frozenset({Role.CONTROL})
        ),
        "tube": KindChange("it is cut from stock.", "the ends have to be made.", _TRADE),
    },
    cautions=(
        "A fitting that leaks fuel is a fire. Brass in aluminium eats the thread within a year or two.",
        "Oxygen lines are kept free of oil and grease: they burn.",
        "Release pressure before any line is undone.",
    ),
    examples=EXAMPLES,
    draw=thread_drawing("thread_a", "thread_b", "thread_c"),
    chapter="14",
    help="Rigid lines and what joins them. Name each end: three-eighths at one end says nothing of the other.",
)
