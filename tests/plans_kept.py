"""Many tests start from the order of the same job: within one process of the tests it is searched once.

The search itself stays as it is; a task that differs in anything is searched anew, and so is one where a test has put
something else in the planner's place.
"""

from __future__ import annotations

import pickle
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import pytest

from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain
from headstock.reasoning.planner import PlanResult
from headstock.usecases import plan_job
from headstock.usecases.assemble import AssembledJob

MOST_KEPT = 100
Found = tuple[AttachTask, Domain, PlanResult]


@contextmanager
def plans_kept() -> Iterator[OrderedDict[bytes, Found]]:
    """Give the orders found so far, by their task; the longest unused one makes room."""
    kept: OrderedDict[bytes, Found] = OrderedDict()
    search, planner = plan_job._found, plan_job.plan

    def found(assembled: AssembledJob, task: AttachTask) -> tuple[AssembledJob, Domain, PlanResult]:
        if plan_job.plan is not planner:
            return search(assembled, task)
        key = pickle.dumps(task)
        if key not in kept:
            searched, domain, order = search(assembled, task)
            assert searched.task is not None
            kept[key] = searched.task, domain, order
            if len(kept) > MOST_KEPT:
                kept.popitem(last=False)
        kept.move_to_end(key)
        planned_task, domain, order = kept[key]
        return replace(assembled, task=planned_task), domain, order

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plan_job, "_found", found)
        yield kept
