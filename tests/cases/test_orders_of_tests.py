"""Orders of work with other tests than that of the two valves: a tail opened on its hose, brakes counted, tests by wires."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.compute.kept_runs import KeptRuns
from headstock.devices.scene import ELECTRIC, TEST
from headstock.local_rules.test_method import built_in_methods
from headstock.procedures.broken_off import whole_of
from headstock.procedures.places import BETWEEN
from headstock.procedures.task import AttachTask
from headstock.reasoning.checker import CheckResult, check
from headstock.reasoning.step import Step
from headstock.sheets.compose import readings_of
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_job import stop_job
from tests.cases.half_done import end_state, what_is_not_safe
from tests.cases.jobs import DEMO, PART, planned, steps_of

JUMPER = "226/1.jumper"
COCK, HOSE = "226/2.brake_pipe_cock", "226/2.brake_pipe_hose"
FOLDER: list[Path] = []


@pytest.fixture(scope="module", autouse=True)
def _folder(tmp_path_factory: pytest.TempPathFactory) -> None:
    FOLDER[:] = [tmp_path_factory.mktemp("jobs")]


@cache
def plan_by(method: str, job: Path = DEMO, then: str = "") -> JobPlan:
    path = FOLDER[0] / f"{job.stem}-{method}-{then}.yaml"
    more = f"\nthen_tests: [{then}]" if then else ""
    path.write_text(job.read_text("utf-8").replace("method: rear-application", f"method: {method}{more}"), "utf-8")
    found = planned(path)
    assert found.answer == "yes" and found.order is not None, found.reasons
    return found


def stage(plan: JobPlan, key: str) -> Step:
    return next(step for step in steps_of(plan) if (TEST, key) in step.effects)


@pytest.mark.parametrize(
    ("method", "job", "then"),
    [("tail-vent", DEMO, ""), ("full-count", DEMO, ""), ("tail-vent", PART, ""), ("rear-application", DEMO, "leak-by-drop")],
)
def test_the_order_has_every_stage_in_turn_and_the_checker_finds_no_hole(method: str, job: Path, then: str) -> None:
    plan = plan_by(method, job, then)
    assert plan.domain is not None and plan.assembled.task is not None
    stages = [value for step in steps_of(plan) for key, value in step.effects if key == TEST]
    assert stages == [one.key for one in plan.assembled.task.method.stages]
    assert check(steps_of(plan), plan.domain) == CheckResult((), len(steps_of(plan)))


def test_the_tail_is_opened_from_the_ground_its_hose_held_with_a_caution_and_put_back() -> None:
    plan = plan_by("tail-vent")
    opened, shut = stage(plan, "tail opened"), stage(plan, "tail shut")
    assert opened.place == shut.place == "before 226/2" and "whips" in opened.caution
    assert {(COCK, "open"), (HOSE, "hanging")} <= set(opened.effects)
    assert {(COCK, "shut"), (HOSE, "on its dummy")} <= set(shut.effects)
    assert ("217/1.brake_valve", "lap") in opened.needs  # a feeding valve would charge the open air


def test_a_tail_left_open_or_opened_out_of_its_stage_is_a_hole() -> None:
    plan = plan_by("tail-vent")
    assert plan.domain is not None
    steps = steps_of(plan)
    without = tuple(replace(one, effects=tuple(fact for fact in one.effects if fact[0] not in (COCK, HOSE)))
                    if (TEST, "tail shut") in one.effects else one for one in steps)  # fmt: skip
    left = check(without, plan.domain)
    assert any("226/2 is open and its hose is not joined" in complaint.text for complaint in left.holes)
    early = replace(stage(plan, "tail opened"), effects=((COCK, "open"), (HOSE, "hanging")), needs=(), knows=(), key="open it")
    number = next(n for n, one in enumerate(steps) if (TEST, "lapped") in one.effects)
    found = check((*steps[:number], early, *steps[number:]), replace(plan.domain, steps=(*plan.domain.steps, early)))
    assert any("226/2 is open and its hose is not joined" in complaint.text for complaint in found.holes)


def test_an_open_tail_that_nobody_is_there_to_hold_is_a_hole() -> None:
    """A hose let go under pressure whips. Common practice, no source."""
    plan = plan_by("tail-vent")
    assert plan.domain is not None
    opened = stage(plan, "tail opened")
    number = steps_of(plan).index(opened) + 1
    for place, text in (("cab 226/2", True), ("before 226/2", False)):
        other = Step("see that nobody comes", opened.role, place, needs=((COCK, "open"),), duration_s=1.0)
        found = check((*steps_of(plan)[:number], other, *steps_of(plan)[number:]),
                      replace(plan.domain, steps=(*plan.domain.steps, other)))  # fmt: skip
        assert any("226/2 is open and its hose is not joined" in hole.text for hole in found.holes) is text, place


@pytest.mark.parametrize("method", ["tail-vent", "full-count"])
def test_broken_off_after_any_line_of_the_test_it_is_left_safe_and_no_tail_stays_open(method: str) -> None:
    plan = plan_by(method)
    lines = [number for number, step in enumerate(steps_of(plan), start=1) if step.phase == "test"]
    assert plan.assembled.task is not None and plan.domain is not None
    for line in lines[:: 1 if method == "tail-vent" else 3]:
        found = stop_job(plan, line)
        assert found.answer == "yes", (line, found.reasons)
        run = end_state(found)
        assert [one.text for one in run.complaints if one.line > 0] == [], line
        assert what_is_not_safe(plan.assembled.task, run) == [], line
        assert run.state[COCK] == "shut" and run.state[HOSE] == "on its dummy", line


def test_nothing_is_charged_into_an_open_tail_before_it_is_shut_and_said() -> None:
    plan = plan_by("tail-vent")
    line = 1 + steps_of(plan).index(stage(plan, "tail opened"))
    found = stop_job(plan, line)
    assert found.order is not None and found.domain is not None and plan.domain is not None
    keys = [step.key for step in found.order.steps]
    shut = keys.index("shut the tail cock, put its hose back")
    moved = next(n for n, step in enumerate(found.order.steps) if any(key.endswith("brake_valve") for key in step.touched()))
    told = next(n for n, step in enumerate(found.order.steps) if (COCK, "shut") in step.tells and step.hearer == "driver")
    assert shut < told < moved
    left_out = (*steps_of(plan)[:line], *(step for n, step in enumerate(found.order.steps) if n not in (shut, told)))
    assert not check(left_out, whole_of(plan.domain, found.domain)).holds


def test_whoever_counts_walks_the_train_and_the_walk_is_in_the_time() -> None:
    """A walk of 162 m at the rules' 1.2 m/s (arithmetic) and what the rules allow for the looks."""
    plan = plan_by("full-count")
    assert plan.assembled.task is not None
    rules, train = plan.assembled.task.rules, plan.assembled.task.train
    length_m = sum(unit.unit_type.length_m for unit in train.units)
    count = stage(plan, "released counted")
    assert (count.place, count.goes_to) == ("beside 2264", "beside 2171")
    own = next(one for one in plan.assembled.task.method.stages if one.key == "released counted")
    walked_s = count.duration_s - rules.stage_s(own)
    assert walked_s == pytest.approx(length_m / rules.walking_m_s.value, abs=3.0)
    last = stage(plan_by("tail-vent"), "rear applied")
    assert (last.place, last.goes_to) == ("beside 2264", None)
    assert "share 1 or more" in count.brief


