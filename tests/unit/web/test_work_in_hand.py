"""Pieces of work: one for each question, told how far they are, stopped where they next say so."""

import threading
import time

import pytest

from headstock.web import work_in_hand
from headstock.web.work_in_hand import LongWorks, Stopped, Tell


@pytest.fixture(autouse=True)
def no_patience(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work_in_hand, "PATIENCE_S", 0.01)


def test_a_piece_is_begun_once_and_says_how_far_it_is() -> None:
    works, go, begun = LongWorks(), threading.Event(), []

    def work(tell: Tell) -> None:
        begun.append(1)
        tell(3, 7)
        go.wait(5)

    first = works.begin(("can", "a"), "Reckoning", work)
    second = works.begin(("can", "a"), "Reckoning", work)
    assert first is second and begun == [1] and (first.done, first.of) == (3, 7) and not first.ended.is_set()
    go.set()
    assert first.ended.wait(5) and first.error is None
    assert works.begin(("can", "a"), "Reckoning", lambda tell: None) is not first, "what has ended is begun anew"


def test_a_piece_that_is_stopped_ends_where_it_next_says_how_far_it_is() -> None:
    works, done = LongWorks(), []

    def work(tell: Tell) -> None:
        for number in range(500):
            tell(number, 500)
            time.sleep(0.01)
        done.append(1)

    piece = works.begin(("can", "a"), "Reckoning", work)
    works.stop(("can", "a"))
    assert piece.ended.wait(5) and isinstance(piece.error, Stopped) and not done


def test_an_error_is_kept_for_whoever_asks() -> None:
    def work(_: Tell) -> None:
        raise ValueError("broken")

    piece = LongWorks().begin(("can", "a"), "Reckoning", work)
    assert piece.ended.wait(5) and str(piece.error) == "broken"


def test_stopping_what_is_not_there_does_nothing() -> None:
    LongWorks().stop(("can", "a"))


def test_what_is_asked_again_while_it_is_being_stopped_begins_anew() -> None:
    works, go_on = LongWorks(), threading.Event()

    def slow_to_stop(tell: Tell) -> None:
        go_on.wait(5)
        tell(1, 2)

    first = works.begin(("can", "a"), "Reckoning", slow_to_stop)
    works.stop(("can", "a"))
    second = works.begin(("can", "a"), "Reckoning", slow_to_stop)
    assert second is not first
    go_on.set()
    assert first.ended.wait(5) and second.ended.wait(5)
    assert isinstance(first.error, Stopped) and second.error is None
    assert works.begin(("can", "a"), "Reckoning", lambda _: None) is not second
