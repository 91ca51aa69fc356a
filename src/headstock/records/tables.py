"""The tables: entries, the words by which they are found, and the head of the chain. Migrations make them."""

from __future__ import annotations

from typing import Final

from sqlalchemy import BigInteger, Column, Index, Integer, MetaData, Table, Text, text

METADATA: Final = MetaData()
PLAIN: Final = Text().with_variant(Text(collation="C"), "postgresql")
"""Text in the order of its signs, not of a language."""
NO_TRACE: Final = text("kind <> 'audit'")
"""Entries but those of who saw or did what."""
NUMBER: Final = BigInteger().with_variant(Integer, "sqlite")

ENTRY: Final = Table(
    "entry", METADATA,
    Column("seq", NUMBER, primary_key=True, autoincrement=False),
    Column("key", PLAIN, nullable=False, unique=True),
    Column("kind", PLAIN, nullable=False),
    Column("at", PLAIN, nullable=False),
    Column("code", PLAIN, nullable=False, index=True),
    Column("hash", PLAIN, nullable=False),
    Column("signature", PLAIN, nullable=False),
    Column("text", PLAIN, nullable=False),
    Index("ix_entry_at", "at"),
    Index("ix_entry_no_trace", "seq", sqlite_where=NO_TRACE, postgresql_where=NO_TRACE),
)  # fmt: skip
"""``text`` is the entry; other columns repeat it for finding, but for hash and signature (hex; "" inside a batch)."""
MENTION: Final = Table(
    "mention", METADATA,
    Column("term", PLAIN, primary_key=True),
    Column("seq", NUMBER, primary_key=True, autoincrement=False),
    sqlite_with_rowid=False,
)  # fmt: skip
HEAD: Final = Table(
    "head", METADATA,
    Column("one", Integer, primary_key=True, autoincrement=False),
    Column("seq", NUMBER, nullable=False),
    Column("hash", PLAIN, nullable=False),
    Column("signature", PLAIN, nullable=False),
)  # fmt: skip
ACCOUNT: Final = Table(
    "account", METADATA,
    Column("name", PLAIN, primary_key=True),
    Column("person", PLAIN, nullable=False),
    Column("role", PLAIN, nullable=False),
    Column("password_hash", PLAIN, nullable=False),
    Column("is_locked", Integer, nullable=False),
)  # fmt: skip
SESSION: Final = Table(
    "session", METADATA,
    Column("token_hash", PLAIN, primary_key=True),
    Column("account", PLAIN, nullable=False, index=True),
    Column("began_s", NUMBER, nullable=False),
    Column("seen_s", NUMBER, nullable=False),
)  # fmt: skip
ATTEMPT: Final = Table(
    "attempt", METADATA,
    Column("bucket", PLAIN, primary_key=True),
    Column("failures", Integer, nullable=False),
    Column("last_s", NUMBER, nullable=False),
    Column("until_s", NUMBER, nullable=False),
)  # fmt: skip
