"""A need's one line read into its fields: what it says is entered for confirming, what it doesn't say stays open.

Each line is its own witness: the expected words and figures are those that
stand in it. What the places of a product mean (bore × outside × width, body ×
length) and what a bare size of a class is are common practice; the dash
numbers of AN and MS rivets (32nds of diameter, 16ths of length) are as the
standards print them (AN470, MS20426; from memory, unverified).
"""

import pytest

from server.domain.parts import part_class, part_classes
from server.domain.specification import KnownFrom
from server.services.opening import MOST_READ, OpenedLine, read_opening
from server.services.sizes import requirement_values
from server.services.typed import Typed

LINES: list[tuple[str, str, dict[str, str]]] = [
    (
        "semi tubular rivet brass oval hd 3/32 x 5/16, door lining, 40 off",
        "semi_tubular_rivet",
        {"material": "brass", "head_style": "oval", "body_diameter": "3/32 in", "length_under_head": "5/16 in"},
    ),
    (
        "solid rivets AN470AD4-6 universal head, rear fuselage skin, 200 off",
        "solid_rivet",
        {"head_style": "universal head", "body_diameter": "0.125 in", "length_under_head": "0.375 in"},
    ),
    (
        "MS20426AD3-4",
        "solid_rivet",
        {"head_style": "Countersunk", "body_diameter": "0.09375 in", "length_under_head": "0.25 in"},
    ),
    (
        "Hohlniet Messing 3 x 8 mm, Türverkleidung, 50 Stück",
        "tubular_rivet",
        {"material": "Messing", "body_diameter": "3 mm", "length_under_head": "8 mm"},
    ),
    (
        "rivet bifurqué acier 4 x 12 mm, siège, 30 pièces",
        "split_rivet",
        {"material": "acier", "body_diameter": "4 mm", "length_under_head": "12 mm"},
    ),
    (
        "ribattini ottone 3 x 8 mm testa svasata, rivestimento porta",
        "solid_rivet",
        {"material": "ottone", "head_style": "Countersunk", "body_diameter": "3 mm", "length_under_head": "8 mm"},
    ),
    (
        "blind rivet 1/8 dia countersunk dural, wing walk, 24 off",
        "blind_rivet",
        {"material": "dural", "head_style": "countersunk", "body_diameter": "1/8 in"},
    ),
    (
        "Sechskantschraube M6 x 25 kadmiert, Motorträger, 8 Stk",
        "bolt",
        {"thread": "M6", "head": "Hexagon", "length_under_head": "25 mm", "finish": "kadmiert"},
    ),
    (
        "bolt 1/4 BSF x 1 1/4 hexagon, undercarriage",
        "bolt",
        {"thread": "1/4 BSF", "head": "hexagon", "length_under_head": "1 1/4 in"},
    ),
    (
        "boulon M8 x 40 tête hexagonale, bâti moteur",
        "bolt",
        {"thread": "M8", "head": "hexagonale", "length_under_head": "40 mm"},
    ),
    ("śruba M5 x 20, pokrywa", "bolt", {"thread": "M5", "length_under_head": "20 mm"}),
    (
        "castle nut 1/4-28, rudder hinge, 6 off",
        "nut",
        {"thread": "1/4-28 UNF", "kind_of_nut": "Castle or slotted"},
    ),
    ("écrou à créneaux M8, gouverne, 4 pièces", "nut", {"thread": "M8", "kind_of_nut": "Castle or slotted"}),
    (
        "rondelle plate laiton 6 x 12 x 1 mm, 20 pièces",
        "washer",
        {
            "kind_of_washer": "rondelle plate",
            "bore": "6 mm",
            "outside_diameter": "12 mm",
            "thickness": "1 mm",
            "material": "laiton",
        },
    ),
    (
        "split pin 1/16 x 3/4, brake linkage, 50 off",
        "pin",
        {"kind_of_pin": "split pin", "shank_diameter": "1/16 in", "length_over_all": "3/4 in"},
    ),
    (
        "clevis pin 3/16 dia grip 1/2, aileron cable, 2 off",
        "pin",
        {"kind_of_pin": "clevis pin", "shank_diameter": "3/16 in", "grip": "1/2 in"},
    ),
    (
        "vis à bois laiton 4 x 30 tête fraisée, plancher",
        "wood_screw",
        {
            "kind_of_screw": "vis à bois",
            "shank_diameter": "4 mm",
            "length_under_head": "30 mm",
            "head": "tête fraisée",
            "material": "laiton",
        },
    ),
    (
        "wood screw no 8 x 1 in countersunk, floor board",
        "wood_screw",
        {"kind_of_screw": "wood screw", "length_under_head": "1 in", "gauge_number": "8", "head": "countersunk"},
    ),
    (
        "brass tube 1 1/4 x 18 swg 3 m, fuel line",
        "tube",
        {"material": "brass", "outside_diameter": "1 1/4 in", "wall": "18 swg", "length_over_all": "3 m"},
    ),
    (
        "Stahlrohr 30 x 1,5 mm nahtlos, 2 m, Rumpf",
        "tube",
        {
            "material": "Stahl",
            "outside_diameter": "30 mm",
            "wall": "1,5 mm",
            "length_over_all": "2 m",
            "seam": "nahtlos",
        },
    ),
    (
        "tubo acciaio 22 x 1,5 mm, fusoliera",
        "tube",
        {"material": "acciaio", "outside_diameter": "22 mm", "wall": "1,5 mm"},
    ),
    (
        "streamline tube 3 1/2 x 1 1/2 x 17 swg, lift strut left",
        "streamline_tube",
        {"major_axis": "3 1/2 in", "minor_axis": "1 1/2 in", "wall": "17 swg"},
    ),
    ("sheet 2024 T3 0.032 in thick, belly skin", "sheet_part", {"material": "2024 T3", "thickness": "0.032 in"}),
    ("Blechteil Alu 0,8 mm dick, Motorhaube links", "sheet_part", {"material": "Alu", "thickness": "0,8 mm"}),
    (
        "birch plywood 3 mm, 3 ply, wing leading edge",
        "timber",
        {"material": "birch", "build": "plywood", "thickness": "3 mm", "plies": "3"},
    ),
    (
        "Fichte 50 x 25 x 2000 mm, Holm",
        "timber",
        {"material": "Fichte", "thickness": "25 mm", "width": "50 mm", "length_over_all": "2000 mm"},
    ),
    (
        "hexagon bar brass 1/2 in AF, 300 mm long",
        "bar",
        {"material": "brass", "section": "hexagon", "across_flats": "1/2 in", "length_over_all": "300 mm"},
    ),
    ("seat bucket casting left, two lugs 8 mm holes", "casting", {"hole_diameter": "8 mm"}),
    (
        "wing fitting, forged, 10 mm hole, upper right",
        "forged_fitting",
        {"hole_diameter": "10 mm", "process": "forged"},
    ),
    (
        "Buchse Bronze 12 x 16 x 20 mm, Ruderpedal",
        "bush",
        {"bore": "12 mm", "outside_diameter": "16 mm", "length_over_all": "20 mm", "material": "Bronze"},
    ),
    (
        "roulement à billes 12 x 32 x 10, palonnier",
        "bearing",
        {"kind_of_bearing": "roulement à billes", "bore": "12 mm", "outside_diameter": "32 mm", "width": "10 mm"},
    ),
    (
        "compression spring 12 mm od x 40 long, wire 1.5 mm",
        "spring",
        {
            "kind_of_spring": "Compression coil",
            "free_length": "40 mm",
            "wire_diameter": "1.5 mm",
            "coil_outside_diameter": "12 mm",
        },
    ),
    (
        "control cable 3/32 7x19 galvanised, rudder, 12 ft",
        "control_cable",
        {"construction": "7×19", "diameter": "3/32 in", "cable_metal": "Galvanised steel"},
    ),
    ("turnbuckle fork ends, elevator cable", "turnbuckle", {}),
    (
        "roller chain 1/2 in pitch, trim wheel, 84 links",
        "chain",
        {"kind_of_chain": "roller", "pitch": "1/2 in", "links": "84"},
    ),
    ("piano hinge 12 in long, cowling", "hinge", {"length_over_all": "12 in"}),
    (
        "fuel hose 3/8 bore, 450 mm long, gascolator to carburettor",
        "hose",
        {"bore": "3/8 in", "length_over_all": "450 mm"},
    ),
    ("elbow union brass, oil tank", "pipe_fitting", {"shape": "Elbow, 90°", "material": "brass"}),
    ("fuel strainer gauze, brass, 100 mesh", "filter_screen", {"material": "brass", "mesh": "100"}),
    (
        "O-ring 20 x 3 mm nitrile, oleo leg, 4 off",
        "seal_gasket",
        {"kind_of_seal": "O-ring", "compound": "Nitrile rubber", "bore": "20 mm", "section": "3 mm"},
    ),
    (
        "Dichtring 20 x 26 x 1,5 Kupfer, Ölwanne",
        "seal_gasket",
        {
            "kind_of_seal": "Dichtring",
            "compound": "Kupfer",
            "bore": "20 mm",
            "outside_diameter": "26 mm",
            "thickness": "1,5 mm",
        },
    ),
    ("tailwheel tyre 6.00-6", "tyre_wheel", {"kind_of_wheel_part": "tyre", "tyre_size": "6.00-6"}),
    (
        "cloth sleeving 3 mm bore black, panel loom, 5 m",
        "insulating_sleeving",
        {"bore": "3 mm", "colour": "black", "length_needed": "5 m"},
    ),
    (
        "gaine isolante coton 4 mm, tableau de bord",
        "insulating_sleeving",
        {"material": "coton", "bore": "4 mm"},
    ),
    ("electric wire 14/0.30, 20 m", "electric_wire", {"conductor_area": "14/0.30", "length_needed": "20 m"}),
    (
        "shielding braid tinned copper 6 mm bore, magneto harness",
        "shielding_braid",
        {"material": "copper", "bore": "6 mm", "plating": "tinned"},
    ),
    (
        "flexible conduit aluminium 3/8 id, magneto",
        "flexible_conduit",
        {"material": "aluminium", "inside_diameter": "3/8 in"},
    ),
    (
        "rigid conduit 1/2 od aluminium, instrument panel",
        "rigid_conduit",
        {"material": "aluminium", "outside_diameter": "1/2 in"},
    ),
    ("terminal block 6 studs, battery bay", "terminal_block", {"form": "terminal block", "studs": "6"}),
    ("wire marker sleeve, 12 off", "wire_marker", {"form": "marker sleeve"}),
    (
        "lamp BA15s 24 V 5 W, instrument panel, 6 off",
        "lamp",
        {"base": "BA15s", "voltage": "24 V", "watts": "5 W"},
    ),
    (
        "Kippschalter 24 V 10 A, Schalttafel",
        "switch_fuse",
        {"form": "Kippschalter", "current_rating": "10 A", "voltage_rating": "24 V"},
    ),
    (
        "altimeter 0-20000 ft, 80 mm case, panel",
        "instrument",
        {"case_diameter": "80 mm", "dial_range": "0-20000 ft"},
    ),
    (
        "Irish linen tape 25 mm pinked, wing ribs, 20 m",
        "fabric_tape",
        {"fibre": "Irish linen", "width": "25 mm", "edge": "pinked"},
    ),
    ("leathercloth green, seat, 2 m", "leathercloth", {"colour": "green"}),
    ("padding 50 mm thick, pilot seat", "padding", {"thickness": "50 mm"}),
    (
        "lap belt cotton 2 in wide, observer seat",
        "webbing_belt",
        {"kind_of_belt": "lap belt", "fibre": "cotton", "width": "2 in"},
    ),
    ("bungee cord 12 mm, undercarriage, 4 m", "cord_thread", {"kind_of_cord": "bungee", "diameter": "12 mm"}),
    ("navigation light lens red, left wing tip", "glass_lens", {"colour": "red"}),
    (
        "trim strip nickel plated 600 mm long, door",
        "plated_trim",
        {"kind_of_trim": "trim strip", "length_over_all": "600 mm", "plating": "nickel plated"},
    ),
    (
        "nitrate dope clear, fabric",
        "paint_finish",
        {"kind_of_finish": "nitrate dope", "ground": "fabric", "colour": "clear"},
    ),
]


