"""A register in memory, for trying the matching without a database."""

import csv
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

from server.matching.facts import Structured
from server.matching.index import pairs_of, row_of, tokens_of
from server.matching.reading_text import read_facts

HERE = Path(__file__).parent


def read_csv(name: str) -> list[dict[str, str]]:
    """All rows of a CSV file beside this module."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


class Register:
    """Rows held in memory; proposes and counts as the databases do."""

    def __init__(self, texts: Mapping[int, str | tuple[str, Structured]]) -> None:
        self.texts = dict(texts)
        self._rows: dict[int, tuple[int, str, bytes]] = {}
        self._holding: defaultdict[str, set[int]] = defaultdict(set)
        self._proposed_by: defaultdict[str, set[int]] = defaultdict(set)
        for number, said in texts.items():
            text, known = said if isinstance(said, tuple) else (said, None)
            facts = read_facts(text, structured=known)
            tokens = tokens_of(facts)
            self._rows[number] = (number, " ".join(tokens), row_of(facts))
            for token in tokens:
                self._holding[token].add(number)
            for token in (*tokens, *pairs_of(facts)):
                self._proposed_by[token].add(number)
        self.asked: list[list[list[str]]] = []

    def size(self, most: int) -> int:
        return len(self._rows)

    def rows(self) -> Sequence[tuple[int, str, bytes]]:
        return list(self._rows.values())

    def propose(self, groups: list[list[str]], limit: int) -> Sequence[tuple[int, str, bytes]]:
        self.asked.append(groups)
        found = [set().union(*(self._proposed_by.get(token, set()) for token in group)) for group in groups]
        return [self._rows[number] for number in sorted(set.intersection(*found), reverse=True)[:limit]]

    def doc_counts(self, tokens: Iterable[str]) -> Mapping[str, int]:
        return {token: len(self._holding.get(token, ())) for token in tokens}
