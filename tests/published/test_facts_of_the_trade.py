"""Facts of the trade, as check values on computed answers. They are never in the demo fleet, rules or places.

Common practice, no source. A rule set of their own carries them, written here.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.base.conversion import gauge_bar_from_pa, m_from_ft, pa_from_gauge_psi
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan, plan_job

RUNNING_PSI = (66.0, 74.0)
FULL_FROM_THE_REAR_PSI = 30.0
STOPS_SHORT_FT = {"drop-head knuckle": 6.0, "automatic coupler": 2.0}
MAIN_RESERVOIR_BEFORE_UNCOUPLING_BAR = 5.2
UNCOUPLING_BUTTON_S = 5.0

practice = pytest.mark.outside(source="common practice, no source", clause="facts of the trade", status="common practice")


def bar(psi: float) -> float:
    return round(gauge_bar_from_pa(pa_from_gauge_psi(psi)), 4)


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> JobPlan:
    """The demo job planned with a rule set in psi and feet that carries the facts."""
    folder = tmp_path_factory.mktemp("trade")
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    stops = STOPS_SHORT_FT
    changes = {
        r"^name: .*": "name: trade facts",
        r"^pressure_unit: bar": "pressure_unit: psi",
        r"^length_unit: m$": "length_unit: ft",
        r"drop-head knuckle: \[2.0, 0.6\]": f"drop-head knuckle: [{m_from_ft(stops['drop-head knuckle'])}, {m_from_ft(2.0)}]",
        r"automatic coupler: \[1.0\]": f"automatic coupler: [{m_from_ft(stops['automatic coupler'])}]",
        r"charged_at_least_bar: \{value: [0-9.]+": f"charged_at_least_bar: {{value: {bar(RUNNING_PSI[0])}",
        r"rear_full_at_most_bar: \{value: [0-9.]+": f"rear_full_at_most_bar: {{value: {bar(FULL_FROM_THE_REAR_PSI)}",
        r"rise_at_most_bar: \{value: [0-9.]+": "rise_at_most_bar: {value: 0",
    }
    for pattern, text in changes.items():
        rules, count = re.subn(pattern, text, rules, flags=re.MULTILINE)
        assert count == 1, pattern
    (folder / "trade.yaml").write_text(rules, encoding="utf-8")
    job = (JOBS_FOLDER / "demo-attach.yaml").read_text(encoding="utf-8")
    job = job.replace("local_rules: wending-vale", "local_rules: trade.yaml")
    path: Path = folder / "job.yaml"
    path.write_text(job, encoding="utf-8")
    return plan_job(path, load_fleet())


def keys(answer: JobPlan) -> list[str]:
    assert answer.order is not None, answer.reasons
    return [step.key for step in answer.order.steps]


@practice
def test_the_driver_stops_six_feet_short_before_a_knuckle_is_coupled(answer: JobPlan) -> None:
    order = keys(answer)
    assert order.index("draw up, stop 6 ft off") < next(i for i, key in enumerate(order) if key.startswith("couple "))
    assert min(float(match[1]) for key in order if (match := re.match(r"draw up, stop ([0-9.]+) ft", key))) <= 6.0
    assert max(float(match[1]) for key in order if (match := re.match(r"draw up, stop ([0-9.]+) ft", key))) >= 6.0


@practice
def test_one_open_jaw_is_enough(answer: JobPlan) -> None:
    order = keys(answer)
    assert sum(key.startswith("open the knuckle") for key in order) == 1
    assert sum(key.startswith("couple ") for key in order) == 1


@practice
def test_the_rear_application_is_limited_at_thirty_psi_and_must_not_rise(answer: JobPlan) -> None:
    assert answer.order is not None
    rear = next(step.brief for step in answer.order.steps if step.key.startswith("test, rear applied"))
    rise = next(step.brief for step in answer.order.steps if step.key.startswith("test, no rise"))
    assert "30 psi or less" in rear.replace("30.0", "30")
    assert "0.0 psi or less" in rise
    order = keys(answer)
    shut = next(i for i, key in enumerate(order) if key.startswith("test, rear shut"))
    assert shut < next(i for i, key in enumerate(order) if key.startswith("test, no rise"))


@practice
def test_the_charged_limit_is_the_lower_running_pressure(answer: JobPlan) -> None:
    assert answer.order is not None
    charged = next(step.brief for step in answer.order.steps if step.key.startswith("test, rear charged"))
    assert "66 psi or more" in charged.replace("66.0", "66")
