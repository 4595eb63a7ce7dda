"""Threads: what a call means in pitch, form and diameter, and whether one thread is another.

Identity goes by pitch first, then form (angle), then diameter, never by a
nominal size alone. Areas are computed from diameter, pitch and form.

Sources: ISO 68-1 and ISO 898-1 (metric), ASME B1.1 (Unified), BS 84
(Whitworth), BS 93 (British Association); the standards were not seen, their
formulas are as quoted and reproduce published area tables to 0.4 %.
"""

import functools
import re
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import pi, sqrt

from server.domain import reading_threads
from server.domain.quantities import INCH, as_decimal_text
from server.domain.reading_fold import fold
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table

THREAD_RULE = Source(
    "Thread forms: ISO 68-1, ASME B1.1, BS 84, BS 93, ISO 228-1", standing=Standing.QUOTED, is_method=True
)
AREA_RULE = Source("ISO 898-1 and ASME B1.1, tensile stress area", standing=Standing.QUOTED)
AREA_BY_ANALOGY = Source(
    "area of the mean of pitch and core diameter, by analogy with ISO 898-1", standing=Standing.DERIVED
)
CREST_RULE = Source("ISO 965-1 6g and ASME B1.1 class 2A, crest limits", standing=Standing.MEMORY)

CALLIPER_TELLS = Fraction("0.2")
"""Two diameters nearer than this (mm) are not told apart on real crests, which sit below nominal (common practice)."""
PITCH_GAUGE_TELLS = Fraction(2, 100)
"""Two pitches nearer than this share are not told apart by a leaf gauge over about ten threads (common practice)."""


@dataclass(frozen=True, slots=True)
class Form:
    """A family of threads: flank angle in degrees; root and stress diameter as major less so many pitches."""

    angle: Fraction
    root: Fraction
    stress: Fraction | None
    is_taper: bool = False
    is_analogy: bool = False


_METRIC = Form(Fraction(60), Fraction("1.226869"), Fraction("0.938194"))
_UNIFIED = Form(Fraction(60), Fraction("1.299038"), Fraction("0.974279"))
_WHITWORTH = Form(Fraction(55), Fraction("1.280654"), Fraction("0.9604905"), is_analogy=True)
_BA = Form(Fraction("47.5"), Fraction("1.2"), Fraction("0.9"), is_analogy=True)
FORMS: dict[str, Form] = {
    "M": _METRIC,
    "UNF": _UNIFIED,
    "UNC": _UNIFIED,
    "UNEF": _UNIFIED,
    "UN": _UNIFIED,
    "BSW": _WHITWORTH,
    "BSF": _WHITWORTH,
    "BSP": _WHITWORTH,
    "BSPT": Form(Fraction(55), _WHITWORTH.root, None, is_taper=True),
    "NPT": Form(Fraction(60), Fraction("1.6"), None, is_taper=True),
    "BA": _BA,
}
"""Thread form by family. The root of the Unified form is the sharp one, 1.299 P deep, on which the old ratings of AN
bolts rest. Cycle threads (CEI) are left out: their form was not looked up."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread as called: diameters and pitch in mm, flank angle in degrees.

    `angle` is None where the call does not name the form; `major` is None for
    taper pipe threads; `pitch` None where neither call nor table gives one.
    """

    designation: str
    form: str
    major: Fraction | None
    pitch: Fraction | None
    tpi: Fraction | None = None
    angle: Fraction | None = None
    is_taper: bool = False
    is_left_hand: bool = False
    starts: int = 1
    tolerance_class: str = ""
    note: str = ""

    def __str__(self) -> str:
        more = [f"{self.starts}-start"] * (self.starts > 1) + ["left hand"] * self.is_left_hand
        return ", ".join([self.designation, *more])

    @property
    def sizes(self) -> str:
        """Pitch, angle and diameter in words: "pitch 0.907 mm (28 per inch), 60°, 6.35 mm"."""
        pitch = "pitch not known"
        if self.pitch is not None:
            count = f" ({as_decimal_text(self.tpi, 1)} per inch)" if self.tpi is not None else ""
            pitch = f"pitch {as_decimal_text(self.pitch, 3)}\u202fmm{count}"
        angle = "form not named" if self.angle is None else f"{as_decimal_text(self.angle, 1)}°"
        taper = ", taper" if self.is_taper else ""
        major = "" if self.major is None else f", {as_decimal_text(self.major, 3)}\u202fmm"
        return f"{pitch}, {angle}{taper}{major}"


