"""The documents that rivet rules and figures come from, and how each was seen."""

from server.domain.sources import Source, Standing, common_practice, from_memory

AC43 = "FAA AC 43.13-1B"
AC43_EDITION = "1998, change 1 of 2001"


def _ac(place: str, standing: Standing = Standing.SEEN) -> Source:
    return Source(AC43, place, AC43_EDITION, standing)


# length, heads and formed heads
NAVY_SELECTION = Source("NAVEDTRA 14018", "chapter 13, rivet selection and length")
NAVY_MATERIALS = Source("NAVEDTRA 14315", "Table 3-1")
P40 = Source("Curtiss P-40 repair manual", "rivets, paras 8 to 17")
ARMY_LONG_GRIP = Source("TM 9-2320-303-24-2", "Table 5, rivet length by grip")
ARMY_FAULTS = Source("TM 9-2320-303-24-2", "Table 6, rivet faults")
ARMY_ROUNDING = Source("TM 10-5410-229-13&P", "solid rivets, next standard length above")
ARMY_BLIND = Source("TM 10-5410-221-14-1", "Table 4-3, blind rivets")
HOLE_BANDS = Source("TM 10-5410-221-14-1", "width of the hole bands of Table 4-3", standing=Standing.DERIVED)
BLIND_GRIPS = Source("TM 9-2320-363-34-2", "Table 7, grip of blind rivets")
SCHOOL_SHEET = Source("aircraft maintenance school sheet", "solid rivet", standing=Standing.QUOTED)
GERMAN_SCRIPT = Source(
    "Bauelemente der Luftfahrzeuge", "chapter 6, citing LN 9198 and LN 9199", "2025", Standing.QUOTED
)
MIL_HDBK_5H = Source("MIL-HDBK-5H", "para 8.1.2, solid rivets", "1998")
MIL_HDBK_SHEAR = from_memory("MIL-HDBK-5 and MMPDS", "Table 8.1.2(b), shear of driven rivets")
MMPDS_SHEAR = Source("MMPDS-09", "Table 8.1.2(b), 596 lbf for 2117 at 5/32", standing=Standing.QUOTED)
MIL_R_47196 = Source("MIL-R-47196A", "driven heads and oversize repairs", "1977", Standing.QUOTED)
BRITISH_ALLOWANCES = Source("BS 4620, BS 275, BS 425", "setting allowances, maker's page", standing=Standing.QUOTED)
VOLUME = Source("constant volume of the shank", "stick-out fills hole and head", standing=Standing.DERIVED)
LENGTH_BANDS = Source(
    "bands between the published allowances", "1.0, 1.17, 1.5 D and half a step", standing=Standing.DERIVED
)

# replacing
AC43_REPLACE = _ac("para 4-57b, replacement rivets")
AC43_HEADS = _ac("para 4-57a(4), head styles")
AC43_HOLES = _ac("page 4-12, holes and drills")
AC43_DIAMETER = _ac("para 4-58g, diameter by sheet")
AC43_PATTERN = _ac("Fig. 4-5, edge distance and pitch", Standing.QUOTED)
AC43_HOLLOW = _ac("para 4-57, item (9), page 4-24")
AC43_NONSTRUCTURAL = _ac("para 7-2")
AC43_SPLICE = _ac("Tables 4-9 to 4-11, pages 4-37 to 4-39")
ARMY_PATTERN = Source("TM 10-5410-221-14-1", "edge distance and pitch")
CSK_EDGE = Source("examination guide", "2.5 D edge for countersunk rivets", standing=Standing.QUOTED)
REPAIR_MANUAL_BLIND = Source("single-engine structural repair manual", "fasteners, blind for solid rivets")
FLUSH_ANGLES = Source("FAA-H-8083-31", "chapter 4, flush heads of 78° and 100°", standing=Standing.QUOTED)

# semi-tubular, tubular and split
SEMI_TABLES = Source("makers' tables A and B", "clinch allowance by body diameter", standing=Standing.QUOTED)
SEMI_RULE = Source("riveting-machine makers' guidance", "clinch 50 to 60 % of the body, hole 0.010 to 0.015 in over it")
B18_7 = Source("ASME B18.7", "body limits as makers' tables print them", "2007", Standing.QUOTED)
LINING_GUIDE = Source("brake-lining maker's fitting guide", "quoting DIN 7338 practice", standing=Standing.QUOTED)
DIN_7340 = Source("DIN 7340", "setting allowance, maker's page", "2011-03", Standing.QUOTED)
DIN_6791 = Source("DIN 6791", "standard inferred from a vendor's table", "2012-05", Standing.QUOTED)
DIN_660 = Source("DIN 660", "d1 limits, trade pages", "2012-01", Standing.QUOTED)
B18_1_1 = Source("ANSI/ASME B18.1.1", "in Machinery's Handbook, 31st ed., pp. 1871 and 1873", "1972 (R2016)")
SPLIT_TIN = Source("label of a tin of split rivets", "length over the stack", standing=Standing.QUOTED)
LINING_METAL = Source("restorers' trade guides", "copper or brass in linings, never steel", standing=Standing.QUOTED)
BORE_GEOMETRY = Source(
    "solid part of the shank", "length less bore depth, against grip and joint", standing=Standing.DERIVED
)
HOLLOW_FOR_SOLID = common_practice("nothing hollow stands in for a solid shear rivet")
SIDES = common_practice("solid, tubular and split rivets are set from both sides, blind ones from one")
SAME_PATTERN = common_practice("the same rivet in the same hole keeps the original's pattern")

STATUS = {
    "seen": Standing.SEEN,
    "quoted": Standing.QUOTED,
    "derived": Standing.DERIVED,
    "memory, unverified": Standing.MEMORY,
}
"""How a row of a table says that it was seen."""