def requirements(line: OpenedLine) -> dict[str, str]:
    places = [place for place in range(1, MOST_READ + 1) if f"r{place}_characteristic" in line.typed]
    return {line.typed[f"r{place}_characteristic"]: line.typed[f"r{place}_text"] for place in places}


@pytest.mark.parametrize(("text", "key", "expected"), LINES, ids=[text for text, _, _ in LINES])
def test_a_line_gives_the_class_and_what_it_says_of_it(text: str, key: str, expected: dict[str, str]) -> None:
    line = read_opening(text)
    assert line.typed["part_class"] == key
    assert requirements(line) == expected
    assert line.typed["text"] == text


def test_every_class_has_a_line() -> None:
    named = {key for _, key, _ in LINES} | {"mirror_reflector", "placard", "general"}
    assert named == set(part_classes())


@pytest.mark.parametrize("text", [text for text, _, _ in LINES])
@pytest.mark.parametrize("unit", ["", "mm", "in"])
def test_what_was_read_goes_into_the_form_whatever_the_drawings_unit(text: str, unit: str) -> None:
    """A fraction read as inches is entered with its unit: the drawings may be in millimetres."""
    line = read_opening(text)
    for place in range(1, len(requirements(line)) + 1):
        typed = Typed(line.given())
        requirement_values(typed, line.typed["part_class"], unit, f"r{place}_")
        assert typed.faults == {}


