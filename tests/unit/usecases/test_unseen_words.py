"""What is done next where only what no look from the side shows is left. The steps are common practice, no source."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

from headstock.brake_test.causes import Cause
from headstock.brake_test.look_places import LookPlace
from headstock.brake_test.look_walk import LookWalk
from headstock.devices.gauge import GaugeSpec
from headstock.formation.train import Train
from headstock.usecases.unseen_words import FEED, FITTER, STAYS, next_when_unseen
from tests.cases.drawn_trains import task_of

FIRST, SECOND = Cause("pipe blocked", "217/2 and 226/1"), Cause("pipe blocked", "226/2 and 229/1")


def search_of(vehicles: int = 8, verdict: str = "not within limits") -> Any:
    """As much of a search as the words ask for, about a real train."""
    task = task_of(vehicles, "rear-application")
    judged = SimpleNamespace(judgement=SimpleNamespace(verdict=verdict))
    return SimpleNamespace(judged=judged, test=SimpleNamespace(tested=task.air.tested, signatures=SimpleNamespace(task=task)))


def left(*causes: Cause) -> LookWalk:
    return LookWalk((), 0.0, causes)


def test_the_train_stays_the_gauges_on_either_side_are_named_and_a_fitter_looks() -> None:
    first, lies, sure, fitter = next_when_unseen(search_of(), left(FIRST))
    assert first == STAYS and fitter == FITTER
    assert "between the brake pipe gauges at 217/2 and 226/1" in lies and "at 217/2, 226/1 while the air moves" in sure


def test_of_two_joints_the_gauges_between_are_read_from_the_front() -> None:
    said = next_when_unseen(search_of(12), left(SECOND, FIRST))
    between = {frozenset(line.rpartition("gauges at ")[2].rstrip(".").split(" and ")) for line in said[1:3]}
    assert between == {frozenset(("217/2", "226/1")), frozenset(("226/2", "229/1"))}
    read = said[3].partition("the gauges at ")[2].partition(" while")[0].split(", ")
    at_m = search_of(12).test.signatures.task.air.air.brake_m
    assert set(read) == {"217/2", "226/1", "226/2", "229/1"} and read == sorted(read, key=lambda end: at_m[end])


def test_where_no_cab_of_the_joint_has_a_gauge_the_next_ones_are_named(monkeypatch: Any) -> None:
    whole = Train.devices
    bare = ("217/2", "226/1")

    def devices(train: Train) -> Any:
        return ((at, spec) for at, spec in whole(train) if not (isinstance(spec, GaugeSpec) and at.where in bare))

    search = search_of()
    monkeypatch.setattr(Train, "devices", devices)
    assert "gauges at 217/1 and 226/2" in next_when_unseen(search, left(FIRST))[1]
    bare = ("217/2", "226/1", "226/2")
    steps = next_when_unseen(search, left(FIRST))
    assert "gauges cannot tell" in steps[1] and steps[2] == FITTER, "nothing is to be read there"


def test_a_reservoir_that_is_not_fed_is_the_fitters_and_no_gauge_is_named() -> None:
    first, feed = next_when_unseen(search_of(), left(Cause("reservoir not fed", "2263")))
    assert first == STAYS and feed == f"Reservoir of 2263 not fed? {FEED}"


def test_nothing_is_added_while_there_is_something_to_look_at_or_all_is_within_limits() -> None:
    place = LookPlace("end", "217/2", 81.0, 0.05, frozenset({FIRST}))
    assert next_when_unseen(search_of(), LookWalk((place,), 1.0, (FIRST,))) == ()
    assert next_when_unseen(search_of(), left()) == ()
    assert next_when_unseen(search_of(verdict="within limits"), left(FIRST)) == ()
