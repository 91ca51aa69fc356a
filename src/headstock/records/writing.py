"""One commit of new entries in the driver's own words: building each statement anew takes longer than storing an entry."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from itertools import islice
from typing import Any, Final

from sqlalchemy import Connection, Engine

from headstock.records.chain import Link, Row

A_FEW: Final = 500
AT_ONCE: Final = 2000
COLUMNS: Final = ", ".join(Row._fields)


class _Words:
    """The statements, made once for each kind of database."""

    def __init__(self, mark: str, held: str) -> None:
        self.mark = mark
        self.head = f"SELECT seq, hash, signature FROM head{held}"
        self.text = f"SELECT text FROM entry WHERE seq = {mark}"
        self.known = f"SELECT {COLUMNS} FROM entry WHERE key IN "
        self.known_one = f"{self.known}({mark})"
        self.entry = f"INSERT INTO entry ({COLUMNS}) VALUES ({', '.join([mark] * len(Row._fields))})"
        self.mention = f"INSERT INTO mention (term, seq) VALUES ({mark}, {mark})"


WORDS: Final = {"sqlite": _Words("?", ""), "postgresql": _Words("%s", " FOR UPDATE")}


class Pen:
    """What a writer does between the beginning and the commit; nobody else writes meanwhile."""

    def __init__(self, cursor: Any, dialect: str) -> None:
        self._cursor, self._words = cursor, WORDS[dialect]

    def head(self) -> Link:
        """The end of the chain, held until the commit."""
        self._cursor.execute(self._words.head)
        return Link(*self._cursor.fetchone())

    def text_of(self, seq: int) -> str:
        """An entry's text. To be asked after ``head``: a statement that waited for it would see what was before it waited."""
        self._cursor.execute(self._words.text, (seq,))
        found = self._cursor.fetchone()
        return str(found[0]) if found else ""

    def known(self, keys: Sequence[str]) -> Iterator[Row]:
        """Entries that have one of these keys."""
        for start in range(0, len(keys), A_FEW):
            some = keys[start : start + A_FEW]
            marks = f"({', '.join([self._words.mark] * len(some))})"
            self._cursor.execute(self._words.known_one if len(some) == 1 else self._words.known + marks, some)
            yield from map(Row._make, self._cursor.fetchall())

    def put(self, rows: Iterable[Row], terms: Iterable[Sequence[str]]) -> None:
        """Add entries and the words by which they are found, these in the order in which they are stored."""
        waiting = zip(rows, terms, strict=True)
        while some := list(islice(waiting, AT_ONCE)):
            if len(some) == 1:
                self._cursor.execute(self._words.entry, some[0][0])
            else:
                self._cursor.executemany(self._words.entry, [row for row, _ in some])
            words = sorted((term, row.seq) for row, of_row in some for term in of_row)
            if words:
                self._cursor.executemany(self._words.mention, words)


@contextmanager
def writing(engine: Engine) -> Iterator[Pen]:
    """A transaction that is durable when this ends without an error, and has not been otherwise."""
    connection = engine.raw_connection()
    try:
        cursor = connection.cursor()
        if engine.dialect.name == "sqlite":
            cursor.execute("BEGIN IMMEDIATE")
        yield Pen(cursor, engine.dialect.name)
        connection.commit()
    except BaseException:
        try:
            connection.rollback()
        except Exception:  # the server is gone, and with it the transaction
            connection.invalidate()
        raise
    finally:
        connection.close()


@contextmanager
def writing_beside(engine: Engine) -> Iterator[tuple[Pen, Connection]]:
    """The same for entries and for other tables in one commit."""
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        yield Pen(connection.connection.cursor(), engine.dialect.name), connection
