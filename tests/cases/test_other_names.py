"""Names of devices are the files' own: the same fleet under other names gives the same work, told in the same words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.equipment.library import BUILT_IN, load_fleet
from headstock.usecases.plan_job import JobPlan, plan_job
from tests.cases.jobs import DEMO, SECOND, planned

OTHER_NAMES = {
    "main_reservoir_pipe_": "mr_", "brake_pipe_": "bp_", "brake_valve": "handle", "parking_brake": "spring_brake",
    "hand_brake": "wheel", "white_lamp": "head_lamp", "red_lamp": "tail_lamp", "jumper": "cable",
    "gangway": "bellows", "buffers": "side_gear", "board": "plate",
}  # fmt: skip


def renamed(path: Path, folder: Path) -> Path:
    """A copy of a unit type or job file in which the keys that name devices use the other names."""
    text = path.read_text(encoding="utf-8")
    for name, other in OTHER_NAMES.items():
        text = re.sub(rf"(?m)^( +(?:[^:{{]*\.)?){name}", rf"\1{other}", text)
    copy = folder / path.name
    folder.mkdir(exist_ok=True)
    copy.write_text(text, encoding="utf-8")
    return copy


def planned_with(fleet: Path, job: Path) -> JobPlan:
    return plan_job(job, load_fleet(fleet))


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_other_names_change_neither_the_work_nor_its_cost(job: Path, tmp_path: Path) -> None:
    for path in BUILT_IN.glob("*.yaml"):
        renamed(path, tmp_path / "fleet")
    found, usual = planned_with(tmp_path / "fleet", renamed(job, tmp_path)), planned(job)
    assert found.answer == "yes", found.reasons
    assert (found.domain is not None and "217.spring_brake" in found.domain.variables) or job == SECOND
    assert found.order is not None and usual.order is not None
    assert found.order.cost_s == usual.order.cost_s
    assert [(step.role, step.phase) for step in found.order.steps] == [(step.role, step.phase) for step in usual.order.steps]
    assert [step.brief for step in found.order.steps] == [step.brief for step in usual.order.steps]


def test_without_a_cab_at_the_rear_the_answer_is_no_with_its_reason(tmp_path: Path) -> None:
    for path in BUILT_IN.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        if path.stem == "tarn":
            before, end_1, end_2 = text.partition('  "2":\n    vehicle: "4"\n')
            end_2 = end_2.replace("has_cab: true", "has_cab: false")
            valve, _, rest = end_2.partition("      brake_valve:\n")
            text = before + end_1 + valve + rest[rest.index("      brake_pipe_gauge") :]
        (tmp_path / path.name).write_text(text, encoding="utf-8")
    job = tmp_path.with_suffix(".yaml")
    job.write_text(DEMO.read_text(encoding="utf-8").replace("driven_from: 217/2", "driven_from: 217/1"), encoding="utf-8")
    found = planned_with(tmp_path, job)
    assert found.answer == "no"
    assert any("no cab at 226/2" in reason for reason in found.reasons)
