"""Thread calls: M8x1, 1/4-28 UNF, #10-32, 2BA, 1/4 BSF, G1/4, 1/8 NPT.

A call names a thread or nothing: "10-12 mm" is a range and "1/4-3/8" no
thread. Pitches and counts come from tables/threads.csv (sources per row);
diameters of inch threads are exact: the fraction itself, or
0.060 in + 0.013 in × number for the numbered sizes (shop references; ASME B1.1
not seen). Works on folded text.
"""

import functools
import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from server.domain.quantities import INCH, as_decimal_text
from server.domain.reading_numbers import VULGAR, number_of
from server.domain.tables.read import read_table


@dataclass(frozen=True, slots=True)
class Thread:
    """A screw thread as called out: major diameter and pitch in mm, count per inch where it has one.

    `form` is "M", "UNF", "UNC", "UN", "BSW", "BSF", "BA", "BSP", "NPT", "CEI"
    or "" where several forms share diameter and count (1/4-20 is UNC and
    BSW). `major` is None for a taper pipe thread. `note` says what the call
    did not say itself.
    """

    designation: str
    form: str
    major: Fraction | None
    pitch: Fraction | None
    tpi: Fraction | None = None
    tolerance_class: str = ""
    is_left_hand: bool = False
    note: str = ""


class ThreadCall(NamedTuple):
    """A thread found in a text, where it ends, and a length hung on to it ("M6x20" → 20 mm)."""

    thread: Thread
    end: int
    length: str = ""
    length_start: int = 0


SERIES: dict[str, str] = {
    "unf": "UNF",
    "unjf": "UNF",
    "nf": "UNF",
    "anf": "UNF",
    "unc": "UNC",
    "nc": "UNC",
    "unef": "UNEF",
    "uns": "UN",
    "un": "UN",
    "bsf": "BSF",
    "bsw": "BSW",
    "whit": "BSW",
    "whitworth": "BSW",
    "cei": "CEI",
    "bsc": "CEI",
    "bsp": "BSP",
    "bspp": "BSP",
    "bspt": "BSPT",
    "npt": "NPT",
    "nptf": "NPT",
    "ntp": "NPT",
}
"""Spelling of a series in small letters to its form."""

_FAMILIES = {
    "UNC": "UNC",
    "UNF": "UNF",
    "UNS (old NF)": "UN",
    "BSW": "BSW",
    "BSF": "BSF",
    "BSPP (G)": "BSP",
    "NPT": "NPT",
}
_INCH = re.compile(
    rf"""(?P<size>(?:[0-9]{{1,2}}[ -])?[0-9]{{1,2}}/[0-9]{{1,2}}|[0-9]{{0,2}}[{"".join(VULGAR)}]|[0-9]{{1,2}})
    (?:"|''|[ ]?in(?:ch)?\b\.?)?
    (?:[ ]?-[ ]?(?P<tpi>[0-9]{{1,2}})(?![0-9/]|[.,][0-9]|-[0-9])(?:[ ]?t\.?p\.?i\b\.?)?)?
    (?:[ -]?(?P<series>{"|".join(sorted(SERIES, key=len, reverse=True))})\b\.?)?
    (?:[ -]{{1,2}}(?P<class>[123][ab])\b)?""",
    re.VERBOSE,
)
_LENGTH_UNIT = re.compile(r"[ ]?(?:mm|cm|in\b|\"|ft)")
_BA = re.compile(r"([0-9]{1,2})[ -]?b\.?a\b\.?")
_METRIC = re.compile(
    r"m[ ]?(?P<d>[0-9]{1,2}(?:[.,][0-9]{1,2})?)(?![0-9:/]|[.,][0-9])"
    r"(?:[ ]?x[ ]?(?P<second>[0-9]{1,3}(?:[.,][0-9]{1,3})?)(?![0-9/]|[.,][0-9])(?:[ ]?mm\b)?)?"
    r"(?:[ ]?x[ ]?(?P<third>[0-9]{1,3}(?:[.,][0-9]{1,3})?)(?![0-9/]|[.,][0-9])(?:[ ]?mm\b)?)?"
    r"(?:[ ]?-?[ ]?(?P<class>[4-9][egh](?:[4-9][egh])?)\b)?(?![a-wyz])"
)
_PIPE = re.compile(rf"g[ ]?(?P<size>(?:[1-3][ -])?[1357]/(?:[248]|16)|[{'½¼¾⅛⅜⅝⅞'}])(?:\"|''|\b)")
_NAMED = re.compile(
    rf"(?P<series>{'|'.join(sorted(SERIES, key=len, reverse=True))})[ ]"
    r"(?P<size>(?:[0-9]{1,2}[ -])?[0-9]{1,2}/[0-9]{1,2})(?:-(?P<tpi>[0-9]{1,2})\b)?(?![0-9/])"
)


