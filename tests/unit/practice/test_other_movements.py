"""Another movement that wants the road, and two people at the joint, as parts of an exercise."""

from dataclasses import replace
from functools import cache

import pytest

from headstock.base.errors import InputError
from headstock.base.sources import Entry
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.local_rules.yard_calls import YardCalls
from headstock.practice.colleague import Colleagues
from headstock.practice.events import (
    Declared,
    Did,
    Event,
    MovementPassed,
    RoadAnswered,
    RoadAsked,
    Took,
    event_as_data,
    event_from_data,
)
from headstock.practice.exercise import Exercise
from headstock.practice.marking import mark_of
from headstock.practice.other_movements import ANSWERS_AFTER_S, next_of_movements, yard_calls
from headstock.practice.playing import after, folded
from headstock.practice.role_view import view_of
from headstock.practice.sitting import Sitting, begun
from headstock.usecases.exercise_file import exercise_path, load_exercise
from tests.outside import NO_SOURCE
from tests.unit.practice.crew import at_line

practice = pytest.mark.outside(source=NO_SOURCE, clause="a second movement on the road", status="common practice")


@cache
def ready(name: str) -> Exercise:
    return load_exercise(exercise_path(name), load_fleet(), KeptRuns())[1]


@cache
def before(name: str, words: str, besides: int = 1) -> Sitting:
    """The sitting of a ready exercise after the first line of these words, a person in charge."""
    exercise = ready(name)
    line = next(line for line, step in enumerate(exercise.order) if step.key == words)
    return at_line(exercise, line + besides, after(begun(exercise), Took(0.0, "shunter", "J. Tolk")))


def asked(sitting: Sitting, number: int = 0) -> Sitting:
    event = next_of_movements(sitting)
    assert isinstance(event, RoadAsked) and event.movement == sitting.exercise.movements[number].name
    return after(sitting, event)


def answered(sitting: Sitting, gives: bool, number: int = 0) -> Sitting:
    return after(sitting, RoadAnswered(sitting.t_s + 2, "shunter", sitting.exercise.movements[number].name, gives))


INSIDE, OUTSIDE = "go between, ends apart", "give the protection back"


def _clear() -> Sitting:
    """Nobody between; yard control asks for the second time, the first having been refused."""
    return asked(answered(asked(before("attach-road-wanted", OUTSIDE)), False), 1)


@practice
def test_the_road_given_with_somebody_between_is_unsafe_and_kept_it_is_not() -> None:
    sitting = asked(before("attach-road-wanted", INSIDE))
    assert view_of(sitting, "shunter").road_asked and not view_of(sitting, "driver").road_asked
    count = len(sitting.unsafe)
    given = answered(sitting, True)
    assert len(given.unsafe) == count + 1 and "may be used by another movement" in given.unsafe[-1].text
    assert "runs into people" in given.unsafe[-1].hurts and given.unsafe[-1].by_person
    kept = answered(sitting, False)
    assert len(kept.unsafe) == count and kept.state["road"] == "given" and not view_of(kept, "shunter").road_asked


@practice
def test_given_when_all_are_clear_it_is_asked_for_again_before_going_on() -> None:
    sitting = _clear()
    given = answered(sitting, True, 1)
    assert len(given.unsafe) == len(sitting.unsafe) and given.state["road"] == "not given"
    early = after(given, Did(given.t_s + 1, "shunter", "ask for the road"))
    assert early.state["road"] == "not given" and "another movement is on it" in early.notes[-1].text
    gone = next_of_movements(early)
    assert isinstance(gone, MovementPassed) and gone.t_s == pytest.approx(given.t_s + 60)
    again = after(after(early, gone), Did(gone.t_s + 1, "shunter", "ask for the road"))
    assert again.state["road"] == "given" and not mark_of(again).besides


@practice
def test_who_goes_on_without_the_road_is_told_so() -> None:
    sitting = answered(_clear(), True, 1)
    on = after(sitting, Did(sitting.t_s + 5, "shunter", "call to 2 m"))
    assert any("the road not given" in note.text for note in on.unsafe[len(sitting.unsafe) :])


def test_silence_gives_no_road_and_yard_control_calls_again() -> None:
    sitting, calls = asked(before("attach-road-wanted", INSIDE)), 1
    while (event := next_of_movements(sitting)) is not None:
        assert isinstance(event, RoadAsked) and event.t_s == pytest.approx(sitting.t_s + yard_calls(sitting).again_after_s.value)
        sitting, calls = after(sitting, event), calls + 1
    assert calls == yard_calls(sitting).most.value == 3 and sitting.state["road"] == "given"


