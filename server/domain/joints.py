"""Lengths and formed heads of riveted joints: numbers in, numbers out, all in mm.

D is the body diameter, grip everything clamped, stick-out the length less the
grip. Where published rules disagree an Allowance keeps all of them: hard ends
that refuse and good ends inside which nothing has to be said.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

from server.domain import rivet_sources as src
from server.domain.quantities import INCH
from server.domain.sources import Source
from server.domain.tables.read import read_table

HALF_STEP, WHOLE_STEP = INCH / 32, INCH / 16
METRIC_LENGTHS = tuple(Fraction(n) for n in (2, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28))
"""DIN 660 and 661, as far as the trade pages printed them."""

SHORTEST_WARTIME = Fraction(7, 6)
"""Shortest published stick-out as part of D: 7/32 in on a 3/16 in rivet (Curtiss P-40 repair manual, para 14)."""

TARGET, TARGET_HEIGHT = Fraction(3, 2), Fraction(1, 2)
FLOOR_WIDTH, FLOOR_HEIGHT = Fraction(13, 10), Fraction(3, 10)
"""Driven head of a solid rivet as parts of D: aimed at (1.5 D wide, 0.5 D high) and the floor of MIL-HDBK-5H."""

NEAR_NOMINAL = INCH * Fraction("0.006")
_SLENDER = INCH / 4 + NEAR_NOMINAL


@dataclass(frozen=True, slots=True)
class Allowance:
    """What a rivet needs beyond its grip, in mm.

    Shorter than `low` or longer than `high` is refused. From `good_low` to
    `good_high` the published rules agree that it suits. `slope` is how fast
    the ends grow with the body diameter.
    """

    low: Fraction
    good_low: Fraction
    good_high: Fraction
    high: Fraction
    slope: Fraction
    said: str
    sources: tuple[Source, ...]
    short_means: str = ""
    long_means: str = ""


@dataclass(frozen=True, slots=True)
class StandardLengths:
    """Standard lengths round a computed one, in mm: both ways of rounding, never one picked.

    The `whole` pair counts 1/16 in steps only, for shops that stock no half
    sizes; None in metric, where there are no half sizes.
    """

    target: Fraction
    next_up: Fraction
    nearest: Fraction
    next_up_whole: Fraction | None = None
    nearest_whole: Fraction | None = None

    @property
    def agree(self) -> bool:
        """True where every way of rounding gives the same rivet."""
        said = (self.next_up, self.nearest, self.next_up_whole, self.nearest_whole)
        return len({one for one in said if one is not None}) == 1


_Span = tuple[Fraction, Fraction]


@cache
def _inch_bodies() -> dict[_Span, Fraction]:
    """Diameters in mm that count as each nominal of the inch series."""
    nominals = [inch_of(row["d_in"]) for row in read_table("rivets_solid")]
    return {(nominal - NEAR_NOMINAL, nominal + NEAR_NOMINAL): nominal for nominal in nominals}


@cache
def _metric_bodies() -> dict[_Span, Fraction]:
    """Limits of each nominal of DIN 660, in mm."""
    rows = [row for row in read_table("rivets_metric") if row["standard"] == "DIN 660"]
    return {(mm_of(row["d_min"]), mm_of(row["d_max"])): mm_of(row["d_mm"]) for row in rows}


@lru_cache(maxsize=1024)
def nominal_inch(diameter: Fraction) -> Fraction | None:
    """The inch series' nominal diameter (in mm) that this measured one belongs to; None if none is near."""
    return _nominal_at(diameter, _inch_bodies())


@lru_cache(maxsize=1024)
def nominal_metric(diameter: Fraction) -> Fraction | None:
    """The DIN 660 nominal (in mm) whose limits hold this diameter; None if none does."""
    return _nominal_at(diameter, _metric_bodies())


def _nominal_at(diameter: Fraction, bodies: dict[_Span, Fraction]) -> Fraction | None:
    return next((nominal for (low, high), nominal in bodies.items() if low <= diameter <= high), None)


def is_inch(diameter: Fraction, unit: str) -> bool:
    """Does this rivet belong to the inch series? By the unit it was written in, else by the nearer nominal."""
    if unit in {"in", "thou", "ft"}:
        return True
    inch, metric = nominal_inch(diameter), nominal_metric(diameter)
    if inch is None or metric is None:
        return metric is None and inch is not None
    return abs(diameter - inch) < abs(diameter - metric)


@lru_cache(maxsize=4096)
def mm_of(text: str) -> Fraction:
    """A table's millimetres."""
    return Fraction(text)


@lru_cache(maxsize=4096)
def inch_of(text: str) -> Fraction:
    """A table's inches in mm."""
    return Fraction(text) * INCH


def standard_lengths(target: Fraction, *, inch: bool) -> StandardLengths | None:
    """Standard lengths round a computed one; None beyond the end of the metric series as published."""
    if inch:
        return StandardLengths(
            target,
            _up(target, HALF_STEP),
            _nearest(target, HALF_STEP),
            _up(target, WHOLE_STEP),
            _nearest(target, WHOLE_STEP),
        )
    longer = [one for one in METRIC_LENGTHS if one >= target]
    if not longer:
        return None
    nearest = min(METRIC_LENGTHS, key=lambda one: (abs(one - target), -one))
    return StandardLengths(target, longer[0], nearest)


