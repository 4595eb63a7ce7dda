"""Hoses and hose assemblies."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    FLUIDS,
    YES_NO,
    coldest,
    cure_date,
    length,
    listed,
    look,
    marking,
    one_of,
    size,
    standard_number,
    thread,
    warmest,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import allowed, number_rows, refused, refused_flying, word_changes
from server.domain.parts._kit import Example, KindChange, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._rubbers import cure_row
from server.domain.parts._sides import at_least, at_most
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing, common_practice
from server.domain.specification import Form, Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("rubber textile", "Rubber with textile braid inside the wall", "canvas hose", "Gewebeschlauch", "durite"),
    ("outer textile braid", "Rubber with textile braid outside", "cotton overbraid", "textilumflochten"),
    ("wire braid", "Rubber with wire braid", "steel braided", "drahtumflochten", "tressé"),
    ("ptfe", "PTFE with wire braid", "teflon"),
    ("metal", "All-metal bellows", "flexible metal", "Metallschlauch", "Petroflex"),
    ("plain rubber", "Plain rubber", "Gummischlauch"),
    ("plastic", "Plastic", "PVC", "tygon", "nylon"),
    ("silicone", "Silicone rubber", "Silikon"),
)
ENDS = one_of(
    ("plain", "Plain, clipped", "clamp end", "Schelle"),
    ("swivel nut", "Swivel nut on cone or flare", "union nut", "Überwurfmutter", "écrou raccord"),
    ("male", "Male thread", "Außengewinde", "mâle"),
    ("banjo", "Banjo", "Ringstutzen", "banjo"),
    ("bulkhead", "Bulkhead", "Schott"),
    ("beaded pipe", "Beaded pipe", "Wulst"),
)

_TRADE = common_practice("what hoses are used for")
CHANGES = {
    ("*", "plastic"): refused_flying("it is clear and cheap.", "it hardens or softens with fuel and heat.", _TRADE),
    ("*", "plain rubber"): refused_flying("it is to be had.", "the braid that holds the pressure.", _TRADE),
    ("rubber textile", "wire braid"): allowed("pressure.", "the look; it chafes its neighbours.", _TRADE),
    ("outer textile braid", "wire braid"): allowed("pressure.", "the look; it chafes its neighbours.", _TRADE),
    ("rubber textile", "outer textile braid"): allowed("wear resistance.", "the look.", _TRADE),
    ("outer textile braid", "rubber textile"): allowed("a smooth outside to clip on.", "the look.", _TRADE),
    ("rubber textile", "ptfe"): allowed("it does not age.", "it kinks, and the look.", _TRADE),
    ("wire braid", "ptfe"): allowed("it does not age.", "it kinks.", _TRADE),
    ("metal", "wire braid"): refused_flying("it bends easily.", "it stands less heat.", _TRADE),
}
EXAMPLES = (
    Example(
        "An oil hose of unknown age: sizes and pressure good, no cure date",
        Wanted(
            "hose",
            (
                wants("kind_of_hose", "rubber textile"),
                wants("fluid", "mineral oil"),
                wants("bore", of(Kind.LENGTH, low="12.4", high="13.1")),
                wants("working_pressure", of(Kind.PRESSURE, "7"), form=Form.AT_LEAST),
                wants("cure_date", "not before 3Q2019"),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "hose",
            (
                measures("kind_of_hose", "rubber textile"),
                measures("fluid", "mineral oil"),
                measures("bore", of(Kind.LENGTH, "12.7"), instrument="calliper"),
                measures("working_pressure", of(Kind.PRESSURE, "10"), expanded="0.2"),
            ),
        ),
        Outcome.NOT_PROVEN,
        common_practice("rubber of unknown age is old rubber"),
    ),
    Example(
        "The same hose, cured before the oldest date allowed",
        Wanted(
            "hose",
            (
                wants("kind_of_hose", "rubber textile"),
                wants("fluid", "mineral oil"),
                wants("bore", of(Kind.LENGTH, low="12.4", high="13.1")),
                wants("working_pressure", of(Kind.PRESSURE, "7"), form=Form.AT_LEAST),
                wants("cure_date", "not before 3Q2019"),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "hose",
            (
                measures("kind_of_hose", "rubber textile"),
                measures("fluid", "mineral oil"),
                measures("bore", of(Kind.LENGTH, "12.7"), instrument="calliper"),
                measures("working_pressure", of(Kind.PRESSURE, "10"), expanded="0.2"),
                measures("cure_date", "2Q82"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("cure dates in quarters, a navy training page", standing=Standing.QUOTED),
    ),
)

PART_CLASS = PartClass(
    key="hose",
    name="Hose",
    family="Mechanical",
    names=listed(
        "hose, flexible hose, fuel hose, oil hose, hydraulic hose, brake hose, flexible pipe, hose assembly",
        "air hose, vacuum hose, Schlauch, Schlauchleitung, Kraftstoffschlauch, Bremsschlauch, tuyau souple",
        "flexible, durite",
    ),
    characteristics=(
        word("kind_of_hose", "Kind of hose", KINDS, essential=True),
        standard_number(),
        word("fluid", "Fluid", FLUIDS, "What runs in it; of the hose: what its specification allows.", essential=True),
        length(
            "bore",
            "Bore",
            ("1", "150"),
            "Inside diameter; hose dash numbers count 1/16 in of the tube it equals.",
            essential=True,
            in_sizes=True,
        ),
        length("outside_diameter", "Outside diameter", ("3", "200")),
        length(
            "length_over_all",
            "Length over all",
            ("20", "10000"),
            "Over the ends as the drawing shows them.",
            general=True,
        ),
        size(
            "working_pressure",
            "Working pressure",
            Kind.PRESSURE,
            ("0.05", "700"),
            "Of the hose by its specification; of the place: the most it gets.",
            concern=Concern.STRENGTH,
            essential=True,
            effort=2,
        ),
        size(
            "proof_pressure",
            "Proof pressure",
            Kind.PRESSURE,
            ("0.1", "1500"),
            "What it was tested to after making.",
            concern=Concern.STRENGTH,
            effort=3,
        ),
        size("burst_pressure", "Burst pressure", Kind.PRESSURE, ("0.2", "3000"), concern=Concern.STRENGTH, effort=5),
        length("bend_radius", "Least bend radius", ("5", "2000"), "To the centre line.", concern=Concern.FUNCTION),
        warmest(),
        coldest(),
        word("end_a", "End A", ENDS, concern=Concern.FIT),
        thread("thread_a", "Thread at end A", essential=False),
        word("end_b", "End B", ENDS, concern=Concern.FIT),
        thread("thread_b", "Thread at end B", essential=False),
        word("fire_sleeve", "Fire sleeve", YES_NO, "Ahead of the firewall a fire-resistant hose may be asked for."),
        cure_date(),
        word(
            "braid_look",
            "Braid and tracer",
            hint="Colour, bands, tracer thread.",
            concern=Concern.APPEARANCE,
            judged=True,
        ),
        marking(),
        look(),
    ),
    checks=(
        word_changes("kind_of_hose", CHANGES),
        thread_rows("thread_a", "thread_b"),
        cure_row,
        at_least("working_pressure", "proof_pressure", "burst_pressure", "temperature_high"),
        at_most("temperature_low", "bend_radius"),
        number_rows("standard_number"),
    ),
    covers=frozenset(
        {
            "kind_of_hose",
            "thread_a",
            "thread_b",
            "cure_date",
            "working_pressure",
            "proof_pressure",
            "burst_pressure",
            "temperature_high",
            "temperature_low",
            "bend_radius",
            "standard_number",
        }
    ),
    stands_in={
        "pipe_fitting": KindChange(
            "it does not age or burn through.", "the give between parts that move.", _TRADE, frozenset({Role.CONTROL})
        ),
        "insulating_sleeving": refused("everything: sleeving holds no pressure.", _TRADE),
    },
    cautions=(
        "A hose that leaks fuel or oil ahead of the firewall is a fire: its fire resistance is for a licensed person.",
        "Oxygen lines are kept free of oil and grease: they burn.",
        "Release pressure before any line is undone.",
    ),
    draw=rings("End of the hose", "bore", "outside_diameter"),
    examples=EXAMPLES,
    chapter="14",
    help="Flexible lines of fuel, oil, hydraulics, brakes, air and vacuum.",
)
