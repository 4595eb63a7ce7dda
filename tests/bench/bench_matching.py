"""Recall and speed of the matching on an invented register, beside plain full-text search in the same run.

    python tests/bench/bench_matching.py                 10^3, 10^4 and 10^5 needs on SQLite
    python tests/bench/bench_matching.py --million       10^6 too
    python tests/bench/bench_matching.py --sizes 1000
    python tests/bench/bench_matching.py --postgres postgresql://user@host/database

The PostgreSQL database is filled and emptied. Right answers are all needs that
agree with every fact the find states, so equal needs are no mistakes. Time is
wall time of the search with the reading of the find; "processor" is what this
process itself worked, steadier on a busy machine (a database server's own work
is not in it).
"""

import argparse
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy import Connection, text

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from server.matching.folding import words_of
from server.matching.index import row_of, tokens_of
from server.matching.match import match
from server.matching.reading_text import read_facts
from server.storage.engine import make_engine
from server.storage.search_index import Scope, SearchIndex, create_sql, drop_sql, put, refresh_counts
from tests.matching.synthetic import SyntheticFind, SyntheticNeed, finds, needs

Search = Callable[[SyntheticFind], Sequence[int]]


def _say(line: str) -> None:
    sys.stdout.write(line + "\n")
    sys.stdout.flush()


@contextmanager
def _filled(engine: sa.Engine, known: list[SyntheticNeed]) -> Iterator[Connection]:
    dialect = engine.dialect.name
    with engine.connect() as connection:
        for statement in create_sql(dialect):
            connection.execute(text(statement))
        started = time.perf_counter()
        reading = 0.0
        writes: list[float] = []
        for need in known:
            at = time.perf_counter()
            facts = read_facts(need.text)
            tokens, row = tokens_of(facts), row_of(facts)
            read = time.perf_counter()
            put(connection, "need", need.number, tokens, row, shown=need.text)
            reading += read - at
            writes.append(time.perf_counter() - read)
        refresh_counts(connection)
        connection.commit()
        _say(
            f"  {dialect}: built in {time.perf_counter() - started:.1f} s; a need: reading"
            f" {reading / len(known) * 1e6:.0f} µs, row p50 {statistics.median(writes) * 1e6:.0f} µs"
            f" p95 {_p95(writes) * 1e6:.0f} µs"
        )
        yield connection
        connection.rollback()
        for statement in drop_sql(dialect):
            connection.execute(text(statement))
        connection.commit()


def _p95(values: Sequence[float]) -> float:
    return sorted(values)[int(len(values) * 0.95)]


def _measure(name: str, search: Search, asked: list[SyntheticFind], known: list[SyntheticNeed]) -> None:
    by_number = {need.number: need for need in known}
    times: list[float] = []
    work: list[float] = []
    first = five = ten = 0
    for find in asked:
        at, worked = time.perf_counter(), time.thread_time()
        found = search(find)
        times.append(time.perf_counter() - at)
        work.append(time.thread_time() - worked)
        right = [find.is_right(by_number[number]) for number in found[:10]]
        first += any(right[:1])
        five += any(right[:5])
        ten += any(right)
    count = len(asked)
    _say(
        f"  {name:<34} R@1 {first / count:.3f}  R@5 {five / count:.3f}  R@10 {ten / count:.3f}"
        f"  p50 {statistics.median(times) * 1e3:7.2f} ms  p95 {_p95(times) * 1e3:7.2f} ms"
        f"  processor p50 {statistics.median(work) * 1e3:6.2f} p95 {_p95(work) * 1e3:6.2f} ms"
    )


def _ours(connection: Connection) -> Search:
    index = SearchIndex(connection, Scope("need"))

    def search(find: SyntheticFind) -> list[int]:
        return [hit.id for hit in match(read_facts(find.text), index).hits]

    return search


def _plain(connection: Connection, table: str, ask: Callable[[str], str]) -> Search:
    statement = text(f"SELECT rowid FROM {table} WHERE {table} MATCH :q ORDER BY rank LIMIT 10")

    def search(find: SyntheticFind) -> list[int]:
        question = ask(find.text)
        return [one[0] for one in connection.execute(statement, {"q": question})] if question else []

    return search


def _words(said: str) -> str:
    return " OR ".join(f'"{word}"' for word in dict.fromkeys(word for word, _, _ in words_of(said)))


def _trigrams(said: str) -> str:
    low = said.lower().replace('"', "")
    return " OR ".join(f'"{one}"' for one in dict.fromkeys(low[at : at + 3] for at in range(len(low) - 2)))


def _sqlite(known: list[SyntheticNeed], asked: list[SyntheticFind]) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.sqlite3"
        engine = make_engine(f"sqlite:///{path}")
        with _filled(engine, known) as connection:
            connection.execute(text("PRAGMA wal_checkpoint(TRUNCATE)"))
            _say(f"  file {path.stat().st_size / len(known):.0f} bytes a need, text included")
            _measure("ours on SQLite", _ours(connection), asked, known)
            rows = [{"i": need.number, "t": need.text} for need in known]
            for table, tokenizer, ask, some in (
                ("plain_fts", "unicode61", _words, asked),
                ("trigram_fts", "trigram", _trigrams, asked[: 200 if len(known) <= 10_000 else 60]),
            ):
                connection.execute(text(f"CREATE VIRTUAL TABLE {table} USING fts5(t, tokenize='{tokenizer}')"))
                connection.execute(text(f"INSERT INTO {table} (rowid, t) VALUES (:i, :t)"), rows)
                few = some if len(known) <= 100_000 else some[:40]
                _measure(f"FTS5 {tokenizer}, any word, bm25", _plain(connection, table, ask), few, known)
                connection.execute(text(f"DROP TABLE {table}"))
            connection.commit()
        engine.dispose()


def _postgres(url: str, known: list[SyntheticNeed], asked: list[SyntheticFind]) -> None:
    engine = make_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with _filled(engine, known) as connection:
        _measure("ours on PostgreSQL", _ours(connection), asked, known)
    engine.dispose()


def main() -> None:
    """Measures and prints."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sizes", type=int, nargs="+", default=[1_000, 10_000, 100_000])
    parser.add_argument("--million", action="store_true")
    parser.add_argument("--queries", type=int, default=300)
    parser.add_argument("--postgres", default="")
    given = parser.parse_args()
    read_facts("warm")
    for size in [*given.sizes, *([1_000_000] if given.million else [])]:
        known = needs(size)
        asked = list(finds(known, given.queries))
        _say(f"{size:,} needs, {len(asked)} finds")
        times = []
        for find in asked:
            at = time.perf_counter()
            read_facts(find.text)
            times.append(time.perf_counter() - at)
        _say(f"  reading a find: p50 {statistics.median(times) * 1e3:.2f} ms  p95 {_p95(times) * 1e3:.2f} ms")
        _sqlite(known, asked)
        if given.postgres:
            _postgres(given.postgres, known, asked)


if __name__ == "__main__":
    main()