def test_a_leakage_test_after_it_goes_on_where_the_valve_was_left_and_its_readings_stand_on_the_sheet() -> None:
    plan = plan_by("rear-application", DEMO, "leak-by-drop")
    assert plan.assembled.task is not None and plan.domain is not None
    keys = [one.key for one in plan.assembled.task.method.stages]
    # The valve is at running already and the reservoirs are charged: the first stage of the second test is left out.
    assert keys[-5:] == ["rear restored", "leakage lapped", "leakage settled", "leakage watched", "leakage restored"]
    assert plan.domain.goal.count((TEST, "leakage restored")) == 1
    blanks = {reading.name: (reading.limit, reading.limit_tail) for reading in readings_of(plan.assembled.task)}
    assert blanks["Leak, front"] == ("0.3 bar a minute", "or less") and len(blanks) == 7
    forecast = forecast_of(plan, KeptRuns())
    assert forecast is not None
    shown = {reading.stage: reading for reading in forecast.cases[0].readings}
    assert shown["leakage watched"].within and abs(shown["leakage watched"].shows_bar) < 0.1


def test_a_further_test_that_is_not_there_or_does_not_go_on_is_bad_input() -> None:
    with pytest.raises(InputError, match="not found"):
        plan_by("rear-application", DEMO, "no-such-method")
    own = built_in_methods()["leak-by-drop"].read_text("utf-8").replace(
        "valve: {at: front, before: full, after: running}", "valve: {at: front, before: full, after: empty}"
    ).replace("valve: {at: front, before: running, after: lap}", "valve: {at: front, before: empty, after: lap}")  # fmt: skip
    (FOLDER[0] / "own.yaml").write_text(own, "utf-8")
    with pytest.raises(InputError) as refused:
        plan_by("rear-application", DEMO, "own.yaml")
    assert "do not follow one another" in str(refused.value) and "found at running" in str(refused.value)


