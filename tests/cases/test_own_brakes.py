"""Where the local rules ask for it, what holds the moving portion is seen on before its driver works away from the brake."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.reasoning.checker import check
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.bad_orders import leave_out
from tests.cases.jobs import DEMO, SECOND
from tests.cases.test_couplings import line

practice = pytest.mark.outside(source="common practice, no source", clause="leaving a cab", status="common practice")
ASKED = "  own_brakes_seen: {value: true, source: demo}\n"


def asked(job: Path, folder: Path) -> JobPlan:
    """The plan of a built-in job by rules that ask for the look."""
    rules = (RULES / "wending-vale.yaml").read_text(encoding="utf-8")
    assert "\nholding:\n" in rules
    (folder / "asked.yaml").write_text(rules.replace("\nholding:\n", f"\nholding:\n{ASKED}"), encoding="utf-8")
    path = folder / "job.yaml"
    path.write_text(job.read_text(encoding="utf-8").replace("wending-vale", "asked.yaml"), encoding="utf-8")
    return plan_job(path, load_fleet())


@practice
@pytest.mark.parametrize(("job", "unit", "away"), [(DEMO, "217", "cab 217/1"), (SECOND, "231", "cab 508/1")])
def test_the_driver_knows_his_own_brakes_on_before_he_works_from_another_cab(
    job: Path, unit: str, away: str, tmp_path: Path
) -> None:
    plan = asked(job, tmp_path)
    assert plan.answer == "yes" and plan.order is not None and plan.domain is not None and plan.order.proved_best
    steps = plan.order.steps
    coupled = line(steps, "pull lightly")
    left = next(n for n, step in enumerate(steps) if n > coupled and step.role == "driver" and step.place == away)
    looks = [n for n, step in enumerate(steps) if step.key.startswith(f"read the parking brake indicator of {unit}: on")]
    assert any(coupled < look < left for look in looks)
    order = leave_out(f"^read the parking brake indicator of {unit}: on")(list(steps))
    there = {step.key for step in steps if step.place == away}
    holes = [hole for hole in check(order, plan.domain).holes if hole.kind == "knowledge" and hole.step in there]
    assert any(hole.role == "driver" and hole.fact == (f"{unit}.parking_brake", "on") for hole in holes)
