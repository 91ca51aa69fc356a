"""A job broken off after any line: there is a way to a safe state, the checker accepts it, and bad ways are refused."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.procedures.broken_off import whole_of
from headstock.reasoning.checker import Complaint, check
from headstock.reasoning.step import Step
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_job import JobStopped, stop_job
from tests.cases.catalogue import JOBS
from tests.cases.couplings import PAIRS, PARTED, Pair, coupling
from tests.cases.half_done import end_state, line_after, what_is_not_safe
from tests.cases.jobs import ALONE, DEMO, PART, SCREW, SECOND, planned

LIMIT_S = 1.0
"""Design: under a second for each line. The slow sweep allows three times that, on a machine that others use too."""


def every_line_is_left_safe(plan: JobPlan, at_each: int = 1, limit_s: float = 3 * LIMIT_S) -> int:
    """Breaks a job off after each line (or every so many); returns how many were tried."""
    assert plan.order is not None and plan.assembled.task is not None, plan.reasons
    tried = 0
    for line in range(0, len(plan.order.steps) + 1, at_each):
        begun = time.perf_counter()
        found = stop_job(plan, line)
        assert time.perf_counter() - begun < limit_s, line
        assert found.answer == "yes", (line, found.reasons)
        run = end_state(found)
        assert [one.text for one in run.complaints if one.line > 0] == [], line
        assert what_is_not_safe(plan.assembled.task, run) == [], line
        tried += 1
    return tried


@pytest.mark.parametrize("path", [DEMO, PART, SCREW], ids=lambda path: path.stem)
def test_from_lines_all_along_a_job_there_is_a_way_to_leave_it_safe(path: Path) -> None:
    """Every third line; every line in the slow tests."""
    assert every_line_is_left_safe(planned(path), 3) > 20


@pytest.mark.slow
def test_from_every_line_of_a_job_in_which_air_holds_the_moving_portion() -> None:
    assert every_line_is_left_safe(planned(SECOND, True)) > 90


@pytest.mark.slow
@pytest.mark.parametrize("job", JOBS, ids=lambda job: f"{job.name}-{'air' if job.by_air else 'brakes'}")
def test_from_every_line_of_every_catalogue_job(job: object, tmp_path: Path) -> None:
    assert every_line_is_left_safe(planned(job.path(tmp_path), job.by_air)) > 40  # type: ignore[attr-defined]


@pytest.mark.slow
@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
@pytest.mark.parametrize("work", ["attach", "detach"])
def test_from_every_line_of_every_family_joined_and_parted(pair: Pair, work: str, tmp_path: Path) -> None:
    if work == "detach" and pair not in PARTED:
        pytest.skip("has no parting: no cab at its rear")
    assert every_line_is_left_safe(coupling(pair, work, tmp_path)) > 40


@pytest.mark.slow
def test_a_driver_alone_leaves_it_safe_too() -> None:
    assert every_line_is_left_safe(planned(ALONE, True)) > 50


@pytest.mark.parametrize("name", ["driver-alone", "part-driver-alone"])
def test_a_driver_alone_at_the_rear_in_mid_test_locks_there_first_and_looks_at_the_brakes_after(
    name: str, tmp_path: Path
) -> None:
    """The leading valve is lapped behind him, the rear one is in his hand, the other cab's indicator not yet read."""
    job = next(job for job in JOBS if job.name == name)
    plan = planned(job.path(tmp_path), job.by_air)
    found = stop_job(plan, line_after(plan, "test, rear applied"))
    assert found.answer == "yes", found.reasons
    locked = [number for number, step in enumerate(found.steps) if step.key.startswith("shut and lock the brake valve")]
    looks = [number for number, step in enumerate(found.steps) if "parking brake" in step.key]
    assert locked and looks and min(locked) < min(looks)


def test_it_is_proved_the_shortest_way() -> None:
    plan = planned(DEMO)
    assert all(stop_job(plan, line).order.proved_best for line in (0, 20, 63, 90, 109))


def _stopped(words: str, path: Path = DEMO) -> JobStopped:
    plan = planned(path)
    return stop_job(plan, line_after(plan, words))


def _holes(found: JobStopped, steps: tuple[Step, ...]) -> list[Complaint]:
    """What the checker says of another way from the same line."""
    assert found.plan.order is not None and found.plan.domain is not None
    way = (*found.plan.order.steps[: found.line], *steps)
    return list(check(way, whole_of(found.plan.domain, found.domain)).holes)


def _without(found: JobStopped, pattern: str) -> tuple[Step, ...]:
    kept = tuple(step for step in found.steps if not re.search(pattern, step.key))
    assert len(kept) < len(found.steps), pattern
    return kept


