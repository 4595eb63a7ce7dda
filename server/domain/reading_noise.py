"""What stands in a text with a number and is no size: amounts, prices, dates, lots, places, types, stores numbers.

Every handler takes the line, what the words before said, and the span of the
word that called it; it returns where to go on, or 0 where the word is
something else here.
"""

import re

from server.domain.designators import Designator, number_designator_at
from server.domain.quantities import Kind, Quantity
from server.domain.reading_line import Before, Line
from server.domain.reading_phrase import add_thread
from server.domain.reading_sizes import Amount, Size
from server.domain.reading_threads import inch_thread_at
from server.domain.reading_words import (
    AEROPLANE,
    AMOUNT_BEFORE,
    AMOUNT_BEHIND,
    COUNTED,
    DATE,
    PHONE,
    PLACE_NUMBER,
    PRICE_BEHIND,
    PRICE_NUMBER,
    ROPE,
    SCALE,
    SERIAL_NUMBER,
    TIMES_AMOUNT,
    X_AMOUNT,
)

_DIGIT_NEXT = re.compile(r"[. ]{0,2}(?=[0-9])")


def amount_before(line: Line, _before: Before, start: int, end: int) -> int:
    """ "box of 50", "qty 20"; "lot 4471" is the number of a batch."""
    found = AMOUNT_BEFORE.match(line.low, start)
    if found is None:
        return 0
    word = found["word"]
    if word in {"lot", "set"} and " of " not in found.group():
        return serial(line, _before, start, end) if word == "lot" else 0
    add_amount(line, int(found["number"]), word, start, found.end())
    return found.end()


def x_amount(line: Line, _before: Before, start: int, _end: int) -> int:
    """ "x 12" at the end of a text, with nothing on its left to multiply."""
    found = X_AMOUNT.match(line.low, start)
    if found is None or line.low[max(0, start - 3) : start].rstrip()[-1:].isdigit():
        return 0
    add_amount(line, int(found["number"]), found["word"] or "x", start, found.end())
    return found.end()


def serial(line: Line, _before: Before, start: int, end: int) -> int:
    """ "lot 4471", "ref 90210", "dated 1944": cut out."""
    found = SERIAL_NUMBER.match(line.low, end)
    if found is None:
        return 0
    line.cuts.append((start, found.end()))
    return found.end()


def serial_short(line: Line, before: Before, start: int, _end: int) -> int:
    """ "S/N 1147", "Wk.Nr. 10411"."""
    for opening in ("s/n", "wk.nr", "wk-nr", "w.nr", "c/n"):
        if line.low.startswith(opening, start):
            return serial(line, before, start, start + len(opening))
    return 0


def money(line: Line, _before: Before, start: int, end: int) -> int:
    """ "GBP 12.50", "€ 30": cut out."""
    found = PRICE_NUMBER.match(line.low, end)
    if found is None:
        return 0
    line.cuts.append((start, found.end()))
    return found.end()


def place(line: Line, before: Before, start: int, end: int) -> int:
    """ "rib 7", "Mk 5", "No. 5": words; but "No. 10-32" is a thread."""
    low = line.low
    if low[start:end] in {"no", "nr"} and low[end : end + 1] in {".", " "}:
        digit = _DIGIT_NEXT.match(low, end)
        call = inch_thread_at(low, digit.end(), is_numbered=True) if digit else None
        if call is not None and call.thread.tpi is not None:
            before.cut = start
            return add_thread(line, call, digit.end() if digit else end, before)
    found = PLACE_NUMBER.match(low, end)
    return found.end() if found else 0


def aeroplane(line: Line, _before: Before, start: int, end: int) -> int:
    """ "Ju 52/3m", "He 111 H-6": words."""
    if not line.original[start].isupper():
        return 0
    found = AEROPLANE.match(line.low, end)
    return found.end() if found else 0


def no_size(line: Line, start: int) -> int:
    """Amounts, prices, dates, stores numbers, cable constructions, counts inside a name; 0 for none of these."""
    low, classes = line.low, line.classes
    if low[start] == "0" and (phone := PHONE.match(low, start)):
        line.cuts.append(phone.span())
        return phone.end()
    for pattern in (DATE, PRICE_BEHIND):
        found = pattern.match(low, start)
        if found is not None:
            line.cuts.append(found.span())
            return found.end()
    named = number_designator_at(
        line.original, low, start, is_rivet="rivet" in classes, is_bearing="bearing" in classes
    )
    if named is not None:
        add_designator(line, named, start)
        return named.end
    for pattern in (SCALE, COUNTED):
        found = pattern.match(low, start)
        if found is not None:
            return found.end()
    if "rope" in classes and (rope := ROPE.match(low, start)):
        return rope.end()
    for pattern in (AMOUNT_BEHIND, TIMES_AMOUNT):
        found = pattern.match(low, start)
        if found is not None:
            word = found["word"] if "word" in found.re.groupindex else "x"
            add_amount(line, int(found["number"]), word, start, found.end())
            return found.end()
    return 0


def add_amount(line: Line, number: int, word: str, start: int, end: int) -> None:
    """Keep an amount and cut it out of the words."""
    line.amounts.append(Amount(number, word, (start, end)))
    line.cuts.append((start, end))


def add_designator(line: Line, found: Designator, start: int) -> None:
    """Keep a designator with the sizes it implies and cut it out of the words."""
    span = (start, found.end)
    line.designators.append(found.text)
    line.designator_spans.append(span)
    line.cuts.append(span)
    text = line.original[start : found.end]
    for size in found.sizes:
        quantity = Quantity(Kind.LENGTH, size.value, size.unit, text, note=size.note)
        line.add(Size(quantity, size.role, span, weight=found.weight, thread=size.thread, is_derived=True))
