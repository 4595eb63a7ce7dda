"""search pairs and counts: a part class and a size in one token; SQLite too counts in a table how many rows hold a token

Revision: 0009
After: 0008

Pairs are empty until the records are read anew, which `makegood upgrade` does after it.

House rule: a migration is never edited once it has landed; text, not enum types;
rows already there must survive it (the tests upgrade a register with rows in it).
"""

from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

INDEXES = (
    "DROP INDEX search_row_scope",
    "CREATE INDEX search_row_class ON search_row (kind, is_open, part_class)",
    "CREATE INDEX search_row_aeroplane ON search_row (kind, is_open, aeroplane_id)",
)
SQLITE = (
    "DROP TRIGGER search_row_insert",
    "DROP TRIGGER search_row_delete",
    "DROP TRIGGER search_row_update",
    "DROP TABLE search_vocab",
    "DROP TABLE search_fts",
    "ALTER TABLE search_row ADD COLUMN pairs TEXT NOT NULL DEFAULT ''",
    """CREATE VIRTUAL TABLE search_fts USING fts5(
        tokens, pairs, content='search_row', content_rowid='id', detail=none, columnsize=0,
        tokenize='unicode61 remove_diacritics 0')""",
    "CREATE VIRTUAL TABLE search_vocab USING fts5vocab('search_fts', 'row')",
    "INSERT INTO search_fts (search_fts) VALUES ('rebuild')",
    "CREATE TABLE search_count (token TEXT PRIMARY KEY, docs INTEGER NOT NULL) WITHOUT ROWID",
    """INSERT INTO search_count (token, docs)
        SELECT value, count(*) FROM search_row, json_each('["' || replace(tokens, ' ', '","') || '"]')
        WHERE tokens <> '' GROUP BY value""",
    """CREATE TRIGGER search_row_insert AFTER INSERT ON search_row BEGIN
        INSERT INTO search_fts (rowid, tokens, pairs) VALUES (new.id, new.tokens, new.pairs); END""",
    """CREATE TRIGGER search_row_delete AFTER DELETE ON search_row BEGIN
        INSERT INTO search_fts (search_fts, rowid, tokens, pairs)
        VALUES ('delete', old.id, old.tokens, old.pairs); END""",
    """CREATE TRIGGER search_row_update AFTER UPDATE OF tokens, pairs ON search_row
        WHEN old.tokens <> new.tokens OR old.pairs <> new.pairs BEGIN
        INSERT INTO search_fts (search_fts, rowid, tokens, pairs)
        VALUES ('delete', old.id, old.tokens, old.pairs);
        INSERT INTO search_fts (rowid, tokens, pairs) VALUES (new.id, new.tokens, new.pairs); END""",
    # tokens are letters and digits only, so a list of them becomes JSON by its blanks alone
    """CREATE TRIGGER search_count_insert AFTER INSERT ON search_row WHEN new.tokens <> '' BEGIN
        INSERT INTO search_count (token, docs)
        SELECT value, 1 FROM json_each('["' || replace(new.tokens, ' ', '","') || '"]') WHERE true
        ON CONFLICT (token) DO UPDATE SET docs = docs + 1; END""",
    """CREATE TRIGGER search_count_delete AFTER DELETE ON search_row BEGIN
        UPDATE search_count SET docs = docs - 1
        WHERE token IN (SELECT value FROM json_each('["' || replace(old.tokens, ' ', '","') || '"]')); END""",
    """CREATE TRIGGER search_count_update AFTER UPDATE OF tokens ON search_row WHEN old.tokens <> new.tokens BEGIN
        UPDATE search_count SET docs = docs - 1
        WHERE token IN (SELECT value FROM json_each('["' || replace(old.tokens, ' ', '","') || '"]'));
        INSERT INTO search_count (token, docs)
        SELECT value, 1 FROM json_each('["' || replace(new.tokens, ' ', '","') || '"]') WHERE new.tokens <> ''
        ON CONFLICT (token) DO UPDATE SET docs = docs + 1; END""",
)
POSTGRES = (
    "DROP INDEX search_fts",
    "ALTER TABLE search_row DROP COLUMN vector",
    "ALTER TABLE search_row ADD COLUMN pairs TEXT NOT NULL DEFAULT ''",
    """ALTER TABLE search_row ADD COLUMN vector TSVECTOR GENERATED ALWAYS AS
        (array_to_tsvector(string_to_array(rtrim(tokens || ' ' || pairs), ' '))) STORED""",
    "CREATE INDEX search_fts ON search_row USING gin (vector) WITH (gin_pending_list_limit = 64)",
)
INDEXES_BEFORE = (
    "DROP INDEX search_row_aeroplane",
    "DROP INDEX search_row_class",
    "CREATE INDEX search_row_scope ON search_row (kind, is_open)",
)
SQLITE_BEFORE = (
    "DROP TRIGGER search_count_update",
    "DROP TRIGGER search_count_delete",
    "DROP TRIGGER search_count_insert",
    "DROP TRIGGER search_row_update",
    "DROP TRIGGER search_row_delete",
    "DROP TRIGGER search_row_insert",
    "DROP TABLE search_count",
    "DROP TABLE search_vocab",
    "DROP TABLE search_fts",
    "ALTER TABLE search_row DROP COLUMN pairs",
    """CREATE VIRTUAL TABLE search_fts USING fts5(
        tokens, content='search_row', content_rowid='id', detail=none, columnsize=0,
        tokenize='unicode61 remove_diacritics 0')""",
    "CREATE VIRTUAL TABLE search_vocab USING fts5vocab('search_fts', 'row')",
    "INSERT INTO search_fts (search_fts) VALUES ('rebuild')",
    """CREATE TRIGGER search_row_insert AFTER INSERT ON search_row BEGIN
        INSERT INTO search_fts (rowid, tokens) VALUES (new.id, new.tokens); END""",
    """CREATE TRIGGER search_row_delete AFTER DELETE ON search_row BEGIN
        INSERT INTO search_fts (search_fts, rowid, tokens) VALUES ('delete', old.id, old.tokens); END""",
    """CREATE TRIGGER search_row_update AFTER UPDATE OF tokens ON search_row BEGIN
        INSERT INTO search_fts (search_fts, rowid, tokens) VALUES ('delete', old.id, old.tokens);
        INSERT INTO search_fts (rowid, tokens) VALUES (new.id, new.tokens); END""",
)
POSTGRES_BEFORE = (
    "DROP INDEX search_fts",
    "ALTER TABLE search_row DROP COLUMN vector",
    "ALTER TABLE search_row DROP COLUMN pairs",
    """ALTER TABLE search_row ADD COLUMN vector TSVECTOR
        GENERATED ALWAYS AS (array_to_tsvector(string_to_array(tokens, ' '))) STORED""",
    "CREATE INDEX search_fts ON search_row USING gin (vector) WITH (gin_pending_list_limit = 64)",
)


def upgrade() -> None:
    """Make room for the pairs, and count what stands in the index."""
    is_sqlite = op.get_bind().dialect.name == "sqlite"
    for statement in (*INDEXES, *(SQLITE if is_sqlite else POSTGRES)):
        op.execute(statement)


def downgrade() -> None:
    """Take both away; the rows stay."""
    is_sqlite = op.get_bind().dialect.name == "sqlite"
    for statement in (*(SQLITE_BEFORE if is_sqlite else POSTGRES_BEFORE), *INDEXES_BEFORE):
        op.execute(statement)
