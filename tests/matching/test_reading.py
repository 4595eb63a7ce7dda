"""What is read out of a text: the thing, its words in other languages, sizes, numbers, corrections, places.

Sizes are held against exact conversions: 1 in = 25.4 mm (international inch, NIST SP 811). Meanings of words are
those of general German and French dictionaries (Niet, Messing, laiton, Sperrholz ...); words of the shop are common
practice.
"""

from fractions import Fraction

import pytest

from server.domain.quantities import Kind
from server.matching.facts import Facts, GivenSize, Structured
from server.matching.index import tokens_of
from server.matching.lexicon import standard_lexicon
from server.matching.reading_text import LONGEST_TEXT, read_facts, role_of


def _heads(facts: Facts) -> set[str]:
    return {concept for one in facts.meanings if one.is_head for concept in one.concepts}


def _concepts(facts: Facts) -> set[str]:
    return {concept for one in facts.meanings for concept in one.concepts}


def _lengths(facts: Facts) -> set[float]:
    return {float(round(one.value + Fraction(1, 10_000), 3)) for one in facts.sizes if one.is_length}


@pytest.mark.parametrize(
    ("text", "thing"),
    [
        ("brake lining rivets, brass", "semi_tubular_rivet"),
        ("rivets for the brake shoe", "rivet"),
        ("Bolt, tailwheel fork", "bolt"),
        ("fuel tank drain plug", "plug"),
        ("hose clip for 3/8 hose", "hose_clamp"),
        ("Birkensperrholz 2 mm", "plywood"),
        ("Schraube für Motorhaube", "screw"),
        ("rivets bifurqués laiton", "split_rivet"),
        ("ressort de rappel de palonnier", "spring"),
        ("dado autobloccante M6", "self_locking_nut"),
        ("AN470AD4-6", "solid_rivet"),
        ("DIN 94 1,6x20", "cotter_pin"),
        ("split-pin", "cotter_pin"),
        ("splitpins", "cotter_pin"),
        ("turn buckle brass", "turnbuckle"),
    ],
)
def test_the_thing_itself_is_told_from_what_it_goes_with(text: str, thing: str) -> None:
    assert thing in _heads(read_facts(text))


@pytest.mark.parametrize(
    ("text", "concept"),
    [
        ("Messing", "brass"),
        ("laiton", "brass"),
        ("ottone", "brass"),
        ("Oese vernickelt", "eyelet"),
        ("Öse vernickelt", "nickel_plated"),
        ("tube 24ST", "al_2024"),
        ("sheet 3.1355", "al_2024"),
        ("csk screw", "head_countersunk"),
        ("tête fraisée", "head_countersunk"),
        ("bracket l/h", "left"),
        ("Halter links", "left"),
        ("cable 7 x 19", "construct_7x19"),
        ("rivet 100 deg", "angle_100"),
        ("Filzring", "felt"),
        ("Stahlrohr", "steel"),
        ("s/s hose clip", "stainless_steel"),
        ("1/4 BSF bolt", "thread_bsf"),
    ],
)
def test_words_and_shop_signs_are_understood(text: str, concept: str) -> None:
    known = standard_lexicon()
    assert concept in {wider for one in _concepts(read_facts(text)) for wider in known.lineage(one)}


def test_a_word_with_two_meanings_keeps_both() -> None:
    found = read_facts("Schlauch 8 mm")
    assert {"hose", "inner_tube"} <= _concepts(found)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("3/16 geommet", "grommet"),
        ("turnbukle M5", "turnbuckle"),
        ("3/8 pipe tread", "pipe thread"),
        ("Messnig Niet", "Messing"),
    ],
)
def test_a_wrong_letter_is_mended_and_said_so(typed: str, read: str) -> None:
    facts = read_facts(typed)
    assert read in dict(facts.corrections).values()
    assert any(one.corrected == read and one.concepts for one in facts.meanings)


def test_a_doubled_letter_makes_no_fault() -> None:
    assert "grommet" in _heads(read_facts("gromett")) & _heads(read_facts("grommets"))


@pytest.mark.parametrize("text", ["kitchen table", "oak chair", "house", "winter", "string quartet"])
def test_ordinary_words_are_left_alone(text: str) -> None:
    assert not read_facts(text).corrections


def test_sizes_are_cut_out_and_leave_no_in_behind() -> None:
    facts = read_facts("grommet 3/8 in hole, 1/4 in id")
    assert _lengths(facts) == {9.525, 6.35}
    assert [one.text for one in facts.meanings] == ["grommet", "hole"]


def test_a_fraction_beside_a_misspelt_part_is_still_a_size() -> None:
    assert 4.763 in {round(one, 3) for one in _lengths(read_facts("3/16 geommet"))} | _lengths(
        read_facts("3/16 geommet")
    )


def test_french_size_words_give_roles() -> None:
    found = {one.role: float(one.value) for one in read_facts("passe-fil trou 25,4 alésage 19").sizes}
    assert found == {"hole": 25.4, "id": 19.0}


def test_amperes_glued_to_the_figure_count_beside_an_electrical_part() -> None:
    assert [(one.kind, float(one.value)) for one in read_facts("disjoncteur 25A").sizes] == [(Kind.CURRENT, 25.0)]