@pytest.mark.parametrize("text", [text for text, _, _ in LINES])
def test_everything_entered_is_shown_for_confirming(text: str) -> None:
    line = read_opening(text)
    known = part_class(line.typed["part_class"])
    shown = dict(line.read)
    assert shown["Part class"].startswith(known.name)
    for key, said in requirements(line).items():
        one = known.characteristic(key)
        assert one is not None
        assert shown[one.label].startswith(said)
        assert line.typed["part_class"] == known.key
    assert all(value for _, value in line.read)


def test_a_line_proves_nothing() -> None:
    line = read_opening("brass bush 1/2 id x 5/8 od")
    known_from = [value for name, value in line.typed.items() if name.endswith("_known_from")]
    assert known_from
    assert set(known_from) == {KnownFrom.ESTIMATE.value}


@pytest.mark.parametrize(
    ("text", "item"),
    [
        ("semi tubular rivet brass oval hd 3/32 x 5/16, door lining, 40 off", "Rivet, semi-tubular: door lining"),
        ("elbow union brass, oil tank", "Union, elbow: oil tank"),
        ("brass bush 1/2 id for the rudder pedal", "Bush: rudder pedal"),
        ("Hohlniet Messing 3 x 8 mm, Türverkleidung", "Rivet, tubular: Türverkleidung"),
        ("altimeter, panel", "Altimeter: panel"),
        ("dodad for the cabin heater", "dodad for the cabin heater"),
    ],
)
def test_the_item_begins_with_its_noun(text: str, item: str) -> None:
    assert read_opening(text).typed["item"] == item


