"""The search index on SQLite and on PostgreSQL: written, proposed, counted, dropped, in the caller's transaction."""

import re
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import sqlalchemy as sa
from sqlmodel import Session

from server.matching.index import VERSION, pairs_of, row_of, tokens_of
from server.matching.match import match
from server.matching.reading_text import read_facts
from server.storage.engine import Store, make_engine
from server.storage.search_index import (
    Scope,
    SearchIndex,
    check,
    create_sql,
    drop,
    drop_sql,
    keep_counts,
    put,
    rebuild,
    refresh_counts,
    set_open,
    stale_subjects,
)

NEEDS = {
    1: "Grommet, rubber | panel hole 3/16 in",
    2: "Grommet, rubber | panel hole 1/4 in",
    3: "Split pin, steel | 1/16 in x 1 in",
    4: "Turnbuckle, fork and eye, 5/32 in cable",
}


def _save(session: Session, kind: str, number: int, text: str, **more: object) -> None:
    facts = read_facts(text)
    put(session, kind, number, tokens_of(facts), row_of(facts), shown=text, **more)  # type: ignore[arg-type]


@pytest.fixture
def filled(store: Store) -> Store:
    with store.write() as session:
        for number, text in NEEDS.items():
            _save(session, "need", number, text, aeroplane_id=1 + number % 2, part_class="pin" if number == 3 else "")
        _save(session, "find", 1, "box of rubber grommets for 3/16 hole")
    return store


def _ids(session: Session, scope: Scope, groups: list[list[str]], limit: int = 10) -> set[int]:
    return {one[0] for one in SearchIndex(session, scope).propose(groups, limit)}


def test_rows_are_proposed_where_every_group_is_met(filled: Store) -> None:
    with filled.read() as session:
        need = Scope("need")
        assert _ids(session, need, [["tgrommet"]]) == {1, 2}
        assert _ids(session, need, [["tgrommet", "tcotterpin"]]) == {1, 2, 3}
        assert _ids(session, need, [["tgrommet"], ["msteel"]]) == set()
        assert _ids(session, need, [["tgrommet"]], limit=1) < {1, 2}
        assert _ids(session, need, [[]]) == set()


def test_a_scope_shows_its_own_rows_only(filled: Store) -> None:
    with filled.read() as session:
        assert _ids(session, Scope("find"), [["tgrommet"]]) == {1}
        assert _ids(session, Scope("need", aeroplane_id=1), [["tgrommet"]]) == {2}
        assert _ids(session, Scope("need", part_class="pin"), [["tgrommet", "tcotterpin"]]) == {3}
        assert SearchIndex(session, Scope("need")).size() == len(NEEDS)
        assert SearchIndex(session, Scope("need")).size(2) > 2


def test_a_saved_need_is_found_before_the_commit_and_gone_after_a_rollback(filled: Store) -> None:
    with Session(filled.engine) as session:
        _save(session, "need", 9, "Turnbuckle, brass")
        assert 9 in _ids(session, Scope("need"), [["tturnbuckle"]])
        session.rollback()
    with filled.read() as session:
        assert _ids(session, Scope("need"), [["tturnbuckle"]]) == {4}


def test_a_row_is_written_over_closed_and_dropped(filled: Store) -> None:
    with filled.write() as session:
        _save(session, "need", 1, "Cowl screw, 2 BA")
        set_open(session, "need", 2, is_open=False)
        drop(session, "need", 3)
        drop(session, "need", 777)
    with filled.write() as session:
        assert _ids(session, Scope("need"), [["tgrommet"]]) == set()
        assert _ids(session, Scope("need", open_only=False), [["tgrommet"]]) == {2}
        assert _ids(session, Scope("need"), [["tscrew"]]) == {1}
        assert _ids(session, Scope("need"), [["tcotterpin"]]) == set()
        check(session)


def test_counts_tell_how_rare_a_token_is(filled: Store) -> None:
    with filled.write() as session:
        refresh_counts(session)
        counts = SearchIndex(session, Scope("need")).doc_counts(["tgrommet", "tturnbuckle", "tnothing", "tgrommet"])
    assert counts.get("tgrommet") == 3  # two needs and a find
    assert counts.get("tturnbuckle") == 1
    assert not counts.get("tnothing")


def test_sqlite_counts_as_it_writes(sqlite_store: Store) -> None:
    """The counts that the triggers keep are those of the full-text index's own list of words."""
    with sqlite_store.write() as session:
        for number, text in NEEDS.items():
            _save(session, "need", number, text)
    with sqlite_store.write() as session:
        _save(session, "need", 1, "Cowl screw, 2 BA")
        _save(session, "need", 2, NEEDS[2])
        put(session, "need", 4, [], row_of(read_facts("")))
        drop(session, "need", 3)
    with Session(sqlite_store.engine) as session:
        _save(session, "need", 9, "Turnbuckle, brass")
        session.rollback()

    def counted(session: Session) -> tuple[dict[str, int], dict[str, int]]:
        kept = session.execute(sa.text("SELECT token, docs FROM search_count WHERE docs > 0"))
        words = session.execute(sa.text("SELECT term, doc FROM search_vocab"))
        return {one[0]: one[1] for one in kept}, {one[0]: one[1] for one in words}

    with sqlite_store.write() as session:
        kept, words = counted(session)
        assert kept == words
        assert kept["tgrommet"] == 1
        rebuild(session)
        assert counted(session) == (words, words)


