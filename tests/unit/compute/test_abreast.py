"""Numbered pieces in order, whoever does them; a process that dies costs nothing but time."""

from __future__ import annotations

import os
import signal
from collections.abc import Callable
from concurrent.futures import Future
from concurrent.futures.process import BrokenProcessPool
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from headstock.base.errors import NotFoundWithinBudgetError
from headstock.compute.abreast import AHEAD, DEATHS, Processes, in_order


class Frail:
    """Workers in this very process that die at the calls named, after what they had done before."""

    gone = (BrokenProcessPool,)

    def __init__(self, count: int, dies_at: Callable[[int], bool]) -> None:
        self.count, self.dies_at = count, dies_at
        self.begun: list[int] = []
        self.deaths = 0

    def begin(self, number: int) -> Future[Any]:
        self.begun.append(number)
        found: Future[Any] = Future()
        if self.dies_at(len(self.begun)):
            found.set_exception(BrokenProcessPool())
        else:
            found.set_result(number * 10)
        return found

    def again(self) -> None:
        self.deaths += 1

    def end(self) -> None:
        pass


def test_a_death_costs_only_what_was_in_hand_and_the_order_stays() -> None:
    workers = Frail(2, lambda call: call == 2)
    assert list(in_order(workers, range(9), lambda *_: None)) == [number * 10 for number in range(9)]
    assert workers.deaths == 1 and sorted(workers.begun) == sorted([*range(9), 1])


def test_who_dies_again_and_again_ends_it_with_one_error_and_what_was_done_kept() -> None:
    workers, kept = Frail(2, lambda call: call != 3), dict[int, int]()
    with pytest.raises(NotFoundWithinBudgetError, match="died"):
        list(in_order(workers, range(9), kept.__setitem__))
    assert workers.deaths == DEATHS and kept == {2: 20}


def test_no_more_is_begun_than_workers_can_have_in_hand() -> None:
    workers = Frail(2, lambda _: False)
    made = in_order(workers, range(100), lambda *_: None)
    next(made)
    made.close()
    assert len(workers.begun) == 2 * AHEAD


def _once_killed(mark: Path, number: int) -> int:
    """A piece of work whose process is killed the first time."""
    if number == 3 and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return number * 10


@pytest.mark.slow
def test_a_killed_process_is_replaced(tmp_path: Path) -> None:
    workers = Processes(partial(_once_killed, tmp_path / "killed"), 2)
    assert list(in_order(workers, range(12), lambda *_: None)) == [number * 10 for number in range(12)]
    assert (tmp_path / "killed").exists()