_LEFT = re.compile(r"\b(?:l\.?h\.?|left[ -]?hand(?:ed)?|links(?:gewinde)?|pas a gauche)(?:[ -]?thread)?(?=[\s,;)]|$)")
_START_WORDS = {"two": 2, "double": 2, "twin": 2, "zweigangig": 2, "three": 3, "triple": 3, "four": 4}
_MULTI = re.compile(
    r"\b(?P<n>[2-4]|two|three|four|double|twin|triple)[ -](?:start|starts)\b|\b(?P<g>zwei|drei|[23])[ -]?gangig\b"
)
_TAIL = re.compile(
    r"[\s,;]*(?:\([^)]*\)|x[ ]?[0-9][0-9 /.,]*(?:\"|in\b|mm\b)?|-?[ ]?(?:[0-9][egh](?:[0-9][egh])?|[123][ab])"
    r"|threads?|gewinde|rh|right hand|special|[ ])*\s*"
)
_COUNT_APART = re.compile(
    r"(?P<size>[0-9]{1,2}/[0-9]{1,2}|[0-9]+(?:[.,][0-9]+)?[ ]?mm|0?[.][0-9]+)(?:[ ]?(?:\"|in\b))?[ ]?[x,]?[ ]?"
    r"(?P<count>[0-9]{1,2}(?:[.,][0-9])?)[ ]?(?:t\.?p\.?i\.?|per inch)"
)
_PIPE_R = re.compile(r"r(?P<kind>[cp]?)[ ]?(?P<size>(?:[1-3][ -])?[1357]/(?:16|[248])|[1-3])(?:\"|\b)")
"""Pipe threads by their newer letters: R and Rc are taper, Rp parallel (ISO 7-1, from memory)."""


@functools.lru_cache(maxsize=1024)
def read_thread(text: str) -> Thread | None:
    """The thread that a whole text calls for; None if it calls for none, or for more than one."""
    low = " ".join(fold(text).split())
    is_left = bool(_LEFT.search(low))
    low = _LEFT.sub(" ", low)
    starts = 1
    multi = _MULTI.search(low)
    if multi:
        word = multi["n"] or multi["g"]
        starts = {"drei": 3, "zwei": 2, **_START_WORDS}.get(word) or int(word)
        low = _MULTI.sub(" ", low)
    low = " ".join(low.split()).strip(" ,;")
    found = _call(low)
    if found is None:
        return None
    called, end = found
    if _TAIL.fullmatch(low, end) is None:
        return None
    form = FORMS.get(called.form)
    return Thread(
        called.designation,
        called.form,
        called.major,
        called.pitch,
        called.tpi,
        form.angle if form else None,
        bool(form and form.is_taper),
        is_left or called.is_left_hand,
        starts,
        called.tolerance_class,
        called.note,
    )


def _call(low: str) -> tuple[reading_threads.Thread, int] | None:
    """The reader's call at the start of a folded text, and where it ends."""
    apart = _COUNT_APART.match(low)
    if apart is not None:
        size, count = apart["size"], Fraction(apart["count"].replace(",", "."))
        if "/" in size and count.denominator == 1:
            thread = reading_threads.thread_of_count(size, int(count))
        else:
            number = Fraction(size.removesuffix("mm").strip().replace(",", "."))
            thread = reading_threads.thread_of_pitch(number if size.endswith("mm") else number * INCH, count)
        return (thread, apart.end()) if thread else None
    pipe = _PIPE_R.match(low)
    if pipe is not None:
        said = f"{pipe['size']} {'bsp' if pipe['kind'] == 'p' else 'bspt'}"
        call = reading_threads.inch_thread_at(said, 0)
        return (call.thread, pipe.end()) if call else None
    numbered = re.match(r"(?:#|no\.?[ ]?|nr\.?[ ]?)(?=[0-9])", low)
    at = numbered.end() if numbered else 0
    for call in (
        None if numbered else reading_threads.metric_thread_at(low, 0),
        None if numbered else reading_threads.pipe_thread_at(low, 0),
        None if numbered else reading_threads.named_thread_at(low, 0),
        reading_threads.inch_thread_at(low, at, is_numbered=bool(numbered), is_screw=True),
    ):
        if call is not None:
            return call.thread, call.end
    return None


