"""Spelling against the lexicon only: a wrong letter is mended, an ordinary word is left alone.

Every correction is shown beside the match and the word as typed stays a word
too, for "table" must not become "cable" unseen.
"""

from itertools import groupby

from rapidfuzz import process
from rapidfuzz.distance import OSA

from server.matching.lexicon import Lexicon, word_list

LIKENESS = 0.74
"""Least OSA likeness of a mended word (a trial's figure); a long word, or one with another first letter, needs more."""
LONG, LONG_LIKENESS = 8, 0.79
OTHER_FIRST = 0.85
SHORTEST = 5

ORDINARY = word_list("ordinary")


class Speller:
    """Mends single words against one lexicon; remembers what it was asked."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._all = tuple(sorted(word for word in lexicon.spelt if 4 <= len(word) <= 24 and word.isalpha()))
        self._by_first = {first: tuple(words) for first, words in groupby(self._all, key=lambda word: word[0])}
        self._known: dict[str, str] = {}

    def mend(self, key: str) -> str:
        """The lexicon's key this word was meant to be; "" where it is best left alone."""
        if key not in self._known:
            if len(self._known) > 20_000:
                self._known.clear()
            self._known[key] = self._search(key)
        return self._known[key]

    def _search(self, key: str) -> str:
        if len(key) < SHORTEST or len(key) > 24 or not key.isalpha() or not key.isascii() or key in ORDINARY:
            return ""
        least = LIKENESS if len(key) < LONG else LONG_LIKENESS
        near = process.extractOne(
            key, self._by_first.get(key[0], ()), scorer=OSA.normalized_similarity, score_cutoff=least
        )
        if near is None and len(key) >= 7:
            near = process.extractOne(key, self._all, scorer=OSA.normalized_similarity, score_cutoff=OTHER_FIRST)
        return near[0] if near else ""
