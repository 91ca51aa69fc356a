"""What those who look at a sitting are sent twenty times a second: worked out once for each role, however many look."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from headstock.practice.role_view import moving_of
from headstock.usecases.live_sitting import LiveSitting

UPDATE_S = 0.05
"""Twenty updates a second."""
STILL_S = 1.0
"""Of a clock that stands one update in this time is enough: it shows that the line is there."""


@dataclass
class _Moving:
    """What moves by itself on a role's page: as it was at a tick, the tick since which it is so, the update that tells it."""

    parts: dict[str, Any]
    since: int
    tick: int
    text: str = ""


class SittingBoard:
    """The updates of one sitting. For the loop of the server alone; one task for as long as somebody looks."""

    def __init__(self, live: LiveSitting) -> None:
        self.live, self.lookers, self.tick = live, 0, 0
        self.failed: Exception | None = None
        self._moving: dict[str, _Moving] = {}
        self._come = asyncio.Event()
        self._task: asyncio.Task[None] | None = None
        self.look()

    def look(self) -> None:
        """One tick more."""
        live, self._sitting = self.live, self.live.glance()
        self.tick += 1
        self._head = {"t": round(self._sitting.t_s, 3), "held": live.is_held, "change": live.changes,
                      "over": self._sitting.is_over}  # fmt: skip
        self._brief = _text(self._head)

    def text(self, role: str, seen: int) -> str:
        """This tick's update for a role ("" for none) that has those up to the tick ``seen``: what has not moved is left out."""
        if role not in self.live.exercise.roles:
            return self._brief
        moving = self._moving.get(role)
        if moving is None or moving.tick != self.tick:
            moving = self._moving[role] = self._moved(role, moving)
        if seen >= moving.since:
            return self._brief
        moving.text = moving.text or _text({**self._head, **moving.parts})
        return moving.text

    def _moved(self, role: str, before: _Moving | None) -> _Moving:
        gauges, brakes = moving_of(self._sitting, role)
        parts = {"gauges": [gauge.shows_bar for gauge in gauges], "brakes": [is_on for _, is_on in brakes]}
        since = before.since if before is not None and before.parts == parts else self.tick
        return _Moving(parts, since, self.tick)

    async def updates(self, role: str) -> AsyncIterator[str]:
        """The updates for a role, for as long as somebody asks. Raises what went wrong in the sitting."""
        seen, told, still_s, clock = 0, "", 0.0, asyncio.get_running_loop().time
        while True:
            if self.failed is not None:
                raise self.failed
            text, seen = self.text(role, seen), self.tick
            if text != told or clock() >= still_s:
                told, still_s = text, clock() + STILL_S
                yield text
            if self.tick == seen and self.failed is None:
                await self._come.wait()

    @contextmanager
    def looked_at(self) -> Iterator[None]:
        """For as long as somebody looks, the board goes on."""
        self.lookers += 1
        if self._task is None:
            self._task = asyncio.create_task(self._go_on())
        try:
            yield
        finally:
            self.lookers -= 1
            if not self.lookers:
                self._task.cancel()
                self._task = None

    async def _go_on(self) -> None:
        clock = asyncio.get_running_loop().time
        next_s = clock()
        try:
            while True:
                next_s = max(next_s + UPDATE_S, clock())
                await asyncio.sleep(next_s - clock())
                if self.live.colleagues_look:
                    await asyncio.to_thread(self.live.tick)
                self.look()
                self._tell()
        except Exception as error:
            self.failed = error
            self._tell()

    def _tell(self) -> None:
        self._come.set()
        self._come.clear()


class SittingBoards:
    """The boards of the sittings that somebody looks at."""

    def __init__(self) -> None:
        self._boards: dict[str, SittingBoard] = {}

    @contextmanager
    def looked_at(self, live: LiveSitting) -> Iterator[SittingBoard]:
        """The board of a sitting, for as long as somebody looks."""
        board = self._boards.get(live.code)
        if board is None or board.live is not live or board.failed is not None:
            board = self._boards[live.code] = SittingBoard(live)
        try:
            with board.looked_at():
                yield board
        finally:
            if not board.lookers and self._boards.get(live.code) is board:
                del self._boards[live.code]


def _text(update: dict[str, Any]) -> str:
    return json.dumps(update, separators=(",", ":"))