@pytest.mark.parametrize(
    ("text", "said", "pieces"),
    [
        ("split rivets, 40 off", "40 off", "40"),
        ("Splinte 2 x 20, 100 Stück", "100 Stück", "100"),
        ("écrous M8, 4 pièces", "4 pièces", "4"),
        ("bungee cord 12 mm, 4 m", "4 m", None),
        ("leathercloth green, 2 m", "2 m", None),
        ("castle nut M8", None, None),
        ("60 pz rondelle", "60 pz", "60"),
        ("60 pcs washers M6", "60 pcs", "60"),
        ("60 Stk Scheiben", "60 Stk", "60"),
        ("60 off split pins", "60 off", "60"),
        ("60 x split pin 1/16 x 3/4", "60 x", "60"),
        ("40 semi tubular rivets", "40", "40"),
        ("40 brass semi tubular rivets 3/32 x 5/16, door", "40", "40"),
        ("100 brass split rivets", "100", "100"),
        ("12 écrous M8", "12", "12"),
        ("40 Hohlniete 3 x 8", "40", "40"),
        ("18 wood screws no 8 x 1", "18", "18"),
    ],
)
def test_how_many_is_pieces_or_a_length(text: str, said: str | None, pieces: str | None) -> None:
    line = read_opening(text)
    assert line.typed.get("quantity_text") == said
    assert line.typed.get("quantity") == pieces


@pytest.mark.parametrize(
    "text",
    [
        "20 brass tube",  # a size, a gauge, or twenty of them
        "40 Bolzen",  # one or many: the word is the same
        "8 wood screws",  # number 8
        "22 wires",  # gauge 22
        "195 aluminium castings",  # an alloy
        "302 steel springs",
        "5083 sheets",
        "6 stud terminal blocks",
        "4 hole flanges",
        "7 strand control cables",
        "3 ply panels",
        "2 BA nuts",
        "1/4 bolts",
        "8 mm bolts",
        "40-50 rivets",
        "40, rivets",
        "1941 altimeters",
        "12 lens",
    ],
)
def test_a_figure_in_front_that_may_be_something_else_is_no_quantity(text: str) -> None:
    """Own rule: how many stays open rather than being guessed."""
    assert "quantity" not in read_opening(text).typed