def test_a_thread_gives_diameter_pitch_and_form() -> None:
    facts = read_facts("bolt M6x1")
    assert {(str(one.kind), float(one.value)) for one in facts.sizes} == {("length", 6.0), ("thread pitch", 1.0)}
    assert "thread_metric" in _concepts(facts)


def test_a_pipe_thread_is_known_by_its_name_and_not_as_a_length_of_that_name() -> None:
    facts = read_facts("plug 1/4 BSP")
    assert 6.35 not in _lengths(facts)
    assert [float(one.value) for one in facts.sizes if one.kind == "pipe thread size"] == [6.35]


def test_every_span_is_the_text_as_typed() -> None:
    text = "4× Ösen Messing ⅛″ für Haube, AN426AD3-4 geommet"
    facts = read_facts(text)
    for one in facts.meanings:
        if one.span is not None and one.language != "number" and " " not in one.text:
            assert one.text in text[one.span[0] : one.span[1]] or one.key in one.text.casefold()
    for number in facts.designators:
        if number.span:
            assert text[number.span[0] : number.span[1]] == number.text
    assert all(0 <= start < end <= len(text) for start, end in facts.spans)


def test_what_the_register_holds_counts_and_is_not_counted_twice() -> None:
    known = Structured(
        part_class="tube",
        designations=("DWG 12-345",),
        sizes=(GivenSize("outside_diameter", Fraction("19.05"), text="3/4 in", kind=Kind.LENGTH),),
        material="4130",
        words=("seamless",),
        side="left",
        aeroplane="Heron Moth II",
    )
    facts = read_facts("tube 3/4 in od, rear", structured=known)
    assert [(one.role, float(one.value)) for one in facts.sizes] == [("od", 19.05)]
    assert {"tube", "alloy_steel", "seamless", "left"} <= _concepts(facts)
    assert [one.form for one in facts.designators] == ["DWG12345"]
    assert facts.part_class == "tube"


def test_limits_without_a_nominal_stand_for_their_middle() -> None:
    known = Structured(sizes=(GivenSize("bore", None, Fraction(6), Fraction("6.2"), kind=Kind.LENGTH),))
    size = read_facts("bush", structured=known).sizes[0]
    assert float(size.value) == 6.1
    assert size.doubt == pytest.approx(0.1 / 6.1)


def test_roles_follow_the_characteristic() -> None:
    assert [role_of(one) for one in ("bore", "outside_diameter", "wall", "shank_length", "head_diameter", "mass")] == [
        "id",
        "od",
        "wall",
        "len",
        "head",
        "",
    ]


def test_a_number_torn_apart_is_found_where_it_is_in_use() -> None:
    facts = read_facts("bracket k 47 11 3", numbers_in_use=frozenset({"k47113"}))
    assert "K47113" in {one.form for one in facts.designators}


@pytest.mark.parametrize(
    ("text", "numbers"),
    [
        ("magneto bracket 1941", set()),
        ("rivet 1936 pattern", set()),
        ("from a 1938 tourer", set()),
        ("1930s lamp", set()),
        ("bracket 1941/42", set()),
        ("steel SAE 1280 bracket", set()),
        ("strip, ASTM B 1280", set()),
        ("SAE J429 bolts", {"SAEJ429"}),
        ("seat frame, part 1938", set()),
        ("bracket grade 4037", set()),
        ("aluminium part 2024", set()),
        ("no. 1941 bracket", {"1941"}),
        ("part no. 1938 tourer bracket", {"1938"}),
        ("bracket, part: 1938", {"1938"}),
        ("tube, part no 4130", {"4130"}),
        ("bracket drawing 1941", {"1941"}),
        ("bracket R-1941", {"R1941"}),
        ("bracket 41-207", {"41207"}),
        ("bracket 13836", {"13836"}),
        ("DIN 1941", {"DIN1941"}),
    ],
)
def test_a_year_or_a_grade_is_no_makers_number(text: str, numbers: set[str]) -> None:
    """Own rule: a bare year-like figure is a year unless a word for a number stands before it."""
    assert {one.form for one in read_facts(text).designators} == numbers


def test_a_year_is_still_found_as_a_word() -> None:
    assert "w1941" in tokens_of(read_facts("magneto bracket 1941"))


RUBBISH = [
    "",
    " ",
    "\x00\x00",
    "x" * 10_000,
    "1/2 " * 2_500,
    "1x" * 5_000,
    "🔩" * 3_000,
    '"' * 999,
    "((((" * 2_000,
    "'; DROP TABLE search_row; --",
    "AN470AD4-6",
    "\u202e\u0000\ufffe",
    "ß" * 5_000,
    "rivet " * 1_600,
    "schrauben" * 1_000,
    "照準器マウント 補強材",
    "\n\t\r" * 3_000,
    "-" * 10_000,
    "½" * 2_000,
    "%s %d {0} ${x}",
]


@pytest.mark.parametrize("text", RUBBISH, ids=range(len(RUBBISH)))
def test_rubbish_is_read_without_complaint_and_within_bounds(text: str) -> None:
    facts = read_facts(text)
    assert len(facts.text) <= LONGEST_TEXT
    assert len(facts.meanings) <= 60
    assert len(facts.sizes) <= 32
