"""A fault in an order of each further coupler family is named at its step for the hand-written reason, and nothing earlier."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.reasoning.checker import check
from tests.cases.bad_part_made import BAD_PART_MADE
from tests.cases.bad_partings import BAD_PARTINGS
from tests.cases.couplings import coupling
from tests.cases.planted_couplings import PLANTED_COUPLINGS, PlantedCoupling
from tests.cases.planted_instructions import PLANTED
from tests.outside import NO_SOURCE


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("planted")


@pytest.mark.outside(source=NO_SOURCE, clause="coupling and parting", status="common practice")
@pytest.mark.parametrize("planted", PLANTED_COUPLINGS, ids=lambda planted: planted.name)
def test_a_planted_fault_is_named_at_its_step(planted: PlantedCoupling, folder: Path) -> None:
    plan = coupling(planted.pair, planted.work, folder)
    assert plan.order is not None and plan.domain is not None, plan.reasons
    right = list(plan.order.steps)
    assert check(right, plan.domain).holds
    order = planted.edit(list(right))
    assert order != right, "nothing was planted"
    holes = [hole for hole in check(order, plan.domain).holes if hole.kind != "unknown step"]
    first = min(hole.line for hole in holes)
    said = [(hole.step, f"{hole.kind}:{hole.about}") for hole in holes if hole.line == first]
    assert any(re.match(planted.at, step) and re.fullmatch(planted.complaint, about) for step, about in said), said


def test_each_family_has_its_faults_and_more_than_forty_were_written_before_anything_ran() -> None:
    by_family: dict[str, int] = {}
    for planted in PLANTED_COUPLINGS:
        family = planted.name.partition(":")[0]
        by_family[family] = by_family.get(family, 0) + 1
    assert by_family == {"rigid": 5, "rigid with drop-head": 1, "screw": 6, "loose screw": 4, "alone": 6}
    assert len(PLANTED) + len(PLANTED_COUPLINGS) >= 55, "written from the trade, blind to the planner"
    assert len(BAD_PARTINGS) + len(BAD_PART_MADE) >= 45, "edits of orders that had been seen"
