"""Planned orders are held by the independent checker, and every single line of them is missed when it is left out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.local_rules.rules import BUILT_IN
from headstock.reasoning.checker import CheckResult, Complaint, check
from headstock.reasoning.step import Step
from tests.cases.jobs import DEMO, SECOND, order_of, planned
from tests.cases.step_reasons import REASONS

JOBS = (DEMO, SECOND)
# Each job twice: with nobody to ask about the air, and with the air engine asked.
each_job = pytest.mark.parametrize(("job", "by_air"), [(job, by_air) for by_air in (False, True) for job in JOBS],
                                   ids=lambda value: value.stem if isinstance(value, Path) else f"air-{value}")  # fmt: skip


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


@each_job
def test_the_checker_accepts_what_the_planner_found(job: Path, by_air: bool) -> None:
    steps, domain = order_of(job, by_air)
    assert check(steps, domain) == CheckResult((), len(steps))


@each_job
def test_every_line_left_out_is_missed_for_the_reason_written_by_hand(job: Path, by_air: bool) -> None:
    steps, domain = order_of(job, by_air)
    wrong = []
    for number, step in enumerate(steps):
        wanted = next((row[1] for row in REASONS if re.search(row[0], step.key)), None)
        complaints = check(without(steps, number), domain).complaints
        if step.key.startswith("tell the"):
            # Not anything unknown, but what this line tells.
            told = {key for key, _ in step.tells}
            complaints = tuple(c for c in complaints if any(key in c.about for key in told))
        if wanted is None or not any(fits(complaint, wanted) for complaint in complaints):
            found = sorted({f"{c.kind}:{c.about}" for c in complaints})
            wrong.append(f"{step.key}: wanted {wanted}, found {found[:6]}")
    assert not wrong, "\n".join(wrong)


@each_job
def test_every_line_has_a_reason_and_none_is_kept_for_nothing(job: Path, by_air: bool) -> None:
    assert [because.words() for because in planned(job, by_air).because if because.line is None] == []


@each_job
def test_a_reason_names_a_later_line_or_the_end(job: Path, by_air: bool) -> None:
    for number, because in enumerate(planned(job, by_air).because, start=1):
        assert because.line == 0 or (because.line is not None and because.line > number)


def test_every_reason_of_the_table_is_used_by_one_of_the_jobs() -> None:
    keys = [step.key for by_air in (False, True) for job in JOBS for step in order_of(job, by_air)[0]]
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


def test_with_the_air_asked_the_moving_portion_stands_on_its_full_application_while_the_cocks_are_opened() -> None:
    for job, moving, standing, cab in ((DEMO, "217", "226", "217/2"), (SECOND, "231", "508", "231/1")):
        steps, domain = order_of(job, by_air=True)
        assert not any(step.key.startswith(f"watch {moving} ") for step in steps), "its own proof is not needed"
        state, seen = dict(domain.start), 0
        for step in steps:
            if re.match(r"open the .* cock", step.key):
                seen += 1
                assert state[f"{moving}.brake_pipe"] == "drawn"
                assert state[f"{cab}.brake_valve"] == "locked"
                assert state[f"{standing}.hold"] == "proved"
            state.update(step.effects)
        assert seen >= 2


def test_before_the_pipe_is_charged_for_the_test_both_portions_stand_on_brakes_without_air() -> None:
    for job in JOBS:
        answer = planned(job, by_air=True)
        task = answer.assembled.task
        assert task is not None and answer.order is not None and answer.domain is not None
        state = dict(answer.domain.start)
        for step in answer.order.steps:
            if step.key.startswith("test, "):
                assert all(state[key] == "on" for hold in task.holds.values() for key in hold.brakes)
            state.update(step.effects)


def test_an_order_that_needs_the_air_is_refused_where_nobody_was_asked() -> None:
    steps, _ = order_of(DEMO, by_air=True)
    _, nobody_asked = order_of(DEMO)
    said = {complaint.about for complaint in check(steps, nobody_asked).complaints}
    assert "cocks-with-someone-between" in said


ODD = """  226/1.coupler.head: dropped
  226/1.coupler.pin: out
  226/1.buffers: out
  226/1.gangway: open
  226/2.brake_pipe_hose: hanging
  226/2.brake_pipe_cock: open
  217/1.brake_valve: lap
"""


def test_what_stands_otherwise_is_put_right_in_the_order_and_told_beforehand(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8")
    (tmp_path / "job.yaml").write_text(text + ODD, encoding="utf-8")
    steps, domain = order_of(tmp_path / "job.yaml")
    order = [step.key for step in steps]
    assert check(steps, domain).holds
    for words in ("raise the head of 226/1", "set the buffers of 226/1 in", "shut the gangway door of 226/1",
                  "shut and lock the brake valve, cab 217/1", "put the brake pipe hose of 226/2 on its dummy"):  # fmt: skip
        assert words in order
    charge = next(number for number, key in enumerate(order) if key.startswith("charge the pipe") and "226" in key)
    assert order.index("shut the brake pipe cock of 226/2") < charge
    assert any("226/2 is open" in text for text in planned(tmp_path / "job.yaml").as_found)


def test_where_a_proof_does_not_outlast_the_release_the_answer_is_no_with_that_reason(tmp_path: Path) -> None:
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    rules = rules.replace("proof_outlasts_release: {value: true", "proof_outlasts_release: {value: false")
    (tmp_path / "strict.yaml").write_text(rules, encoding="utf-8")
    text = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: strict.yaml")
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    answer = planned(tmp_path / "job.yaml")
    assert answer.answer == "no"
    assert "cannot be proved once it has come up" in answer.reasons[0]


VARIANTS = (
    ("two people", ", guard: P. Oad}", "}"),
    ("guard in charge", "shunter: J. Tolk, ", ""),
    ("driven from the far cab", "driven_from: 217/2", "driven_from: 217/1"),
    ("leaves the other way", "217/1\nleaves_from: 217/1", "226/2\nleaves_from: 226/2"),
    ("the other one moves", 'units: ["217"], driven_from: 217/2', 'units: ["226"], driven_from: 226/1'),
    ("another type", '{name: "226", type: tarn}', '{name: "226", type: fell}'),
    ("turned round", "[217/2, 226/1]", "[217/2, 226/2]"),
)


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda variant: variant[0])
def test_another_crew_cab_unit_or_way_out_gives_another_order_that_holds(variant: tuple[str, str, str], tmp_path: Path) -> None:
    name, before, after = variant
    text = DEMO.read_text(encoding="utf-8")
    assert before in text
    text = text.replace(before, after)
    text = text.split("as_left:")[0] + ('boards_placed_by: {"226": driver}\n' if name == "another type" else "")
    text = text.replace("leaves_from: 226/2", "leaves_from: 226/1") if name == "turned round" else text
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    steps, domain = order_of(tmp_path / "job.yaml")
    assert check(steps, domain).holds
    assert [step.key for step in steps] != [step.key for step in order_of(DEMO)[0]]
    silent = [step.key for number, step in enumerate(steps) if check(without(steps, number), domain).holds]
    assert silent == []
