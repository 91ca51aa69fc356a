"""Jobs whose order is hard to find: many brakes found on, and the key kept by the person who goes between."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.reasoning.checker import check
from headstock.usecases.plan_job import plan_job

ROOT = Path(__file__).parents[2] / "src/headstock"
JOB = """headstock: job 1
title: three hand brakes found on
invented: true
work: attach
units: [{name: "70", type: tarn}, {name: "80", type: tarn}]
joints: [{ends: [70/2, 80/2], make: true}]
moving: {units: ["80"], driven_from: 80/1}
controls_afterwards: 80/1
leaves_from: 80/1
crew: {driver: A, shunter: B, guard: C}
place: place.yaml
local_rules: rules.yaml
method: rear-application
as_left:
  70.board: "off"
  80.board: "off"
  80/1.white_lamp: lit
  702.hand_brake: "on"
  802.hand_brake: "on"
  803.hand_brake: "on"
"""


@pytest.mark.slow
@pytest.mark.parametrize("by_air", [False, True])
def test_three_brakes_found_on_and_the_key_with_the_person_between_still_have_an_order(by_air: bool, tmp_path: Path) -> None:
    place = (ROOT / "formation/places/harrow-ings-3.yaml").read_text(encoding="utf-8")
    rules = (ROOT / "local_rules/rules/wending-vale.yaml").read_text(encoding="utf-8")
    longer, other_key = "usable_length_m: 900", "key_kept_by: {value: person between"
    assert "usable_length_m: 240" in place and "key_kept_by: {value: driver" in rules
    (tmp_path / "place.yaml").write_text(place.replace("usable_length_m: 240", longer), encoding="utf-8")
    (tmp_path / "rules.yaml").write_text(rules.replace("key_kept_by: {value: driver", other_key), encoding="utf-8")
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    answer = plan_job(tmp_path / "job.yaml", load_fleet(), KeptRuns() if by_air else None)
    assert answer.order is not None and answer.domain is not None, answer.reasons
    assert check(answer.order.steps, answer.domain).holds
    assert answer.order.proved_best, (answer.order.cost_s, answer.order.bound_s, answer.order.expanded)