def test_pairs_propose_and_are_no_words(filled: Store) -> None:
    facts = read_facts("Turnbuckle, brass, 5/32 in cable")
    pairs = pairs_of(facts)
    with filled.write() as session:
        put(session, "need", 9, tokens_of(facts), row_of(facts), pairs=pairs)
        index = SearchIndex(session, Scope("need"))
        assert [one[0] for one in index.propose([pairs[:1]], 10)] == [9]
        assert set(index.propose([pairs[:1]], 10)[0][1].split()).isdisjoint(pairs)
        put(session, "need", 9, tokens_of(facts), row_of(facts))
        assert index.propose([pairs[:1]], 10) == []


def test_the_migrations_make_the_same_index(sqlite_store: Store, tmp_path: Path) -> None:
    by_hand = make_engine(f"sqlite:///{tmp_path / 'by-hand.sqlite3'}")
    with by_hand.begin() as connection:
        for statement in create_sql("sqlite"):
            connection.execute(sa.text(statement))

    def made(engine: sa.Engine) -> dict[str, set[str]]:
        asked = "SELECT name, sql FROM sqlite_master WHERE name LIKE 'search_%' AND sql IS NOT NULL"
        with engine.connect() as connection:
            # a column that was added later stands last
            return {one[0]: set(re.split(r"[\s,()]+", one[1])) for one in connection.exec_driver_sql(asked)}

    assert made(sqlite_store.engine) == made(by_hand)
    by_hand.dispose()


def test_counting_anew_forgets_what_is_gone(filled: Store) -> None:
    with filled.write() as session:
        refresh_counts(session)
        drop(session, "find", 1)
        refresh_counts(session)
    with filled.read() as session:
        assert SearchIndex(session, Scope("need")).doc_counts(["tgrommet"]) == {"tgrommet": 2}


def test_a_register_that_grows_by_single_records_knows_its_words(store: Store) -> None:
    """Nothing was imported and nothing started anew; on PostgreSQL the counts may be a quarter behind."""
    for number in range(140):
        with store.write() as session:
            _save(session, "need", number, f"Grommet, rubber, number {number}")
            keep_counts(session)
    with store.read() as session:
        counts = SearchIndex(session, Scope("need")).doc_counts(["tgrommet"])
    assert 100 <= counts["tgrommet"] <= 140


def test_two_may_count_at_the_same_time(filled: Store) -> None:
    """Import and reading anew may end together; on PostgreSQL both would enter the same tokens."""

    def count() -> None:
        with filled.write() as session:
            refresh_counts(session)

    with ThreadPoolExecutor(4) as four:
        for done in [four.submit(count) for _ in range(12)]:
            done.result(timeout=60)
    with filled.read() as session:
        assert SearchIndex(session, Scope("need")).doc_counts(["tgrommet"]) == {"tgrommet": 3}


@pytest.mark.parametrize("token", ['a"b', "o'neill", "x) OR (y", "\\", "&|!", "NEAR(a b)", "*", "-", ":", "%"])
def test_signs_of_the_query_language_do_no_harm(filled: Store, token: str) -> None:
    with filled.read() as session:
        assert _ids(session, Scope("need"), [[token]]) == set()
        SearchIndex(session, Scope("need")).doc_counts([token])


def test_a_row_of_another_version_is_named_for_reading_anew(filled: Store) -> None:
    with filled.write() as session:
        assert stale_subjects(session, VERSION) == []
        put(session, "need", 2, ["tgrommet"], bytes([VERSION + 1, 0]))
        assert list(stale_subjects(session, VERSION)) == [("need", 2)]
        found = match(read_facts("grommet"), SearchIndex(session, Scope("need")))
        assert found.stale == 1
        assert 2 not in {hit.id for hit in found.hits}


def test_the_index_can_be_made_anew_and_checked(filled: Store) -> None:
    with filled.write() as session:
        rebuild(session)
        check(session)
        assert _ids(session, Scope("need"), [["tgrommet"]]) == {1, 2}


def test_sqlite_notices_a_row_that_was_changed_behind_the_triggers(sqlite_store: Store) -> None:
    with sqlite_store.write() as session:
        _save(session, "need", 1, NEEDS[1])
    with sqlite_store.write() as session:
        session.execute(sa.text("DROP TRIGGER search_row_update"))
        session.execute(sa.text("UPDATE search_row SET tokens = 'tother'"))
        with pytest.raises(sa.exc.DatabaseError):
            check(session)


def test_a_find_meets_its_need_end_to_end(filled: Store) -> None:
    with filled.read() as session:
        found = match(read_facts("3/16 geommet"), SearchIndex(session, Scope("need")))
        back = match(read_facts(NEEDS[1]), SearchIndex(session, Scope("find")))
    assert found.hits[0].id == 1
    assert back.hits[0].id == 1


def test_an_unknown_dialect_is_refused() -> None:
    for statements in (create_sql, drop_sql):
        with pytest.raises(ValueError, match="oracle"):
            statements("oracle")
