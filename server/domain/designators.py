"""Part and standard numbers in running text, and the sizes that their dash codes mean.

A designator is recognised before any number is read, so that "3-5" inside
AN3-5A is no range. Sizes are derived only where the code's rule is known; a
table look-up is never computed. Sources beside each rule.
"""

import functools
import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from server.domain.quantities import INCH
from server.domain.reading_context import is_called_number, is_made_in, is_year
from server.domain.reading_fold import word_set
from server.domain.reading_threads import Thread, inch_thread_at
from server.domain.reading_words import ROLE_WORDS
from server.domain.sources import Source, Standing
from server.domain.tables.read import read_table

RIVET_CODE = Source("AC 43.13-1B", "paragraph 4-57 and figure 4-4", "9/8/98", Standing.QUOTED)
BOLT_CODE = Source("kit builder's manual, table of AN3 to AN6", standing=Standing.QUOTED)
FITTING_CODE = Source("TM 1-1500-204-23-2", "table 4-9", standing=Standing.QUOTED)
ORING_TABLE = Source("AS568", "extract", standing=Standing.QUOTED)
BORE_CODE = Source("rolling bearing bore codes", standing=Standing.MEMORY)


class Implied(NamedTuple):
    """A size that a designator stands for: value in mm, role, and how it follows from the code."""

    value: Fraction
    role: str
    note: str
    thread: Thread | None = None
    unit: str = "in"


class Designator(NamedTuple):
    """A designator in its usual spelling, where it ends in the text, and the sizes it implies."""

    text: str
    end: int
    sizes: tuple[Implied, ...] = ()
    weight: float = 1.0


@dataclass(frozen=True, slots=True)
class RivetCode:
    """A US solid rivet number taken apart: standard, head, alloy, diameter and length in mm.

    Diameter in 1/32 in, length in 1/16 in with half lengths written ".5".
    Source: RIVET_CODE; steps also in training and trade pages.
    """

    standard: str
    head: str
    alloy_code: str
    alloy: str
    diameter: Fraction
    length: Fraction | None


