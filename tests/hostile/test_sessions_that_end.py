"""A live connection ends with the session that opened it, over a real one: signed out, locked, too old, at rest."""

from __future__ import annotations

import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest
from sqlalchemy import select, update
from websockets.exceptions import ConnectionClosed
from websockets.sync.client import connect

from headstock.records.accounts.keeping import StoredAccounts
from headstock.records.accounts.sessions import SessionLimits, digest_of
from headstock.records.tables import SESSION
from headstock.usecases.accounts_port import Account, SignedIn
from headstock.web.live_sessions import LOOK_S, SIGNED_OUT
from headstock.wiring import open_accounts
from tests.journeys.browser import served

PASSWORD = "lantern geese seven culvert"
SOON_S = LOOK_S + 4.0
"""A look, an update of a clock that stands, and a machine that is busy."""
LIMITS = SessionLimits()
pytestmark = pytest.mark.slow
"""Without a real connection: ``tests/unit/web/test_live_sessions.py``."""


@dataclass
class Depot:
    """A server with accounts, a sitting on it, and the accounts as the administrator's commands have them: another process."""

    address: str
    accounts: StoredAccounts
    code: str = ""

    def signed_in(self, name: str) -> str:
        """The token of a new session."""
        found = self.accounts.sign_in(name, PASSWORD, "here")
        assert isinstance(found, SignedIn)
        return found.token

    def send(self, path: str, token: str, **fields: str) -> str:
        """A form, sent; where it led to."""
        headers = {"cookie": f"headstock={token}", "origin": self.address}
        asked = urllib.request.Request(f"{self.address}{path}", urlencode(fields).encode(), headers)
        with urllib.request.urlopen(asked, timeout=120) as answer:
            return str(answer.url)

    @contextmanager
    def live(self, token: str) -> Iterator[Any]:
        """A live connection of the sitting, from which something has come."""
        where = f"{self.address.replace('http', 'ws', 1)}/sittings/{self.code}/live"
        with connect(where, additional_headers={"cookie": f"headstock={token}"}) as line:
            assert "over" in str(line.recv(20))
            yield line

    def change(self, token: str, **values: int) -> None:
        """A session's row, as if time had gone by."""
        with self.accounts.records.engine.connect().execution_options(writes=True) as connection, connection.begin():
            done = connection.execute(update(SESSION).where(SESSION.c.token_hash == digest_of(token)).values(**values))
        assert done.rowcount == 1

    def seen_s(self, token: str) -> int:
        """When somebody was there last, as the session says."""
        with self.accounts.records.engine.connect() as connection:
            asked = select(SESSION.c.seen_s).where(SESSION.c.token_hash == digest_of(token))
            return int(connection.execute(asked).scalar_one())


@pytest.fixture(scope="module")
def depot(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Depot]:
    folder: Path = tmp_path_factory.mktemp("data")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("HEADSTOCK_DATA", str(folder))
        accounts = open_accounts(None)
    accounts.add(Account("oad", "P. Oad", "administrator"), PASSWORD, "test")
    accounts.add(Account("ray", "K. Ray", "instructor"), PASSWORD, "test")
    for name in ("iden", "tolk"):
        accounts.add(Account(name, f"{name}, invented", "crew"), PASSWORD, "test")
    with served(folder, "--behind-proxy") as address:
        found = Depot(address, accounts)
        found.code = found.send("/exercises/attach-plain/set", found.signed_in("ray")).split("/")[-2]
        yield found
    accounts.records.close()


def closed_with(line: Any, within_s: float) -> int:
    """The code with which the server closes a connection. Fails where it does not soon."""
    until = time.monotonic() + within_s
    with pytest.raises(ConnectionClosed) as closed:
        while time.monotonic() < until:
            line.recv(within_s)
        line.close()
        pytest.fail(f"still open after {within_s} s")
    assert closed.value.rcvd is not None
    return closed.value.rcvd.code


def _signs_out(depot: Depot, token: str) -> None:
    depot.send("/sign-out", token)


def _is_locked(depot: Depot, _: str) -> None:
    depot.accounts.change("iden", "oad", is_locked=True)


def _gets_another_role(depot: Depot, _: str) -> None:
    depot.accounts.change("iden", "oad", role="supervisor")
    depot.accounts.change("iden", "oad", role="crew")


def _gets_a_new_password(depot: Depot, _: str) -> None:
    depot.accounts.set_password("iden", PASSWORD, "oad")


def _is_too_old(depot: Depot, token: str) -> None:
    depot.change(token, began_s=int(time.time()) - LIMITS.longest_s)


def _is_at_rest(depot: Depot, token: str) -> None:
    depot.change(token, seen_s=int(time.time()) - LIMITS.idle_s)


@pytest.mark.parametrize("ends", [_signs_out, _is_locked, _gets_another_role, _gets_a_new_password, _is_too_old, _is_at_rest])
def test_a_live_connection_ends_soon_after_its_session_and_no_other_does(
    depot: Depot, ends: Callable[[Depot, str], None]
) -> None:
    token, other = depot.signed_in("iden"), depot.signed_in("tolk")
    with depot.live(token) as line, depot.live(other) as goes_on:
        ends(depot, token)
        assert closed_with(line, SOON_S) == SIGNED_OUT
        assert "over" in str(goes_on.recv(5)), "somebody else's"
    if ends is _is_locked:
        depot.accounts.change("iden", "oad", is_locked=False)


def test_a_live_page_that_nobody_touches_goes_on_and_is_no_sign_that_somebody_is_there(depot: Depot) -> None:
    token = depot.signed_in("tolk")
    long_ago_s = int(time.time()) - LIMITS.idle_s + 60
    with depot.live(token) as line:
        depot.change(token, seen_s=long_ago_s)
        until = time.monotonic() + 2 * LOOK_S + 1
        while time.monotonic() < until:
            line.recv(5)
        assert depot.seen_s(token) == long_ago_s, "else a page left open would never be at rest"