WIRED = ("electric-apply-hold-release", "wires")


@pytest.mark.parametrize("job", [DEMO, PART])
@pytest.mark.parametrize("then", WIRED)
def test_a_test_by_wires_follows_stage_by_stage_each_done_by_one_and_the_checker_finds_no_hole(then: str, job: Path) -> None:
    plan = plan_by("rear-application", job, then)
    assert plan.domain is not None and plan.assembled.task is not None and plan.order is not None
    stages = [value for step in steps_of(plan) for key, value in step.effects if key == TEST]
    assert stages == [one.key for one in plan.assembled.task.method.stages]
    assert check(steps_of(plan), plan.domain) == CheckResult((), len(steps_of(plan)))
    assert plan.order.proved_best and plan.order.cost_s == plan.order.bound_s
    front, rear = ("cab 217/1", "cab 226/2") if job == DEMO else ("cab 217/1", "cab 217/2")
    places = {value: step.place for step in steps_of(plan) for key, value in step.effects if key == TEST}
    if then == "wires":
        assert (places["wires bell tried"], places["wires bell"]) == (front, rear)
        assert (places["wires bell back tried"], places["wires bell back"]) == (rear, front)
        assert (places["wires loop tried"], places["wires loop"]) == (rear, front)
    else:  # no cylinder gauge in the cab: it is read at its vehicle
        assert places["electric brake applied commanded"] == front
        assert places["electric brake applied"] == ("beside 2264" if job == DEMO else "beside 2174")


def test_two_tests_by_wires_follow_one_another() -> None:
    plan = plan_by("rear-application", DEMO, ", ".join(WIRED))
    keys = [value for step in steps_of(plan) for key, value in step.effects if key == TEST]
    assert keys[-2:] == ["wires loop tried", "wires loop"] and "electric brake released" in keys
    assert plan.domain is not None and check(steps_of(plan), plan.domain).holds


@pytest.mark.outside(
    source="common practice, no source", clause="two-wire brake: applied, held, released", status="common practice"
)
def test_whoever_reads_a_cylinder_has_been_told_what_was_commanded_and_the_brake_ends_off() -> None:
    plan = plan_by("rear-application", DEMO, WIRED[0])
    steps = steps_of(plan)
    for key, value in (("applied", "apply"), ("held", "hold"), ("released", "release")):
        commanded, read = stage(plan, f"electric brake {key} commanded"), stage(plan, f"electric brake {key}")
        assert commanded.role == "driver" and (ELECTRIC, value) in commanded.effects and "nobody" in commanded.caution
        assert read.role == "guard" and (ELECTRIC, value) in read.needs
        between = steps[steps.index(commanded) : steps.index(read)]
        assert any((TEST, f"electric brake {key} commanded") in one.tells and one.hearer == "guard" for one in between)
    blanks = {reading.name: (reading.limit, reading.limit_tail, reading.where) for reading in readings_of(_task(plan))}
    assert blanks["Applied, cylinder"] == ("1.5 bar", "or more", "rear")
    bell = next(number for number, one in enumerate(steps) if "bell" in one.key)
    assert bell, "the bell of the joint is tried besides: the electric test rings none"
    assert not any(one.key == "try the bell both ways" for one in steps_of(plan_by("rear-application", DEMO, "wires")))


def _task(plan: JobPlan) -> AttachTask:
    assert plan.assembled.task is not None
    return plan.assembled.task


