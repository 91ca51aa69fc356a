"""Opening the database: SQLite that syncs each commit, or PostgreSQL; tables brought up to date; faults in plain words."""

from __future__ import annotations

import os
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, Final
from urllib.parse import quote

from platformdirs import user_data_path
from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, make_url
from sqlalchemy.exc import ArgumentError, NoSuchModuleError, SQLAlchemyError

from headstock.base.errors import Fault, InputError, StorageError

NEWEST: Final = "0002"
"""The newest migration."""
BUSY_S: Final = 30.0
"""How long a writer waits for another."""
AN_ADDRESS: Final = "postgresql://USER@HOST/NAME"
SAFE: Final = "Whatever was acknowledged before is on record; nothing else is. "
ANY_OTHER: Final = ("the records cannot be used", "See that the place where they lie is there and may be written to.")
LATER: Final = "Try again in a while."
OUT_OF_REACH: Final = (
    "the database cannot be reached",
    "See that its server runs and that this computer reaches it, and try again.",
)
NOT_LET_IN: Final = (
    "the database does not let Headstock in",
    "See to the name, the password and the rights there, and try again.",
)
BROKEN_OFF: Final = ("the connection to the database broke off", LATER)
FAULTS: Final = (
    ("is the server running", *OUT_OF_REACH),
    ("connection refused", *OUT_OF_REACH),
    ("could not translate host", *OUT_OF_REACH),
    ("failed to resolve host", *OUT_OF_REACH),
    ("unreachable", *OUT_OF_REACH),
    ("no route to host", *OUT_OF_REACH),
    ("timeout expired", *OUT_OF_REACH),
    ("authentication failed", *NOT_LET_IN),
    ("no password supplied", *NOT_LET_IN),
    ("pg_hba.conf", *NOT_LET_IN),
    ("permission denied for", *NOT_LET_IN),
    ("does not exist", "the database has no such name", "See to the names of the database and of whoever opens it."),
    ("too many clients", "the database takes no more connections", LATER),
    ("connection slots", "the database takes no more connections", LATER),
    ("starting up", "the database is only starting", LATER),
    ("closed the connection", *BROKEN_OFF),
    ("terminating connection", *BROKEN_OFF),
    ("connection is lost", *BROKEN_OFF),
    ("connection is closed", *BROKEN_OFF),
    ("shutting down", *BROKEN_OFF),
    ("recovery mode", *BROKEN_OFF),
    ("no space left", "the disk is full", "Make room and send it again."),
    ("full", "the disk is full", "Make room and send it again."),
    ("disk i/o", "the disk cannot be written any further", "Make room or mend the disk, and send it again."),
    ("too large", "the disk cannot be written any further", "Make room and send it again."),
    ("readonly", "the records can be read but not written", "Ask for the right to write there, and send it again."),
    ("read-only", "the records can be read but not written", "Ask for the right to write there, and send it again."),
    ("locked", "somebody else is writing for too long", "Send it again in a while."),
    ("not a database", "this file is no database of records", "Name another file, or restore a backup."),
    ("malformed", "the file of records is damaged", "Keep it aside and restore a backup."),
    ("only added at the end", "entries are only added at the end", "Send it again."),
)  # fmt: skip


def data_folder() -> Path:
    """Where records and the signing key lie: ``HEADSTOCK_DATA`` if set, else the user's data folder."""
    root = os.environ.get("HEADSTOCK_DATA")
    return Path(root) if root else user_data_path("headstock", appauthor=False)


@contextmanager
def told(where: str) -> Iterator[None]:
    """Faults of the database in plain words. Raises StorageError."""
    try:
        yield
    except Exception as error:
        if not isinstance(error, _of_drivers()):
            raise
        said = str(getattr(error, "orig", None) or error)
        low = said.lower()
        what, cure = next(((what, cure) for word, what, cure in FAULTS if word in low), ANY_OTHER)
        raise StorageError(f"{what} @ {where}", where=where, why=f"The database says: {said.splitlines()[0]}.",
                           cure=SAFE + cure) from None  # fmt: skip


def _of_drivers() -> tuple[type[Exception], ...]:
    psycopg = sys.modules.get("psycopg")
    return (SQLAlchemyError, OSError, sqlite3.Error, *((psycopg.Error,) if psycopg is not None else ()))


