"""Reads one number of a running text with all that hangs on it: unit, range, tolerance, fit, role and limit words.

What only looks like a number with a unit comes first: thread call, gauge,
strands, feet and inches.
"""

import re
from fractions import Fraction

from server.domain.gauges import GAUGE_AFTER, GAUGE_BEFORE, find_gauge, system_of
from server.domain.quantities import Kind, Quantity
from server.domain.reading_line import Before, Line, Member, Ready
from server.domain.reading_numbers import NUMBER, NUMBER_START, Number, number_at, number_of
from server.domain.reading_sizes import (
    FEET_INCHES,
    MM,
    STRANDS,
    feet_inches,
    gauge_area,
    gauge_length,
    strands_area,
)
from server.domain.reading_threads import ThreadCall, inch_thread_at
from server.domain.reading_words import (
    APPROXIMATE,
    AT_LEAST,
    AT_MOST,
    BEFORE_FIRST,
    KEPT_WORDS,
    NOT_INCH_AFTER,
    ROLE_WORDS,
)
from server.domain.unit_spellings import Spelled, unit_at

_RANGE = re.compile(rf"(?:[ ]?(?:-|…|\.{{2,3}})[ ]?|[ ](?:to|bis|thru|through)[ ])(?P<to>{NUMBER})", re.VERBOSE)
_PLUS_MINUS = re.compile(rf"[ ]?(?:±|\+[ ]?/?[ ]?-)[ ]?(?P<both>{NUMBER})", re.VERBOSE)
_DEVIATIONS = re.compile(rf"[ ]?\+[ ]?(?P<up>{NUMBER})[ ]?/?[ ]?-[ ]?(?P<down>{NUMBER})", re.VERBOSE)
# fit letters, but not m6, which is a thread, nor e10, which is a lamp cap
_FIT = re.compile(r"[ ]?(?P<fit>H(?:[5-9]|1[0-3])|(?:[fghknp]|js)(?:[4-9]|1[0-3]))(?![A-Za-z0-9])")
_BEHIND = re.compile(r"[ ]?-?(?P<word>ø|[a-z]{1,20}(?:[./][a-z]){0,2}(?![a-z0-9/]))\.?")
_NUMBER_NEXT = re.compile(rf"[ :=]{{0,2}}(?:{NUMBER_START})")
_WORD_NEXT = re.compile(r"[ ]{0,2}([a-z]{1,20}|[0-9])")
_WEAK_ROLES = frozenset({"inside", "outside", "inner", "outer", "internal", "external", "shank", "body", "schaft"})
_FIRM_ROLES = frozenset({"dia", "id", "od", "thk", "af", "wall"})


def member_at(line: Line, at: int, before: Before) -> Member | None:
    """The number that begins at this place (a digit, Ø or gauge letter), with all that hangs on it; None for none."""
    low, start = line.low, at
    role = ""
    if low[at : at + 1] == "ø":
        role = "dia"
        at += 1
        while low[at : at + 1] == " ":
            at += 1
    if low[at : at + 1] in {"s", "a"}:
        return gauge_before(line, at)
    special = _special(line, at) if not role else None
    if special is not None:
        special.start = start
        return special
    found = number_at(low, at)
    if found is None:
        return None
    number, end = found
    member = Member(start, end, number=number, role=role)
    _unit_and_limits(line, member, at)
    return words_behind(line, member, before)


def _special(line: Line, at: int) -> Member | None:
    """A thread call, gauge, strands, feet and inches: everything that only looks like a number with a unit."""
    low = line.low
    call = inch_thread_at(low, at, is_screw="screw" in line.classes if low.find("-", at, at + 4) > 0 else False)
    if call is not None:
        return Member(at, call.end, ready=thread_ready(line, call, at))
    gauge = GAUGE_AFTER.match(low, at)
    made = _gauge_sizes(line, gauge, at) if gauge else ()
    if gauge is not None and made:
        return words_behind(line, Member(at, gauge.end(), ready=made), Before())
    strands = STRANDS.match(low, at)
    if strands is not None:
        weight = 1.0 if "wire" in line.classes else 0.8
        quantity = strands_area(strands, line.original[at : strands.end()])
        return Member(at, strands.end(), ready=((quantity, "", weight, None),))
    feet = FEET_INCHES.match(low, at)
    if feet is not None:
        length = feet_inches(feet, line.original[at : feet.end()])
        if length is not None:
            return words_behind(line, Member(at, feet.end(), ready=((length, "", 1.0, None),)), Before())
    return None


