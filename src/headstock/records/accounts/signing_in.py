"""Signing in: counted first, then the password looked at, put on record, and only then a session made."""

from __future__ import annotations

import time
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from typing import Any, cast

from sqlalchemy import Connection, select, update

from headstock.records.accounts import attempts, sessions
from headstock.records.accounts.passwords import Passwords
from headstock.records.accounts.sessions import SessionLimits
from headstock.records.database import told
from headstock.records.store import StoredRecords
from headstock.records.tables import ACCOUNT
from headstock.usecases.account_rules import could_be_name, plain_name
from headstock.usecases.accounts_port import Account, NotSignedIn, Session, SignedIn, Trace
from headstock.usecases.roles import Role
from headstock.usecases.traces import trace_draft


class SigningIn:
    """Sessions of accounts in the database of ``records``; ``clock``: seconds since 1970."""

    def __init__(self, records: StoredRecords, limits: SessionLimits | None = None, passwords: Passwords | None = None,
                 clock: Callable[[], float] = time.time) -> None:  # fmt: skip
        self.records, self.limits, self._clock = records, limits or SessionLimits(), clock
        self._passwords = passwords or Passwords()

    def sign_in(self, name: str, password: str, address: str, former_token: str = "") -> SignedIn | NotSignedIn:
        """A session with a token of its own, the former one ended; the same answer whatever was wrong."""
        plain, now_s = plain_name(name), int(self._clock())
        token = sessions.new_token()

        def begin(connection: Connection) -> None:
            attempts.forget_old(connection, now_s)
            sessions.forget_old(connection, self.limits, now_s)
            sessions.end(connection, former_token)
            sessions.begin(connection, token, plain, now_s)

        row, wait_s = self._tried(plain, password, address, begin)
        return SignedIn(self._session(row, now_s, token), token) if row is not None else NotSignedIn(wait_s)

    def _tried(
        self, name: str, password: str, address: str, then: Callable[[Connection], None], act: str = "sign in"
    ) -> tuple[Any | None, int]:
        """The account's row where the password is right and ``then`` was done; else None and how long to wait [s].

        A try that was looked at is on record either way, in the same number of statements and commits.
        """
        buckets, now_s = attempts.buckets_of(name, address), int(self._clock())
        with self._writes() as connection:
            wait_s = attempts.take_a_try(connection, buckets, now_s)
            wanted = name if could_be_name(name) else ""
            row = connection.execute(select(ACCOUNT).where(ACCOUNT.c.name == wanted)).first()
        if wait_s:
            return None, wait_s
        is_right = self._passwords.is_right(row.password_hash if row is not None else None, password)
        if row is None or row.is_locked or not is_right:
            self.leave_trace(Trace(row.name if row is not None else "", act, "", address, "refused"))
            return None, 0
        better = self._passwords.hash_of(password) if self._passwords.is_old(row.password_hash) else row.password_hash

        def beside(connection: Connection) -> None:
            here = (ACCOUNT.c.name == name, ACCOUNT.c.password_hash == row.password_hash, ACCOUNT.c.is_locked == 0)
            if connection.execute(update(ACCOUNT).where(*here).values(password_hash=better)).rowcount != 1:
                raise _ChangedMeanwhile
            attempts.was_right(connection, buckets)
            then(connection)

        try:
            self.records.append_beside([trace_draft(Trace(row.name, act, "", address))], beside)
        except _ChangedMeanwhile:
            return None, 0
        return row, 0

    def session_of(self, token: str) -> Session | None:
        """Whose session this is; None where it ended."""
        now_s = int(self._clock())
        with told(self.records.where), self.records.engine.connect() as connection:
            row = sessions.alive(connection, token, self.limits, now_s)
        if row is None:
            return None
        if now_s - row.seen_s >= sessions.NOTED_EVERY_S:
            with self._writes() as connection:
                sessions.note_seen(connection, token, now_s)
        return self._session(row, row.began_s, token)

    def still_signed_in(self, tokens: Collection[str]) -> frozenset[str]:
        """Those of which the session has not ended. To ask is no sign that somebody is there: nothing is noted."""
        with told(self.records.where), self.records.engine.connect() as connection:
            return sessions.still_alive(connection, tokens, self.limits, int(self._clock()))

    def sign_out(self, token: str) -> None:
        """End a session, on record."""
        session = self.session_of(token)
        if session is not None:
            gone = trace_draft(Trace(session.account.name, "sign out"))
            self.records.append_beside([gone], lambda connection: sessions.end(connection, token))

    def leave_trace(self, trace: Trace) -> None:
        """Put on record who saw or did what."""
        self.records.append([trace_draft(trace)])

    def _session(self, row: Any, began_s: int, token: str) -> Session:
        account = Account(row.name, row.person, cast(Role, row.role))
        return Session(account, began_s, began_s + self.limits.longest_s)

    @contextmanager
    def _writes(self) -> Iterator[Connection]:
        """A transaction that writes; in SQLite nobody else writes meanwhile."""
        engine = self.records.engine
        with told(self.records.where), engine.connect().execution_options(writes=True) as connection, connection.begin():
            yield connection


class _ChangedMeanwhile(Exception):
    """The account was changed or locked between the two looks."""