@pytest.mark.parametrize(
    ("text", "marks"),
    [
        ("bracket from a 1938 tourer", None),
        ("part of a 1938 tourer", None),
        ("part 1938 tourer", None),
        ("seat frame part 1938", None),
        ("Teil 1938, Halter", None),
        ("stores 1936", None),
        ("bracket, part no. 1938", ["1938"]),
        ("bracket part number: 1938", ["1938"]),
        ("Halter Teilenr. 1938", ["1938"]),
        ("bracket, part: 1938", ["1938"]),
        ("bracket P/N 1938", ["1938"]),
        ("part no. 1938 tourer bracket", ["1938"]),
        ("bracket drawing 1936 edition", None),
        ("aluminium part 2024", None),
        ("part 2024-T3 bracket", None),
        ("steel part 4130 tube", None),
        ("tube, part no 4130", ["4130"]),
        ("bracket, part 13836", ["13836"]),
        ("stores 1936 pattern buckle", None),
        ("bush SAE 1280", None),
        ("door handle 41-207", ["41-207"]),
        ("41-207 bracket, left", ["41-207"]),
        ("bracket R-1941", ["R-1941"]),
        ("bracket drawing 1941", ["1941"]),
        ("bracket T2-41-207", ["T2-41-207"]),
        ("springs 20-120 mm", None),
        ("strap 12-115 long", None),
    ],
)
def test_a_year_or_a_standard_is_no_number_of_the_part(text: str, marks: list[str] | None) -> None:
    """Own rule: the words around a figure say what it is."""
    assert read_opening(text).many.get("mark") == marks


@pytest.mark.parametrize(
    ("text", "side"),
    [
        ("bracket, left aileron", "left"),
        ("Motorhaube rechts, Scharnier", "right"),
        ("roller chain, 84 links", ""),  # German for left, but a number stands before it
        ("bolt M6", ""),
    ],
)
def test_the_side_is_read_where_one_is_said(text: str, side: str) -> None:
    assert read_opening(text).typed.get("side", "") == side


def test_numbers_it_goes_by_are_kept() -> None:
    line = read_opening("AN3-5A bolts, 12 off")
    assert line.many["mark"] == ["AN3-5A"]
    assert ("Numbers", "AN3-5A") in line.read


@pytest.mark.parametrize(
    "text",
    ["washers for 1/4 bolt", "grommet for 1/2 in hole", "Scheiben für Bolzen M6", "rondelles pour boulon 6 mm"],
)
def test_a_size_of_what_it_goes_with_is_not_its_own(text: str) -> None:
    read = requirements(read_opening(text))
    assert not {"bore", "outside_diameter", "thickness", "thread", "section", "panel_hole"} & set(read)


def test_what_is_wrong_with_the_original_is_not_asked_of_a_stand_in() -> None:
    read = requirements(read_opening("cracked and corroded magnesium housing, welded before, gearbox"))
    assert not {"cracks", "corrosion", "repair", "condition"} & set(read)
    assert read["material"] == "magnesium"


def test_varnished_cotton_is_not_read_as_plain_cotton() -> None:
    assert "material" not in requirements(read_opening("Isolierschlauch Baumwolle lackiert 4 mm"))


@pytest.mark.parametrize("text", ["split pin 1/16 x 3/4", "wood screw 1 in countersunk", "pin 6 mm"])
def test_a_pin_is_no_pine_and_a_wood_screw_no_wood(text: str) -> None:
    assert "material" not in requirements(read_opening(text))


def test_an_absurd_size_is_left_open() -> None:
    """A misread figure (a body of 300 mm) is no requirement until a person says that it is so."""
    assert "body_diameter" not in requirements(read_opening("solid rivet 300 mm dia"))


@pytest.mark.parametrize("text", ["", " ", "1", ",,,", "???", "\x00\x07", "x" * 5000, "3/0 x 1/0 bolt", "½" * 300])
def test_any_text_is_taken(text: str) -> None:
    line = read_opening(text)
    assert line.typed["part_class"] in part_classes()
    assert len(line.typed["item"]) <= 200