def holes_with(plan: JobPlan, other: Step, before: str) -> list[str]:
    """What the checker complains of with a step put in before a stage."""
    assert plan.domain is not None
    number = next(n for n, one in enumerate(steps_of(plan)) if (TEST, before) in one.effects)
    found = check((*steps_of(plan)[:number], other, *steps_of(plan)[number:]),
                  replace(plan.domain, steps=(*plan.domain.steps, other)))  # fmt: skip
    return [hole.text for hole in found.holes]


def test_nobody_is_between_while_the_electric_brake_is_worked_and_no_wire_is_parted_from_its_test_on() -> None:
    plan = plan_by("rear-application", DEMO, WIRED[0])
    inside = Step("step in", "shunter", "joint", goes_to=BETWEEN, duration_s=1.0)
    said = holes_with(plan, inside, "electric brake held commanded")
    assert any("the electric brake is worked" in text for text in said) and any("not protected" in text for text in said)
    assert not any("electric" in text for text in holes_with(plan, inside, "no rise"))
    pulled = Step("pull the plug", "guard", "cab 226/2", effects=((JUMPER, "hanging"),), duration_s=1.0)
    assert any("tested by wires that are parted" in text for text in holes_with(plan, pulled, "electric brake held"))
    assert "by wires" in holes_with(plan, pulled, "electric brake held")[0], "where it is pulled"
    assert holes_with(plan, pulled, "rear applied")[0].startswith("needs"), "before, the first command lacks its wires"


def test_left_out_commands_and_a_brake_left_on_are_holes() -> None:
    plan = plan_by("rear-application", DEMO, WIRED[0])
    assert plan.domain is not None
    for key in ("applied commanded", "held commanded", "released commanded", "applied", "released"):
        left = tuple(one for one in steps_of(plan) if (TEST, f"electric brake {key}") not in one.effects)
        assert not check(left, plan.domain).holds, key
    early = Step("brake by wires", "driver", "cab 217/1", effects=((ELECTRIC, "apply"),), duration_s=1.0)
    assert holes_with(plan, early, "charged"), "a test of the pipe with the electric brake on"


@pytest.mark.parametrize("then", WIRED)
def test_broken_off_in_a_test_by_wires_the_brake_is_off_again_and_all_is_safe(then: str) -> None:
    plan = plan_by("rear-application", DEMO, then)
    wired = [number for number, step in enumerate(steps_of(plan), start=1) if any(
        key == TEST and value.startswith(("electric", "wires")) for key, value in step.effects)]  # fmt: skip
    for line in wired[:: 1 if then == WIRED[0] else 4]:
        found = stop_job(plan, line)
        assert found.answer == "yes", (line, found.reasons)
        run = end_state(found)
        assert [one.text for one in run.complaints if one.line > 0] == [], line
        assert what_is_not_safe(_task(plan), run) == [], line
        assert run.state.get(ELECTRIC, "release") == "release", line
        was_on = plan.domain is not None and then == WIRED[0] and line < wired[-2]
        assert any(step.key == "electric brake off" for step in found.order.steps) is was_on if found.order else False, line


def test_the_forecast_of_the_whole_order_reads_the_cylinders_and_sees_the_wires_parted() -> None:
    plan = plan_by("rear-application", DEMO, WIRED[0])
    forecast = forecast_of(plan, KeptRuns())
    assert forecast is not None and forecast.cases[0].is_within_limits
    shown = {reading.stage: reading for reading in forecast.cases[0].readings}
    assert shown["electric brake applied"].shows_bar == pytest.approx(3.6, abs=0.05)
    assert shown["electric brake released"].shows_bar == pytest.approx(0.0, abs=0.05)
    parted = next(case for case in forecast.cases if "jumper" in case.name)
    outside = [reading.stage for reading in parted.readings if not reading.within]
    assert outside == ["electric brake applied"]


def test_wires_that_do_not_go_through_the_joint_or_a_brake_without_them_are_refused_with_the_reason() -> None:
    path = FOLDER[0] / "no-circuit.yaml"
    text = DEMO.read_text("utf-8").replace("method: rear-application", f"method: rear-application\nthen_tests: [{WIRED[0]}]")
    for old, new in (
        ('name: "217", type: tarn', 'name: "217", type: fell'),
        ('name: "226", type: tarn', 'name: "226", type: fell'),
    ):
        assert old in text
        text = text.replace(old, new)
    path.write_text(text, "utf-8")
    plan = planned(path)
    assert plan.answer == "no" and any("electro-pneumatic circuit" in reason for reason in plan.reasons), plan.reasons
