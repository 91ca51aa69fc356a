"""Colleagues played by the computer."""

from collections.abc import Callable

import pytest

from headstock.practice.colleague import Colleagues
from headstock.practice.events import Declared, Took
from headstock.practice.exercise import Exercise, Hidden, Lapse
from headstock.practice.marking import mark_of
from headstock.practice.playing import after
from headstock.practice.sitting import Sitting, begun

Make = Callable[..., Exercise]


def _play(exercise: Exercise, sitting: Sitting | None = None, most: int = 600) -> Sitting:
    sitting, colleagues = sitting or begun(exercise), Colleagues(exercise)
    for _ in range(most):
        event = colleagues.next_event(sitting)
        if event is None:
            break
        sitting = after(sitting, event)
    return sitting


@pytest.mark.parametrize("job", ["demo-attach", "demo-detach", "demo-rescue", "alone-attach", "screw-attach", "failed-release"])
def test_alone_they_do_the_whole_job_safely(exercise: Make, job: str) -> None:
    made = exercise(job)
    done = _play(made)
    mark = mark_of(after(done, Declared(done.t_s, made.roles[0])))
    assert mark.is_safe, mark.unsafe
    assert mark.is_as_instructed, (mark.left_out, mark.before_time)


def test_they_wait_for_a_person_who_does_nothing(exercise: Make) -> None:
    made = exercise()
    sitting = _play(made, after(begun(made), Took(0.0, "driver", "M. Iden")))
    assert not any(step.role == "driver" for _, step in sitting.done)
    assert sitting.t_s < 3600.0 and not sitting.unsafe


def test_a_planted_mistake_is_made_and_the_look_that_is_left_finds_it(exercise: Make) -> None:
    made = exercise()
    line = next(number for number, step in enumerate(made.order, start=1) if step.key.startswith("put the pin keeper"))
    sitting = _play(exercise(lapses=(Lapse(line, "left out"),)), most=200)
    assert all(not step.key.startswith("put the pin keeper") for _, step in sitting.done)
    assert any(note.kind == "saw" and "keeper" in note.text for note in sitting.notes)


def test_a_colleague_who_sees_something_wrong_says_so(exercise: Make) -> None:
    made = exercise(hidden=(Hidden("217/2.coupler.head", "dropped"),))
    sitting = _play(made, most=200)
    assert any(note.kind == "found" and note.about == "217/2.coupler.head" for note in sitting.notes)
