"""Numbered pieces of work done by several processes, or by a cluster, and handed back in order.

Processes are started afresh (spawn). The work is told to each once; after that only numbers go out. No more pieces are held than
are being worked out. A process that dies costs the pieces it had in hand, which are done again by new ones.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections import deque
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass
from typing import Any, Protocol, TypeVar

from headstock.base.errors import NotFoundWithinBudgetError
from headstock.compute.with_parent import end_with_parent

T = TypeVar("T")
AHEAD = 3
"""So many pieces a worker are begun before the first of them is asked for."""
DEATHS = 3
"""So often processes may die without a single piece done in between."""


class Workers(Protocol):
    """Whoever does numbered pieces."""

    count: int
    gone: tuple[type[BaseException], ...]
    """Errors that say that a worker died, not that its work went wrong."""

    def begin(self, number: int) -> Future[Any]:
        """Begin a piece."""
        ...

    def again(self) -> None:
        """Start afresh after a death."""
        ...

    def end(self) -> None:
        """Begin nothing more; return when what is under way is done."""
        ...


def in_order(workers: Workers, numbers: Sequence[int], keep: Callable[[int, T], None]) -> Generator[T]:
    """Each piece of ``numbers`` in order, some ahead of the one asked for; broken off, those under way go to ``keep``.

    Raises NotFoundWithinBudgetError where workers die again and again.
    """
    to_begin, running, deaths = deque(numbers), deque[tuple[int, Future[T]]](), 0
    done: dict[int, Future[T]] = {}
    try:
        while to_begin or running:
            try:
                while to_begin and len(running) < workers.count * AHEAD:
                    number = to_begin[0]
                    running.append((number, done.pop(number) if number in done else workers.begin(number)))
                    to_begin.popleft()
                found = running[0][1].result()
            except workers.gone as error:
                deaths += 1
                if deaths > DEATHS:
                    raise _died(deaths) from error
                done |= {number: future for number, future in running if _is_whole(future)}
                to_begin.extendleft(number for number, _ in reversed(running))
                running.clear()
                workers.again()
                continue
            running.popleft()
            deaths = 0
            yield found
    finally:
        workers.end()
        for number, future in (*running, *done.items()):
            if _is_whole(future):
                keep(number, future.result())


def _is_whole(future: Future[T]) -> bool:
    return future.done() and not future.cancelled() and future.exception() is None


def _died(deaths: int) -> NotFoundWithinBudgetError:
    cure = "See that there is memory enough, or take fewer workers; what was done is kept."
    return NotFoundWithinBudgetError(f"workers died {deaths} times with nothing done in between", cure=cure)


@dataclass
class Processes:
    """``count`` processes of this machine, each told the work once."""

    work: Callable[[int], Any]
    count: int
    gone: tuple[type[BaseException], ...] = (BrokenProcessPool,)

    def __post_init__(self) -> None:
        self.again()

    def begin(self, number: int) -> Future[Any]:
        """Begin a piece. Raises BrokenProcessPool after a death."""
        return self._pool.submit(_done, number)

    def again(self) -> None:
        """A new pool; the old one's processes have ended."""
        self._pool = ProcessPoolExecutor(self.count, multiprocessing.get_context("spawn"), _begin, (self.work,))

    def end(self) -> None:
        """Begin nothing more; return when what is under way is done."""
        self._pool.shutdown(cancel_futures=True)


def workers_of(wanted: int | None) -> int:
    """How many processes: as asked, else all cores."""
    return wanted or os.cpu_count() or 1


_work: list[Callable[[int], Any]] = []


def _begin(work: Callable[[int], Any]) -> None:
    """In a new process; who asks to stop is heard where the pieces are asked for. It ends when that one ends, however."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    end_with_parent()
    _work[:] = [work]


def _done(number: int) -> Any:
    (work,) = _work
    return work(number)