_HEADS = {
    "AN470": "universal head",
    "MS20470": "universal head",
    "AN426": "countersunk head 100°",
    "MS20426": "countersunk head 100°",
    "AN430": "round head",
    "AN435": "round head",
    "MS20435": "round head",
    "AN442": "flat head",
    "AN455": "brazier head",
    "AN456": "modified brazier head",
}
_RIVET = re.compile(
    r"(?P<maker>an|ms)[ ]?(?P<number>4(?:26|30|35|42|55|56|70)|20(?:470|426|435))[ ]?-?[ ]?"
    r"(?P<alloy>ad|dd|a|b|c|d|f|m)?[ ]?(?P<d>[0-9]{1,2})"
    r"(?:[ ]?-[ ]?(?P<l>[0-9]{1,2}(?:\.5)?))?(?![a-z0-9]|[.-][0-9])"
)
_SHORT_RIVET = re.compile(r"(?P<alloy>ad|dd|a|b|d)(?P<d>[2-9]|1[0-6])-(?P<l>[0-9]{1,2}(?:\.5)?)(?![a-z0-9/.-])")
_BARE_RIVET = re.compile(
    r"(?P<number>4(?:26|30|42|55|56|70))[ -]?(?P<alloy>ad|dd|a|b|d)?[ -]?"
    r"(?P<d>[2-9])-(?P<l>[0-9]{1,2}(?:\.5)?)(?![a-z0-9/.-])"
)
_BOLT = re.compile(
    r"an[ ]?(?P<d>[3-9]|1[0-9]|20)(?P<material>(?:dd|c)?h?)"
    r"(?:(?P<joint>-|(?<=[a-z]))(?P<dash>[0-9]{1,2})(?P<a>a)?|[ ](?P<spaced>[0-9]{1,2})a)?(?![a-z0-9]|-[0-9])"
)
_FITTING = re.compile(r"an[ ]?815(?P<middle>-?[a-z]?)-?(?P<dash>[0-9]{1,2})(?P<metal>[a-z])?(?![a-z0-9])")
_ORING = re.compile(r"as[ ]?568[a-c]?[ ]?-[ ]?(?P<dash>[0-9]{3})(?![0-9])")
_TAIL = r"(?:-[0-9a-z]+){0,3}(?:\.5)?(?![a-z0-9])"
_CODES: dict[str, re.Pattern[str]] = {
    "an": re.compile(rf"an[ ]?[0-9]{{3,5}}[a-z]{{0,3}}[0-9]{{0,4}}[a-z]?{_TAIL}"),
    "ms": re.compile(rf"ms[ ]?[0-9]{{5}}[a-z]{{0,3}}[0-9]{{0,4}}[a-z]?{_TAIL}"),
    "nas": re.compile(rf"nas[ ]?[0-9]{{2,4}}(?:[a-z]{{1,3}}[0-9]{{0,4}}){{0,3}}{_TAIL}"),
    "as": re.compile(rf"as[0-9]{{3,5}}[a-z]?{_TAIL}"),
    "din": re.compile(
        r"din[ ]?(?:en[ ]?)?(?:iso[ ]?)?[0-9]{1,6}(?:-[0-9]{1,2}(?![0-9.,]|[ ]?[x*]))?(?![a-z0-9]|[ ]?[x*][ ]?[0-9])"
    ),
    "ln": re.compile(r"ln[ ]?[0-9]{3,5}(?![a-z0-9])"),
    "iso": re.compile(r"iso[ ]?[0-9]{2,5}(?:-[0-9]{1,2})?(?![a-z0-9])"),
    "bs": re.compile(r"bs[ ]?(?:[0-9]?[a-z]{1,2}[ ]?[0-9]{1,4}|[0-9]{2,5})(?![a-z0-9])"),
    "mil": re.compile(r"mil-[a-z]{1,3}-[0-9]{2,6}[a-z]?(?:/[0-9]{1,3})?(?:-[0-9a-z]+){0,3}(?![a-z0-9])"),
    "ags": re.compile(r"ags[ ]?[0-9]{3,5}(?:[-/][0-9a-z]+){0,3}(?![a-z0-9])"),
    "ams": re.compile(r"ams[ ]?[0-9]{4}[a-z]?(?![a-z0-9])"),
    "sae": re.compile(r"sae[ -]?j[ ]?[0-9]{2,4}[a-z]?(?![a-z0-9])"),
    "qq": re.compile(r"qq-[a-z]-[0-9]{1,4}(?:/[0-9]{1,3})?(?![a-z0-9])"),
}
_NAMED_NUMBER = re.compile(
    r"(?:part|p/?n|pn|drg|drawing|zeichnung|teile?|cat|stores)[ .-]{0,2}"
    r"(?:(?:no|nr|number|nummer|ref)\b)?[ .:#]{0,3}"
    r"(?P<code>[a-z0-9]{0,12}[0-9][a-z0-9]{0,12}(?:[./-][a-z0-9]{1,12}){0,5})"
)
_GRADE = re.compile(r"([0-9]{3,4}[ab]?)(?:-[fhot][0-9]{0,5})?")
_NO_NUMBER_BY_ITSELF = word_set("part teil teile cat stores")
"""Words that call nothing a number unless "no.", "ref" or the like stands beside them: "seat part 1938"."""
_STORES_LETTERS = re.compile(r"[a-z]{1,2} [0-9]{4,6}(?:-[0-9]{1,5}){0,3}(?![0-9a-z/]|[.,][0-9])")
_JOINED = re.compile(
    r"(?:[a-z]{1,4}[0-9]{4,8}[a-z]?(?:[-/][0-9a-z]{1,8}){0,4}|[a-z]{1,4}[0-9]{1,6}[a-z]{0,2}-[0-9][0-9a-z]{0,7}(?:[-/][0-9a-z]{1,8}){0,3})"
    r"(?![a-z0-9])"
)
# "24V/3W" and "12V/6" are two values, no stores number
_STORES_NUMBER = re.compile(
    r"[0-9]{1,2}(?!v|w|mm|in|ma|ft)[a-z]{1,2}/[0-9]{1,5}(?:-[0-9]{1,5})?(?![a-z0-9/]|[.,][0-9])"
)
_THREE_GROUPS = re.compile(r"[0-9]{1,8}(?:-[0-9a-z]{1,8}){2,6}(?![a-z0-9/]|[.,][0-9])")
_BEARING = re.compile(r"6[0-4](?P<bore>[0-9]{2})(?:[- ]?(?:2?rs[0-9]?|2?zz?|c[1-5]))*(?![a-z0-9/-]|[.,][0-9])")
_LETTERED = re.compile(r"[a-z]{1,2}-[0-9]{4,6}(?:[-/][0-9a-z]{1,8}){0,3}(?![a-z0-9]|[.,][0-9])")
_TWO_GROUPS = re.compile(r"(?P<first>[1-9][0-9])-(?P<second>[0-9]{3})(?=$|[\s,;:)|])")
_WORD_BEHIND = re.compile(r"[ ]{0,3}([a-z0-9µ°]{1,20})")
_UNITS = word_set(
    "inch inches zoll feet foot metres meters metre meter volt volts watt watts amps ampere gauge degree degrees grad "
    "litre litres liter liters gallon gallons miles knots pounds pieces pairs sets stuck stucke"
)
_YEAR_LENGTH = 4
# short words and metals that may stand before a four-figure alloy number
_NO_STORES = word_set("a i in no of to or is on at we my al cu mg ti st ms")
_STEELS = frozenset({"sae", "aisi"})
_BLANKS = re.compile(r"[ ]*([-/])[ ]*")