_HALF = Fraction(1, 2)


def _up(value: Fraction, step: Fraction) -> Fraction:
    return -(-value // step) * step


def _nearest(value: Fraction, step: Fraction) -> Fraction:
    return (value / step + _HALF).__floor__() * step


def long_grip_extra(diameter: Fraction, grip: Fraction) -> tuple[Fraction, Fraction]:
    """Extra length of a long solid rivet in mm: by whole steps, and pro rata.

    Up to 1/4 in diameter 1/16 in for every 2 in of grip once the grip is over
    2 in; from 5/16 in for every 1 in. Whether a part step counts is not said.
    """
    step = 2 * INCH if diameter <= _SLENDER else INCH
    if grip <= step:
        return Fraction(0), Fraction(0)
    return (grip // step) * WHOLE_STEP, grip / step * WHOLE_STEP


def solid_allowance(diameter: Fraction, grip: Fraction) -> Allowance:
    """Stick-out of a solid rivet with a raised driven head; the same for both kinds of made head."""
    whole, pro_rata = long_grip_extra(diameter, grip)
    sources: tuple[Source, ...] = (src.NAVY_SELECTION, src.P40, src.ARMY_ROUNDING, src.LENGTH_BANDS)
    said = "1.5 D over the grip; wartime practice goes down to 1.17 D"
    if pro_rata:
        sources = (*sources, src.ARMY_LONG_GRIP)
        said += f"; long grip adds {write_mm(whole)} by whole steps or {write_mm(pro_rata)} pro rata"
    return Allowance(
        low=diameter + whole,
        good_low=SHORTEST_WARTIME * diameter + whole,
        good_high=TARGET * diameter + pro_rata,
        high=TARGET * diameter + pro_rata + HALF_STEP,
        slope=TARGET,
        said=said,
        sources=sources,
        short_means="short: look hard at the driven head, and measure it",
        long_means="long but usable: watch that the shank doesn't buckle or clinch over",
    )


_FLUSH_TAIL = ((Fraction(90), Fraction("0.667"), "BS 4620"), (Fraction(60), Fraction("0.484"), "BS 275"),
               (Fraction(45), Fraction("0.584"), "BS 275"))  # fmt: skip


def flush_tail_allowance(diameter: Fraction, angle: Fraction | None) -> Allowance | None:
    """Stick-out that fills a countersink of this whole angle flush; None for an angle with no published figure."""
    for known, factor, standard in _FLUSH_TAIL:
        if angle == known:
            needed = factor * diameter
            return Allowance(
                low=needed,
                good_low=needed,
                good_high=needed + HALF_STEP,
                high=needed + 2 * HALF_STEP,
                slope=factor,
                said=f"{float(factor):g} D fills a {known}° countersink flush ({standard}); the rest is dressed off",
                sources=(src.BRITISH_ALLOWANCES, src.LENGTH_BANDS),
                long_means="more than the countersink holds: it has to be dressed off",
            )
    return None


def driven_head_height(
    stick_out: Fraction, diameter: Fraction, hole: Fraction, grip: Fraction, width: Fraction
) -> Fraction:
    """Height in mm of a driven head of this width: what the hole's clearance leaves of the stick-out."""
    return (stick_out * diameter**2 - grip * (hole**2 - diameter**2)) / width**2


def semi_tubular_clinches(diameter: Fraction) -> tuple[tuple[str, Fraction], ...]:
    """Clinch allowances by maker's table, in mm, for this body, measured or nominal; empty where none prints it."""
    return _printed(diameter, "clinch_in")


@lru_cache(maxsize=1024)
def semi_tubular_bore_depths(diameter: Fraction) -> tuple[tuple[str, Fraction], ...]:
    """Usual bore depths by maker's table, in mm, for this body; empty where none prints it."""
    return _printed(diameter, "bore_depth_in")


@lru_cache(maxsize=1024)
def _printed(diameter: Fraction, column: str) -> tuple[tuple[str, Fraction], ...]:
    found = {(row["vendor"], inch_of(row[column])) for row in semi_tubular_rows(diameter) if row[column]}
    return tuple(sorted(found))


@lru_cache(maxsize=512)
def semi_tubular_rows(diameter: Fraction) -> tuple[dict[str, str], ...]:
    """Rows of this body: every body of its nominal size, else the bodies whose limits (0.002 in to spare) hold it."""
    by_nominal, by_body = _semi_tubular_spans()
    nominal = _rows_at(diameter, by_nominal)
    if nominal:
        return nominal
    held = _rows_at(diameter, by_body)
    sizes = {row["d_frac_in"] for row in held}
    every = read_table("rivets_semi_tubular")
    return (*held, *(row for row in every if row["d_frac_in"] in sizes and not row["body_min_in"]))


_Spans = dict[_Span, list[dict[str, str]]]


@cache
def _semi_tubular_spans() -> tuple[_Spans, _Spans]:
    """Rows of the makers' tables by the diameters in mm that count as their nominal size, and as their body."""
    by_nominal: _Spans = {}
    by_body: _Spans = {}
    near, spare = INCH / 2000, INCH * Fraction("0.002")
    for row in read_table("rivets_semi_tubular"):
        nominal = inch_of(row["d_frac_in"])
        by_nominal.setdefault((nominal - near, nominal + near), []).append(row)
        if row["body_min_in"]:
            span = (inch_of(row["body_min_in"]) - spare, inch_of(row["body_max_in"]) + spare)
            by_body.setdefault(span, []).append(row)
    return by_nominal, by_body


def _rows_at(diameter: Fraction, spans: _Spans) -> tuple[dict[str, str], ...]:
    return tuple(row for (low, high), rows in spans.items() if low <= diameter <= high for row in rows)


def semi_tubular_allowance(diameter: Fraction, *, in_lining: bool) -> Allowance:
    """Clinch of a semi-tubular rivet: makers' tables where they print one, else the machine makers' share of D."""
    clinches = semi_tubular_clinches(diameter)
    good = [clinch for _, clinch in clinches] or [diameter / 2, Fraction(6, 10) * diameter]
    sources: tuple[Source, ...] = (src.SEMI_TABLES, src.SEMI_RULE) if clinches else (src.SEMI_RULE,)
    said = "; ".join(f"table {vendor}: {write_mm(clinch)}" for vendor, clinch in clinches)
    said = f"clinch by makers' tables ({said})" if said else "clinch 50 to 60 % of D"
    if len(set(good)) > 1 and clinches:
        said += f"; they differ by {write_mm(max(good) - min(good))}, so set a few in scrap first"
    if in_lining:
        good += [diameter / 2, Fraction(3, 4) * diameter]
        said += "; in linings 0.5 to 0.75 D"
    return Allowance(
        low=min(diameter / 2, *good),
        good_low=min(good),
        good_high=max(good),
        high=max(Fraction(3, 4) * diameter, *good),
        slope=Fraction(3, 4),
        said=said,
        sources=(*sources, src.LINING_GUIDE),
        short_means="short: the roll may not cover the edge of the hole",
        long_means="long: the roll may split or the shank buckle",
    )


@lru_cache(maxsize=1024)
def tubular_allowances(diameter: Fraction, wall: Fraction | None = None) -> tuple[Fraction, ...]:
    """Setting allowances z in mm of DIN 7340 for this diameter, of this wall where it is given; as quoted."""
    found = set()
    for row in read_table("rivets_metric"):
        if row["standard"] != "DIN 7340" or not mm_of(row["d_min"]) <= diameter <= mm_of(row["d_max"]):
            continue
        if wall is None or abs(mm_of(row["wall"]) - wall) <= mm_of(row["wall"]) / 10:
            found.add(mm_of(row["setting_allowance"]))
    return tuple(sorted(found))


def tubular_allowance(diameter: Fraction, wall: Fraction | None, *, in_lining: bool) -> Allowance:
    """What a tubular rivet's end needs to roll: DIN 7340 by wall, or 0.8 to 1.0 D of brake-lining practice."""
    every, ours = tubular_allowances(diameter), tubular_allowances(diameter, wall) if wall is not None else ()
    if every and not in_lining:
        good = ours or every
        said = f"DIN 7340: {' or '.join(write_mm(one) for one in good)} for this diameter" + (
            " and wall" if ours else ""
        )
        if not ours and len(every) > 1:
            said += "; it goes by the wall, which is not known" if wall is None else "; this wall is not in the list"
        return Allowance(
            low=every[0],
            good_low=good[0],
            good_high=good[-1],
            high=every[-1],
            slope=Fraction(1),
            said=said,
            sources=(src.DIN_7340,),
            short_means="short for its wall: a thinner wall would roll with so little",
            long_means="long for its wall: the end may split or the tube buckle",
        )
    return Allowance(
        low=Fraction(8, 10) * diameter,
        good_low=Fraction(8, 10) * diameter,
        good_high=diameter,
        high=diameter,
        slope=Fraction(1),
        said="0.8 to 1.0 D, brake-lining practice" + ("" if in_lining else "; no table covers this tube"),
        sources=(src.LINING_GUIDE,),
    )


def split_allowance() -> Allowance:
    """What a split rivet needs to bend its prongs over: 1/16 in over hard stuff, 1/8 in over spongy."""
    return Allowance(
        low=INCH / 16,
        good_low=INCH / 16,
        good_high=INCH / 8,
        high=INCH / 8,
        slope=Fraction(0),
        said="1/16 in over the stack for hard leather, 1/8 in for spongy stuff",
        sources=(src.SPLIT_TIN,),
    )


def write_mm(value: Fraction) -> str:
    """A computed length to three figures."""
    return f"{float(value):.3g} mm"
