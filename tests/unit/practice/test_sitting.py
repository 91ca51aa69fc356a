"""A sitting: a fold over events, on the air that moves as it does."""

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from headstock.base.errors import InputError
from headstock.brake_test.causes import Cause
from headstock.practice.acting import least_s
from headstock.practice.events import Did, Ended, Heard, Planted, Stopped, Took, Turned, Walked, event_as_data, event_from_data
from headstock.practice.exercise import Exercise, Hidden
from headstock.practice.instruction_ties import earlier_lines
from headstock.practice.marking import mark_of
from headstock.practice.playing import after, folded
from headstock.practice.role_view import gauges_in_sight
from headstock.practice.sitting import at_time, begun
from headstock.practice.talk_through import talk_through_of
from headstock.reasoning.step import Step
from tests.unit.practice.crew import at_line, events_of, played

Make = Callable[..., Exercise]
JOBS = ["demo-attach", "demo-detach", "demo-rescue", "alone-attach", "screw-attach", "second-attach", "part-made-attach",
        "failed-release"]  # fmt: skip


@pytest.mark.parametrize("job", JOBS)
def test_a_crew_that_does_the_order_of_work_is_safe_and_as_instructed(exercise: Make, job: str) -> None:
    mark = mark_of(played(exercise(job)))
    assert mark.is_safe, mark.unsafe
    assert mark.is_as_instructed and mark.is_finished and not mark.missing_at_the_end


def _another_safe_order(order: tuple[Step, ...], draw: Random) -> tuple[Step, ...]:
    """Lines drawn one after another among those whose forerunners are done."""
    earlier, left, found = earlier_lines(order), set(range(len(order))), []
    while left:
        ready = [line for line in sorted(left) if not earlier[line] & left]
        line = draw.choice(ready[:2])
        left.remove(line)
        found.append(order[line])
    return tuple(found)


@pytest.mark.parametrize("seed", range(4))
def test_an_order_in_which_free_lines_change_places_stays_as_instructed(exercise: Make, seed: int) -> None:
    made = exercise("alone-attach")
    order = _another_safe_order(made.order, Random(seed))
    mark = mark_of(played(made, order))
    assert not mark.before_time and not mark.besides and not mark.left_out


def test_the_same_events_give_the_same_sitting_to_the_last_bit(exercise: Make) -> None:
    made = exercise()
    course = list(events_of(begun(made), made.order[:60]))
    last = course[-1][1]
    again = folded(made, (event_from_data(event_as_data(event)) for event, _ in course))
    assert again.notes == last.notes and dict(again.state) == dict(last.state)
    assert again.air is not None and last.air is not None
    assert (again.air.shows_pa == last.air.shows_pa).all()


def test_gauges_follow_the_valve_and_not_the_word(exercise: Make) -> None:
    made = exercise()
    sitting = at_line(made, 4)
    cab = made.task.driven_from
    assert sitting.air is not None and sitting.air.pipe_bar(cab) < 4.0
    charging = after(sitting, Did(sitting.t_s + 1, "driver", f"charge the pipe to let the air brake off, cab {cab}"))
    soon = after(charging, Ended(charging.t_s + 0.2, "driver"))
    assert soon.state["217.brake_pipe"] != "charged" and any("before it was so" in note.text for note in soon.unsafe)
    later = after(charging, Ended(charging.t_s + 60.0, "driver"))
    assert later.state["217.brake_pipe"] == "charged"
    assert not any("before it was so" in note.text for note in later.unsafe)


def test_going_between_without_protection_is_unsafe_for_the_right_reason(exercise: Make) -> None:
    sitting = after(begun(exercise()), Did(5.0, "shunter", "go between, ends apart"))
    assert any("is protected" in note.text for note in sitting.unsafe)
    assert sitting.place_of("shunter") == "between"


def test_drawing_up_without_a_call_is_unsafe(exercise: Make) -> None:
    made = exercise()
    order = [step for step in made.order[:40] if not step.key.startswith("call to")]
    mark = mark_of(played(made, order, declare=False))
    assert any("called to" in note.text for note in mark.unsafe)


def test_what_is_hidden_is_seen_by_a_look_and_by_nothing_else(exercise: Make) -> None:
    made = exercise(hidden=(Hidden("217/2.coupler.head", "dropped"),))
    line = next(number for number, step in enumerate(made.order) if step.key.startswith("look at the end 217/2"))
    before = played(made, made.order[:line], declare=False)
    assert not any(note.kind == "saw" for note in before.notes)
    after_look = played(made, made.order[: line + 1], declare=False)
    assert "dropped" in next(note.text for note in after_look.notes if note.kind == "saw")
    assert after_look.run.knows("shunter", ("217/2.coupler.head", "dropped"))