def designator_at(original: str, low: str, at: int, word: str, *, is_rivet: bool) -> Designator | None:
    """The designator that begins with this word of a folded text; None if there is none.

    `word` is the run of letters at `at`; `is_rivet` says that the text speaks
    of rivets, which makes a bare "AD4-5" sure. "Drawing 1938 edition" holds a year.
    """
    found = _designator_at(original, low, at, word, is_rivet=is_rivet)
    if found is None:
        return None
    year = found.end - _YEAR_LENGTH
    return None if is_made_in(low, year, found.end) and not is_called_number(low, year) else found


def _designator_at(original: str, low: str, at: int, word: str, *, is_rivet: bool) -> Designator | None:
    finder = _FINDERS.get(word)
    if finder is not None:
        found = finder(original, low, at)
        if found is not None:
            return found
    if word in {"a", "b", "d", "ad", "dd"}:
        return _short_rivet(low, at, is_rivet=is_rivet)
    after = low[at + len(word) : at + len(word) + 1]
    if after == " " and len(word) <= 2 and original[at].isupper() and word not in _NO_STORES:
        stores = _STORES_LETTERS.match(low, at)
        if stores is not None and not re.search(r" (?:19|20)[0-9]{2}$", stores.group()):
            return Designator(_usual(original, stores), stores.end())
    if after.isdigit() and len(word) <= 4 and word not in _STEELS:
        joined = _JOINED.match(low, at)
        if joined is not None:
            return Designator(_usual(original, joined), joined.end())
    if after == "-" and len(word) <= 2 and original[at : at + len(word)].isupper() and word not in _NO_STORES:
        lettered = _LETTERED.match(low, at)
        if lettered is not None:
            return Designator(_usual(original, lettered), lettered.end())
    return None


def number_designator_at(original: str, low: str, at: int, *, is_rivet: bool, is_bearing: bool) -> Designator | None:
    """The designator that begins with this digit: "5C/543", "35-41-2207", "6203" of a bearing; None if none does."""
    if is_rivet:
        bare = _BARE_RIVET.match(low, at)
        if bare is not None:
            code = _rivet_code("AN" + bare["number"], bare["alloy"] or "", bare["d"], bare["l"])
            return Designator(_usual(original, bare), bare.end(), _rivet_sizes(code), 0.8)
    if _is_two_groups(low, at):
        return Designator(original[at : at + 6], at + 6)
    for pattern in (_STORES_NUMBER, _THREE_GROUPS):
        found = pattern.match(low, at)
        if found is not None:
            return Designator(_usual(original, found), found.end())
    if is_bearing:
        found = _BEARING.match(low, at)
        if found is not None:
            return Designator(_usual(original, found), found.end(), _bore(found["bore"]), 0.8)
    return None


def _is_two_groups(low: str, at: int) -> bool:
    """ "41-207", where it can be no range: round figures may be one, and so may any before a unit or a role."""
    found = _TWO_GROUPS.match(low, at)
    if found is None or (found["first"][-1] in "05" and found["second"][-1] in "05"):
        return False
    behind = _WORD_BEHIND.match(low, found.end())
    word = behind.group(1) if behind else ""
    return not word or (len(word) > 3 and word not in ROLE_WORDS and word not in _UNITS)


