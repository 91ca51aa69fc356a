"""What those who look at a sitting are sent: once for all of them, and nothing again that has not moved."""

import asyncio
import json
import threading
from collections.abc import AsyncIterator, Coroutine
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from headstock.practice.playing import folded
from headstock.records.sitting_files import SittingFiles
from headstock.usecases.live_sitting import LiveSitting
from headstock.web import sitting_board
from headstock.web.sitting_board import SittingBoard, SittingBoards
from tests.unit.practice.conftest import exercise_of

ROLES = ("driver", "shunter", "guard")


class Wall:
    s = 100.0

    def __call__(self) -> float:
        return self.s


def on_a_loop(what: Coroutine[Any, Any, Any]) -> Any:
    """Run on a loop in a thread of its own: where a browser is open, this thread has a loop that runs already."""
    with ThreadPoolExecutor(1) as pool:
        return pool.submit(asyncio.run, what).result()


@pytest.fixture
def wall() -> Wall:
    return Wall()


@pytest.fixture
def live(tmp_path: Path, wall: Wall) -> LiveSitting:
    exercise = exercise_of("demo-attach")
    log = SittingFiles(tmp_path)
    log.begin("ABCDE", "demo", "2026-01-01 00:00:00")
    made = LiveSitting("ABCDE", "demo", exercise, log, folded(exercise, ()), wall=wall)
    for role in ROLES:
        made.act({"kind": "took", "role": role, "person": role})
    made.hold(False)
    return made


def _told(board: SittingBoard, role: str, seen: int) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(board.text(role, seen))
    return found


def test_what_has_not_moved_is_left_out_and_the_clock_never(live: LiveSitting, wall: Wall) -> None:
    board = SittingBoard(live)
    assert len(_told(board, "driver", 0)["gauges"]) == 1, "who comes new is told everything"
    wall.s += 0.05
    board.look()
    again = _told(board, "driver", 1)
    assert again["t"] == pytest.approx(0.05) and "gauges" not in again
    assert "gauges" in _told(board, "driver", 0), "who came between is told everything"


def test_who_missed_a_change_is_told_of_it_later(live: LiveSitting, wall: Wall) -> None:
    board = SittingBoard(live)
    device = next(key for key in live.sitting.state if key.startswith("217/2.brake_valve"))
    live.act({"kind": "turned", "role": "driver", "key": device, "value": "running"})
    wall.s += 30
    board.look()
    moved, seen = _told(board, "driver", 1)["gauges"], board.tick
    assert moved[0] > 4.0
    wall.s += 0.05
    board.look()
    assert _told(board, "driver", 1)["gauges"] == moved, "the update between did not reach this one"
    assert "gauges" not in _told(board, "driver", seen)


def test_all_of_a_role_get_the_same_text_and_it_is_worked_out_once(live: LiveSitting, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []
    real = sitting_board.moving_of
    monkeypatch.setattr(sitting_board, "moving_of", lambda sitting, role: asked.append(role) or real(sitting, role))
    board = SittingBoard(live)
    texts = {board.text("driver", 0) for _ in range(5)}
    assert len(texts) == 1 and asked == ["driver"]
    assert board.text("nobody", 0) == board.text("", 0) and asked == ["driver"]


def test_a_board_goes_on_while_somebody_looks_and_is_put_away_then(live: LiveSitting, wall: Wall) -> None:
    async def looked() -> None:
        boards = SittingBoards()
        with boards.looked_at(live) as board, boards.looked_at(live) as same:
            assert board is same
            first, second = board.updates("driver"), board.updates("")
            assert json.loads(await anext(first))["gauges"] and "gauges" not in json.loads(await anext(second))
            wall.s += 0.25
            update = json.loads(await asyncio.wait_for(anext(first), 10))
            assert update["t"] == pytest.approx(0.25) and "gauges" not in update
        tick = board.tick
        await asyncio.sleep(3 * sitting_board.UPDATE_S)
        assert board.tick == tick, "nobody looks, nothing is worked out"
        with boards.looked_at(live) as new:
            assert new is not board

    on_a_loop(looked())


def test_of_a_clock_that_stands_little_is_sent(live: LiveSitting, monkeypatch: pytest.MonkeyPatch) -> None:
    async def count(updates: AsyncIterator[str], seconds: float) -> int:
        found, until_s = 0, asyncio.get_running_loop().time() + seconds
        while (left_s := until_s - asyncio.get_running_loop().time()) > 0:
            task = asyncio.ensure_future(anext(updates))
            if not (await asyncio.wait([task], timeout=left_s))[0]:
                task.cancel()
                break
            found += 1
        return found

    async def looked() -> int:
        with SittingBoards().looked_at(live) as board:
            return await count(board.updates("driver"), 0.55)

    live.hold(True)
    monkeypatch.setattr(sitting_board, "STILL_S", 0.2)
    assert 1 <= on_a_loop(looked()) <= 5, "of eleven ticks"


def test_what_goes_wrong_in_a_sitting_is_told_to_all_who_look(live: LiveSitting, monkeypatch: pytest.MonkeyPatch) -> None:
    async def looked() -> None:
        boards = SittingBoards()
        with boards.looked_at(live) as board:
            one, other = board.updates("driver"), board.updates("guard")
            await anext(one), await anext(other)
            monkeypatch.setattr(live, "glance", lambda: 1 / 0)
            for updates in (one, other):
                with pytest.raises(ZeroDivisionError):
                    await asyncio.wait_for(anext(updates), 10)
            monkeypatch.undo()
            with boards.looked_at(live) as new:
                assert new is not board, "whoever comes then begins anew"

    on_a_loop(looked())


def test_colleagues_of_the_computer_act_while_somebody_looks_and_never_on_the_loop_of_the_server(
    tmp_path: Path, wall: Wall, monkeypatch: pytest.MonkeyPatch
) -> None:
    exercise = exercise_of("demo-attach")
    log = SittingFiles(tmp_path)
    log.begin("ABCDE", "demo", "2026-01-01 00:00:00")
    live = LiveSitting("ABCDE", "demo", exercise, log, folded(exercise, ()), wall=wall)
    live.hold(False)
    threads, loops, real = set(), set(), log.add
    monkeypatch.setattr(log, "add", lambda code, event: (threads.add(threading.current_thread()), real(code, event))[1])

    async def looked() -> None:
        loops.add(threading.current_thread())
        with SittingBoards().looked_at(live) as board:
            updates = board.updates("")
            until_s = asyncio.get_running_loop().time() + 30.0
            while not live.sitting.done and asyncio.get_running_loop().time() < until_s:
                wall.s += 0.5
                await asyncio.wait_for(anext(updates), 10)

    on_a_loop(looked())
    assert live.sitting.done and threads and not threads & loops