def test_a_test_that_does_not_pass_called_good_is_misread(exercise: Make) -> None:
    made = exercise()
    line = next(number for number, step in enumerate(made.order) if "rear applied" in step.key)
    sitting = played(made, made.order[:line], declare=False)
    step = made.order[line]
    begun_it = after(sitting, Did(sitting.t_s + 1, step.role, step.key))
    read = after(begun_it, Ended(begun_it.t_s + 0.5, step.role, 3.4, True))
    assert any(note.kind == "misread" for note in read.unsafe)
    refused = after(begun_it, Ended(begun_it.t_s + 0.5, step.role, 4.9, False))
    assert refused.state["brake_test"] == "none" and not any(note.kind == "misread" for note in refused.notes)


def test_a_figure_that_the_gauge_did_not_show_is_misread_and_a_mark_more_or_less_is_not(exercise: Make) -> None:
    made = exercise()
    taken = begun(made)
    for role in made.roles:
        taken = after(taken, Took(0.0, role, f"the {role}"))
    for words, reads in (("rear applied", 0.0), ("no rise", 0.0)):
        line = next(number for number, step in enumerate(made.order) if words in step.key)
        step, sitting = made.order[line], at_line(made, line)
        busy = after(replace(sitting, people=taken.people), Did(sitting.t_s + 1, step.role, step.key))
        ends_s = busy.t_s + max(step.duration_s, least_s(busy, step))
        gauge = gauges_in_sight(at_time(busy, ends_s), step.role)[0]
        for read_bar, is_misread in (
            (gauge.shows_bar, False), (gauge.shows_bar + gauge.mark_bar, False), (gauge.shows_bar + 1.5 * gauge.mark_bar, True),
            (reads, words != "no rise"), (None, False),
        ):  # fmt: skip
            ended = after(busy, Ended(ends_s, step.role, read_bar))
            misread = [note.text for note in talk_through_of(ended).notes if note.kind == "misread"]
            assert bool(misread) == is_misread, (words, read_bar, misread)
            assert all(f"the {gauge.name} gauge showed {gauge.shows_bar:g} bar" in text for text in misread)


@pytest.mark.parametrize("is_touched", [False, True])
def test_words_hand_over_what_was_known_when_they_were_said_however_late_they_are_heard(exercise: Make, is_touched: bool) -> None:
    made = exercise()
    telling = next(step for step in made.order if step.key == "tell the driver: brake pipe cock of 226/1 open")
    back = max(number for number, step in enumerate(made.order) if step.key == "give the protection back")
    sitting = begun(made)
    for role in ("driver", "shunter"):
        sitting = after(sitting, Took(0.0, role, f"the {role}"))
    sitting = at_line(made, back + 1, sitting)
    assert not sitting.run.knows("shunter", telling.tells[0]), "who has come out knows it for as long as nobody was in there"
    if is_touched:
        run = sitting.run.copy()
        run.carry_out(Step("shut it again", "guard", None, effects=((telling.tells[0][0], "shut"),)))
        sitting = replace(sitting, run=run)
    heard = after(sitting, Heard(sitting.t_s + 60.0, "driver", "shunter", telling.key))
    assert heard.run.knows("driver", telling.tells[0]) != is_touched


def test_colleagues_are_not_asked_for_a_figure(exercise: Make) -> None:
    made = exercise()
    line = next(number for number, step in enumerate(made.order) if "rear applied" in step.key)
    step, sitting = made.order[line], at_line(made, line)
    busy = after(sitting, Did(sitting.t_s + 1, step.role, step.key))
    ended = after(busy, Ended(busy.t_s + 60.0, step.role, 0.0))
    assert not any(note.kind == "misread" for note in ended.notes)


def test_a_shut_cock_planted_under_way_shows_at_the_rear(exercise: Make) -> None:
    made = exercise()
    line = next(number for number, step in enumerate(made.order) if "rear charged" in step.key)
    sitting = played(made, made.order[:line], declare=False)
    shut = after(sitting, Planted(sitting.t_s, "226/1.brake_pipe_cock", "shut"))
    assert shut.air is not None
    lapped = after(shut, Turned(shut.t_s, "driver", "217/1.brake_valve", "full"))
    later = after(lapped, Walked(lapped.t_s + 60.0, "shunter", "joint"))
    assert later.air is not None
    front, rear = made.task.controls, made.task.rear_cab
    assert later.air.pipe_bar(front) < 3.6 and later.air.pipe_bar(rear) > 4.7


