"""Limits and readings in people's unit: the figures of the rules, never rounded across a limit, the same wherever they stand."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.equipment.library import load_fleet
from headstock.local_rules.limit_figures import (
    PressureUnit,
    is_at_most,
    is_within,
    limit_figure,
    limit_read_bar,
    limit_words,
    reading_figure,
)
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.local_rules.test_method import Limit
from headstock.sheets.compose import sheet_of
from headstock.usecases.forecast_words import limit_in_words, reading_in_words
from headstock.usecases.plan_job import plan_job
from tests.cases.jobs import DEMO
from tests.unit.sheets.forecasts import READINGS, six_faults

PSI_A_BAR = 1e5 / (0.45359237 * 9.80665 / 0.0254**2)
"""1 lbf is 0.45359237 kg x 9.80665 m/s2, on a square inch of 25.4 mm: both exact by definition."""


@pytest.mark.parametrize(
    ("limit_bar", "limit", "unit", "said"),
    [
        (4.8, "charged_at_least_bar", "bar", ("4.8 bar", "or more")),
        (3.65, "rear_full_at_most_bar", "bar", ("3.65 bar", "or less")),
        (3.6, "rear_full_at_most_bar", "psi", ("52.2 psi", "or less")),
        (0.1, "rise_at_most_bar", "psi", ("1.4 psi", "or less")),
        (4.8, "charged_at_least_bar", "psi", ("69.7 psi", "or more")),
        (4.8263, "charged_at_least_bar", "psi", ("70.0 psi", "or more")),
        (0.1379, "rise_at_most_bar", "psi", ("2.0 psi", "or less")),
        (0.0, "rise_at_most_bar", "psi", ("0.0 psi", "or less")),
    ],
)
def test_a_limit_is_said_as_the_rules_write_it_or_in_tenths_of_psi_on_the_safe_side(
    limit_bar: float, limit: Limit, unit: PressureUnit, said: tuple[str, str]
) -> None:
    assert limit_words(limit_bar, limit, unit) == said


@given(
    shows_bar=st.floats(-1.0, 10.0), away_bar=st.floats(-0.02, 0.02),
    limit=st.sampled_from(["charged_at_least_bar", "rear_full_at_most_bar", "rise_at_most_bar"]),
    unit=st.sampled_from(["bar", "psi"]),
)  # fmt: skip
def test_no_figure_says_the_other_side_of_its_limit_but_by_a_hair(
    shows_bar: float, away_bar: float, limit: Limit, unit: PressureUnit
) -> None:
    limit_bar, factor = shows_bar + away_bar, PSI_A_BAR if unit == "psi" else 1.0
    figure = float(reading_figure(shows_bar, limit_bar, limit, unit))
    agrees = is_within(figure, limit_bar * factor, limit) == is_within(shows_bar, limit_bar, limit)
    assert agrees or abs(away_bar) * factor < 1e-4
    assert figure == pytest.approx(shows_bar * factor, abs=0.051 if unit == "psi" else 0.0051)


@given(
    limit_bar=st.floats(0.0, 10.0),
    limit=st.sampled_from(["charged_at_least_bar", "rear_full_at_most_bar", "front_full_at_most_bar", "rise_at_most_bar"]),
)
def test_a_limit_read_in_psi_is_never_laxer_than_the_rules_and_is_the_one_that_decides(limit_bar: float, limit: Limit) -> None:
    figure, read_bar = float(limit_figure(limit_bar, limit, "psi")), limit_read_bar(limit_bar, limit, "psi")
    exact = limit_bar * PSI_A_BAR
    stricter = exact - figure if is_at_most(limit) else figure - exact
    assert -0.0011 <= stricter < 0.1001, "a hair, a thousandth of a psi, apart"
    assert read_bar * PSI_A_BAR == pytest.approx(figure, abs=1e-9)
    assert limit_figure(read_bar, limit, "psi") == limit_figure(limit_bar, limit, "psi")
    assert limit_read_bar(limit_bar, limit, "bar") == limit_bar


@pytest.mark.parametrize(("unit", "limit_bar"), [("bar", 4.8), ("psi", 69.7 / PSI_A_BAR)])
def test_the_rules_give_the_limit_that_people_read(unit: str, limit_bar: float, tmp_path: Path) -> None:
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(rules.replace("pressure_unit: bar", f"pressure_unit: {unit}"), encoding="utf-8")
    assert load_local_rules(tmp_path / "rules.yaml").limit_bar("charged_at_least_bar") == pytest.approx(limit_bar, abs=1e-9)


def test_in_psi_step_sheet_chart_and_terminal_say_the_same_figures(tmp_path: Path) -> None:
    rules = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(rules.replace("pressure_unit: bar", "pressure_unit: psi"), encoding="utf-8")
    job = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml")
    (tmp_path / "job.yaml").write_text(job, encoding="utf-8")
    plan = plan_job(tmp_path / "job.yaml", load_fleet())
    assert plan.order is not None, plan.reasons
    forecast = six_faults()
    wanted = ["69.7 psi", "52.2 psi", "53.6 psi", "1.4 psi", "69.7 psi"]
    # 4.8, 3.6, 3.7, 0.1 and 4.8 bar are 69.618, 52.214, 53.664, 1.450 and 69.618 psi.
    assert [limit_bar for *_, limit_bar in READINGS] == [4.8, 3.6, 3.7, 0.1, 4.8]
    briefs = [step.brief for step in plan.order.steps if "limit" in step.brief]
    assert [re.findall(r"limit (\S+ psi)", brief)[0] for brief in briefs] == wanted
    sheet = sheet_of(plan, forecast)
    assert [reading.limit for reading in sheet.readings] == wanted
    assert sheet.forecast is not None
    assert [f"{row.limit} psi" for row in sheet.forecast.rows] == wanted
    healthy = forecast.cases[0].readings
    assert [limit_in_words(reading, plan.papers.rules).rsplit(" ", 2)[0] for reading in healthy] == wanted
    printed = [f"{row.shows[0].text} psi" for row in sheet.forecast.rows]
    assert [reading_in_words(reading, plan.papers.rules) for reading in healthy] == printed
