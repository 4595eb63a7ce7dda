"""Reads running text: an item line, an advert, a label. One pass from left to right.

The order matters: designators and everything that is no size (amounts,
prices, dates, lots, cable constructions, places) are taken before a number
may become a size. A number that no unit, role or product makes a size stays a
word. Every pattern has bounded repeats, so that the time grows with the text
and no faster.
"""

import re
from collections.abc import Callable
from collections.abc import Set as AbstractSet
from dataclasses import replace

from server.domain.designators import Designator, designator_at
from server.domain.reading_fold import fold, word_set
from server.domain.reading_line import Before, Line
from server.domain.reading_noise import (
    add_designator,
    aeroplane,
    amount_before,
    money,
    no_size,
    place,
    serial,
    serial_short,
    x_amount,
)
from server.domain.reading_numbers import NUMBER_START, VULGAR
from server.domain.reading_phrase import add_thread, gauge_first, lone_quantity, read_phrase
from server.domain.reading_sizes import Reading
from server.domain.reading_threads import SERIES, inch_thread_at, metric_thread_at, named_thread_at, pipe_thread_at
from server.domain.reading_words import (
    AEROPLANES,
    APPROXIMATE,
    AT_LEAST,
    AT_MOST,
    BEHIND_ONLY,
    CONTACT,
    EQUALS_ROLES,
    KEPT_WORDS,
    LEFT_HAND,
    MONEY,
    PHONE,
    PLACES,
    ROLE_WORDS,
    SERIALS,
    TOPS,
    WORD_FRACTION,
    fraction_in_words,
)

_TOKEN = re.compile(rf"[a-zµω]+|{NUMBER_START}|[ø#~≈≤≥<>€$£+]")
_CODE = re.compile(r"[a-z0-9]{1,40}(?:[-/.][a-z0-9]{1,40}){0,8}")
_DIGITS = frozenset("0123456789." + "".join(VULGAR))
_REST_OF_NUMBER = re.compile(rf"[0-9{''.join(VULGAR)}.,]*[a-z0-9]*")
_AMOUNT_WORDS = word_set(
    "box boxes bag bags pack packs packet packets pkt pkts set sets lot lots bundle bundles tin tins jar jars beutel "
    "packung schachtel vpe qty quantity menge anzahl stuckzahl"
)
_FRACTION_STARTS = word_set(
    "half halb halber halbe quarter quarters viertel dreiviertel eighth eighths achtel sixteenth sixteenths thirty "
    "halbzoll halbzollig viertelzoll achtelzoll"
) | frozenset(TOPS)
_GAP = " :=.-"
_GAP_WORDS = frozenset({"", "of", "von"})
_LETTERS = re.compile(r"[a-z]+")
_JOIN = re.compile(r"[a-z0-9]+")
_MAX_JOINED = 5


def read_sizes(text: str, known: AbstractSet[str] = frozenset()) -> Reading:
    """Everything that a text says in numbers, with the words that remain.

    `known` holds designators in use, letters and digits only, in small
    letters ("ms20470ad45"): up to five neighbouring words are joined and
    looked up before any number is read. Never raises for any text.
    """
    low = fold(text)
    line = Line(text, low)
    low = _without_contacts(line, low)
    if known:
        low = _without_known(line, low, known)
    line.low = low
    _read(line)
    return _reading(line)


def _read(line: Line) -> None:
    low = line.low
    before = Before()
    at = 0
    search = _TOKEN.search
    while True:
        token = search(low, at)
        if token is None:
            return
        start, end = token.span()
        sign = low[start]
        if before.end >= 0 and low[before.end : start].strip(_GAP) not in _GAP_WORDS:
            before = Before()
        if sign.isalpha() and sign != "ø":
            at = _word(line, before, start, end, token.group())
        elif sign in _DIGITS:
            at = _number(line, before, start)
            before = Before()
        else:
            at = _sign(line, before, start, sign)


# words


