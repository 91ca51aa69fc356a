"""So much at once, waited for so long; the same question is worked out once."""

import threading
from concurrent.futures import ThreadPoolExecutor

import pytest

from headstock.base.errors import Fault, InputError, NotFoundWithinBudgetError
from headstock.web.long_work import LongWork


def test_the_same_question_is_worked_out_once() -> None:
    go, counted = threading.Event(), list[int]()

    def work() -> int:
        counted.append(1)
        go.wait(5)
        return 7

    work_at = LongWork(patience_s=0.05)
    with pytest.raises(NotFoundWithinBudgetError):  # begun, and not done yet
        work_at.answer(("a",), work)
    with ThreadPoolExecutor(4) as threads:
        for asked in [threads.submit(work_at.answer, ("a",), work) for _ in range(4)]:
            assert isinstance(asked.exception(5), NotFoundWithinBudgetError)
    work_at.patience_s = 5.0
    later = threading.Timer(0.05, go.set)
    later.start()
    assert work_at.answer(("a",), work) == 7 and len(counted) == 1
    later.join()


def test_too_long_is_said_and_goes_on() -> None:
    go = threading.Event()
    long_work = LongWork(patience_s=0.05)
    with pytest.raises(NotFoundWithinBudgetError, match="it goes on"):
        long_work.answer(("slow",), lambda: go.wait(5))
    go.set()
    long_work.close()


def test_too_many_are_turned_away() -> None:
    go = threading.Event()
    long_work = LongWork(at_once=1, most=2, patience_s=0.05)
    for name in ("a", "b"):
        with pytest.raises(NotFoundWithinBudgetError, match="it goes on"):
            long_work.answer((name,), lambda: go.wait(5))
    with pytest.raises(NotFoundWithinBudgetError, match="already"):
        long_work.answer(("c",), lambda: 1)
    go.set()
    long_work.close()


def test_errors_reach_whoever_asked() -> None:
    def refuse() -> None:
        raise InputError(Fault("no"))

    with pytest.raises(InputError):
        LongWork().answer(("x",), refuse)
