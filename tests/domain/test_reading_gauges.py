"""Gauge numbers against the tables of a general reference library, and strands against geometry.

Outside witness: `fluids.piping`, which holds the tables of Machinery's
Handbook (its schedule "SWG" is the American steel wire gauge; the British one
is "BSWG"). American wire gauge besides follows the rule of ASTM B258 as quoted.
"""

from fractions import Fraction
from math import pi

import pytest
from fluids.piping import t_from_gauge

from server.domain.errors import Unreadable
from server.domain.gauges import find_gauge
from server.domain.quantities import Kind
from server.domain.reading import read_quantity
from server.domain.tables.read import read_table

SCHEDULES = {"SWG": "BSWG", "BWG": "BWG", "AWG": "AWG", "W&M": "SWG"}
ROWS = [row for row in read_table("gauges") if row["system"] in SCHEDULES]
SPELLED = {"W&M": "W & M"}


def library_inches(system: str, number: str) -> float:
    # the library names 4/0 by 0.25, 7/0 by 0.143, and 3/0 by 0.33
    named = int(number) if number.isdigit() else {"3/0": 0.33}.get(number, round(1 / int(number[0]), 3))
    return float(t_from_gauge(named, SI=False, schedule=SCHEDULES[system]))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['gauge']} {row['system']}")
def test_every_gauge_agrees_with_the_reference_library(row: dict[str, str]) -> None:
    system, number = row["system"], row["gauge"]
    read = read_quantity(f"{number} {SPELLED.get(system, system)}", Kind.LENGTH)
    assert read.value is not None
    # the library rounds some figures to four places of an inch
    assert float(read.value) / 25.4 == pytest.approx(library_inches(system, number), abs=0.00006)
    assert number in read.note
    assert row["source"].split(";")[0] in read.note


@pytest.mark.parametrize(
    ("number", "inches"),
    # ASTM B258 as quoted: the two fixed sizes and two between
    [("36", 0.0050), ("20", 0.03196), ("0", 0.3249), ("0000", 0.4600)],
)
def test_american_wire_follows_its_rule(number: str, inches: float) -> None:
    area = read_quantity(f"{number} AWG", Kind.AREA)
    assert area.value is not None
    assert float(area.value) == pytest.approx(pi / 4 * (inches * 25.4) ** 2, rel=5e-4)
    assert "stranded" in area.note


@pytest.mark.parametrize(
    ("text", "mm2"),
    [
        # areas of solid American wire, circular mils of ASTM B258 tables: 1624.3 and 642.45 cmil
        ("18 AWG", 0.8230),
        ("22 AWG", 0.3255),
        ("1624.3 cmil", 0.8230),
        # π/4 d² of each strand; a trade page prints 0.85 mm² for 16/.30, which computes to 1.13
        ("16/.30", 1.131),
        ("14/0.30", 0.990),
        ("28/0.30", 1.979),
        ("14/.012", 1.0215),
        ("28/.012 in", 2.043),
        ("7/0.85 mm", 3.972),
    ],
)
def test_the_area_of_a_conductor(text: str, mm2: float) -> None:
    read = read_quantity(text, Kind.AREA)
    assert read.value is not None
    assert float(read.value) == pytest.approx(mm2, rel=1e-3)


def test_twenty_gauge_is_six_thicknesses() -> None:
    # the comparison table of gauge systems, mm to three places
    wanted = {"SWG": "0.914", "BWG": "0.889", "AWG": "0.813", "W&M": "0.884", "USS": "0.953", "MSG": "0.912"}
    for system, mm in wanted.items():
        gauge = find_gauge(system, "20")
        assert gauge is not None
        assert abs(gauge.mm - Fraction(mm)) <= Fraction(6, 10000)


def test_a_gauge_without_its_system_is_asked_back_with_the_thicknesses() -> None:
    with pytest.raises(Unreadable, match="whose gauge") as refused:
        read_quantity("22 gauge", Kind.LENGTH)
    for said in ("22 SWG (0.711 mm)", "22 AWG (0.643 mm)", "22 USS (0.794 mm)"):
        assert said in str(refused.value)


@pytest.mark.parametrize("text", ["16 SWG", "16swg", "SWG 16", "swg16", "No. 16 SWG", "16 s.w.g.", "#16 SWG"])
def test_a_gauge_is_read_in_its_spellings(text: str) -> None:
    text = text.removeprefix("No. ")
    assert read_quantity(text, Kind.LENGTH).value == Fraction("1.6256")


def test_tables_that_disagree_leave_a_doubt() -> None:
    # 28 SWG: 0.0149 in one published table, 0.0148 in another
    read = read_quantity("28 SWG", Kind.LENGTH)
    assert read.half_step == Fraction("0.00254")
    assert "another table differs" in read.note


def test_a_weight_gauge_says_that_it_is_approximate() -> None:
    # 15 USC 206 fixes the weight of a sheet, not its thickness
    assert "weight" in read_quantity("16 USS", Kind.LENGTH).note


def test_an_unseen_figure_says_so() -> None:
    assert "memory, unverified" in read_quantity("16 DBL", Kind.LENGTH).note