def _word(line: Line, before: Before, start: int, end: int, word: str) -> int:
    """Deal with the run of letters at `start`; the place to go on from."""
    low = line.low
    after = low[end : end + 1]
    if word in ROLE_WORDS or word in _PREFIX_WORDS or after == "=":
        taken = _note_prefix(line, before, start, end, word)
        if taken:
            return taken
    handler = _HANDLERS.get(word)
    if handler is not None:
        taken = handler(line, before, start, end)
        if taken:
            return taken
    found = (
        designator_at(line.original, low, start, word, is_rivet="rivet" in line.classes)
        if _may_name(word, after)
        else None
    )
    if found is not None:
        add_designator(line, found, start)
        return found.end
    if after.isdigit() or (after and after in "-/" and low[end + 1 : end + 2].isdigit() and len(word) <= 4):
        # a code, an alloy, a lamp cap, a type: one word, whatever figures are in it
        code = _CODE.match(low, start)
        return code.end() if code else end
    return end


def _may_name(word: str, after: str) -> bool:
    return len(word) <= 11 and (after.isdigit() or after in {" ", "-", "/", ".", ":"})


def _note_prefix(line: Line, before: Before, start: int, end: int, word: str) -> int:
    """Words before a number that say what it is or how it binds; 0 where the word is something else here."""
    low = line.low
    role, bound, approximate = "", "", False
    if word in ROLE_WORDS and word not in BEHIND_ONLY:
        role = ROLE_WORDS[word]
    elif low[end : end + 1] == "=" and word in EQUALS_ROLES:
        role = EQUALS_ROLES[word]
    elif word == "c" and low.startswith("c/c", start):
        role, end = "centres", start + 3
    elif word in AT_MOST or low.startswith(("up to", "not over"), start):
        bound = "max"
        end = end if word in AT_MOST else low.index(" ", start) + (3 if word == "up" else 5)
    elif word in AT_LEAST or low.startswith("at least", start):
        bound = "min"
        end = end if word in AT_LEAST else start + 8
    elif word in APPROXIMATE:
        approximate = True
    if not (role or bound or approximate):
        return 0
    if low[end : end + 1] == ".":
        end += 1
    if before.cut < 0 and word not in KEPT_WORDS:
        before.cut = start
    elif word in KEPT_WORDS:
        before.cut = -1
    if role and not (before.role and role in {"dia", "thk"}):
        before.role = role
        before.is_weak = word in _WEAK_PREFIX
    before.bound = bound or before.bound
    before.is_approximate = approximate or before.is_approximate
    before.end = end
    return end


_WEAK_PREFIX = word_set("inside outside inner outer internal external shank body flats length holes heads")
_PREFIX_WORDS = AT_MOST | AT_LEAST | APPROXIMATE | {"c", "up", "not", "at"}


def _letter_thread(line: Line, before: Before, start: int, end: int) -> int:
    low = line.low
    is_metric = low[start] == "m"
    if low[end : end + 1] == " " and line.original[start].islower():
        return 0
    call = metric_thread_at(low, start) if is_metric else pipe_thread_at(low, start)
    return add_thread(line, call, start, before) if call else 0


def _series(line: Line, before: Before, start: int, _end: int) -> int:
    call = named_thread_at(line.low, start)
    return add_thread(line, call, start, before) if call else 0


def _gauge(line: Line, before: Before, start: int, _end: int) -> int:
    return gauge_first(line, start, before) or 0


def _word_fraction(line: Line, before: Before, start: int, _end: int) -> int:
    found = WORD_FRACTION.match(line.low, start)
    if found is None:
        return 0
    part, top = found["part"], found["tops"]
    if not found["unit"] and not (top and part[0] not in "hv"):
        return 0
    if found["unit"] == "in" and line.low[found.end() : found.end() + 3].lstrip()[:1].isdigit():
        return 0
    value = fraction_in_words(found)
    if value is None:
        return 0
    lone_quantity(line, start, found.end(), value, before.role, before.cut)
    return found.end()


_Handler = Callable[[Line, Before, int, int], int]
_HANDLERS: dict[str, _Handler] = {
    **dict.fromkeys(SERIES, _series),
    **dict.fromkeys(PLACES, place),
    **dict.fromkeys(AEROPLANES, aeroplane),
    **dict.fromkeys(SERIALS, serial),
    **dict.fromkeys(MONEY, money),
    **dict.fromkeys(_AMOUNT_WORDS, amount_before),
    **dict.fromkeys(_FRACTION_STARTS, _word_fraction),
    **dict.fromkeys(("swg", "awg", "bwg"), _gauge),
    **dict.fromkeys(("s", "wk", "w", "c"), serial_short),
    "m": _letter_thread,
    "g": _letter_thread,
    "x": x_amount,
}


