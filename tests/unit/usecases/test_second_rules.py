"""The second invented local rules: both built-in jobs are planned by other habits, in feet and psi, and told afterwards."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from headstock.base.errors import ContentError
from headstock.equipment.library import load_fleet
from headstock.local_rules.afterwards import BLANK
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.reasoning.checker import check
from headstock.reasoning.second_pass import settle_order
from headstock.sheets.compose import sheet_of
from headstock.usecases.customary_order import customary_ranks
from headstock.usecases.job_file import load_job
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.usecases.told_afterwards import told_afterwards, told_lines
from tests.cases.jobs import DEMO, SECOND, planned

LANTHORN = BUILT_IN / "lanthorn-reach.yaml"


def plan_by(folder: Path, job: Path, *changes: tuple[str, str]) -> JobPlan:
    """A built-in job under Lanthorn Reach's rules, with changes to them."""
    rules = LANTHORN.read_text(encoding="utf-8")
    for before, after in changes:
        assert before in rules
        rules = rules.replace(before, after)
    (folder / "rules.yaml").write_text(rules, encoding="utf-8")
    text = job.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml")
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return plan_job(folder / "job.yaml", load_fleet())


def keys(plan: JobPlan) -> list[str]:
    assert plan.order is not None and plan.answer == "yes", plan.reasons
    return [step.key for step in plan.order.steps]


def first(plan: JobPlan, words: str) -> int:
    return next(number for number, key in enumerate(keys(plan)) if re.search(words, key))


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_both_built_in_jobs_are_planned_and_checked(job: Path, tmp_path: Path) -> None:
    plan = plan_by(tmp_path, job)
    assert plan.answer == "yes", plan.reasons
    assert plan.checked is not None and plan.checked.holds
    sheet = sheet_of(plan)
    crew = {person.role: person.in_charge for person in sheet.people}
    assert crew == {"driver": False, "shunter": False, "guard": True}
    words = " ".join([*(line.text for line in sheet.detail), *(block.title for block in sheet.blocks), *sheet.signals])
    assert re.findall(r"[\d.]+ (?:m|bar)\b", words) == []
    assert {"10 ft", "3 ft", "50 ft", "40 ft"} <= set(re.findall(r"[\d.]+ ft", words))
    assert [reading.limit for reading in sheet.readings] == ["68.0 psi", "52.0 psi", "53.0 psi", "2.0 psi", "68.0 psi"]
    titles = [block.title for block in sheet.blocks]
    assert titles.count("Hold both portions, prove it") == 1, "what is told late makes no block of its own"


def test_the_order_is_the_railways_own(tmp_path: Path) -> None:
    ours, theirs = planned(DEMO), plan_by(tmp_path, DEMO)
    assert first(theirs, "open the main reservoir pipe cock") < first(theirs, "open the brake pipe cock")
    assert first(ours, "open the brake pipe cock") < first(ours, "open the main reservoir pipe cock")
    assert first(theirs, "open the knuckle of 217/2") > 0
    assert first(ours, "open the knuckle of 226/1") > 0
    assert first(theirs, "fetch the driver's key") < first(theirs, "assure the shunter")
    assert not [key for key in keys(ours) if "key," in key and "driver's" in key]
    assert first(theirs, "latch the jumper") < first(theirs, "hose of .* off its dummy")
    assert first(ours, "latch the jumper") > first(ours, "hose of .* off its dummy")


def test_a_customary_order_changes_neither_the_steps_nor_the_cost(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    plain = re.search(r"customary_order:\n.*?source: demo\n", LANTHORN.read_text(encoding="utf-8"), re.DOTALL)
    assert plain is not None
    without, with_it = plan_by(tmp_path / "a", DEMO, (plain[0], "")), plan_by(tmp_path, DEMO)
    assert without.order is not None and with_it.order is not None
    assert sorted(keys(without)) == sorted(keys(with_it)) and keys(without) != keys(with_it)
    assert without.order.cost_s == with_it.order.cost_s
    assert without.assembled.task is not None and customary_ranks(without.assembled.task) == {}


@pytest.mark.parametrize("habits", [["jumpers"], ["brake pipe hoses", "jumpers"], ["lamps", "standing portion"]])
def test_any_custom_leaves_an_order_that_the_checker_takes(habits: list[str], tmp_path: Path) -> None:
    before = re.search(r"  value: \[jumpers.*?\]", LANTHORN.read_text(encoding="utf-8"), re.DOTALL)
    assert before is not None
    plan = plan_by(tmp_path, DEMO, (before[0], f"  value: [{', '.join(habits)}]"))
    assert plan.order is not None and plan.domain is not None and plan.answer == "yes"
    turned = {key: -rank for key, rank in plan.domain.customary.items()}
    assert turned
    other = settle_order(plan.order.steps, replace(plan.domain, customary=turned))
    assert check(other, plan.domain).holds


def test_what_is_told_afterwards_is_filled_in_from_the_train_and_blank_where_nobody_knows(tmp_path: Path) -> None:
    plan = plan_by(tmp_path, SECOND)
    task = plan.assembled.task
    assert task is not None
    lines = {line.what: line for line in told_afterwards(task)}
    length_m = sum(unit.unit_type.length_m for unit in task.train.units)
    feet = int(str(lines["length"].value).split()[0])
    assert 0 <= feet * 0.3048 - length_m < 0.3048, "a foot is 0.3048 m by definition; rounded up"
    assert lines["order of units"].value == "508, 231", "leading first"
    assert lines["braked percentage"].value is None
    assert lines["braked percentage"].words == f"{BLANK} per cent."
    assert lines["brakes isolated"].value == "none"
    assert "main reservoir pipe not through" in str(lines["restrictions"].value)
    assert told_lines(task)[0] == f"To yard control: {feet} ft over couplers. 7 vehicles. 508, 231, leading first."
    assert sheet_of(plan).tell_afterwards == told_lines(task)


def test_lengths_are_rounded_up_and_units_stand_in_the_order_in_which_the_train_leaves() -> None:
    task = planned(DEMO).assembled.task
    assert task is not None
    types = {unit.name: unit.unit_type for unit in task.train.units}
    vehicles = tuple(vehicle.model_copy(update={"length_m": 20.05}) for vehicle in types["217"].vehicles)
    longer = types["217"].model_copy(update={"vehicles": vehicles})
    units = tuple(replace(unit, unit_type=longer) for unit in task.train.units)
    turned = replace(task, train=replace(task.train, units=units), leaves_from=task.train.outer_ends[1])
    lines = {line.what: line.value for line in told_afterwards(turned)}
    assert lines["length"] == "161 m", "8 vehicles of 20.05 m are 160.4 m"
    assert lines["order of units"] == "226, 217"


def test_an_isolated_brake_is_told(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8") + "  2262.automatic_brake: isolated\n"
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    task = plan_job(tmp_path / "job.yaml", load_fleet()).assembled.task
    assert task is not None
    assert [line.value for line in told_afterwards(task) if line.what == "brakes isolated"] == ["2262"]
    assert [line.value for line in told_afterwards(task) if line.what == "order of units"] == ["217, 226"]


def test_the_second_rules_are_invented_and_share_the_trigger_set() -> None:
    rules = load_local_rules(LANTHORN)
    assert (rules.invented, rules.pressure_unit, rules.length_unit, rules.triggers) == (True, "psi", "ft", "wending-vale")
    assert load_job(DEMO).rules.customary_order is None


def test_a_thing_that_is_no_habit_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="nearest jumpers"):
        plan_by(tmp_path, DEMO, ("[jumpers,", "[jumpes,"))