def _unit_and_limits(line: Line, member: Member, at: int) -> None:
    """Unit, range and tolerance behind the number, in whichever order they stand."""
    low = line.low
    number = member.number
    if number is None:
        return
    _take_unit(line, member, at)
    said = _RANGE.match(low, member.end)
    if said is not None:
        to = number_of(said["to"])
        unit = _text_unit(line, said.end(), to, said.start("to")) if to else None
        if to and unit and to.value > number.value and member.unit in {None, unit[0]}:
            member.to, member.unit, member.end = to, unit[0], unit[2]
            return
    both = _PLUS_MINUS.match(low, member.end)
    if both is not None:
        dev = number_of(both["both"])
        if dev is not None:
            member.up = member.down = dev.value
            member.end = both.end()
    else:
        pair = _DEVIATIONS.match(low, member.end)
        up, down = (number_of(pair["up"]), number_of(pair["down"])) if pair else (None, None)
        if pair and up and down:
            member.up, member.down, member.end = up.value, down.value, pair.end()
    if member.up is not None:
        unit = _text_unit(line, member.end, number, at)
        if unit is not None and unit[0].kind is (member.unit.kind if member.unit else unit[0].kind):
            member.spread_unit = unit[0]
            member.unit = member.unit or unit[0]
            member.end = unit[2]
        return
    if member.unit is None or member.unit is MM:
        fit = _FIT.match(line.original, member.end)
        is_glued = fit is not None and line.original[member.end] != " "
        if fit is not None and (not is_glued or fit["fit"].startswith("H") or member.role):
            member.fit, member.end = fit["fit"], fit.end()


def _take_unit(line: Line, member: Member, at: int) -> None:
    unit = _text_unit(line, member.end, member.number, at)
    if unit is not None:
        member.unit, _, member.end = unit


def _text_unit(line: Line, end: int, number: Number | None, at: int) -> tuple[Spelled, str, int] | None:
    """The unit behind a number in running text, where short spellings need more than their letters."""
    found = unit_at(line.original, line.low, end, None)
    if found is None or number is None:
        return None
    _, key, after = found
    is_glued = line.low[end] not in " -"
    if key == "in" and not is_glued and number.form == "whole":
        follows = _WORD_NEXT.match(line.low, after)
        if follows is not None and (follows.group(1) in NOT_INCH_AFTER or follows.group(1).isdigit()):
            return None
    elif key == "m":
        if _as_typed(line, after, "m") == "M" or line.low.startswith(("/", ":"), after):
            return None
    elif key == "a":
        # a letter glued to a number, or right behind a drawing number, is an issue or a finish
        is_letter = (is_glued and number.form == "whole") or _is_behind_a_code(line, at)
        if _as_typed(line, after, "a") != "A" or (
            is_letter and not line.is_electric and "electric" not in line.classes
        ):
            return None
    elif key == "g" and is_glued and len(number.text) == 1 and number.value >= 4:
        # 6g is a thread's tolerance class
        return None
    elif key == "'" and number.form == "decimal":
        return None
    return found


def _as_typed(line: Line, after: int, letter: str) -> str:
    """The letter of a one-letter unit as it was typed; a full stop may stand behind it."""
    return line.original[after - 1] if line.low[after - 1] == letter else line.original[after - 2]


def _is_behind_a_code(line: Line, at: int) -> bool:
    return bool(line.designator_spans) and not line.low[line.designator_spans[-1][1] : at].strip()


