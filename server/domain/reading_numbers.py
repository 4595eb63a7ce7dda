"""Numbers as people write them: 1 1/2, 1-1/2, 1.1/2, 1½, .065, 6,35, 1.200.

Works on folded text. A separator followed by exactly three digits may divide
decimals or thousands; such a number carries its other reading and the caller
decides or asks. Source of the forms: common practice of writing.
"""

import functools
import re
import unicodedata
from fractions import Fraction
from typing import NamedTuple

VULGAR: dict[str, Fraction] = {
    # a sign's compatibility form is its digits round a fraction slash
    sign: Fraction(unicodedata.normalize("NFKC", sign).replace("\u2044", "/"))
    for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞⅐⅑⅒"
}
"""Fractions that are one sign, by the Unicode standard's own decomposition."""
_VULGARS = "".join(VULGAR)

NUMBER_START = rf"[0-9{_VULGARS}]|\.(?=[0-9])"
"""What a number may begin with, as a piece of a pattern."""

# every repeat is bounded, so that no text can make the search slow
NUMBER = rf"""(?:[0-9]{{0,4}}[ ]?[{_VULGARS}]
    |(?:[0-9]{{1,3}}(?:[ ]{{1,2}}|[.-]))?[0-9]{{1,3}}/[0-9]{{1,4}}(?![0-9]|/[0-9]|[.,][0-9])
    |(?:[0-9]{{1,12}}(?:[.,][0-9]{{1,9}}){{0,4}}|\.[0-9]{{1,9}})(?![0-9]))"""
"""One number, as a piece of a verbose pattern; read what it finds with `number_of`."""

_NUMBER = re.compile(NUMBER, re.VERBOSE)
_PLAIN = re.compile(r"(?:[0-9]{1,12}(?:[.,][0-9]{1,9}){0,4}|\.[0-9]{1,9})(?![0-9])")
_PARTS = re.compile(r"(?:([0-9]+)[ .-]+)?([0-9]+)/([0-9]+)")

HALF = Fraction(1, 2)
RULE_DENOMINATORS = frozenset({2, 4, 8, 16, 32, 64})


class Number(NamedTuple):
    """A number before its unit: exact value, half of its last decimal, and how it was written.

    `form` is "fraction", "whole" or "decimal". `other` is the value under
    another reading: 1.200 as 1200, 101/2 as 10 1/2.
    """

    value: Fraction
    half_step: Fraction
    form: str
    text: str
    other: Fraction | None = None
    places: int = 0

    @property
    def is_point_first(self) -> bool:
        """Written as ".065", the way of inch drawings."""
        return self.text.startswith(".")


def number_at(low: str, at: int) -> tuple[Number, int] | None:
    """The number that begins at this place of a folded text, and where it ends; None if there is none."""
    found = _NUMBER.match(low, at)
    if found is None:
        return None
    number = number_of(found.group())
    if number is not None:
        return number, found.end()
    # "1 5/4" is no mixed number: the whole number stands alone
    plain = _PLAIN.match(low, at)
    if plain is None or (number := number_of(plain.group())) is None or low[plain.end() : plain.end() + 1] == "/":
        return None
    return number, plain.end()


@functools.lru_cache(maxsize=8192)
def number_of(text: str) -> Number | None:
    """A text that is one number and nothing else; None if it is not a number after all."""
    if text[-1] in VULGAR:
        whole = text[:-1].strip()
        return Number(VULGAR[text[-1]] + int(whole or 0), Fraction(0), "fraction", text)
    if "/" in text:
        return _fraction(text)
    return _decimal(text)


def _fraction(text: str) -> Number | None:
    parts = _PARTS.fullmatch(text)
    if parts is None:
        return None
    whole, top, bottom = parts.group(1), int(parts.group(2)), int(parts.group(3))
    if bottom == 0 or (whole is not None and (top >= bottom or top == 0)):
        return None
    other = _unspaced(parts.group(2), bottom) if whole is None and top > bottom else None
    return Number(Fraction(top, bottom) + int(whole or 0), Fraction(0), "fraction", text, other)


def _unspaced(top: str, bottom: int) -> Fraction | None:
    """101/2 with a blank forgotten: 10 1/2. None where no split leaves a proper fraction in lowest terms."""
    for cut in range(1, len(top)):
        part = Fraction(int(top[cut:]), bottom)
        if 0 < part < 1 and part.denominator == bottom and top[cut] != "0":
            return int(top[:cut]) + part
    return None


def _decimal(text: str) -> Number | None:
    groups = re.split(r"[.,]", text)
    marks = [sign for sign in text if sign in ".,"]
    if not marks:
        return Number(Fraction(int(text)), Fraction(0), "whole", text)
    if len(marks) == 1:
        before, after = groups
        number = _of_digits(before, after, text)
        if len(after) == 3 and 1 <= len(before) <= 3 and before[0] != "0":
            return number._replace(other=Fraction(int(before + after)))
        return number
    # several separators: all but a different last one divide thousands
    if not 1 <= len(groups[0]) <= 3 or any(len(group) != 3 for group in groups[1:-1]):
        return None
    if len(set(marks)) == 1:
        if len(groups[-1]) != 3:
            return None
        return Number(Fraction(int("".join(groups))), Fraction(0), "whole", text)
    if len(set(marks[:-1])) == 1 and marks[-1] != marks[0]:
        return _of_digits("".join(groups[:-1]), groups[-1], text)
    return None


def _of_digits(before: str, after: str, text: str) -> Number:
    places = len(after)
    value = Fraction(int((before or "0") + after), 10**places)
    return Number(value, HALF / 10**places, "decimal", text, None, places)
