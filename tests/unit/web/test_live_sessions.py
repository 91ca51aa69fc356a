"""Whether live connections go on is looked up for all of them at once, and only while some are open."""

import asyncio
from collections.abc import Collection
from typing import Any, cast

import pytest
from starlette.testclient import TestClient
from starlette.websockets import WebSocketDisconnect

from headstock.base.errors import StorageError
from headstock.usecases.accounts_port import Account, Accounts, Session
from headstock.web import live_sessions
from headstock.web.live_sessions import NOT_NOW, SIGNED_OUT, LiveSessions
from tests.unit.web.apart import run_apart

LOOK_S = 0.02


class Kept:
    """Stands for accounts: whose sessions go on, and what was asked."""

    def __init__(self, *alive: str) -> None:
        self.alive, self.asked = set(alive), list[set[str]]()
        self.fault: Exception | None = None

    def session_of(self, token: str) -> Session | None:
        return Session(Account("iden", "M. Iden", "crew"), 0, 0) if token in self.alive else None

    def still_signed_in(self, tokens: Collection[str]) -> frozenset[str]:
        self.asked.append(set(tokens))
        if self.fault is not None:
            raise self.fault
        return frozenset(self.alive & set(tokens))


@pytest.fixture(autouse=True)
def soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(live_sessions, "LOOK_S", LOOK_S)


async def _looks(kept: Kept, more: int) -> None:
    """Wait until so many more looks were taken and laid beside the connections."""
    want = len(kept.asked) + more + 1
    async with asyncio.timeout(20):
        while len(kept.asked) < want:
            await asyncio.sleep(LOOK_S / 4)


def test_one_look_serves_all_and_ends_those_alone_whose_session_ended() -> None:
    kept = Kept("a", "b")

    async def lived() -> None:
        live = LiveSessions(cast(Accounts, kept))
        with live.watched("a") as first, live.watched("b") as second, live.watched("a") as third:
            await _looks(kept, 1)
            assert (first.close_with, second.close_with, third.close_with) == (0, 0, 0)
            assert all(asked == {"a", "b"} for asked in kept.asked)
            kept.alive.discard("a")
            await _looks(kept, 1)
            assert (first.close_with, second.close_with, third.close_with) == (SIGNED_OUT, 0, SIGNED_OUT)

    run_apart(lived())


def test_nothing_is_looked_up_while_no_live_page_is_open() -> None:
    kept = Kept("a")

    async def lived() -> None:
        live = LiveSessions(cast(Accounts, kept))
        for _ in range(2):
            before = len(kept.asked)
            with live.watched("a"):
                await _looks(kept, 1)
            assert len(kept.asked) > before, "the next one is looked after again"
            before = len(kept.asked)
            await asyncio.sleep(5 * LOOK_S)
            assert len(kept.asked) == before

    run_apart(lived())


@pytest.mark.parametrize("fault", [StorageError("the database cannot be reached"), RuntimeError("not foreseen")])
def test_where_it_cannot_be_told_they_are_closed_to_be_opened_again_and_it_is_looked_at_again(
    fault: Exception, caplog: pytest.LogCaptureFixture
) -> None:
    kept = Kept("a", "b")
    kept.fault = fault

    async def lived() -> None:
        live = LiveSessions(cast(Accounts, kept))
        with live.watched("a") as first:
            await _looks(kept, 1)
            assert first.close_with == NOT_NOW
            kept.fault = None
            with live.watched("b") as second:
                kept.alive.discard("b")
                await _looks(kept, 1)
                assert second.close_with == SIGNED_OUT

    run_apart(lived())
    assert "cannot be told" in caplog.text


def test_a_page_that_is_open_hears_that_its_session_ended(client: TestClient) -> None:
    app: Any = client.app
    code = str(client.post("/exercises/attach-plain/set").url).split("/")[-2]
    app.state.accounts = kept = Kept("a")
    app.state.live_sessions = LiveSessions(cast(Accounts, kept))
    with client.websocket_connect(f"/sittings/{code}/live", headers={"cookie": "headstock=a"}) as socket:
        assert socket.receive_json()["over"] is False
        kept.alive.clear()
        with pytest.raises(WebSocketDisconnect) as closed:
            for _ in range(100):
                socket.receive_json()
    assert closed.value.code == SIGNED_OUT


def test_none_is_opened_while_the_accounts_cannot_be_asked(client: TestClient, monkeypatch: pytest.MonkeyPatch) -> None:
    app: Any = client.app
    app.state.accounts = kept = Kept("a")

    def broken(_: str) -> None:
        raise StorageError("the database cannot be reached")

    monkeypatch.setattr(kept, "session_of", broken)
    headers = {"cookie": "headstock=a"}
    with pytest.raises(WebSocketDisconnect) as closed, client.websocket_connect("/sittings/ABCDE/live", headers=headers):
        pass
    assert closed.value.code == NOT_NOW