class Differs(StrEnum):
    """In what two threads differ, in the order in which it is asked."""

    HAND = "hand"
    STARTS = "starts"
    PITCH = "pitch"
    FORM = "form"
    TAPER = "taper"
    DIAMETER = "diameter"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference, or (UNKNOWN) one thing that can't be compared."""

    what: Differs
    said: str


def differences(wanted: Thread, offered: Thread) -> tuple[Difference, ...]:
    """All in which the offered thread differs from the wanted one; empty for the same thread."""
    found: list[Difference] = []
    if wanted.is_left_hand != offered.is_left_hand:
        found.append(Difference(Differs.HAND, "one is left hand, the other right hand"))
    if wanted.starts != offered.starts:
        plural = "s" if wanted.starts > 1 else ""
        found.append(Difference(Differs.STARTS, f"{wanted.starts} start{plural} against {offered.starts}"))
    if wanted.pitch is None or offered.pitch is None:
        found.append(Difference(Differs.UNKNOWN, "the pitch of one is not known"))
    elif wanted.pitch != offered.pitch:
        found.append(_pitch_difference(wanted, offered))
    if wanted.angle is None or offered.angle is None:
        if wanted.form != offered.form or not wanted.form:
            found.append(Difference(Differs.UNKNOWN, "the form of one is not named"))
    elif wanted.angle != offered.angle:
        ours, theirs = (as_decimal_text(angle, 1) for angle in (wanted.angle, offered.angle))
        found.append(Difference(Differs.FORM, f"form {ours}° against {theirs}°"))
    if wanted.is_taper != offered.is_taper:
        found.append(Difference(Differs.TAPER, "one is taper, the other parallel"))
    if wanted.major is None or offered.major is None:
        if wanted.designation != offered.designation:
            found.append(Difference(Differs.UNKNOWN, "the diameter of one is not known"))
    elif wanted.major != offered.major:
        ours, theirs = (as_decimal_text(major, 3) for major in (wanted.major, offered.major))
        found.append(Difference(Differs.DIAMETER, f"diameter {ours} against {theirs}\u202fmm"))
    return tuple(found)


def _pitch_difference(wanted: Thread, offered: Thread) -> Difference:
    assert wanted.pitch is not None
    assert offered.pitch is not None
    ours, theirs = (as_decimal_text(pitch, 3) for pitch in (wanted.pitch, offered.pitch))
    said = f"pitch {ours} against {theirs}\u202fmm"
    error = lead_error(wanted, offered)
    if error is not None:
        said += f", {as_decimal_text(error, 3)}\u202fmm of lead error over one diameter of engagement"
    return Difference(Differs.PITCH, said)


def lead_error(a: Thread, b: Thread) -> Fraction | None:
    """How far the threads run apart (mm) over one diameter of engagement, by the fewer turns of the two."""
    if a.pitch is None or b.pitch is None or a.major is None or b.major is None:
        return None
    return abs(a.pitch - b.pitch) * min(a.major / a.pitch, b.major / b.pitch)


_FAMILY_NAMES = {"UNC": " UNC", "UNF": " UNF", "UNS (old NF)": " NF"}


@functools.cache
def listed_threads() -> tuple[Thread, ...]:
    """Every thread of the table, as read by its full name."""
    named = (row["designation"] + _FAMILY_NAMES.get(row["family"], "") for row in read_table("threads"))
    return tuple(thread for name in named if (thread := read_thread(name)) is not None)


class Tool(StrEnum):
    """What tells threads apart, the handiest first."""

    CALLIPER = "calliper"
    PITCH_GAUGE = "pitch gauge"
    PROFILE = "profile gauge or projector"
    GAUGE = "thread go and not-go gauge"


