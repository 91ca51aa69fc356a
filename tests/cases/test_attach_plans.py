"""Planned orders are held by the independent checker, and every single line of them is missed when it is left out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.reasoning.checker import CheckResult, Complaint, check
from headstock.reasoning.step import Step
from tests.cases.jobs import DEMO, SECOND, order_of, planned
from tests.cases.step_reasons import REASONS

JOBS = (DEMO, SECOND)


def fits(complaint: Complaint, wanted: str) -> bool:
    """Whether a complaint is of the kind and about the thing that the hand-written table names."""
    for one in wanted.split("|"):
        kind, _, about = one.partition(":")
        if kind == "place" and complaint.kind == "place":
            return True
        if kind == "unknown" and complaint.kind == "unknown step":
            return True
        if kind == "final" and complaint.kind == "end state" and complaint.about == about:
            return True
        names = {"constraint": "constraint", "need": "need", "know": "knowledge", "end": "end state"}
        if names.get(kind) != complaint.kind:
            continue
        if complaint.about == about if kind == "constraint" else about in complaint.about:
            return True
    return False


def without(steps: tuple[Step, ...], number: int) -> list[Step]:
    return [*steps[:number], *steps[number + 1 :]]


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_the_checker_accepts_what_the_planner_found(job: Path) -> None:
    steps, domain = order_of(job)
    assert check(steps, domain) == CheckResult((), len(steps))


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_every_line_left_out_is_missed_for_the_reason_written_by_hand(job: Path) -> None:
    steps, domain = order_of(job)
    wrong = []
    for number, step in enumerate(steps):
        wanted = next((row[1] for row in REASONS if re.search(row[0], step.key)), None)
        complaints = check(without(steps, number), domain).complaints
        if wanted is None or not any(fits(complaint, wanted) for complaint in complaints):
            found = sorted({f"{c.kind}:{c.about}" for c in complaints})
            wrong.append(f"{step.key}: wanted {wanted}, found {found[:6]}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_every_line_has_a_reason_and_none_is_kept_for_nothing(job: Path) -> None:
    assert [because.words() for because in planned(job).because if because.line is None] == []


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_a_reason_names_a_later_line_or_the_end(job: Path) -> None:
    for number, because in enumerate(planned(job).because, start=1):
        assert because.line == 0 or (because.line is not None and because.line > number)


def test_every_reason_of_the_table_is_used_by_one_of_the_jobs() -> None:
    keys = [step.key for job in JOBS for step in order_of(job)[0]]
    unused = [row[0] for row in REASONS if not any(re.search(row[0], key) for key in keys)]
    assert unused == []


def test_the_place_changes_the_order_and_not_only_a_label() -> None:
    steep = {step.key for step in order_of(SECOND)[0]}
    mild = {step.key for step in order_of(DEMO)[0]}
    assert any(key.startswith("screw on the hand brake of 231") for key in steep)
    assert not any("hand brake" in key for key in mild)


def test_one_open_knuckle_is_enough() -> None:
    steps, _ = order_of(DEMO)
    assert sum(step.key.startswith("open the knuckle") for step in steps) == 1


def test_who_is_between_at_a_joint_cock_stands_where_both_portions_hold_alone() -> None:
    steps, domain = order_of(DEMO)
    state = dict(domain.start)
    seen = 0
    for step in steps:
        if re.match(r"open the .* cock", step.key):
            seen += 1
            assert state["217.parking_brake"] == state["226.parking_brake"] == "on"
            assert state["217.hold"] == state["226.hold"] == "proved"
        state.update(step.effects)
    assert seen == 4