BAD = (
    (
        "left with somebody between",
        "take the jumper",
        "^come out|^give the protection back",
        "end state",
        "protection/shunter=none",
    ),
    (
        "the road given back over somebody between",
        "take the jumper",
        "^come out|^give the prot|^say to all",
        "constraint",
        "road-kept",
    ),
    ("the jumper left hanging", "take the jumper", "^put the jumper", "end state", "226/1.jumper=in its dummy"),
    ("a head left up without its pin", "go between, ends apart", "^put the pin keeper", "end state", "226/1.coupler.keeper=in"),
    (
        "the moving portion left on air",
        "draw up, stop 2 m off",
        "^put on the parking brake of 217",
        "end state",
        "217.parking_brake=on",
    ),
    ("the brake valve left unlocked", "draw up, stop 2 m off", "^shut and lock", "end state", "217/2.brake_valve=locked"),
    ("the call not taken back", "call to couple", "^take the call back", "end state", "authority=none"),
    ("the hold not watched", "ask for the road", "^watch 226", "end state", "226.hold=proved"),
    (
        "the air brake let off unseen",
        "ask for the road",
        "^read the parking brake indicator of 226",
        "knowledge",
        "226.parking_brake=on",
    ),
    (
        "the person in charge told only half",
        "ask for the road",
        "^tell the shunter: parking brake of 226 on",
        "knowledge",
        "226.parking_brake=on",
    ),
    ("nobody told how it is left", "test, restored", "^say to all", "end state", "broken_off=told"),
    ("yard control not told", "test, restored", "^tell yard control", "end state", "road=not given"),
    ("no board where the rules ask for one", "test, restored", "^put a board on 226", "end state", "226.board=placed"),
    ("no red lamp at the end", "ask for the road", "^light the red lamp of 226/2", "end state", "226/2.red_lamp=lit"),
)
"""(what is done badly, after which line, what is left out, kind of complaint, what it is about)."""


@pytest.mark.outside(source="common practice, no source", clause="leaving a half-done job", status="common practice")
@pytest.mark.parametrize("bad", BAD, ids=lambda bad: bad[0])
def test_a_bad_way_of_leaving_is_refused_for_its_own_reason(bad: tuple[str, str, str, str, str]) -> None:
    _, after, left_out, kind, about = bad
    found = _stopped(after)
    assert _holes(found, found.steps) == []
    holes = _holes(found, _without(found, left_out))
    assert (kind, about) in {(hole.kind, hole.about) for hole in holes}


def test_brakes_put_on_after_the_valve_is_locked_and_left_come_too_late() -> None:
    found = _stopped("draw up, stop 2 m off")
    late = [step for step in found.steps if step.key.startswith("put on the parking brake of 217")]
    first = [step for step in found.steps if step not in late]
    locked = next(number for number, step in enumerate(first) if step.key.startswith("shut and lock"))
    holes = _holes(found, (*first[: locked + 1], *late, *first[locked + 1 :]))
    assert ("need", "217.parking_brake=on") in {(hole.kind, hole.about) for hole in holes}


def test_a_made_couple_stays_and_a_half_made_one_holds_nothing() -> None:
    plan = planned(PART)
    hanging = stop_job(plan, line_after(plan, "go between, coupled"))
    assert any("stays made" in note for note in hanging.notes)
    assert not any("brake of 217" in step.key for step in hanging.steps)
    lifted = stop_job(plan, line_after(plan, "lift the lock"))
    assert any(step.key.startswith("watch 217") for step in lifted.steps)


def test_a_joint_that_is_not_yet_parted_is_no_open_tail() -> None:
    found = _stopped("watch the whole train", PART)
    assert found.answer == "yes" and [step.key for step in found.steps if "tail cock" in step.key] == []


def test_nobody_goes_between_to_make_safe() -> None:
    plan = planned(DEMO)
    assert plan.order is not None
    for line in range(0, len(plan.order.steps) + 1, 7):
        assert not any(step.goes_to == "between" for step in stop_job(plan, line).steps), line


def test_rules_that_are_silent_ask_for_no_board_and_it_is_said() -> None:
    plan = planned(DEMO)
    task = plan.assembled.task
    assert task is not None
    silent = replace(plan, assembled=replace(plan.assembled, task=replace(task, rules=task.rules.model_copy(
        update={"broken_off": None}))))  # fmt: skip
    found = stop_job(silent, 40)
    assert found.answer == "yes" and not any("board" in step.key for step in found.steps)
    assert any("do not say" in note for note in found.notes)


def test_a_line_that_the_order_has_not_is_named() -> None:
    with pytest.raises(InputError, match="no such line"):
        stop_job(planned(DEMO), len(planned(DEMO).order.steps) + 1)
