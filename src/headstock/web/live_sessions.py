"""Live connections end with the session that opened them: one look at the records every few seconds, however many are open."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Final

from headstock.usecases.accounts_port import Accounts

LOOK_S: Final = 2.0
"""How often it is looked whether sessions go on; no look while nobody has a live page open."""
SIGNED_OUT, NOT_NOW = 4401, 1013
"""Why a live connection is closed: the session ended (a code of ours), or it cannot be told now (RFC 6455: try later)."""
LOG = logging.getLogger("headstock.web")


@dataclass(eq=False, slots=True)
class Watched:
    """A live connection: whose session it is, and with which code it is to be closed; 0 while the session goes on."""

    token: str
    close_with: int = 0


class LiveSessions:
    """The live connections of people who are signed in. For the loop of the server alone."""

    def __init__(self, accounts: Accounts | None) -> None:
        self._accounts = accounts
        self._open: set[Watched] = set()
        self._task: asyncio.Task[None] | None = None

    @contextmanager
    def watched(self, token: str) -> Iterator[Watched]:
        """A connection, looked after for as long as it is open; where nobody signs in there is nothing to look at."""
        one = Watched(token)
        if self._accounts is None:
            yield one
            return
        self._open.add(one)
        self._task = self._task or asyncio.create_task(self._go_on(self._accounts))
        try:
            yield one
        finally:
            self._open.discard(one)
            if not self._open and self._task is not None:
                self._task.cancel()
                self._task = None

    async def _go_on(self, accounts: Accounts) -> None:
        while True:
            await asyncio.sleep(LOOK_S)
            looked_at = tuple(self._open)
            try:
                alive, code = await asyncio.to_thread(accounts.still_signed_in, {one.token for one in looked_at}), SIGNED_OUT
            except Exception as error:  # whatever it is: a look that ended here would leave every connection open for good
                LOG.error("live connections are closed: it cannot be told whose session goes on", exc_info=error)
                alive, code = frozenset[str](), NOT_NOW
            for one in looked_at:
                if one.token not in alive:
                    one.close_with = code