def engine_for(database: str) -> tuple[Engine, str]:
    """An engine for a file or an address, and its name for people. Raises InputError."""
    try:
        url = make_url(database) if "://" in database else _file_url(Path(database).absolute())
        if "@" in (url.host or ""):
            raise InputError(Fault("an @ in a name or a password is written %40", path="--records", expected=AN_ADDRESS))
        if url.drivername == "postgresql":
            url = url.set(drivername="postgresql+psycopg")
        engine = _sqlite(url) if url.drivername == "sqlite" else _postgresql(url)
    except (ArgumentError, NoSuchModuleError):
        fault = Fault("no database that is known", found=database.partition("://")[0] + "://",
                      expected=f"a file, or {AN_ADDRESS}")  # fmt: skip
        raise InputError(fault, cure="Name a file for SQLite or an address of PostgreSQL.") from None
    except ModuleNotFoundError:
        fault = Fault("the driver of this database is not installed", found=url.drivername, expected="psycopg")
        raise InputError(fault, cure="Install it: headstock[postgres].") from None
    if engine.dialect.name not in ("sqlite", "postgresql"):
        fault = Fault("no database that is known", found=engine.dialect.name, expected="SQLite or PostgreSQL")
        raise InputError(fault)
    return engine, _shown(url) if "://" in database else str(Path(database).absolute())


def _shown(url: URL) -> str:
    """An address without any password; one may stand among its options too."""
    options = {name: said for name, said in url.query.items() if "password" not in name.casefold()}
    return url.set(query=options).render_as_string(hide_password=True)


def _file_url(path: Path) -> URL:
    """A file; one that cannot be written and that nobody writes to is read as it lies, such as an auditor's copy."""
    may_write = all(os.access(place, os.W_OK, effective_ids=os.access in os.supports_effective_ids)
                    for place in (path, path.parent))  # fmt: skip
    if not path.exists() or may_write or Path(f"{path}-wal").exists():
        return URL.create("sqlite", database=str(path))
    return URL.create("sqlite", database=f"file:{quote(str(path))}", query={"immutable": "1", "mode": "ro", "uri": "true"})


def _sqlite(url: URL) -> Engine:
    engine = create_engine(url, connect_args={"timeout": BUSY_S, "isolation_level": None}, hide_parameters=True)

    @event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _: Any) -> None:
        if "immutable" not in url.query:
            connection.execute("PRAGMA journal_mode=WAL")
        connection.execute("PRAGMA synchronous=FULL")
        connection.execute("PRAGMA trusted_schema=OFF")

    @event.listens_for(engine, "begin")
    def _on_begin(connection: Connection) -> None:
        connection.exec_driver_sql("BEGIN IMMEDIATE" if connection.get_execution_options().get("writes") else "BEGIN")

    return engine


def _postgresql(url: URL) -> Engine:
    engine = create_engine(url, isolation_level="READ COMMITTED", hide_parameters=True)

    @event.listens_for(engine, "connect")
    def _on_connect(connection: Any, _: Any) -> None:
        """A server may have been told to acknowledge what is not on disk yet: not for records."""
        with connection.cursor() as cursor:
            cursor.execute("SELECT set_config('synchronous_commit', 'on', false) "
                           "WHERE current_setting('synchronous_commit') = 'off'")  # fmt: skip
        connection.commit()

    return engine


def bring_up_to_date(engine: Engine, where: str) -> None:
    """Make or migrate the tables. Raises StorageError for tables made by a newer Headstock."""
    if engine.dialect.name == "sqlite":
        _make_private(Path(str(engine.url.database)))
    with engine.connect() as connection:
        found = _version(connection)
    if found == NEWEST:
        return
    if found is not None and found > NEWEST:
        why = f"Their tables are version {found}, this Headstock knows {NEWEST}."
        raise StorageError(f"these records were made by a newer Headstock @ {where}", where=where, why=why,
                           cure="Use the newer one.")  # fmt: skip
    _migrate(engine)


def _make_private(path: Path) -> None:
    """A new file is for its owner alone: it holds hashes of passwords. One that is there is left as somebody wanted it."""
    if path.parent.is_dir() and not str(path).startswith("file:"):
        with suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))


def _version(connection: Connection) -> str | None:
    if not inspect(connection).has_table("alembic_version"):
        return None
    found = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()
    return None if found is None else str(found)


def _migrate(engine: Engine) -> None:
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    with engine.connect().execution_options(writes=True) as connection, connection.begin():
        if engine.dialect.name == "postgresql":
            connection.exec_driver_sql("SELECT pg_advisory_xact_lock(4711027)")
        if _version(connection) != NEWEST:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
