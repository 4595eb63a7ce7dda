"""Shielding braid: tubular metal braid over a wire or a bundle."""

import re
from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction
from math import atan, pi, sin

from server.domain.offer import Basis, Offered, Statement
from server.domain.parts._computed import (
    FAMILY,
    Found,
    between,
    demand_of,
    found,
    found_in,
    given,
    label_row,
    may_differ,
    offered_words,
    one_sided,
    one_sided_row,
    statement_row,
)
from server.domain.parts._examples import claims, measures, size, wants
from server.domain.parts._kit import Case, Characteristic, Choice, Example, PartClass
from server.domain.parts._outline_drawings import rings
from server.domain.parts._wire_names import awg_diameter_in, strand_area
from server.domain.quantities import Kind, Quantity, write_value
from server.domain.rows import judge_size, missing_offer, with_demand
from server.domain.sources import Source, common_practice, from_memory
from server.domain.specification import Form, KnownFrom, Requirement, Role, Use, Wanted
from server.domain.verdict import Concern, MeasureNext, Outcome, Row, Verdict

NAME_RULE = Source("maker's guide to copper braid", "carriers, ends, strand gauge")
COVERAGE_RULE = from_memory("optical coverage K = 2F - F², F = N·P·d/sin a")
RANGE_RULE = common_practice("a braid opens and closes; its cover falls as it opens")
METAL_RULE = common_practice("another metal or plating corrodes, solders and screens differently")

MATERIALS = (
    Choice("copper", "Copper", ("Kupfer", "cuivre")),
    Choice("aluminium", "Aluminium", ("aluminum", "Al")),
    Choice("steel", "Steel", ("stainless steel", "Stahl")),
    Choice("brass", "Brass", ("Messing", "laiton")),
)

PLATINGS = (
    Choice("bare", "Bare", ("none", "plain")),
    Choice("tin", "Tinned", ("tin", "verzinnt")),
    Choice("silver", "Silver plated", ("silver",)),
    Choice("nickel", "Nickel plated", ("nickel",)),
)

CHARACTERISTICS = (
    Characteristic("material", "Metal of the strands", Concern.FUNCTION, choices=MATERIALS, essential=True, effort=2),
    Characteristic("plating", "Plating", Concern.FUNCTION, choices=PLATINGS),
    Characteristic(
        "size_name",
        "Size as named",
        Concern.FUNCTION,
        help="As the reel names it: carriers-ends-strand gauge (“48-32-30”), or the former's diameter.",
    ),
    Characteristic(
        "bore",
        "Bore on its former",
        Concern.FIT,
        Kind.LENGTH,
        help="Inside diameter as made; a range if the sheet gives one.",
        plausible=between("0.5", "100"),
        essential=True,
    ),
    Characteristic(
        "strand_diameter",
        "Diameter of one strand",
        Concern.FUNCTION,
        Kind.LENGTH,
        plausible=between("0.04", "0.6"),
        effort=2,
        tell_with=("micrometer",),
    ),
    Characteristic("carriers", "Carriers", Concern.FUNCTION, Kind.COUNT, plausible=between("8", "96"), effort=2),
    Characteristic(
        "ends", "Strands in a carrier", Concern.FUNCTION, Kind.COUNT, plausible=between("1", "60"), effort=2
    ),
    Characteristic(
        "coverage",
        "Optical coverage",
        Concern.FUNCTION,
        Kind.SHARE,
        help="At least; falls when the braid is opened.",
        plausible=between("40", "100"),
        effort=4,
    ),
    Characteristic(
        "conductor_area",
        "Metal area of the braid",
        Concern.FUNCTION,
        Kind.AREA,
        help="Carriers × strands × one strand's area: what carries a fault or a ground current.",
        plausible=between("0.1", "200"),
        effort=2,
    ),
    Characteristic("look", "Look", Concern.APPEARANCE, judged=True),
    Characteristic(
        "length_needed",
        "Length in all",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("10", "500000"),
        tell_with=("tape",),
    ),
    Characteristic(
        "covers_diameter",
        "Diameter to be covered",
        Concern.FIT,
        Kind.LENGTH,
        plausible=between("0.5", "100"),
        of_place=True,
    ),
)


def braid_area(carriers: int, ends: int, strand_mm: Fraction) -> Fraction:
    """Metal area in mm²: carriers × ends × one strand."""
    return strand_area(carriers * ends, strand_mm)


def read_braid_name(text: str) -> tuple[int, int, Fraction] | None:
    """Carriers, ends and strand diameter in mm of a name like “48-32-30”; None where it is none."""
    match = re.fullmatch(r"\s*(\d{1,3})\s*[-x×]\s*(\d{1,3})\s*[-x×/]\s*(\d{2})\s*", text)
    if match is None or not 20 <= int(match.group(3)) <= 40:
        return None
    strand = Fraction(awg_diameter_in(int(match.group(3))) * 25.4).limit_denominator(10**6)
    return int(match.group(1)), int(match.group(2)), strand


def optical_coverage(carriers: int, ends: int, strand: float, over: float, picks: float) -> float:
    """Share of the surface that the braid covers, 0 to 1.

    `strand` and `over` (the diameter beneath) in mm, `picks` crossings per mm
    along one carrier's way. The formula is from memory.
    """
    angle = atan(2 * pi * (over + 2 * strand) * picks / carriers)
    fill = ends * picks * strand / sin(angle)
    return 1.0 if fill >= 1 else 2 * fill - fill * fill


def kind_rows(case: Case) -> Iterable[Row]:
    """Metal and plating: another one is a person's decision."""
    for key in ("material", "plating"):
        row = may_differ(case, key, "Mind what it touches and how it is terminated.", METAL_RULE)
        if row is not None:
            yield row


