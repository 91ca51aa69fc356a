"""Entries, words, head; triggers that let nothing be changed, deleted, or added elsewhere than at the end."""

from __future__ import annotations

from alembic import op
from sqlalchemy import BigInteger, Column, Integer, Text

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

NEVER = "entries are never changed or deleted: add a correction"
AT_END = "entries are only added at the end, each key once"
PLAIN = Text().with_variant(Text(collation="C"), "postgresql")
NUMBER = BigInteger().with_variant(Integer, "sqlite")


def upgrade() -> None:
    """Make everything."""
    op.create_table(
        "entry", Column("seq", NUMBER, primary_key=True, autoincrement=False),
        Column("key", PLAIN, nullable=False, unique=True),
        *(Column(name, PLAIN, nullable=False) for name in ("kind", "at", "code", "hash", "signature", "text")),
    )  # fmt: skip
    op.create_index("ix_entry_at", "entry", ["at"])
    op.create_index("ix_entry_code", "entry", ["code"])
    op.create_table("mention", Column("term", PLAIN, primary_key=True),
                    Column("seq", NUMBER, primary_key=True, autoincrement=False), sqlite_with_rowid=False)  # fmt: skip
    op.create_table("head", Column("one", Integer, primary_key=True, autoincrement=False), Column("seq", NUMBER, nullable=False),
                    Column("hash", PLAIN, nullable=False), Column("signature", PLAIN, nullable=False))  # fmt: skip
    op.execute("INSERT INTO head VALUES (1, 0, '', '')")
    for line in _postgresql() if op.get_bind().dialect.name == "postgresql" else _sqlite():
        op.execute(line)


def _sqlite() -> list[str]:
    lines = [f"CREATE TRIGGER {table}_no_{act.lower()} BEFORE {act} ON {table} BEGIN SELECT RAISE(ABORT, '{NEVER}'); END"
             for table, act in (("entry", "UPDATE"), ("entry", "DELETE"), ("mention", "UPDATE"), ("mention", "DELETE"),
                                ("head", "DELETE"), ("head", "INSERT"))]  # fmt: skip
    return [
        *lines,
        "CREATE TRIGGER head_forward BEFORE UPDATE ON head WHEN NEW.seq <> OLD.seq + 1 OR NEW.one <> 1 "
        f"BEGIN SELECT RAISE(ABORT, '{NEVER}'); END",
        "CREATE TRIGGER entry_at_end BEFORE INSERT ON entry WHEN NEW.seq <> (SELECT seq + 1 FROM head) "
        f"OR EXISTS (SELECT 1 FROM entry WHERE key = NEW.key) BEGIN SELECT RAISE(ABORT, '{AT_END}'); END",
        "CREATE TRIGGER entry_moves_head AFTER INSERT ON entry BEGIN "
        "UPDATE head SET seq = NEW.seq, hash = NEW.hash, signature = NEW.signature; END",
    ]


def _postgresql() -> list[str]:
    never = f"BEGIN RAISE EXCEPTION '{NEVER}'; END"
    lines = [
        f"CREATE FUNCTION headstock_never() RETURNS trigger LANGUAGE plpgsql AS $$ {never} $$",
        "CREATE FUNCTION headstock_at_end() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF NEW.seq <> (SELECT seq + 1 FROM head) THEN RAISE EXCEPTION '{AT_END}'; END IF; "
        "UPDATE head SET seq = NEW.seq, hash = NEW.hash, signature = NEW.signature; RETURN NEW; END $$",
        "CREATE FUNCTION headstock_forward() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
        f"IF NEW.seq <> OLD.seq + 1 OR NEW.one <> 1 THEN RAISE EXCEPTION '{NEVER}'; END IF; RETURN NEW; END $$",
        "CREATE TRIGGER entry_at_end BEFORE INSERT ON entry FOR EACH ROW EXECUTE FUNCTION headstock_at_end()",
        "CREATE TRIGGER head_forward BEFORE UPDATE ON head FOR EACH ROW EXECUTE FUNCTION headstock_forward()",
    ]
    for table, acts in (("entry", "UPDATE OR DELETE"), ("mention", "UPDATE OR DELETE"), ("head", "DELETE OR INSERT")):
        lines.append(f"CREATE TRIGGER {table}_never BEFORE {acts} ON {table} FOR EACH ROW EXECUTE FUNCTION headstock_never()")
        lines.append(f"CREATE TRIGGER {table}_no_truncate BEFORE TRUNCATE ON {table} EXECUTE FUNCTION headstock_never()")
    return lines