def read_rivet_code(text: str) -> RivetCode | None:
    """A US solid rivet number such as "MS20470AD4-5" taken apart; None if the text is no such number."""
    found = _RIVET.fullmatch(text.strip().lower())
    if found is None:
        return None
    return _rivet_code((found["maker"] + found["number"]).upper(), found["alloy"] or "", found["d"], found["l"])


def _usual(original: str, found: re.Match[str]) -> str:
    """The matched text as the standards write it: capitals, no blanks beside a hyphen or a stroke."""
    text = original[found.start() : found.end()].upper()
    return _BLANKS.sub(r"\1", " ".join(text.split()))


@functools.cache
def _alloys() -> dict[str, str]:
    return {row["code"].lower(): row["designation"] for row in read_table("rivets_alloys")}


@functools.lru_cache(maxsize=2048)
def _rivet_code(standard: str, alloy: str, diameter: str, length: str | None) -> RivetCode:
    return RivetCode(
        standard=standard,
        head=_HEADS.get(standard, ""),
        alloy_code=alloy.upper(),
        alloy=_alloys().get(alloy, ""),
        diameter=Fraction(diameter) * INCH / 32,
        length=Fraction(length) * INCH / 16 if length else None,
    )


@functools.lru_cache(maxsize=2048)
def _rivet_sizes(code: RivetCode) -> tuple[Implied, ...]:
    said = ", ".join(part for part in (code.head, f"alloy {code.alloy}" if code.alloy else "") if part)
    dia = Implied(code.diameter, "dia", f"first dash figure in 1/32 in{'; ' + said if said else ''} ({RIVET_CODE})")
    if code.length is None:
        return (dia,)
    return dia, Implied(code.length, "len", f"second dash figure in 1/16 in ({RIVET_CODE})")


def _an_number(original: str, low: str, at: int) -> Designator | None:
    if low[at + 2 : at + 3] == " " and original[at : at + 2] != "AN" and low[at + 3 : at + 4].isdigit():
        # the article: "an 8 mm bolt"
        return None
    return _rivet(low, at) or _bolt(low, at) or _fitting(original, low, at) or _plain(original, low, at, "an")


def _ms_number(original: str, low: str, at: int) -> Designator | None:
    return _rivet(low, at) or _plain(original, low, at, "ms")


def _as_number(original: str, low: str, at: int) -> Designator | None:
    found = _ORING.match(low, at)
    if found is None:
        return _plain(original, low, at, "as")
    sizes: tuple[Implied, ...] = ()
    if found["dash"] == "010":
        # the one line of the table that was seen; the nominal 1/4 × 1/16 differs from it
        note = f"tabled size of -010 ({ORING_TABLE})"
        sizes = (
            Implied(Fraction("0.239") * INCH, "id", note),
            Implied(Fraction("0.070") * INCH, "thk", f"section; {note}"),
        )
    return Designator(_usual(original, found), found.end(), sizes)


def _plain(original: str, low: str, at: int, word: str) -> Designator | None:
    found = _CODES[word].match(low, at)
    return Designator(_usual(original, found), found.end()) if found else None


def _named(original: str, low: str, at: int) -> Designator | None:
    found = _NAMED_NUMBER.match(low, at)
    if found is None or sum(sign.isdigit() for sign in found["code"]) < 3:
        return None
    start, end = found.span("code")
    word = low[at : at + found.group().index(found["code"])].strip(" .-")
    if word in _NO_NUMBER_BY_ITSELF and (is_year(low, start, end) or _is_grade(found["code"])):
        return None
    return Designator(original[start:end].upper(), end)


def _is_grade(code: str) -> bool:
    """True for an alloy's number, with its temper or without: "4130", "2024-t3"."""
    found = _GRADE.fullmatch(code)
    return found is not None and found.group(1) in _grades()


@functools.cache
def _grades() -> frozenset[str]:
    """The alloys of the list that are called by figures alone."""
    names = (row["alias"].lower() for row in read_table("material_designations"))
    return frozenset(name for name in names if _GRADE.fullmatch(name))


def _rivet(low: str, at: int) -> Designator | None:
    found = _RIVET.match(low, at)
    if found is None:
        return None
    maker, number, alloy = found["maker"], found["number"], found["alloy"] or ""
    code = _rivet_code((maker + number).upper(), alloy, found["d"], found["l"])
    joint = alloy.upper() or "-"
    text = f"{code.standard}{joint}{found['d']}" + (f"-{found['l']}" if found["l"] else "")
    return Designator(text, found.end(), _rivet_sizes(code))


