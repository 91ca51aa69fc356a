"""A million drawn tests worked out into files, and what they took; hours of it only where the slow tests are asked for."""

from __future__ import annotations

import os
import re
from math import ceil

import pytest

from bench.study_cost import StudyCost, cost_of, plan_of, said
from bench.study_scaling import scaling_study
from headstock.brake_test.signature_set import BLOCK
from headstock.exchange.study_parts import part_content
from tests.promises.tree import ROOT

FEWEST_DRAWS = 4
A_DRAW = 110
"""Drawn tests of one draw: each fault in each degree at each place of the train, and the healthy one."""


@pytest.mark.slow
def test_a_million_drawn_tests_are_worked_out_and_cost_what_the_page_says(capsys: pytest.CaptureFixture[str]) -> None:
    wanted = int(os.environ.get("HEADSTOCK_STUDY_TESTS", "1_000_000"))
    study = scaling_study(max(FEWEST_DRAWS, ceil(wanted / A_DRAW)))
    assert study.count >= wanted
    cost = cost_of(study, part_content, 2)
    with capsys.disabled():
        print(f"\n{said('drawn tests, 2 workers', cost)}")
    assert cost.scenarios == study.count and cost.parts == study.parts
    assert 0.0002 < cost.each_s < 0.02 and 50 < cost.each_bytes < 300
    assert cost.process_mb < 600  # bounded: as much at ten thousand as at a million


def test_a_plan_is_cost_times_count_shared_among_workers() -> None:
    cost = StudyCost(1000, 2, 2.0, 9.0, 100_000, 300.0)
    plan = plan_of(cost.each_s, cost.each_bytes, 3_600_000, 4, 512)
    assert (plan.hours, plan.size_bytes, plan.files) == pytest.approx((0.5, 3.6e8, 7032))
    assert plan_of(cost.each_s, cost.each_bytes, 10**9, 4, 512).files == 19_930  # 1,953,125 blocks, 98 in a part


def test_the_plans_of_the_page_follow_from_its_own_cost_and_size() -> None:
    page = (ROOT / "docs" / "explanation" / "study-cost.md").read_text(encoding="utf-8")
    told = re.search(r"By ([0-9.]+) ms of a processor and ([0-9]+) bytes a drawn test", page)
    assert told is not None
    rows = re.findall(r"^\| ([0-9,]+) \| ([0-9,]+) \| ([0-9.,]+) \| ([0-9.,]+) GB \| ([0-9,]+) \|$", page, re.MULTILINE)
    assert len(rows) >= 4
    for row in rows:
        scenarios, workers = (int(cell.replace(",", "")) for cell in row[:2])
        plan = plan_of(float(told[1]) / 1e3, float(told[2]), scenarios, workers, BLOCK)
        assert row[2:] == (f"{plan.hours:,.1f}", f"{plan.size_bytes / 1e9:,.1f}", f"{plan.files:,}")
