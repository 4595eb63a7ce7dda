"""A price in words, read into its smallest coin: “GBP 1,250.00” is 125000 pence.

The words stay what they are; this is only the number beside them, and a
wrong one is worse than none. So what may be read in two ways (“1,250” alone,
a range, two prices, shillings and pence) is not read. Source: common practice
of English, German, French and Swiss price lists; ISO 4217 for the currencies.
"""

import re

from server.domain.reading_fold import fold

_SIGNS = {"£": "GBP", "€": "EUR", "$": "USD", "us$": "USD", "euro": "EUR", "euros": "EUR"}
_CURRENCY = r"(?<![a-z])(?:gbp|eur|usd|chf|euros?)(?![a-z])|[£€]|(?<![a-z])(?:us)?\$"
_BEFORE = re.compile(rf"({_CURRENCY})[ ]*$")
_BEHIND = re.compile(rf"[ ]*({_CURRENCY})")
_NUMBER = re.compile(r"[0-9]+(?:[.,'][0-9]+| [0-9]{3}(?![0-9]))*(?:[.,]-(?![0-9]))?")
_RUNS_ON = re.compile(r"[a-z%'\"]|[ ]*(?:-|/|\+|x|to|or|and|bis|oder|und|ou|a)?[ ]*[0-9]")
_RUNS_IN = re.compile(r"[0-9][ ]*(?:[-/+x.,']|to|or|and|bis|oder|und|ou)?[ ]*$|[a-z.,-]$")
_OTHER_DOLLAR = re.compile(r"[ ]*(?:cad|aud|nzd|hkd|sgd)(?![a-z])")

_PLAIN = re.compile(r"([0-9]{1,7})(?:[.,]([0-9]{1,2}))?")
_GROUPED = re.compile(r"([0-9]{1,3}(?:(?P<mark>[.,' ])[0-9]{3})(?:(?P=mark)[0-9]{3})*)(?!(?P=mark))[.,]([0-9]{2})")
_GROUPS_ONLY = re.compile(r"([0-9]{1,3}(?:'[0-9]{3})+|[0-9]{1,3}(?:(?P<mark>[.,])[0-9]{3})(?:(?P=mark)[0-9]{3})+)")
_MOST = 9_999_999


def read_price(text: str) -> tuple[int | None, str]:
    """Price in the smallest coin and its currency; (None, "") where no currency, no price or more than one is named."""
    low = fold(text)
    found = {price for number in _NUMBER.finditer(low) if (price := _priced(low, number)) is not None}
    if len(found) != 1:
        return None, ""
    minor, currency = found.pop()
    return (minor, currency) if minor is not None else (None, "")


def _priced(low: str, number: re.Match[str]) -> tuple[int | None, str] | None:
    """What one number says with the currency beside it; None where there is none, (None, …) where it can't be told."""
    before = _BEFORE.search(low, 0, number.start())
    behind = _BEHIND.match(low, number.end())
    sign = before or behind
    if sign is None:
        return None
    currency = _code(sign.group(1))
    end = behind.end() if behind else number.end()
    is_torn = (not before and _RUNS_IN.search(low, 0, number.start())) or _RUNS_ON.match(low, end)
    if is_torn or (before and behind and _code(behind.group(1)) != currency) or _OTHER_DOLLAR.match(low, end):
        return None, currency
    return _minor(number.group()), currency


def _code(sign: str) -> str:
    return _SIGNS.get(sign, sign.upper())


def _minor(number: str) -> int | None:
    """A number in the smallest coin; None where its marks may be thousands or decimals."""
    number = re.sub(r"([.,])-$", r"\g<1>00", number)
    if plain := _PLAIN.fullmatch(number):
        whole, cents = plain.group(1), plain.group(2) or ""
    elif grouped := _GROUPED.fullmatch(number):
        whole, cents = grouped.group(1), grouped.group(3)
    elif groups := _GROUPS_ONLY.fullmatch(number):
        whole, cents = groups.group(1), ""
    else:
        return None
    coins = int(re.sub(r"[^0-9]", "", whole))
    return coins * 100 + int(cents.ljust(2, "0")) if coins <= _MOST else None
