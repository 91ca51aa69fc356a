"""A job has one order: the same in every process; and what the tests keep of orders is what would be found."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from headstock.equipment.library import load_fleet
from headstock.reasoning.domain import Domain
from headstock.usecases import plan_job
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import plan_job as planned_anew
from tests.plans_kept import plans_kept

JOB, OTHER = JOBS_FOLDER / "failed-release.yaml", JOBS_FOLDER / "part-rescue.yaml"
SOURCES = Path(plan_job.__file__).parents[2]
SCRIPT = """
import sys
from pathlib import Path
from headstock.equipment.library import load_fleet
from headstock.usecases.plan_job import plan_job
print(*(step.ident for step in plan_job(Path(sys.argv[1]), load_fleet()).order.steps), sep="\\n")
"""


def test_the_order_is_the_same_whatever_the_process_hashes_names_to() -> None:
    orders = set()
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(SOURCES)}
        command = [sys.executable, "-c", SCRIPT, str(JOB)]
        orders.add(subprocess.run(command, env=environment, capture_output=True, text=True, check=True).stdout)
    assert len(orders) == 1
    order = planned_anew(JOB, load_fleet()).order
    assert order is not None and orders.pop().splitlines() == [str(step.ident) for step in order.steps]


def test_an_order_is_kept_for_its_own_task_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    with plans_kept() as kept:
        first, again, other = (planned_anew(path, load_fleet()) for path in (JOB, JOB, OTHER))
        assert first.order is again.order and first.order != other.order and len(kept) == 2
        searched: list[Domain] = []
        planner = plan_job.plan
        monkeypatch.setattr(plan_job, "plan", lambda domain: searched.append(domain) or planner(domain))
        assert planned_anew(JOB, load_fleet()).order == first.order and len(searched) == 1 and len(kept) == 2
