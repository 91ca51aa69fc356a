"""An exercise sat at a terminal: typed as somebody would who reads what is on the screen, well and badly."""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Callable, Iterator

import pytest

from headstock.cli.commands.exercise_sit import run_sit
from headstock.reasoning.step import Step
from headstock.usecases.exercise_file import exercise_path, load_exercise
from headstock.wiring import air_engine, fleet_from

Sit = Callable[..., tuple[int, str]]


class Typing(io.StringIO):
    """A keyboard whose next line is decided when it is asked for."""

    def __init__(self, lines: Iterator[str]) -> None:
        super().__init__()
        self.lines = lines

    def readline(self, _: int | None = -1, /) -> str:  # type: ignore[override]
        return next(self.lines, "") + "\n"


@pytest.fixture
def sit(monkeypatch: pytest.MonkeyPatch) -> Sit:
    def sat(name: str, role: str | None, lines: Iterator[str], out: io.StringIO) -> tuple[int, str]:
        monkeypatch.setattr(sys, "stdin", Typing(lines))
        monkeypatch.setattr(sys, "stdout", out)
        status = run_sit(name, role, False, None)
        return status, out.getvalue()

    return sat


def typed(sit: Sit, name: str, role: str | None, *lines: str) -> tuple[int, str]:
    return sit(name, role, iter((*lines, "end")), io.StringIO())


def clocks(said: str) -> list[str]:
    return re.findall(r"^(\d\d:\d\d)  \w+, ", said, re.MULTILINE)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("wait", "no such figure @ wait: found nothing, expected seconds, 0 to 3600"),
        ("wait nan", "no such figure @ wait: found nan, expected seconds, 0 to 3600"),
        ("wait -5", "no such figure @ wait: found -5, expected seconds, 0 to 3600"),
        ("wait 1e9", "no such figure @ wait: found 1e9, expected seconds, 0 to 3600"),
        ("99", "no such number: found 99, expected 1 to 29"),
        ("0", "no such number: found 0, expected 1 to 29"),
        ("finnished", "not understood: found finnished, expected a number, or wait, done, not good, near, set, wrong, role"),
        ("done 3.4", "nothing is begun that could be ended @ done"),
        ("not good", "nothing is begun that could be ended @ not good"),
        ("role driver", "no role of yours @ role: found driver, expected shunter"),
        ("wrong", "what is wrong? @ wrong: found nothing"),
        ("set 217/2.red_lmp lit", "no such device @ key: found 217/2.red_lmp; nearest 217/2.red_lamp"),
        ("set 217/2.red_lamp green", "not a state of it @ value: found green, expected"),
    ],
)
def test_what_cannot_be_meant_is_said_with_its_place_and_costs_no_time(sit: Sit, line: str, told: str) -> None:
    status, said = typed(sit, "attach-plain", "shunter", line)
    assert told in said and status == 0
    assert clocks(said) == ["00:00"], "neither did time pass nor was all of it shown again"


def test_it_says_who_one_is_what_is_near_and_that_stop_was_called(sit: Sit) -> None:
    _, said = typed(sit, "attach-plain", "shunter", "near", "?", "STOP")
    assert "You are the shunter; the computer plays the driver and the guard." in said
    assert "217/2.red_lamp: red lamp of 217/2 off; could be: lit" in said
    assert "near               what is within reach" in said and "  the shunter: stop called" in said
    assert "shunter, clear of the joint, with the guard" in said
    assert "“To 2 m, stop there.”" in said, "in an exercise for learning the phrases are shown"


def test_where_the_clock_holds_an_unsafe_act_is_said_at_once_and_waits(sit: Sit) -> None:
    status, said = typed(sit, "attach-strict", "shunter", "5")
    assert status == 1
    held = said.index("Held: that was unsafe. The clock stands.")
    assert "A person between is crushed when the ends move." in said[held : said.index("Enter goes on from here")]
    assert len(clocks(said)) == 1, "end at the hold leaves the sitting"
    _, on = typed(sit, "attach-strict", "shunter", "5", "", "wait 10")
    assert clocks(on) == ["00:00", "00:02", "00:12"]
    _, free = typed(sit, "attach-plain", "shunter", "5")
    assert "Held" not in free and "00:02  shunter: go between" in free and "protected. A person between" in free


def as_written(order: tuple[Step, ...], out: io.StringIO) -> Iterator[str]:
    """Line by line: change the role, hear what waits, walk, act, and end with what the gauge on the screen shows."""
    for step in order:
        yield f"role {step.role}"
        while heard := re.search(r"^  (\d+)  heard from", screen(out), re.MULTILINE):
            yield heard[1]
        if number_of(out, re.escape(step.key)) is None and step.place is not None:
            yield from walked(step, out)
        number = number_of(out, re.escape(step.key))
        assert number is not None, (step.key, screen(out))
        yield number
        if "at it for" in screen(out):
            yield f"wait {min(step.duration_s, 3000.0)}"
            shows = re.search(r"brake pipe, cab \S+ (\d+\.\d) psi", screen(out))
            yield f"done {shows[1]} psi" if shows and step.key.startswith("test") else "done"
    for role in ("driver", "shunter", "guard"):
        yield f"role {role}"
        while heard := re.search(r"^  (\d+)  heard from", screen(out), re.MULTILINE):
            yield heard[1]
    yield "finished"


def walked(step: Step, out: io.StringIO) -> Iterator[str]:
    """To wherever the step can then be done: the places are tried as they stand on the screen."""
    for label in re.findall(r"^  \d+  go: (.+), \d+ s$", screen(out), re.MULTILINE):
        if PLACES[label] == step.place:
            number = number_of(out, f"go: {re.escape(label)},")
            assert number is not None
            yield number


PLACES: dict[str, str] = {}


def screen(out: io.StringIO) -> str:
    """What stands on the screen since the clock was shown last."""
    return re.split(r"^(?=\d\d:\d\d  )", out.getvalue(), flags=re.MULTILINE)[-1]


def number_of(out: io.StringIO, words: str) -> str | None:
    found = re.search(rf"^  (\d+)  {words}", screen(out), re.MULTILINE)
    return found[1] if found else None


def test_a_whole_job_in_psi_is_sat_from_what_the_screen_shows(sit: Sit) -> None:
    _, exercise = load_exercise(exercise_path("second-plain"), fleet_from(None), air_engine())
    assert exercise.task.rules.pressure_unit == "psi", "what the list says of it"
    PLACES.update({place.label: key for key, place in exercise.domain.places.items()})
    out = io.StringIO()
    status, said = sit("second-plain", None, as_written(exercise.order, out), out)
    assert " bar" not in said and "psi" in said
    assert status == 0, said[said.rindex("Safe:") :]
    assert said.splitlines()[-2:] == ["Safe: nothing unsafe was done", "As the instruction says: line by line"]
