"""Work that may take long: so much at once, waited for so long; what asks for the same waits for the same."""

from __future__ import annotations

import threading
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Any

from headstock.base.errors import NotFoundWithinBudgetError

AT_ONCE = 2
MOST_WAITING = 12
PATIENCE_S = 45.0


class LongWork:
    """Threads for questions; ``patience_s``: how long a visitor waits for an answer that goes on being worked out."""

    def __init__(self, at_once: int = AT_ONCE, most: int = MOST_WAITING, patience_s: float = PATIENCE_S) -> None:
        self.at_once, self.most, self.patience_s = at_once, most, patience_s
        self._threads: ThreadPoolExecutor | None = None
        self._running: dict[tuple[str, ...], Future[Any]] = {}
        self._lock = threading.RLock()

    def answer(self, key: tuple[str, ...], work: Callable[[], Any]) -> Any:
        """What the work gives. Raises what it raises, and NotFoundWithinBudgetError where it takes too long or too many ask."""
        with self._lock:
            running = self._running.get(key)
            if running is None:
                if len(self._running) >= self.most:
                    raise busy(f"{self.most} questions are being worked out already")
                self._threads = self._threads or ThreadPoolExecutor(self.at_once, thread_name_prefix="question")
                running = self._threads.submit(work)
                self._running[key] = running
                running.add_done_callback(lambda _: self._done(key))
        try:
            return running.result(self.patience_s)
        except TimeoutError:
            if running.done():
                raise
            raise busy(f"not answered within {self.patience_s:g} s; it goes on") from None

    def _done(self, key: tuple[str, ...]) -> None:
        with self._lock:
            self._running.pop(key, None)

    def close(self) -> None:
        """Begin nothing more of what waits."""
        with self._lock:
            threads, self._threads = self._threads, None
        if threads is not None:
            threads.shutdown(wait=False, cancel_futures=True)


def busy(what: str) -> NotFoundWithinBudgetError:
    """Why there is no answer yet."""
    return NotFoundWithinBudgetError(what, cure="Ask the same again in a minute: what is worked out by then is there at once.")