def _area_found(case: Case) -> Statement | None:
    said = case.statement("conductor_area")
    if said is not None:
        return said
    carriers, ends, strand = found(case, "carriers"), found(case, "ends"), found(case, "strand_diameter")
    named = None
    statement = case.statement("size_name")
    if statement is not None:
        named = read_braid_name(statement.text)
    if carriers is not None and ends is not None and strand is not None:
        area = braid_area(int(carriers.value), int(ends.value), strand.value)
        is_measured = carriers.is_measured and ends.is_measured and strand.is_measured and strand.doubt is not None
        # the area goes with the square of the strand
        doubt = area * 2 * strand.doubt / strand.value if strand.doubt is not None else None
        text = f"{write_value(area, Kind.AREA)} from {int(carriers.value)} × {int(ends.value)} strands of {strand.text}"
        basis = Basis.MEASURED if is_measured else Basis.CLAIMED
        return Statement("conductor_area", basis, text, Quantity(Kind.AREA, area, "mm²", text), expanded=doubt)
    if named is not None and statement is not None:
        area = braid_area(*named)
        text = f"{write_value(area, Kind.AREA)} by the name {statement.text}"
        return Statement("conductor_area", Basis.CLAIMED, text, Quantity(Kind.AREA, area, "mm²", text))
    return None


def area_rows(case: Case) -> Iterable[Row]:
    """Metal area and coverage, at least the original's."""
    one = case.part_class.characteristic("conductor_area")
    assert one is not None
    demand = demand_of(case, "conductor_area")
    if demand is not None:
        demand = one_sided(demand, Form.AT_LEAST, "the original's area taken as the least allowed")
        statement = _area_found(case)
        row = missing_offer(case, one, demand) if statement is None else judge_size(case, one, demand, statement)
        row = with_demand(row, demand)
        yield replace(row, sources=(*row.sources, NAME_RULE)) if statement is not None else row
    for key in ("coverage", "length_needed"):
        row_or_none = one_sided_row(case, key, Form.AT_LEAST, "the original's figure taken as the least allowed")
        if row_or_none is not None:
            yield row_or_none


def fit_rows(case: Case) -> Iterable[Row]:
    """The braid over its bundle: within its stated range, else a person tries it."""
    over = given(case, "covers_diameter")
    if over is None or over.most is None:
        row = one_sided_row(case, "bore", Form.AT_LEAST, "no narrower than the original taken as enough")
        if row is not None:
            yield row
        return
    statement = case.statement("bore")
    inside: Found | None = found_in(statement) if statement is not None else None
    measure = MeasureNext("bore", "Pull a piece over the bundle and look at the cover", "eye", 1)
    if inside is None or statement is None or statement.quantity is None:
        verdict, said = Verdict.OPEN, "The bore of the braid is not known."
    elif statement.quantity.value is None:
        least = over.least if over.least is not None else over.most
        fits = inside.low <= least and over.most <= inside.high
        verdict = Verdict.JUDGED if fits else Verdict.AGAINST
        said = f"{over.text} lies {'within' if fits else 'outside'} the stated range, {statement.text}."
    else:
        verdict = Verdict.JUDGED
        ratio = over.most / inside.value
        said = (
            f"Made on {inside.text}, to cover {over.text} ({float(ratio):.2f} times): it opens and closes, and covers"
            f" {'less' if ratio > 1 else 'no less'} than on its former. Try a piece."
        )
    yield statement_row(
        case,
        label_row("bore_over_bundle", "Over what it covers", Concern.FIT),
        verdict,
        said,
        wanted=f"over {over.text}",
        offered=offered_words(case, "bore"),
        sources=(RANGE_RULE,),
        departs=verdict is Verdict.JUDGED,
        assumption=over.note,
        measure=measure if verdict is Verdict.OPEN else None,
    )


def _wanted(*requirements: Requirement) -> Wanted:
    return Wanted("shielding_braid", requirements, role=Role.SYSTEMS, use=Use.PERMIT)


EXAMPLES = (
    Example(
        "Braid 48-32-30 called 3/0 equivalent, 85.03 mm² wanted: by its name it has less",
        _wanted(wants("material", "copper"), wants("conductor_area", size(Kind.AREA, "85.03"), form=Form.AT_LEAST)),
        Offered("shielding_braid", (measures("material", "copper"), claims("size_name", "48-32-30"))),
        Outcome.NOT_EQUIVALENT,
        NAME_RULE,
    ),
    Example(
        "Tinned braid stated for 8 to 14 mm on a bundle of 11 mm",
        _wanted(
            wants("material", "copper"),
            wants("covers_diameter", size(Kind.LENGTH, "11"), known=KnownFrom.ON_ORIGINAL),
        ),
        Offered(
            "shielding_braid",
            (measures("material", "copper"), claims("bore", size(Kind.LENGTH, low="8", high="14"))),
        ),
        Outcome.WITH_REASONS,
        RANGE_RULE,
    ),
)

PART_CLASS = PartClass(
    key="shielding_braid",
    name="Braid, shielding",
    family=FAMILY,
    names=("shielding braid", "screening braid", "bonding braid", "Abschirmgeflecht", "Geflecht", "tresse"),
    characteristics=CHARACTERISTICS,
    checks=(kind_rows, area_rows, fit_rows),
    covers=frozenset({"material", "plating", "bore", "conductor_area", "coverage", "length_needed"}),
    draw=rings("Braid over its bundle", "covers_diameter", "bore"),
    examples=EXAMPLES,
    chapter="2497",
    help="Count carriers and strands, measure one strand: the area follows. A nominal size says little of its cover.",
)
