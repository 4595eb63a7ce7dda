"""Thermal classes of insulating materials.

Source: IEC 60085 and the older NEMA/AIEE letters as quoted on several pages
that agree; the standards themselves were not seen.
"""

from fractions import Fraction

from server.domain.parts._kit import Choice
from server.domain.sources import Source, Standing

IEC_60085 = Source("IEC 60085", "thermal classes", standing=Standing.QUOTED)

CLASS_TEMPERATURES: dict[str, Fraction] = {
    "Y": Fraction(90),
    "A": Fraction(105),
    "E": Fraction(120),
    "B": Fraction(130),
    "F": Fraction(155),
    "H": Fraction(180),
    "N": Fraction(200),
    "R": Fraction(220),
}
"""Letter to °C. The old letter C only says "above 180 °C" and has no figure."""

THERMAL_CLASSES = (
    Choice("Y", "Y, 90 °C (old letter O)", ("class Y", "O", "class O")),
    Choice("A", "A, 105 °C", ("class A",)),
    Choice("E", "E, 120 °C", ("class E",)),
    Choice("B", "B, 130 °C", ("class B",)),
    Choice("F", "F, 155 °C", ("class F",)),
    Choice("H", "H, 180 °C", ("class H",)),
    Choice("N", "N, 200 °C", ("class N",)),
    Choice("R", "R, 220 °C", ("class R",)),
    Choice("C", "C, old letter: above 180 °C", ("class C",)),
)

MATERIAL_CLASSES: dict[str, str] = {
    "cotton": "Y",
    "silk": "Y",
    "varnished_cotton": "A",
    "varnished_rayon": "A",
    "pet": "E",
    "varnished_glass": "B",
    "acrylic_glass": "F",
    "silicone_glass": "H",
    "silicone_rubber": "H",
    "ptfe": "N",
}
"""Material to its usual class. PVC is left out, it comes for 90 °C and 105 °C; rubber and polyethylene have none."""
