"""Folds a text for reading, sign for sign, so that a place in the folded text is the same place in the original."""

_SAME = {
    "x": "×✕✖⨯",
    "ø": "Ø⌀∅Φφ",
    "-": "–—‒‐‑−﹣",
    '"': "″“”„‟〃",
    "'": "′’‘‛´`",
    " ": "\t\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000",
    "/": "⁄∕",
    "°": "º˚",
    "µ": "μ",
    "ω": "Ω\u2126",
    ":": "∶",
    ",": "‚",
    ".": "․",
    "a": "äàáâÄÀÁÂ",
    "o": "öòóôÖÒÓÔ",
    "u": "üùúûÜÙÚÛ",
    "e": "éèêëÉÈÊË",
    "i": "íìîïÍÌÎÏİ",
    "c": "çčÇČ",
    "s": "ßšŠ",
}
_FOLD = {ord(sign): plain for plain, signs in _SAME.items() for sign in signs}
# the full-width forms of "!" to "~" lie at a fixed distance
_FOLD |= {0xFF01 + step: chr(0x21 + step) for step in range(0x5E)}


def word_set(text: str) -> frozenset[str]:
    """The blank-separated words of a text, as a set: how the vocabularies of the reader are written."""
    return frozenset(text.split())


def fold(text: str) -> str:
    """The text in small letters, plain signs for their fancy forms; exactly as long as the original.

    Unicode fractions stay what they are; the number reader knows them.
    """
    if text.isascii():
        return text.lower()
    return text.translate(_FOLD).lower()
