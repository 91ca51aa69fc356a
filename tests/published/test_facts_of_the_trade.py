"""Facts of the trade, as check values on computed answers. They are never in the demo fleet, rules or places.

Common practice, no source. A rule set of their own carries them, written here.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.base.conversion import gauge_bar_from_pa, m_from_ft, pa_from_gauge_psi
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import BUILT_IN as FLEET
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.forecast_words import limit_in_words, reading_in_words
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
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("trade")


@pytest.fixture(scope="module")
def answer(folder: Path) -> JobPlan:
    """The demo job planned with a rule set in psi and feet that carries the facts."""
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


@pytest.fixture(scope="module")
def shows(folder: Path, answer: JobPlan) -> dict[str, float]:
    """What the gauges show [psi] with valves set to 70 psi whose full position ends at 29 psi, under those rules."""
    (folder / "fleet").mkdir()
    for file in FLEET.glob("*.yaml"):
        text = file.read_text(encoding="utf-8")
        text = text.replace("set_pressure_bar: 5.0", f"set_pressure_bar: {bar(70.0)}")
        text = re.sub(r"does: full, ends_at_bar: [0-9.]+", f"does: full, ends_at_bar: {bar(29.0)}", text)
        (folder / "fleet" / file.name).write_text(text, encoding="utf-8")
    engine = KeptRuns()
    plan = plan_job(folder / "job.yaml", load_fleet(folder / "fleet"), engine)
    assert plan.papers.rules.name == answer.papers.rules.name
    forecast = forecast_of(plan, engine, ("226/1.brake_pipe_hose=hanging,217/2.brake_pipe_hose=hanging",))
    assert forecast is not None, plan.reasons
    healthy, parted = forecast.cases
    assert healthy.is_within_limits, [reading for reading in healthy.readings if not reading.within]
    assert not parted.is_within_limits
    for reading in healthy.readings:
        assert "psi" in reading_in_words(reading, plan.papers.rules) and "psi" in limit_in_words(reading, plan.papers.rules)
    return {reading.name: reading.shows_bar * 1e5 / 6894.757293 for reading in healthy.readings}


@practice
def test_a_charged_pipe_shows_its_running_pressure_at_the_rear(shows: dict[str, float]) -> None:
    low, high = RUNNING_PSI
    assert low <= shows["Charged, rear"] <= high
    assert low <= shows["Restored, rear"] <= high


@practice
def test_a_full_application_from_the_rear_brings_the_whole_pipe_to_thirty_psi_or_less(shows: dict[str, float]) -> None:
    assert 25.0 < shows["Applied, rear"] <= FULL_FROM_THE_REAR_PSI
    assert 25.0 < shows["Applied, front"] <= FULL_FROM_THE_REAR_PSI


@practice
def test_the_pipe_does_not_rise_once_the_rear_valve_is_shut(shows: dict[str, float]) -> None:
    assert shows["Rise, front"] <= 0.0