def told_apart_by(a: Thread, b: Thread) -> frozenset[Tool]:
    """The tools that tell these two apart, a go and not-go gauge besides, which always does."""
    tools: set[Tool] = set()
    if a.major is not None and b.major is not None and abs(a.major - b.major) >= CALLIPER_TELLS:
        tools.add(Tool.CALLIPER)
    if (
        a.pitch is not None
        and b.pitch is not None
        and abs(a.pitch - b.pitch) / max(a.pitch, b.pitch) >= PITCH_GAUGE_TELLS
    ):
        tools.add(Tool.PITCH_GAUGE)
    if a.angle is not None and b.angle is not None and a.angle != b.angle:
        tools.add(Tool.PROFILE)
    return frozenset(tools or {Tool.GAUGE})


@functools.lru_cache(maxsize=1024)
def twins_left(thread: Thread, tools: frozenset[Tool]) -> tuple[Thread, ...]:
    """Listed threads that these tools can't tell from this one."""
    if Tool.GAUGE in tools:
        return ()
    left = [one for one in listed_threads() if differences(thread, one) and not told_apart_by(thread, one) & tools]
    return tuple(dict.fromkeys(left))


@functools.lru_cache(maxsize=1024)
def remark_on(a: Thread, b: Thread) -> str:
    """What happens when these two meet; "" where the table has no remark on the pair."""
    for row in read_table("thread_lookalikes"):
        pair = {read_thread(row["a"]), read_thread(row["b"])}
        if pair == {a, b}:
            return row["remark"]
    return ""


def root_diameter(thread: Thread) -> Fraction | None:
    """Root (core) diameter of the screw in mm; None where form, pitch or diameter is not known."""
    return _less(thread, FORMS[thread.form].root) if thread.form in FORMS else None


def _less(thread: Thread, depth: Fraction | None) -> Fraction | None:
    if thread.major is None or thread.pitch is None or depth is None:
        return None
    return thread.major - depth * thread.pitch


@functools.lru_cache(maxsize=1024)
def circle_area(diameter: Fraction) -> Fraction:
    """Area of a circle in mm², its diameter in mm."""
    return Fraction(pi / 4 * float(diameter) ** 2).limit_denominator(10**9)


def stress_area(thread: Thread) -> Fraction | None:
    """Tensile stress area in mm² (ISO 898-1, ASME B1.1; by analogy for 55° and 47½° forms); None if not known."""
    form = FORMS.get(thread.form)
    diameter = _less(thread, form.stress) if form else None
    return circle_area(diameter) if diameter is not None else None


def root_area(thread: Thread) -> Fraction | None:
    """Area at the root in mm²: what shears where the thread lies in the shear plane."""
    diameter = root_diameter(thread)
    return circle_area(diameter) if diameter is not None else None


def area_source(thread: Thread) -> Source:
    """Where the stress area of this thread comes from."""
    form = FORMS.get(thread.form)
    return AREA_BY_ANALOGY if form and form.is_analogy else AREA_RULE


def crest_limits(thread: Thread) -> tuple[Fraction, Fraction] | None:
    """Smallest and largest crest (mm) of a good screw: metric 6g, Unified 2A; None for other families.

    Real crests sit below the nominal. The formulas are from memory (CREST_RULE).
    """
    if thread.major is None or thread.pitch is None:
        return None
    if thread.form == "M":
        pitch = float(thread.pitch)
        drop = (15 + 11 * pitch) / 1000
        spread = (180 * pitch ** (2 / 3) - 3.15 / sqrt(pitch)) / 1000
    elif thread.form in {"UNF", "UNC"}:
        pitch, size = float(thread.pitch / INCH), float(thread.major / INCH)
        pitch_tolerance = 0.0015 * size ** (1 / 3) + 0.0015 * sqrt(size) + 0.015 * pitch ** (2 / 3)
        drop = 0.3 * pitch_tolerance * float(INCH)
        spread = 0.060 * pitch ** (2 / 3) * float(INCH)
    else:
        return None
    top = thread.major - Fraction(drop).limit_denominator(10**6)
    return top - Fraction(spread).limit_denominator(10**6), top
