"""A register in memory, for trying the matching without a database."""

import csv
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
        self._rows: list[tuple[int, str, bytes]] = []
        self._proposed_by: dict[int, set[str]] = {}
        for number, said in texts.items():
            text, known = said if isinstance(said, tuple) else (said, None)
            facts = read_facts(text, structured=known)
            self._rows.append((number, " ".join(tokens_of(facts)), row_of(facts)))
            self._proposed_by[number] = {*tokens_of(facts), *pairs_of(facts)}
        self.asked: list[list[list[str]]] = []

    def size(self, most: int) -> int:
        return len(self._rows)

    def rows(self) -> Sequence[tuple[int, str, bytes]]:
        return self._rows

    def propose(self, groups: list[list[str]], limit: int) -> Sequence[tuple[int, str, bytes]]:
        self.asked.append(groups)
        found = [row for row in self._rows if all(set(group) & self._proposed_by[row[0]] for group in groups)]
        return found[:limit]

    def doc_counts(self, tokens: Iterable[str]) -> Mapping[str, int]:
        said = [set(row[1].split()) for row in self._rows]
        return {token: sum(token in one for one in said) for token in tokens}
