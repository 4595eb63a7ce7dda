"""Filters, strainers and gauze."""

from server.domain.offer import Offered
from server.domain.parts._characteristics import (
    FLUIDS,
    length,
    listed,
    look,
    material,
    one_of,
    size,
    standard_number,
    thread,
    word,
)
from server.domain.parts._examples import measures, wants
from server.domain.parts._examples import size as of
from server.domain.parts._kinds import number_rows
from server.domain.parts._kit import Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._screens_mirrors import opening_rows
from server.domain.parts._sides import at_least
from server.domain.parts._threads import thread_rows
from server.domain.quantities import Kind
from server.domain.sources import Source, Standing
from server.domain.specification import Role, Use, Wanted
from server.domain.verdict import Concern, Outcome

KINDS = one_of(
    ("gauze", "Gauze by the sheet", "mesh", "wire cloth", "Drahtgewebe", "toile métallique"),
    ("finger", "Finger strainer", "tank strainer", "Fingersieb", "crépine"),
    ("bowl", "Screen of a filter bowl", "gascolator screen", "sediment bowl screen"),
    ("disc", "Disc", "Siebscheibe", "tamis"),
    ("paper", "Paper element", "Papierfilter"),
    ("felt", "Felt or cloth element", "Filzfilter"),
    ("perforated", "Perforated sheet", "Lochblech", "tôle perforée"),
    ("sintered", "Sintered", "Sinterfilter"),
    ("edge", "Edge or disc stack", "Spaltfilter"),
)

EXAMPLES = (
    Example(
        "Gauze of the same mesh with thicker wire: the opening is too small",
        Wanted(
            "filter_screen",
            (
                wants("kind_of_filter", "finger"),
                wants("fluid", "petrol"),
                wants("opening", of(Kind.LENGTH, low="1.15", high="1.35")),
                wants("outside_diameter", of(Kind.LENGTH, low="24", high="26")),
            ),
            role=Role.SYSTEMS,
            use=Use.PERMIT,
        ),
        Offered(
            "filter_screen",
            (
                measures("kind_of_filter", "finger"),
                measures("fluid", "petrol"),
                measures("mesh", of(Kind.COUNT, "16"), instrument="rule"),
                measures("wire_diameter", of(Kind.LENGTH, "0.56"), instrument="micrometer"),
                measures("outside_diameter", of(Kind.LENGTH, "25"), instrument="calliper"),
            ),
        ),
        Outcome.NOT_EQUIVALENT,
        Source("plain square weave, geometry", standing=Standing.DERIVED),
    ),
)

PART_CLASS = PartClass(
    key="filter_screen",
    name="Filter or screen",
    family="Mechanical",
    names=listed(
        "filter, screen, strainer, gauze, fuel strainer, gascolator screen, oil filter, air filter",
        "filter element, finger strainer, wire mesh, Sieb, Kraftstofffilter, Ölfilter, Luftfilter",
        "Drahtgewebe, filtre, crépine, tamis, filtre à huile, filtre à carburant",
    ),
    characteristics=(
        word("kind_of_filter", "Kind of filter", KINDS, essential=True),
        standard_number(),
        word("fluid", "Fluid", FLUIDS, essential=True, of_place=True),
        length(
            "opening",
            "Clear opening",
            ("0.005", "20"),
            "Between two wires, or the rated fineness.",
            concern=Concern.FUNCTION,
            effort=2,
        ),
        size(
            "mesh",
            "Wires per inch",
            Kind.COUNT,
            ("2", "500"),
            "Counted along an inch. Mesh alone does not name the opening.",
        ),
        length("wire_diameter", "Wire diameter", ("0.01", "5"), concern=Concern.FUNCTION, effort=2),
        length("outside_diameter", "Outside diameter", ("2", "600"), essential=True),
        length("bore", "Bore", ("1", "400")),
        length("length_over_all", "Length over all", ("2", "1500"), general=True),
        thread(essential=False),
        size("filter_area", "Filter area", Kind.AREA, ("10", "5000000"), "Of the gauze or paper itself."),
        material("Material of the screen", essential=True),
        word("frame", "Frame and joint", hint="Soldered, brazed, sewn, moulded; and with what."),
        look(),
    ),
    checks=(opening_rows, thread_rows("thread"), at_least("filter_area"), number_rows("standard_number")),
    covers=frozenset({"opening", "mesh", "wire_diameter", "thread", "filter_area", "standard_number"}),
    cautions=("Fuel vapour burns: earth the vessel, no sparks. Old air filters and lagging may hold asbestos.",),
    draw=rings("Filter, from its end", "bore", "outside_diameter"),
    examples=EXAMPLES,
    chapter="28",
    help="Anything that holds dirt back from fuel, oil or air.",
)
