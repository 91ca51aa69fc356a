"""Accounts, sessions, tries at signing in; an index of entries without traces of who saw what."""

from __future__ import annotations

from alembic import op
from sqlalchemy import BigInteger, Column, Integer, Text, text

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None

PLAIN = Text().with_variant(Text(collation="C"), "postgresql")
NUMBER = BigInteger().with_variant(Integer, "sqlite")


def upgrade() -> None:
    """Add to what 0001 made."""
    op.create_table(
        "account", Column("name", PLAIN, primary_key=True),
        *(Column(name, PLAIN, nullable=False) for name in ("person", "role", "password_hash")),
        Column("is_locked", Integer, nullable=False),
    )  # fmt: skip
    op.create_table(
        "session", Column("token_hash", PLAIN, primary_key=True), Column("account", PLAIN, nullable=False),
        Column("began_s", NUMBER, nullable=False), Column("seen_s", NUMBER, nullable=False),
    )  # fmt: skip
    op.create_index("ix_session_account", "session", ["account"])
    op.create_table(
        "attempt", Column("bucket", PLAIN, primary_key=True), Column("failures", Integer, nullable=False),
        Column("last_s", NUMBER, nullable=False), Column("until_s", NUMBER, nullable=False),
    )  # fmt: skip
    only = text("kind <> 'audit'")
    op.create_index("ix_entry_no_trace", "entry", ["seq"], sqlite_where=only, postgresql_where=only)