def _short_rivet(low: str, at: int, *, is_rivet: bool) -> Designator | None:
    found = _SHORT_RIVET.match(low, at)
    if found is None or (len(found["alloy"]) == 1 and not is_rivet):
        return None
    code = _rivet_code("", found["alloy"], found["d"], found["l"])
    return Designator(found.group().upper(), found.end(), _rivet_sizes(code), 1.0 if is_rivet else 0.4)


def _bolt(low: str, at: int) -> Designator | None:
    found = _BOLT.match(low, at)
    if found is None:
        return None
    size = int(found["d"])
    dash = found["dash"] or found["spaced"]
    if dash is None and size > 8:
        return None
    letter = "A" if found["a"] or found["spaced"] else ""
    text = f"AN{size}{found['material'].upper()}"
    if dash:
        text += f"{'-' if found['joint'] is None else found['joint']}{dash}{letter}"
    return Designator(text, found.end(), _bolt_sizes(size, dash))


_THREADS_OF_AN = {3: "10-32", 4: "1/4-28", 5: "5/16-24", 6: "3/8-24", 7: "7/16-20", 8: "1/2-20"}
_OVER_EIGHTHS = {3: Fraction(1, 32), 4: Fraction(1, 32), 5: Fraction(3, 32), 6: Fraction(5, 64)}
_SHORTEST = Fraction(15, 32)


@functools.lru_cache(maxsize=1024)
def _bolt_sizes(size: int, dash: str | None) -> tuple[Implied, ...]:
    """Diameter, thread and overall length of an AN bolt (BOLT_CODE).

    The dash counts eighths of an inch up to 7, from 10 on whole inches and
    eighths; it is a length code, not the grip. AN7 and AN8 lengths were not
    confirmed and are left out; so is a dash that ends in 8 or 9, which no
    bolt has.
    """
    if size not in _THREADS_OF_AN:
        return ()
    nominal = "nominal; the shank of AN3 is 0.190 in" if size == 3 else "in sixteenths of an inch"
    sizes = [Implied(Fraction(size, 16) * INCH, "dia", f"AN number {size}: {nominal} ({BOLT_CODE})")]
    call = inch_thread_at(_THREADS_OF_AN[size], 0, is_numbered=size == 3)
    if call is not None and call.thread.major is not None:
        sizes.append(Implied(call.thread.major, "thread", f"thread of AN{size} ({BOLT_CODE})", call.thread))
    if dash is not None and size in _OVER_EIGHTHS and dash[-1] not in "89":
        eighths = int(dash) if len(dash) == 1 else int(dash[0]) * 8 + int(dash[1])
        length = Fraction(eighths, 8) + _OVER_EIGHTHS[size]
        if dash == "3":
            length = _SHORTEST
        if dash != "3" or size in {3, 4}:
            sizes.append(Implied(length * INCH, "len", f"overall length of dash {dash}, +1/32 −1/64 in ({BOLT_CODE})"))
    return tuple(sizes)


def _fitting(original: str, low: str, at: int) -> Designator | None:
    found = _FITTING.match(low, at)
    if found is None:
        return None
    note = f"dash of a flared fitting: tube outside diameter in 1/16 in ({FITTING_CODE})"
    tube = Implied(Fraction(int(found["dash"]), 16) * INCH, "od", note)
    return Designator(_usual(original, found), found.end(), (tube,))


def _bore(code: str) -> tuple[Implied, ...]:
    small = {0: 10, 1: 12, 2: 15, 3: 17}
    number = int(code)
    bore = small.get(number, 5 * number)
    return (Implied(Fraction(bore), "id", f"bore code {code} ({BORE_CODE})", unit="mm"),)


_FINDERS: dict[str, Callable[[str, str, int], Designator | None]] = {
    "an": _an_number,
    "ms": _ms_number,
    "as": _as_number,
    **{
        word: functools.partial(_plain, word=word)
        for word in ("nas", "din", "ln", "iso", "bs", "mil", "ags", "ams", "sae", "qq")
    },
    **dict.fromkeys(
        word_set("part p pn drg drawing zeichnung teil teile teilnr teilenr teilnummer teilenummer cat stores"),
        _named,
    ),
}
