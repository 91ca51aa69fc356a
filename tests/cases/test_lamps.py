"""End lamps in an order of work: lit and put out where one reaches them, a portable one fetched first and never left in hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.equipment.library import BUILT_IN, Fleet, load_fleet
from headstock.reasoning.checker import check
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.usecases.stop_job import stop_job
from tests.cases.catalogue import PAIR
from tests.cases.jobs import DEMO, planned, steps_of

practice = pytest.mark.outside(source="common practice, no source", clause="end lamps", status="common practice")
HUNG = "as_left:\n  226/2.red_lamp: lit\n"


def job_of(first: str, end: str, parts: bool, folder: Path, left: str = "") -> JobPlan:
    work, word = ("detach", "part") if parts else ("attach", "make")
    path = folder / "job.yaml"
    path.write_text(PAIR.format(work=work, word=word, first=first, second="crag", end=end) + left, encoding="utf-8")
    answer = planned(path)
    assert answer.answer == "yes" and answer.order is not None and answer.domain is not None, answer.reasons
    assert answer.order.proved_best and check(answer.order.steps, answer.domain).holds
    return answer


def from_cabs(of: str, folder: Path) -> Fleet:
    """The demonstration fleet, every lamp of one type switched in its cab."""
    folder.mkdir(exist_ok=True)
    for path in BUILT_IN.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        if path.stem == of:
            text = text.replace("worked_from: ground, as_left", "worked_from: cab, as_left")
        (folder / path.name).write_text(text, encoding="utf-8")
    return load_fleet(folder)


def lamp_steps(answer: JobPlan, end: str) -> list[tuple[str, str | None, str]]:
    return [(step.role, step.place, step.key) for step in steps_of(answer) if f"lamp of {end}" in step.key]


@practice
def test_a_lamp_that_is_switched_in_its_cab_is_lit_there_and_seen_from_outside(tmp_path: Path) -> None:
    answer = job_of("crag", "2", False, tmp_path)
    assert lamp_steps(answer, "226/1") == [("guard", "cab 226/1", "light the red lamp of 226/1, in its cab")]
    assert [place for _, place, _ in lamp_steps(answer, "217/1")] == ["cab 217/1"]
    lit = next(n for n, step in enumerate(steps_of(answer)) if step.key.startswith("light the red lamp of 226/1"))
    look = next(n for n, step in enumerate(steps_of(answer)) if step.key.startswith("look at the outer end 226/1"))
    assert lit < look and steps_of(answer)[look].place == "before 226/1"


@practice
def test_a_portable_lamp_is_fetched_before_it_is_hung_up(tmp_path: Path) -> None:
    """The portion that stays shows red at both ends by the demonstration rules; at one of them it is carried there."""
    found = lamp_steps(job_of("fell", "1", True, tmp_path), "226/2")
    assert [(role, place) for role, place, _ in found] == [("guard", "beside 226"), ("guard", "before 226/2")]
    assert [key for _, _, key in found] == ["take the red lamp of 226/2 from 226: cab 1 locker",
                                           "hang the red lamp of 226/2 on the left lamp bracket, lit"]  # fmt: skip


@practice
def test_a_portable_lamp_that_hangs_at_the_joint_is_taken_down_between_and_stowed_by_the_same_person(tmp_path: Path) -> None:
    found = lamp_steps(job_of("crag", "2", False, tmp_path, HUNG), "226/2")
    assert [(role, place) for role, place, _ in found] == [("shunter", "between"), ("shunter", "beside 226")]


@practice
@pytest.mark.parametrize("after", ["take the red lamp of 226/2 down", "take the red lamp of 226/2 from"])
def test_broken_off_with_a_lamp_in_hand_nobody_keeps_it(after: str, tmp_path: Path) -> None:
    down = after.endswith("down")
    answer = job_of("crag" if down else "fell", "2" if down else "1", not down, tmp_path, HUNG if down else "")
    line = next(n for n, step in enumerate(steps_of(answer), 1) if step.key.startswith(after))
    stopped = stop_job(answer, line)
    assert stopped.answer == "yes", stopped.reasons
    keys = [step.key for step in stopped.steps]
    assert any(key.startswith("stow the red lamp" if down else "hang the red lamp") for key in keys), keys


@pytest.mark.slow
def test_a_parting_with_every_lamp_to_be_worked_from_a_cab_is_proved_best(tmp_path: Path) -> None:
    """Each cab is entered for its lamp, so many orders cost nearly the same."""
    path = tmp_path / "job.yaml"
    path.write_text(PAIR.format(work="detach", word="part", first="fell", second="fell", end="1"), encoding="utf-8")
    answer = plan_job(path, from_cabs("fell", tmp_path / "fleet"))
    assert answer.order is not None and answer.domain is not None, answer.reasons
    assert answer.order.proved_best and check(answer.order.steps, answer.domain).holds
    assert answer.order.cost_s == pytest.approx(2111.5)


@practice
def test_lamps_of_joined_ends_are_put_out_in_their_cabs_with_nobody_between(tmp_path: Path) -> None:
    """The demonstration attaching, every lamp switched in its cab: the driver puts his out, whoever goes between the other."""
    answer = plan_job(DEMO, from_cabs("tarn", tmp_path))
    assert answer.order is not None and answer.domain is not None, answer.reasons
    assert check(answer.order.steps, answer.domain).holds
    assert lamp_steps(answer, "217/2") == [("driver", "cab 217/2", "put out the white lamp of 217/2, in its cab")]
    assert lamp_steps(answer, "226/1") == [("shunter", "cab 226/1", "put out the red lamp of 226/1, in its cab")]
