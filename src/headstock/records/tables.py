"""The tables: entries, the words by which they are found, and the head of the chain. Migrations make them."""

from __future__ import annotations

from typing import Final

from sqlalchemy import BigInteger, Column, Index, Integer, MetaData, Table, Text

METADATA: Final = MetaData()
PLAIN: Final = Text().with_variant(Text(collation="C"), "postgresql")
"""Text in the order of its signs, not of a language."""
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
