"""Recall and speed of the matching on an invented register, beside plain full-text search and trigrams in the same run.

    python -m tests.bench matching                 10^3, 10^4 and 10^5 needs on SQLite
    python -m tests.bench matching --million       10^6 too
    python -m tests.bench matching --sizes 1000
    python -m tests.bench matching --postgres postgresql://user@host/database

The PostgreSQL database is filled and emptied. Right answers are all needs that
agree with every fact the find states, so equal needs are no mistakes. Time is
wall time of the search with the reading of the find; "processor" is what this
process itself worked, and on PostgreSQL the server beside it where the system
tells: steadier on a busy machine, and what the ratios are made of. Memory is
what this process holds besides files, before the first search and after the last.

From 20,000 needs on most are read and written in bulk; what saving one costs is
measured on the last thousand, each in a transaction of its own. "Best speed" is
a fixed piece of work, timed at its quickest and as it ran between the searches:
how much of its speed the machine had to give.
"""

import argparse
import gc
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy import Connection, text

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from server.matching.folding import words_of
from server.matching.index import pairs_of, row_of, tokens_of
from server.matching.match import match
from server.matching.reading_text import read_facts
from server.storage.engine import make_engine
from server.storage.search_index import Scope, SearchIndex, create_sql, drop_sql, put, refresh_counts
from tests.matching.synthetic import SyntheticFind, SyntheticNeed, finds, needs

SAVED_ONE_BY_ONE = 1_000
BULK = 20_000
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
        connection.commit()
        started = time.perf_counter()
        cut = len(known) - SAVED_ONE_BY_ONE if len(known) >= BULK else 0
        _write_many(connection, iter(known[:cut]))
        refresh_counts(connection)
        connection.commit()
        filled = time.perf_counter() - started
        _save_each(connection, known[cut:])
        refresh_counts(connection)
        connection.commit()
        _say(f"  {dialect}: {cut:,} read and written in bulk in {filled:.0f} s, the others one by one")
        yield connection
        connection.rollback()
        for statement in drop_sql(dialect):
            connection.execute(text(statement))
        connection.commit()


def _write_many(connection: Connection, known: Iterator[SyntheticNeed]) -> None:
    statement = text(
        "INSERT INTO search_row (kind, subject_id, tokens, pairs, row, text) VALUES ('need', :i, :t, :p, :r, :s)"
    )
    while some := list(islice(known, 5_000)):
        rows = []
        for need in some:
            facts = read_facts(need.text)
            said, pairs = " ".join(tokens_of(facts)), " ".join(pairs_of(facts))
            rows.append({"i": need.number, "t": said, "p": pairs, "r": row_of(facts), "s": need.text})
        connection.execute(statement, rows)
        connection.commit()


def _save_each(connection: Connection, known: Iterable[SyntheticNeed]) -> None:
    times: list[float] = []
    work: list[float] = []
    for need in known:
        at, worked = time.perf_counter(), time.thread_time()
        facts = read_facts(need.text)
        put(connection, "need", need.number, tokens_of(facts), row_of(facts), pairs=pairs_of(facts), shown=need.text)
        connection.commit()
        times.append(time.perf_counter() - at)
        work.append(time.thread_time() - worked)
    _say(
        f"  saving one need, reading, index and commit: p50 {statistics.median(times) * 1e3:.2f} ms"
        f"  p95 {_p95(times) * 1e3:.2f} ms  processor p50 {statistics.median(work) * 1e3:.2f}"
        f" p95 {_p95(work) * 1e3:.2f} ms"
    )


def _p95(values: Sequence[float]) -> float:
    return sorted(values)[int(len(values) * 0.95)]


def _megabytes() -> float:
    """What this process holds besides files, in MB."""
    said = Path("/proc/self/status").read_text(encoding="ascii")
    return next(int(line.split()[1]) for line in said.splitlines() if line.startswith("RssAnon")) / 1024


_FIXED = [" ".join(f"t{number * 7919 % 9973}" for number in range(row, row + 25)) for row in range(100)]


def _fixed_work() -> float:
    at = time.thread_time()
    for row in _FIXED:
        frozenset(row.split())
    return time.thread_time() - at


def _server_work(connection: Connection) -> Callable[[], float]:
    """Seconds the PostgreSQL server worked for this connection so far; 0 where that can't be seen from here."""
    if connection.dialect.name != "postgresql":
        return lambda: 0.0
    path = Path(f"/proc/{connection.exec_driver_sql('SELECT pg_backend_pid()').scalar_one()}/schedstat")
    return lambda: int(path.read_text(encoding="ascii").split()[0]) / 1e9 if path.exists() else 0.0