def test_what_is_hidden_in_the_air_moves_the_gauges_and_no_device(exercise: Make) -> None:
    made = exercise()
    line = next(number for number, step in enumerate(made.order) if "front fallen" in step.key)
    leaking = replace(made, faults=(Cause("pipe leaks", "2263", 1.5),))
    sound, leaks = at_line(made, line), at_line(leaking, line)
    assert sound.air is not None and leaks.air is not None
    front = made.task.controls
    assert leaks.air.pipe_bar(front) < sound.air.pipe_bar(front) - 0.2
    assert dict(sound.state) == dict(leaks.state)


def test_words_are_known_when_heard_and_not_when_said(exercise: Make) -> None:
    made = exercise()
    sitting = after(begun(made), Took(0.0, "shunter", "A. Rook"))
    line = next(number for number, step in enumerate(made.order) if step.tells and step.hearer == "shunter")
    step = made.order[line]
    sitting = at_line(made, line + 1, sitting)
    assert not sitting.run.knows("shunter", step.tells[0])
    heard = after(sitting, Heard(sitting.t_s + 1, "shunter", step.role, step.key))
    assert heard.run.knows("shunter", step.tells[0])


def test_out_of_reach_is_out_of_reach(exercise: Make) -> None:
    sitting = after(begun(exercise()), Turned(1.0, "guard", "217/1.brake_pipe_cock", "open"))
    assert sitting.state["217/1.brake_pipe_cock"] == "shut" and sitting.notes[-1].kind == "noticed"


def test_a_hose_is_joined_by_a_step_and_not_by_wishing(exercise: Make) -> None:
    between = after(begun(exercise()), Did(1.0, "shunter", "go between, ends apart"))
    wished = after(between, Turned(2.0, "shunter", "226/1.brake_pipe_hose", "joined"))
    assert wished.state["226/1.brake_pipe_hose"] != "joined" and wished.notes[-1].kind == "noticed"


@pytest.mark.parametrize(
    "data",
    [
        {"kind": "flew", "t_s": 1.0},
        {"kind": "did", "t_s": 1.0, "role": "driver"},
        {"kind": "did", "t_s": "soon", "role": "driver", "step": "x"},
        {"kind": "did", "t_s": 1.0, "role": "driver", "step": "x", "more": 1},
        {"kind": "did", "t_s": 1.0, "role": "cook", "step": "x"},
        {"kind": "did", "t_s": 1.0, "role": "driver", "step": "no such thing"},
        {"kind": "turned", "t_s": 1.0, "role": "driver", "key": "217/9.cock", "value": "open"},
        {"kind": "turned", "t_s": 1.0, "role": "driver", "key": "217/2.brake_valve", "value": "sideways"},
        {"kind": "walked", "t_s": 1.0, "role": "driver", "place": "moon"},
        {"kind": "ended", "t_s": 1.0, "role": "driver"},
        {"kind": "heard", "t_s": 1.0, "role": "driver", "speaker": "guard", "step": "go between, ends apart"},
    ],
)
def test_what_nobody_could_mean_is_refused_and_changes_nothing(exercise: Make, data: dict[str, object]) -> None:
    with pytest.raises(InputError):
        after(begun(exercise()), event_from_data(data))


def test_nothing_happens_before_what_has_happened(exercise: Make) -> None:
    sitting = after(begun(exercise()), Walked(9.0, "shunter", "beside 226"))
    with pytest.raises(InputError, match="before what has happened"):
        after(sitting, Walked(8.0, "shunter", "joint"))


def test_a_sitting_that_is_over_takes_nothing_more(exercise: Make) -> None:
    over = after(begun(exercise()), Stopped(1.0))
    with pytest.raises(InputError, match="over"):
        after(over, Walked(2.0, "shunter", "beside 226"))


def test_something_hidden_that_is_not_there_is_refused(exercise: Make) -> None:
    for hidden in (Hidden("217/2.no_such", "open"), Hidden("217/2.coupler.head", "sideways")):
        with pytest.raises(InputError):
            begun(replace(exercise(), hidden=(hidden,)))
