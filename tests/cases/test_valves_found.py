"""A brake valve found at any place of its handle: the pipe is as that place leaves it, and there is an order of work.

What a place does to the pipe (running feeds, full draws to a full application, lap keeps, empty lets all out) is common
practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.reasoning.checker import check
from tests.cases.jobs import DEMO, order_of, planned

CABS = ("217/1", "217/2", "226/1", "226/2")
PIPES = {"running": "charged", "full": "drawn", "lap": "drawn", "empty": "empty"}


def found(cab: str, place: str, folder: Path) -> Path:
    (folder / "job.yaml").write_text(DEMO.read_text(encoding="utf-8") + f"  {cab}.brake_valve: {place}\n", encoding="utf-8")
    return folder / "job.yaml"


@pytest.mark.parametrize("place", PIPES)
@pytest.mark.parametrize("cab", CABS)
def test_there_is_an_order_and_the_pipe_is_what_the_valve_made_of_it(cab: str, place: str, tmp_path: Path) -> None:
    steps, domain = order_of(found(cab, place, tmp_path))
    assert check(steps, domain).holds
    unit = cab.partition("/")[0]
    assert dict(domain.start)[f"{unit}.brake_pipe"] == PIPES[place]
    at_end = dict(domain.start)
    for step in steps:
        at_end.update(step.effects)
    assert [at_end[f"{other}.brake_valve"] for other in CABS] == ["full", "locked", "locked", "locked"]


def test_a_moving_portion_found_with_its_brake_off_is_told_before_anything_else(tmp_path: Path) -> None:
    told = planned(found("217/2", "running", tmp_path)).as_found
    assert any("217 is not held" in text for text in told)
    assert planned(DEMO).as_found == ()
