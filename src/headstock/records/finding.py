"""Searching: every word is looked up among the words of entries, which stand in their own order."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, and_, func, literal_column, select

from headstock.records.tables import ENTRY, MENTION
from headstock.usecases.records_port import Search

LAST_SIGN = "\U0010ffff"
ENOUGH = 5000
NO_SIGN = "\0"
"""PostgreSQL takes it into no column; so that records can move, neither does SQLite."""


def findable(wanted: Search) -> Search | None:
    """The same without what no column of records can hold; None where nothing can be found by it."""
    any_of = tuple(word for word in wanted.any_of if NO_SIGN not in word)
    has_it = any(NO_SIGN in word for word in (*wanted.words, wanted.kind, wanted.from_day, wanted.to_day))
    return None if has_it or (wanted.any_of and not any_of) else replace(wanted, any_of=any_of)


def rarity(connection: Connection, word: str) -> int:
    """How many entries have a word, counted so far as it matters which of two is rarer."""
    some = select(MENTION.c.seq).where(MENTION.c.term == word).limit(ENOUGH).subquery()
    return int(connection.execute(select(func.count()).select_from(some)).scalar_one())


def search_statement(
    wanted: Search, columns: tuple[ColumnElement[Any], ...], how_many: Callable[[str], int] = lambda _: 0
) -> Select[Any]:
    """The statement: entries, newest first. It begins with the rarest word: ``how_many`` have it."""
    words = [*wanted.words, *([f"kind:{wanted.kind}"] if wanted.kind else [])]
    whole = [word.casefold() for word in words if not word.endswith("*")]
    whole = sorted(whole, key=how_many) if len(whole) > 1 else whole
    begun = [word.casefold().removesuffix("*") for word in words if word.endswith("*")]
    statement, order, came_from = select(*columns), ENTRY.c.seq, None
    for word in whole:
        here = MENTION.alias()
        if came_from is None:
            statement = statement.join_from(here, ENTRY, ENTRY.c.seq == here.c.seq).where(here.c.term == word)
            order, came_from = here.c.seq, here
        else:
            statement = statement.join(here, and_(here.c.term == word, here.c.seq == came_from.c.seq))
    for word in begun:
        of_word = select(MENTION.c.seq).where(MENTION.c.term >= word, MENTION.c.term < word + LAST_SIGN)
        statement = statement.where(ENTRY.c.seq.in_(of_word))
    if wanted.any_of:
        of_any = select(MENTION.c.seq).where(MENTION.c.term.in_([word.casefold() for word in wanted.any_of]))
        statement = statement.where(ENTRY.c.seq.in_(of_any))
    if wanted.kind != "audit":
        statement = statement.where(literal_column("entry.kind <> 'audit'"))
    if wanted.from_day:
        statement = statement.where(ENTRY.c.at >= wanted.from_day)
    if wanted.to_day:
        statement = statement.where(ENTRY.c.at < wanted.to_day + "~")
    return statement.order_by(order.desc()).limit(wanted.top)
