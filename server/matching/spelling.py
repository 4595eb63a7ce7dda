"""Spelling against the lexicon only: a wrong letter is mended, an ordinary word is left alone.

Every correction is shown beside the match and the word as typed stays a word
too, for "table" must not become "cable" unseen.
"""

from itertools import groupby

from rapidfuzz import process
from rapidfuzz.distance import OSA

from server.matching.lexicon import Lexicon

LIKENESS = 0.74
"""Least OSA likeness of a mended word (a trial's figure); a word with another first letter needs more."""
OTHER_FIRST = 0.85
SHORTEST = 5

# ordinary words that lie one letter from a word of the trade; as lexicon keys (doubled letters once)
ORDINARY = frozenset(
    "chair chairs table tables house houses horse brush brushes bread blanket kitchen plant plants floral flower "
    "flowers water winter weather whether father mother brother butter better bitter letter leters matter mater "
    "cousin cotage grain train brain drain trains planet planes plate place places space speed spend spent space "
    "price prize pride print paint point pint music basic being bring string strong strange orange range ranger "
    "stamp stamps stump store stores story start state steam stream street strip strike strong stone stove "
    "shoes shirt shirts short shorts sheep shelf shelves shop shops sport spots spoon spoons "
    "camera canal candle candles carpet castle cattle caravan cabinet cable carton cartoon "
    "glove gloves globe grass green gren great group ground guitar garden gate gates "
    "light lights night right sight might eight weight height fight tight "
    "paper papers pencil pencils people perfect picture pictures pillow plastic pocket police postage poster "
    "radio railway record records recorder river rivers round sound pound found hound "
    "model models motor money month months monthly morning mountain mouse "
    "table tennis ticket tickets timber time times title today together tomato toaster tools towel towels toy toys "
    "where which while white whole woman women world would write writing wrong yellow young "
    "after again below above around before behind between beside could should there these those thing think "
    "three through under until using very maybe never often other quick quite really since still such "
    "that their them then they this your yours have having here hello help himself "
    "bicycle bike boots bottle bottles bowl bowls brand bridge bright broken brown build building "
    "class clean clear clock close cloth clothes coat coffee coins collar color colour comes coming "
    "dining dinner dirty dress drink drive driver drop during early earth easy eaten empty engine "
    "family farm fence field final first fish fixed floor flour flute follow forest "
    "bread breakfast britain british border battle "
    "handle happy heart heavy heater holder holiday horses hotel hours inner".split()
)


class Speller:
    """Mends single words against one lexicon; remembers what it was asked."""

    def __init__(self, lexicon: Lexicon) -> None:
        self._all = tuple(sorted(word for word in lexicon.senses if 4 <= len(word) <= 24 and word.isalpha()))
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
        near = process.extractOne(
            key, self._by_first.get(key[0], ()), scorer=OSA.normalized_similarity, score_cutoff=LIKENESS
        )
        if near is None and len(key) >= 7:
            near = process.extractOne(key, self._all, scorer=OSA.normalized_similarity, score_cutoff=OTHER_FIRST)
        return near[0] if near else ""
