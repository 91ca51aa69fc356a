"""A dead unit of which every brake is isolated: hauled within the local rules' conditions, or refused with every reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import BUILT_IN as FLEET_FOLDER
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.reasoning.checker import check
from headstock.reasoning.step import Step
from headstock.sheets.compose import sheet_of
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.rescues import FLEET, SAME, Rescued, job_text, rescue

practice = pytest.mark.outside(source="common practice, no source", clause="hauling unbraked", status="common practice")
FELL = Rescued("tarn", "fell")
CUT_OUT = ", ".join(["", *(f"226{number}.automatic_brake: isolated" for number in "123")])
ALL_FOUR = CUT_OUT + ", 2264.automatic_brake: isolated"
ASKED = "  unbraked:\n    allowed: {value: true, source: demo}\n"


def by_rules(folder: Path, *changes: tuple[str, str], rescued: Rescued = FELL, left: str = CUT_OUT, crew: str = "") -> JobPlan:
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    for before, after in changes:
        assert before in rules, before
        rules = rules.replace(before, after)
    (folder / "rules.yaml").write_text(rules, encoding="utf-8")
    text = job_text(rescued, left).replace("local_rules: wending-vale", "local_rules: rules.yaml")
    text = text.replace("crew: {driver: M. Iden, shunter: J. Tolk, guard: P. Oad}", crew) if crew else text
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return plan_job(folder / "job.yaml", FLEET, KeptRuns() if rescued.by_air else None)


def steps_of(plan: JobPlan) -> tuple[Step, ...]:
    assert plan.answer == "yes" and plan.order is not None and plan.domain is not None, plan.reasons
    assert check(plan.order.steps, plan.domain).holds and plan.order.proved_best
    return plan.order.steps


@practice
def test_within_the_rules_it_is_hauled_and_nobody_looks_for_a_brake_that_cannot_answer(tmp_path: Path) -> None:
    plan = by_rules(tmp_path)
    keys = [step.key for step in steps_of(plan)]
    assert not any(key.startswith("look at the brake of 226") for key in keys)
    assert any(key.startswith("pull the release cord of 2261") for key in keys), "trapped air may hold a brake cut out later"
    ride = next(step for step in steps_of(plan) if step.key.startswith("ride along"))
    assert "by its own brakes" in ride.key and "its hand or parking brakes hold it if the couple parts" in ride.brief
    condition = next(text for text in plan.assembled.join.best.restrictions if "unbraked" in text)
    for words in ("226 unbraked", "working sheet 12", "15 km/h", "10 per mille", "somebody in it", "stops all of it alone"):
        assert words in condition
    assert any(condition in caution for caution in sheet_of(plan).cautions)


@practice
def test_with_one_brake_in_use_it_is_no_unbraked_haul_and_only_that_one_is_seen_on_again(tmp_path: Path) -> None:
    plan = by_rules(tmp_path, left=", 2261.automatic_brake: isolated")
    seen = [step.key for step in steps_of(plan) if step.key.startswith("look at the brake of 226")]
    assert sorted(seen) == ["look at the brake of 2262: on again", "look at the brake of 2263: on again"]
    assert not any("unbraked" in text for text in plan.assembled.join.best.restrictions)


@practice
@pytest.mark.parametrize(
    ("change", "said"),
    [
        ((ASKED, ASKED.replace("true", "false")), "which the local rules do not allow"),
        (("mass_share_at_most: {value: 1,", "mass_share_at_most: {value: 0.5,"), "at most 0.5 of that is allowed"),
        (("gradient_at_most_per_mille: {value: 10,", "gradient_at_most_per_mille: {value: 5,"), "at most 5 are allowed"),
        (("  margin: {value: 1.5,", "  margin: {value: 4,"), "what hauls it does not hold all of it here"),
    ],
)
def test_each_condition_that_is_not_met_is_a_reason(change: tuple[str, str], said: str, tmp_path: Path) -> None:
    plan = by_rules(tmp_path, change)
    assert plan.answer == "no" and any("hauled unbraked" in reason and said in reason for reason in plan.reasons), plan.reasons


@practice
def test_every_reason_comes_at_once(tmp_path: Path) -> None:
    plan = by_rules(tmp_path, ("mass_share_at_most: {value: 1,", "mass_share_at_most: {value: 0.5,"),
                    ("gradient_at_most_per_mille: {value: 10,", "gradient_at_most_per_mille: {value: 5,"))  # fmt: skip
    assert len([reason for reason in plan.reasons if "hauled unbraked" in reason]) == 2


@practice
def test_rules_that_say_nothing_of_it_refuse_it(tmp_path: Path) -> None:
    text = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    begin = text.index("  unbraked:\n")
    block = text[begin : text.index("restrictions:", begin)]
    plan = by_rules(tmp_path, (block, ""))
    assert plan.answer == "no" and "the local rules say nothing (rescue.unbraked)" in plan.reasons[0]


@practice
def test_with_springs_let_off_by_hand_and_no_hand_brake_nobody_could_put_one_on_again(tmp_path: Path) -> None:
    for path in FLEET_FOLDER.glob("*.yaml"):
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [line for line in lines if path.stem != "tarn" or "hand_brake: {" not in line]
        text = "".join(kept).replace("    devices:\n  - suffix", "  - suffix").replace("    devices:\ndevices", "devices")
        (tmp_path / path.name).write_text(text, encoding="utf-8")
    assert "hand_brake" not in (tmp_path / "tarn.yaml").read_text(encoding="utf-8")
    job = tmp_path / "rescue.yml"
    job.write_text(job_text(SAME, ALL_FOUR), encoding="utf-8")
    plan = plan_job(job, load_fleet(tmp_path))
    assert plan.answer == "no" and any("no brake that somebody in it could put on again" in r for r in plan.reasons)
    assert rescue(SAME, tmp_path, ALL_FOUR).answer == "yes", "with a hand brake in it somebody could"


@practice
def test_on_the_lower_side_with_nobody_in_it_it_is_refused(tmp_path: Path) -> None:
    """The road falls towards south, where the dead unit stands."""
    nobody = ("second_person: {value: true,", "second_person: {value: false,")
    plan = by_rules(tmp_path, nobody)
    assert plan.answer == "no" and any("it stands on the lower side" in reason for reason in plan.reasons)