def test_the_computer_keeps_the_road_for_its_own_job() -> None:
    sitting = after(asked(before("attach-road-wanted", INSIDE)), Took(1e4, "shunter", ""))
    event = next_of_movements(sitting)
    assert event == RoadAnswered(sitting.t_s, "shunter", sitting.exercise.movements[0].name, False)
    assert sitting.t_s > ANSWERS_AFTER_S
    assert after(sitting, event).state["road"] == "given"


@pytest.mark.parametrize(
    ("event", "why"),
    [
        (RoadAnswered(1e4, "driver", "shunting engine to the next road", True), "asked somebody else"),
        (RoadAnswered(1e4, "shunter", "engine back again", True), "has not asked"),
        (RoadAsked(1e4, "a train of thought"), "no such movement"),
        (MovementPassed(1e4, "engine back again"), "not on the road"),
    ],
)
def test_what_cannot_be_is_refused_with_its_reason(event: Event, why: str) -> None:
    with pytest.raises(InputError, match=why):
        after(asked(before("attach-road-wanted", INSIDE)), event)


def test_kept_as_events_it_comes_back_as_it_was() -> None:
    exercise = ready("attach-road-wanted")
    name = exercise.movements[0].name
    course: list[Event] = [RoadAsked(3.0, name), RoadAnswered(5.0, "shunter", name, True), MovementPassed(70.0, name)]
    sitting = folded(exercise, course)
    again = folded(exercise, (event_from_data(event_as_data(event)) for event in course))
    assert again.notes == sitting.notes and again.movements == sitting.movements and dict(again.state) == dict(sitting.state)


@practice
@pytest.mark.parametrize("name", ["two-between", "two-between-called-away", "attach-road-wanted"])
def test_the_computer_alone_does_the_whole_of_it_safely(name: str) -> None:
    exercise = ready(name)
    sitting, colleagues = begun(exercise), Colleagues(exercise)
    for _ in range(600):
        event = colleagues.next_event(sitting)
        if event is None:
            break
        sitting = after(sitting, event)
    mark = mark_of(after(sitting, Declared(sitting.t_s, exercise.roles[0])))
    assert mark.is_safe and mark.is_as_instructed, (mark.unsafe, mark.left_out, mark.before_time)
    assert {one.stage for one in sitting.movements.values()} <= {"kept"} and len(sitting.movements) == len(exercise.movements)


@practice
def test_nobody_moves_before_both_are_out() -> None:
    exercise = ready("two-between")
    both = next(line for line, step in enumerate(exercise.order) if step.key == "go between, coupled, the guard") + 1
    sitting = at_line(exercise, both)
    assert {sitting.place_of("shunter"), sitting.place_of("guard")} == {"between"}
    shunter_out = sitting
    for words in ("come out from between", "give the protection back"):
        shunter_out = after(shunter_out, Did(shunter_out.t_s + 2, "shunter", words))
    assert shunter_out.place_of("guard") == "between"
    moved = after(shunter_out, Did(shunter_out.t_s + 5, "driver", f"unlock the brake valve, cab {exercise.task.driven_from}"))
    assert any("guard" in note.text for note in moved.unsafe[len(shunter_out.unsafe) :]), moved.unsafe


def test_how_often_yard_control_calls_is_for_the_local_rules_to_say() -> None:
    sitting = asked(before("attach-road-wanted", INSIDE))
    task = sitting.exercise.task
    calls = YardCalls(again_after_s=Entry[float](value=90.0, source="ours"), most=Entry[int](value=2, source="ours"))

    def by(said: YardCalls | None) -> Sitting:
        rules = task.rules.model_copy(update={"yard_calls": said})
        return replace(sitting, exercise=replace(sitting.exercise, task=replace(task, rules=rules)))

    second = next_of_movements(by(calls))
    assert isinstance(second, RoadAsked) and second.t_s == pytest.approx(sitting.t_s + 90.0)
    assert next_of_movements(after(by(calls), second)) is None, "two calls in all"
    unsaid = next_of_movements(by(None))
    assert unsaid is not None and unsaid.t_s == pytest.approx(sitting.t_s + 60.0)