def _measure(
    name: str,
    search: Search,
    asked: list[SyntheticFind],
    known: list[SyntheticNeed],
    worked_elsewhere: Callable[[], float] = lambda: 0.0,
) -> float:
    """Measures and says; the p95 of the processor's work in seconds."""
    by_number = {need.number: need for need in known}
    times: list[float] = []
    work: list[float] = []
    fixed: list[float] = []
    first = five = ten = 0
    for find in asked:
        fixed.append(_fixed_work())
        elsewhere, at, worked = worked_elsewhere(), time.perf_counter(), time.thread_time()
        found = search(find)
        times.append(time.perf_counter() - at)
        work.append(time.thread_time() - worked + worked_elsewhere() - elsewhere)
        right = [find.is_right(by_number[number]) for number in found[:10]]
        first += any(right[:1])
        five += any(right[:5])
        ten += any(right)
    count = len(asked)
    _say(
        f"  {name:<34} R@1 {first / count:.3f}  R@5 {five / count:.3f}  R@10 {ten / count:.3f}"
        f"  p50 {statistics.median(times) * 1e3:7.2f} ms  p95 {_p95(times) * 1e3:7.2f} ms"
        f"  processor p50 {statistics.median(work) * 1e3:6.2f} p95 {_p95(work) * 1e3:6.2f} ms"
        f"  (the machine at {min(fixed) / statistics.median(fixed):.0%} of its best speed)"
    )
    return _p95(work)


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
            connection.rollback()
            gc.collect()
            before = _megabytes()
            ours = _measure("ours on SQLite", _ours(connection), asked, known)
            _say(f"  memory: {before:.0f} MB before the searches, {_megabytes() - before:.1f} MB more after them")
            rows = [{"i": need.number, "t": need.text} for need in known]
            few = asked if len(known) <= 10_000 else asked[:60] if len(known) <= 100_000 else asked[:40]
            for table, tokenizer, ask in (("plain_fts", "unicode61", _words), ("trigram_fts", "trigram", _trigrams)):
                connection.execute(text(f"CREATE VIRTUAL TABLE {table} USING fts5(t, tokenize='{tokenizer}')"))
                connection.execute(text(f"INSERT INTO {table} (rowid, t) VALUES (:i, :t)"), rows)
                theirs = _measure(f"FTS5 {tokenizer}, any word, bm25", _plain(connection, table, ask), few, known)
                _say(f"  {'':<34} ours at p95 is {theirs / ours:.1f} times as fast")
                connection.execute(text(f"DROP TABLE {table}"))
            connection.commit()
        engine.dispose()


_BESIDE_ON_POSTGRES = (
    (
        "tsvector, any word, ts_rank",
        "CREATE INDEX plain_text ON plain USING gin (to_tsvector('simple', t))",
        """SELECT i FROM plain WHERE to_tsvector('simple', t) @@ CAST(%s AS tsquery)
        ORDER BY ts_rank(to_tsvector('simple', t), CAST(%s AS tsquery)) DESC LIMIT 10""",
    ),
    (
        "pg_trgm, similarity over 0.3",
        "CREATE INDEX plain_trigrams ON plain USING gin (t gin_trgm_ops)",
        "SELECT i FROM plain WHERE t %% %s ORDER BY similarity(t, %s) DESC LIMIT 10",
    ),
)


def _postgres(url: str, known: list[SyntheticNeed], asked: list[SyntheticFind]) -> None:
    engine = make_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with _filled(engine, known) as connection:
        worked = _server_work(connection)
        ours = _measure("ours on PostgreSQL", _ours(connection), asked, known, worked)
        connection.exec_driver_sql("CREATE EXTENSION IF NOT EXISTS pg_trgm")
        connection.exec_driver_sql("CREATE TABLE plain (i BIGINT PRIMARY KEY, t TEXT NOT NULL)")
        rows = [{"i": need.number, "t": need.text} for need in known]
        connection.execute(text("INSERT INTO plain (i, t) VALUES (:i, :t)"), rows)
        few = asked if len(known) <= 10_000 else asked[:60] if len(known) <= 100_000 else asked[:40]
        for name, index, statement in _BESIDE_ON_POSTGRES:
            connection.exec_driver_sql(index)
            connection.exec_driver_sql("ANALYZE plain")
            ask = _either if "tsquery" in statement else str
            theirs = _measure(name, _plain_postgres(connection, statement, ask), few, known, worked)
            _say(f"  {'':<34} ours at p95 is {theirs / ours:.1f} times as fast")
        connection.exec_driver_sql("DROP TABLE plain")
        connection.commit()
    engine.dispose()


def _either(said: str) -> str:
    return " | ".join(dict.fromkeys(word for word, _, _ in words_of(said)))


def _plain_postgres(connection: Connection, statement: str, ask: Callable[[str], str]) -> Search:
    def search(find: SyntheticFind) -> list[int]:
        question = ask(find.text)
        return [one[0] for one in connection.exec_driver_sql(statement, (question, question))]

    return search


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
