"""An assurance rests on a gauge read after the last movement; what was read before the approach says nothing of it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from headstock.devices.scene import pipe_key
from headstock.reasoning.checker import check
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from tests.cases.bad_orders import leave_out
from tests.cases.jobs import DEMO, SCREW, SECOND, order_of

practice = pytest.mark.outside(
    source="common practice, no source", clause="the brake is looked at after it was used", status="common practice"
)
READS = "^read the brake pipe gauge: full application"
JOBS = [(DEMO, False), (DEMO, True), (SECOND, True), (SCREW, False)]
each = pytest.mark.parametrize(("job", "by_air"), JOBS, ids=[f"{job.stem}{' air' if air else ''}" for job, air in JOBS])


def last(steps: tuple[Step, ...], *words: str) -> int:
    return max(number for number, step in enumerate(steps) if step.key.startswith(words))


def as_if_lasting(domain: Domain) -> Domain:
    """The bug planted: what was read of a pipe lasts whatever moves."""
    pipes = {key: replace(found, fresh=False) for key, found in domain.variables.items() if key.endswith(pipe_key(""))}
    return replace(domain, variables={**domain.variables, **pipes})


@practice
@each
def test_the_gauge_is_read_between_the_last_movement_and_the_assurance(job: Path, by_air: bool) -> None:
    steps, _ = order_of(job, by_air)
    moved = last(steps, "pull lightly", "close up", "couple", "draw up")
    read, assured = last(steps, "read the brake pipe gauge: full application"), last(steps, "assure the shunter")
    assert moved < read < assured and "coupled" in steps[assured].key


@practice
@each
def test_a_gauge_read_before_the_approach_alone_is_refused_and_passes_only_with_the_bug_planted(job: Path, by_air: bool) -> None:
    steps, domain = order_of(job, by_air)
    before = [step for number, step in enumerate(steps) if number != last(steps, "read the brake pipe gauge: full application")]
    first = check(before, domain).holes[0]
    assert first.kind == "knowledge" and first.role == "driver" and first.fact is not None and first.fact[1] == "drawn"
    assert first.step == steps[last(steps, "assure the shunter")].key
    assert check(before, as_if_lasting(domain)).holds


@practice
def test_a_gauge_read_between_coupling_and_the_pull_is_too_early() -> None:
    steps, domain = order_of(DEMO, False)
    reading = steps[last(steps, "read the brake pipe gauge: full application")]
    assert check(steps, domain).holds
    early = list(leave_out(READS)(list(steps)))
    early.insert(last(tuple(early), "pull lightly"), reading)
    assert any(hole.kind == "knowledge" and "assure" in hole.step for hole in check(early, domain).holes)