class _Tables(NamedTuple):
    coarse: Mapping[Fraction, Fraction]
    coarsest: Mapping[Fraction, Fraction]
    forms_by_count: Mapping[tuple[str, int], tuple[str, ...]]
    count_by_form: Mapping[tuple[str, str], int]
    ba: Mapping[str, tuple[Fraction, Fraction]]
    pipe_major: Mapping[str, Fraction]
    counts: frozenset[int]


@functools.cache
def _tables() -> _Tables:
    coarse: dict[Fraction, Fraction] = {}
    coarsest: dict[Fraction, Fraction] = {}
    by_count: dict[tuple[str, int], tuple[str, ...]] = {}
    by_form: dict[tuple[str, str], int] = {}
    ba: dict[str, tuple[Fraction, Fraction]] = {}
    pipe: dict[str, Fraction] = {}
    for row in read_table("threads"):
        family, major, pitch = row["family"], Fraction(row["major_mm"]), Fraction(row["pitch_mm"])
        if family == "BA":
            ba[row["designation"].removesuffix("BA")] = major, pitch
        elif family.startswith("M"):
            # an old DIN diameter stands once, with its only pitch
            if family in {"M coarse", "M old DIN"}:
                coarse[major] = pitch
            coarsest[major] = max(pitch, coarsest.get(major, pitch))
        else:
            form, size = _FAMILIES[family], _size_key(row["designation"])
            count = int(row["tpi"])
            by_count[size, count] = (*by_count.get((size, count), ()), form)
            by_form.setdefault((form, size), count)
            if form == "BSP":
                pipe[size] = major
    counts = frozenset(count for _, count in by_count)
    return _Tables(coarse, coarsest, by_count, by_form, ba, pipe, counts)


def _size_key(designation: str) -> str:
    """ "#10-32" → "#10", "1/4 BSF" → "1/4", "NPT 1/8-27" → "1/8"."""
    found = re.search(r"#[0-9]+|[0-9]+/[0-9]+|[0-9]+", designation)
    return found.group() if found else designation


def metric_thread_at(low: str, at: int) -> ThreadCall | None:
    """A metric call that begins at this "m"; None if it is none ("m 1:1", "m/c", "m72").

    A second number up to the largest pitch listed for that diameter is a pitch,
    a larger one a length.
    """
    found = _METRIC.match(low, at)
    if found is None:
        return None
    major = Fraction(found["d"].replace(",", "."))
    if not 1 <= major <= 64:
        return None
    second, third = found["second"], found["third"]
    largest = _largest_pitch(major)
    if second is None:
        return ThreadCall(_metric(found["d"], major, None, found["class"]), found.end())
    pitch = Fraction(second.replace(",", "."))
    if pitch <= largest:
        length_at = found.start("third") if third else 0
        return ThreadCall(_metric(found["d"], major, pitch, found["class"]), found.end(), third or "", length_at)
    # a third number behind a length belongs to nobody here
    end = found.end("second") if third is not None else found.end()
    return ThreadCall(_metric(found["d"], major, None, found["class"]), end, second, found.start("second"))


def _largest_pitch(major: Fraction) -> Fraction:
    # old French and Japanese threads are coarser than today's coarse pitch
    coarsest = _tables().coarsest
    if major in coarsest:
        return coarsest[major]
    # no such diameter in the list: the pitch of the next larger one bounds it
    larger = [one for one in coarsest if one > major]
    return coarsest[min(larger)] if larger else Fraction(6)


@functools.lru_cache(maxsize=512)
def _metric(text: str, major: Fraction, pitch: Fraction | None, tolerance: str | None) -> Thread:
    size = text.replace(",", ".")
    if pitch is not None:
        said = f"M{size} × {as_decimal_text(pitch, 3)}"
        return Thread(said, "M", major, pitch, tolerance_class=tolerance or "")
    coarse = _tables().coarse.get(major)
    note = "coarse pitch, not written; old French and Japanese threads of this size may differ" if coarse else ""
    return Thread(f"M{size}", "M", major, coarse, tolerance_class=tolerance or "", note=note)


