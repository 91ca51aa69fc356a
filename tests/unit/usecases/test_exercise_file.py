"""Exercise files: the ready ones can all be sat; faults are named with place and cure."""

from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.practice.colleague import Colleagues
from headstock.practice.playing import after
from headstock.practice.sitting import begun
from headstock.usecases.exercise_file import exercise_path, load_exercise, read_exercise, ready_exercises

FLEET = load_fleet()


def test_there_are_enough_ready_exercises() -> None:
    assert len(ready_exercises()) >= 24


@pytest.mark.parametrize("name", ready_exercises())
def test_a_ready_exercise_can_be_sat(name: str) -> None:
    given, exercise = load_exercise(exercise_path(name), FLEET, KeptRuns())
    assert given.invented
    sitting, colleagues = begun(exercise), Colleagues(exercise)
    for _ in range(12):
        event = colleagues.next_event(sitting)
        assert event is not None
        sitting = after(sitting, event)
    assert sitting.done


@pytest.mark.parametrize("name", ready_exercises())
def test_a_title_gives_nothing_away(name: str) -> None:
    given = read_exercise(exercise_path(name))
    for key in given.hidden:
        assert not set(key.replace("/", ".").replace("_", " ").split(".")[-1].split()) & set(given.title.lower().split())


PLAIN = """headstock: exercise 1
title: One
invented: true
about: For a test.
job: demo-attach
"""


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ("hidden: {217/2.coupler.heed: dropped}\n", "nothing of that name"),
        ("hidden: {217/2.coupler.head: sideways}\n", "not a state of this"),
        ("lapses:\n  - {role: shunter, step: sing a song, kind: left out}\n", "no such line"),
        ("lapses:\n  - {role: shunter, step: ask for the road, kind: forgotten}\n", "kind"),
        ("lapses:\n  - {role: shunter, step: ask for the road, kind: not really looked}\n", "looked at"),
        ("lapses:\n  - {role: shunter, step: put the pin keeper of 226/1 in, kind: not said}\n", "said and nothing else"),
        ('faults:\n  - {kind: pipe leaks, place: "2299", severity: 1.0}\n', "no such place"),
        ('faults:\n  - {kind: pipe leaks, place: "2263"}\n', "not how bad"),
        ("faults:\n  - {kind: cock part open, place: 226/1.brake_pipe_cock, severity: 2.0}\n", "not how bad"),
        ("colour: red\n", "colour"),
    ],
)
def test_a_fault_is_named_with_its_place(tmp_path: Path, more: str, said: str) -> None:
    path = tmp_path / "one.yaml"
    path.write_text(PLAIN + more, encoding="utf-8")
    with pytest.raises(InputError) as raised:
        load_exercise(path, FLEET)
    assert said in raised.value.text() and str(path.name) in raised.value.text()


def test_an_unknown_job_names_the_nearest(tmp_path: Path) -> None:
    path = tmp_path / "one.yaml"
    path.write_text(PLAIN.replace("demo-attach", "demo-atach"), encoding="utf-8")
    with pytest.raises(InputError, match="nearest demo-attach"):
        load_exercise(path, FLEET)
