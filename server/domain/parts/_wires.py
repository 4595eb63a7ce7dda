"""Words of electric wire: strands, metals, platings, insulations, and how the circuit runs."""

from server.domain.parts._kit import Choice

SOLID = "solid"
BUNDLE = "bundle"
FREE_AIR = "free_air"
CONTINUOUS = "continuous"
INTERMITTENT = "intermittent"
MAIN_FEED = "main_feed"

STRANDINGS = (
    Choice(SOLID, "Solid", ("single", "single strand", "massiv", "1 strand")),
    Choice("seven", "7 strands", ("7", "7 strand", "class 2")),
    Choice("nineteen", "19 or 37 strands", ("19", "37", "19 strand", "37 strand", "19 strands", "37 strands")),
    Choice("fine", "Many fine strands", ("fine stranded", "flexible", "class 5", "feindrähtig", "Litze")),
)
"""From the stiffest to the most flexible."""

CONDUCTORS = (
    Choice("copper", "Copper", ("Kupfer", "Cu", "cuivre")),
    Choice("aluminium", "Aluminium", ("aluminum", "Al", "Alu")),
    Choice("copper_alloy", "Copper alloy, high strength", ("high strength copper alloy", "cadmium copper")),
)

PLATINGS = (
    Choice("bare", "Bare", ("none", "plain", "blank", "unplated")),
    Choice("tin", "Tinned", ("tin", "verzinnt", "étamé")),
    Choice("silver", "Silver plated", ("silver", "versilbert")),
    Choice("nickel", "Nickel plated", ("nickel", "vernickelt")),
)

INSULATIONS = (
    Choice("rubber_cotton", "Rubber, cotton braid", ("rubber and cotton", "cotton covered rubber", "VIR", "VRI")),
    Choice("varnished_cotton", "Varnished cotton or cambric", ("varnished cambric", "lacquered cotton")),
    Choice("cotton", "Cotton or silk only", ("silk", "double cotton covered", "DCC")),
    Choice("enamel", "Enamel", ("enamelled", "Lackdraht")),
    Choice("rubber", "Rubber", ("natural rubber", "neoprene")),
    Choice("pvc", "PVC", ("vinyl", "PVC nylon", "PVC with nylon jacket")),
    Choice("polyethylene", "Polyethylene", ("PE", "polythene")),
    Choice("etfe", "ETFE", ("Tefzel", "cross-linked ETFE")),
    Choice("ptfe", "PTFE", ("teflon",)),
    Choice("silicone_rubber", "Silicone rubber", ("silicone",)),
    Choice("glass", "Glass braid", ("fibreglass", "fiberglass")),
    Choice("asbestos", "Asbestos", ("asbestos braid", "Asbest", "amiante")),
)

SCREENS = (
    Choice("screened", "Screened", ("shielded", "yes", "geschirmt", "blindé")),
    Choice("unscreened", "Not screened", ("unshielded", "no", "plain", "ungeschirmt")),
)

DUTIES = (
    Choice(CONTINUOUS, "Continuous", ("steady",)),
    Choice(INTERMITTENT, "Intermittent", ("short time", "momentary")),
)

INSTALLATIONS = (
    Choice(BUNDLE, "In a bundle or conduit", ("bundled", "in conduit", "loom", "harness")),
    Choice(FREE_AIR, "Single, in free air", ("free air", "single", "open")),
)

CIRCUITS = (
    Choice("load_feed", "Bus to equipment", ("bus to load", "load")),
    Choice(MAIN_FEED, "Main feed: generator or battery to bus", ("main feeder", "main power", "battery cable")),
)