# signs and numbers


def _sign(line: Line, before: Before, start: int, sign: str) -> int:
    low = line.low
    if sign in "€$£":
        return money(line, before, start, start + 1) or start + 1
    if sign == "#":
        call = inch_thread_at(low, start + 1, is_numbered=True) if low[start + 1 : start + 2].isdigit() else None
        if call is not None:
            return add_thread(line, call, start, before)
        before.cut = start
        before.end = start + 1
        return start + 1
    if sign == "+":
        found = PHONE.match(low, start)
        if found is not None:
            line.cuts.append(found.span())
            return found.end()
        return start + 1
    end = start + 1
    if before.cut < 0:
        before.cut = start
    if sign == "ø":
        before.role = before.role or "dia"
    elif sign in "~≈":
        before.is_approximate = True
    else:
        before.bound = "max" if sign in "<≤" else "min"
        if low[end : end + 1] == "=":
            end += 1
    before.end = end
    return end


def _number(line: Line, before: Before, start: int) -> int:
    """Deal with the digit at `start`; the place to go on from."""
    low = line.low
    is_tail = start and low[start - 1] in "-/" and low[start - 2 : start - 1].isalnum() and before.end != start
    if is_tail and not (low[start - 1] == "/" and line.sizes and line.sizes[-1].span[1] == start - 1):
        # the tail of a code or of a range that was none
        return _skip(low, start)
    if not before.role:
        taken = no_size(line, start)
        if taken:
            return taken
    end = read_phrase(line, start, before)
    if end is not None:
        return end
    return _skip(low, start)


def _skip(low: str, start: int) -> int:
    found = _REST_OF_NUMBER.match(low, start)
    return max(found.end() if found else start, start + 1)


# before and after


def _without_contacts(line: Line, low: str) -> str:
    if "@" not in low and "www." not in low and "://" not in low:
        return low
    return _blank(line, low, [found.span() for found in CONTACT.finditer(low)])


def _without_known(line: Line, low: str, known: AbstractSet[str]) -> str:
    """Cut out neighbouring words that together are a designator in use."""
    words = [found.span() for found in _JOIN.finditer(low)]
    spans = []
    at = 0
    while at < len(words):
        for count in range(min(_MAX_JOINED, len(words) - at), 0, -1):
            start, end = words[at][0], words[at + count - 1][1]
            joined = "".join(low[a:b] for a, b in words[at : at + count])
            if joined in known and any(sign.isdigit() for sign in joined) and end - start <= len(joined) + 2 * count:
                spans.append((start, end))
                at += count - 1
                break
        at += 1
    for start, end in spans:
        word = _LETTERS.match(low, start)
        found = designator_at(line.original, low, start, word.group(), is_rivet=True) if word else None
        if found is None or found.end != end:
            found = Designator(line.original[start:end].upper(), end)
        add_designator(line, found, start)
    return _blank(line, low, spans)


def _blank(line: Line, low: str, spans: list[tuple[int, int]]) -> str:
    for start, end in spans:
        line.cuts.append((start, end))
        low = f"{low[:start]}{' ' * (end - start)}{low[end:]}"
    return low


def _reading(line: Line) -> Reading:
    sizes = line.sizes
    if len(sizes) > 1:
        sizes.sort(key=lambda one: (one.span[0], one.is_derived, one.position, -one.weight))
    if any(one.thread for one in sizes) and LEFT_HAND.search(line.low):
        sizes = [replace(one, thread=replace(one.thread, is_left_hand=True)) if one.thread else one for one in sizes]
    named = sorted(zip(line.designator_spans, line.designators, strict=True))
    pieces = []
    last = 0
    for start, end in sorted(line.cuts):
        if start > last:
            pieces.append(line.original[last:start])
        last = max(last, end)
    pieces.append(line.original[last:])
    return Reading(
        tuple(sizes),
        tuple(text for _, text in named),
        tuple(line.amounts),
        " ".join(" ".join(pieces).split()),
        tuple(span for span, _ in named),
    )