def words_behind(line: Line, member: Member, before: Before) -> Member:
    """Role and limit words behind the number; they do not count where one stood before it."""
    end = member.end
    role = member.role or before.role
    cut = end
    for _ in range(3):
        found = _BEHIND.match(line.low, end)
        if found is None:
            break
        word = found["word"].replace(".", "").replace("/", "")
        if word in ROLE_WORDS:
            new = ROLE_WORDS[word]
            next_is_number = _NUMBER_NEXT.match(line.low, found.end()) is not None
            if next_is_number and (before.role or word in BEFORE_FIRST):
                break
            if role and not (new in {"dia", "thk"} or (role == "dia" and new in {"id", "od", "head", "hole"})):
                break
            member.is_weak = word in _WEAK_ROLES or (new not in _FIRM_ROLES and not _ends_here(line.low, found.end()))
            role = role if role and new in {"dia", "thk"} else new
            end = found.end()
            cut = cut if word in KEPT_WORDS else end
            member.cut_end = cut
        elif (word in AT_MOST or word in AT_LEAST) and (member.unit or member.ready):
            member.bound = "max" if word in AT_MOST else "min"
            end = cut = member.cut_end = found.end()
        elif word in APPROXIMATE and member.unit and word != "about":
            member.is_approximate = True
            end = cut = member.cut_end = found.end()
        else:
            break
    member.role = role
    if end != member.end:
        member.cut_end = member.cut_end or member.end
        member.end = end
    return member


def _ends_here(low: str, at: int) -> bool:
    """ "35 long" is a length, "2 long bolts" an amount: no word follows the first."""
    return not low[at : at + 2].strip() or not (low[at] == " " and low[at + 1].isalpha())


def gauge_before(line: Line, at: int) -> Member | None:
    """ "swg 16" that begins at this letter; None if it is no gauge."""
    found = GAUGE_BEFORE.match(line.low, at)
    made = _gauge_sizes(line, found, at) if found else ()
    return Member(at, found.end(), ready=made) if found and made else None


def _gauge_sizes(line: Line, found: re.Match[str], at: int) -> tuple[Ready, ...]:
    """Readings of a gauge number. For wire the American one is an area, all others are lengths."""
    groups = found.groupdict()
    named = groups["system"] or groups.get("late")
    number = found["number"]
    text = line.original[at : found.end()]
    classes = line.classes
    flat = "wall" if "tube" in classes else "thk" if "sheet" in classes else ""
    if named:
        system = system_of(named)
        gauge = find_gauge(system, number) if system else None
        if gauge is None:
            return ()
        if system == "AWG" and not flat:
            return ((gauge_area(gauge, text), "", 1.0, None),)
        role = flat or ("dia" if "wire" in classes else "")
        return ((gauge_length(gauge, text), role, 1.0, None),)
    is_letter = groups.get("word") == "g"
    if is_letter and not classes & {"sheet", "tube"}:
        return ()
    made: list[Ready] = []
    american, british = find_gauge("AWG", number), find_gauge("SWG", number)
    if british is not None:
        made.append(
            (gauge_length(british, text), flat or ("dia" if "wire" in classes else ""), 0.6 if flat else 0.5, None)
        )
    if american is not None and not is_letter:
        if flat:
            made.append((gauge_length(american, text), flat, 0.3, None))
        else:
            made.append((gauge_area(american, text), "", 0.5, None))
    if is_letter and number.isdigit():
        made.append((Quantity(Kind.MASS, Fraction(int(number)), "g", text), "", 0.4, None))
    return tuple(made)


def thread_end(line: Line, call: ThreadCall) -> int:
    """Where the thread itself ends, before the length hung on to it."""
    if not call.length_start:
        return call.end
    end = call.length_start
    while line.low[end - 1] in " x":
        end -= 1
    return end


def thread_ready(line: Line, call: ThreadCall, at: int) -> tuple[Ready, ...]:
    """A thread call as a reading: the major diameter, or the count of a taper pipe thread, which has none."""
    thread = call.thread
    text = line.original[at : thread_end(line, call)]
    if thread.major is not None:
        unit = "mm" if thread.tpi is None else "in"
        quantity = Quantity(Kind.LENGTH, thread.major, unit, text, note=thread.note)
    elif thread.tpi is not None:
        quantity = Quantity(Kind.THREADS, thread.tpi, "tpi", text, note=thread.note)
    else:
        return ()
    return ((quantity, "thread", 1.0, thread),)
