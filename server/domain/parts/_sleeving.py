"""Sleeving: what it is made of, and what its size names mean."""

from server.domain.parts._kit import Choice

ASBESTOS = "asbestos"
HEAT_SHRINK = "heat_shrink"
EXPANDABLE = "expandable_braid"

MATERIALS = (
    Choice("cotton", "Cotton, not varnished", ("cotton", "Baumwolle", "coton", "woven cotton", "plain cotton")),
    Choice("silk", "Silk", ("Seide", "soie")),
    Choice(
        "varnished_cotton",
        "Cotton, varnished or impregnated",
        ("varnished cotton", "varnished cambric", "oiled cotton", "waxed cotton", "Lackgewebe", "empire cloth"),
    ),
    Choice("varnished_rayon", "Rayon, varnished", ("varnished rayon", "varnished artificial silk")),
    Choice("glass", "Glass, untreated", ("glass", "fibreglass", "fiberglass", "Glasfaser", "untreated glass")),
    Choice("varnished_glass", "Glass, organic varnish", ("varnished glass", "glass with varnish")),
    Choice("acrylic_glass", "Glass, acrylic coated", ("acrylic glass", "acrylic coated glass")),
    Choice(
        "silicone_glass",
        "Glass, silicone coated",
        ("silicone glass", "silicone coated glass", "silicone coated fibreglass", "silicone fiberglass"),
    ),
    Choice("silicone_rubber", "Silicone rubber", ("silicone", "Silikon")),
    Choice("rubber", "Natural rubber", ("natural rubber", "india rubber", "Gummi", "caoutchouc")),
    Choice("pvc", "PVC", ("vinyl", "polyvinyl chloride", "plasticised PVC")),
    Choice("polyethylene", "Polyethylene", ("PE", "polythene")),
    Choice("polyolefin", "Polyolefin, cross-linked", ("cross-linked polyolefin", "modified polyolefin")),
    Choice("pet", "Polyester (PET)", ("polyester", "PET monofilament")),
    Choice("nylon", "Nylon", ("polyamide", "PA")),
    Choice("ptfe", "PTFE", ("teflon",)),
    Choice(ASBESTOS, "Asbestos", ("asbestos braid", "amosite", "chrysotile", "Asbest", "amiante")),
)
"""Kinds of stuff, the other words people use, German and French among them."""

CONSTRUCTIONS = (
    Choice("woven", "Woven or braided, no coating", ("braided", "woven", "braid", "geflochten", "tressé")),
    Choice("coated_braid", "Braid with varnish or coating", ("varnished braid", "coated braid", "spaghetti")),
    Choice("varnished_cloth", "Varnished cloth tube", ("cambric tube", "oiled tube", "Isolierschlauch")),
    Choice("extruded", "Plain extruded tube", ("tube", "tubing", "extruded tube", "Schlauch")),
    Choice(HEAT_SHRINK, "Heat-shrink tube", ("heat shrink", "shrink tube", "Schrumpfschlauch", "shrink sleeve")),
    Choice(EXPANDABLE, "Expandable braid", ("expanding braid", "expandable sleeving", "braided sleeve")),
    Choice("tape", "Wound tape", ("wrapped tape", "lapped tape")),
)
