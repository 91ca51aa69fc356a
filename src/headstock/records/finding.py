"""Searching: every word is looked up among the words of entries, which stand in their own order."""

from __future__ import annotations

from typing import Any

from sqlalchemy import ColumnElement, Select, and_, select

from headstock.records.tables import ENTRY, MENTION
from headstock.usecases.records_port import Search

LAST_SIGN = "\U0010ffff"


def search_statement(wanted: Search, columns: tuple[ColumnElement[Any], ...]) -> Select[Any]:
    """The statement: entries, newest first."""
    words = [*wanted.words, *([f"kind:{wanted.kind}"] if wanted.kind else [])]
    whole = [word.casefold() for word in words if not word.endswith("*")]
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
    if wanted.from_day:
        statement = statement.where(ENTRY.c.at >= wanted.from_day)
    if wanted.to_day:
        statement = statement.where(ENTRY.c.at < wanted.to_day + "~")
    return statement.order_by(order.desc()).limit(wanted.top)