def inch_thread_at(low: str, at: int, *, is_numbered: bool = False, is_screw: bool = False) -> ThreadCall | None:
    """A thread call that begins with a number: 1/4-28, 1/4 BSF, 10-32 UNF, 2BA; None if it is none.

    `is_numbered`: a "#" or "No." stood before it. `is_screw`: the text speaks
    of screws, which lets "6-32" be one.
    """
    ba = _BA.match(low, at)
    if ba is not None:
        return _ba(ba)
    found = _INCH.match(low, at)
    if found is None or (found["tpi"] is None and found["series"] is None):
        return None
    size, tpi, series = found["size"], found["tpi"], found["series"]
    count = int(tpi) if tpi else None
    form = SERIES.get(series or "", "")
    is_whole = size.isdigit()
    if series is None:
        if count not in _tables().counts:
            return None
        if is_whole and not (is_numbered or is_screw):
            return None
        if is_whole and (f"#{size}", count) not in _tables().forms_by_count:
            return None
        if not is_whole and _LENGTH_UNIT.match(low, found.end()):
            return None
    elif is_whole and count is None and not is_numbered and form in {"UN", "NPT", "UNC", "UNF"} and size != "1":
        return None
    thread = _inch(size, count, form, found["class"], is_numbered)
    return ThreadCall(thread, found.end()) if thread else None


def pipe_thread_at(low: str, at: int) -> ThreadCall | None:
    """A call "G1/4" that begins at this "g"; None if it is none."""
    found = _PIPE.match(low, at)
    thread = _inch(found["size"], None, "BSP", None, False) if found else None
    return ThreadCall(thread, found.end()) if found and thread else None


def named_thread_at(low: str, at: int) -> ThreadCall | None:
    """A call whose series comes first: "BSF 1/4", "NPT 1/8-27"; None if it is none."""
    found = _NAMED.match(low, at)
    if found is None:
        return None
    count = int(found["tpi"]) if found["tpi"] else None
    thread = _inch(found["size"], count, SERIES[found["series"]], None, False)
    return ThreadCall(thread, found.end()) if thread else None


def thread_of_two(major: Fraction, pitch: Fraction) -> Thread | None:
    """A metric thread whose diameter and pitch stand as a plain product ("3 mm x 0.6"); None if it is none."""
    if not 1 <= major <= 64 or pitch > _largest_pitch(major):
        return None
    return _metric(as_decimal_text(major, 3), major, pitch, None)


def thread_of_count(size: str, count: int) -> Thread | None:
    """The thread of an inch size and a count per inch written apart ("5/16 x 22 tpi")."""
    return _inch(size, count, "", None, False)


def thread_of_pitch(major: Fraction, count: Fraction) -> Thread:
    """An odd thread given as a diameter in mm and a count per inch ("27 mm x 10 tpi")."""
    said = f"{as_decimal_text(major, 3)} mm × {as_decimal_text(count, 1)} tpi"
    return Thread(said, "", major, INCH / count, count)


def _ba(found: re.Match[str]) -> ThreadCall | None:
    size = found.group(1).lstrip("0") or "0"
    sizes = _tables().ba.get(size)
    if sizes is None:
        return None
    note = "British Association, 47½° form: not interchangeable with a metric thread of the same size"
    return ThreadCall(Thread(f"{size}BA", "BA", *sizes, note=note), found.end())


@functools.lru_cache(maxsize=512)
def _inch(size: str, count: int | None, form: str, tolerance: str | None, is_numbered: bool) -> Thread | None:
    number = number_of(size)
    if number is None:
        return None
    is_pipe = form in {"BSP", "BSPT", "NPT"}
    is_number_size = size.isdigit() and (is_numbered or number.value > 1 or (count is not None and count > 14))
    if is_number_size:
        key, major = f"#{size}", (Fraction("0.060") + Fraction("0.013") * number.value) * INCH
        written = key
    else:
        key = written = _as_fraction(number.value)
        major = number.value * INCH
    tables = _tables()
    if count is None:
        count = tables.count_by_form.get(("BSP" if form == "BSPT" else form, key))
        if count is None and not form:
            return None
    note = ""
    if not form:
        forms = tables.forms_by_count.get((key, count or 0), ())
        form = forms[0] if len(forms) == 1 else ""
        if len(forms) > 1:
            note = "the form is not written: " + " or ".join(forms)
    usual = tables.count_by_form.get((form, key))
    if usual and count and usual != count:
        note = f"{written} {form} has {usual} per inch; {count} was written"
    pitch = INCH / count if count else None
    tpi = Fraction(count) if count else None
    if is_pipe:
        bore = tables.pipe_major.get(key) if form == "BSP" else None
        said = {"BSP": f"G{written}", "BSPT": f"{written} BSPT", "NPT": f"{written} NPT"}[form]
        pipe_note = "a pipe thread is named by the pipe's bore, not by its own diameter"
        return Thread(said, form, bore, pitch, tpi, note=pipe_note)
    said = f"{written}-{count}" if count and form not in {"BSF", "BSW"} else written
    return Thread(f"{said} {form}".strip(), form, major, pitch, tpi, (tolerance or "").upper(), note=note)


def _as_fraction(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    if not part:
        return str(whole)
    return f"{whole} {part}" if whole else str(part)
