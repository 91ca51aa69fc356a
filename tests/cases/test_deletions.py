"""One need, effect or guard missing from the model is noticed by a case written by hand: measured, and a sample each time."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from headstock.reasoning.checker import check
from tests.cases.deletions import deletions, without
from tests.cases.family_measures import FAMILIES, family_measure
from tests.cases.hand_written import measure_of
from tests.cases.jobs import DEMO, PART, order_of

ASKED = 0.9
SAMPLE = 60
each_job = pytest.mark.parametrize("job", [DEMO, PART], ids=lambda job: job.stem)
each_family = pytest.mark.parametrize("name", FAMILIES)
practice = pytest.mark.outside(source="common practice, no source", clause="coupling and parting", status="common practice")


@practice
@each_job
def test_nothing_is_done_without_what_must_be_so_or_be_known_first(job: Path) -> None:
    """Each row of the hand-written tables, among all other cases: the spoilt thing is named at its step."""
    assert measure_of(job).wrong == []
    assert len(measure_of(job).cases) > 400


@each_job
def test_a_sample_of_what_could_be_missing_is_noticed(job: Path) -> None:
    steps, domain = order_of(job, job == DEMO)
    drawn = Random(2).sample(list(deletions(domain, steps)), SAMPLE)
    missed = [str(one) for one in drawn if not measure_of(job).notices(one)]
    print(f"{job.stem}: {SAMPLE - len(missed)} of {SAMPLE} noticed; missed: {missed}")
    assert len(missed) <= (1 - ASKED) * SAMPLE


@pytest.mark.slow
@each_job
def test_nine_in_ten_of_all_that_could_be_missing_are_noticed(job: Path) -> None:
    steps, domain = order_of(job, job == DEMO)
    every = list(deletions(domain, steps))
    missed = [one for one in every if not measure_of(job).notices(one)]
    print(f"{job.stem}: {len(every) - len(missed)} of {len(every)} noticed, {dict(Counter(one.part for one in every))}")
    print("\n".join(f"  missed: {one}" for one in missed))
    assert len(missed) <= (1 - ASKED) * len(every)


@practice
@each_family
def test_in_other_families_nothing_is_done_without_what_must_be_so_or_be_known_first(name: str) -> None:
    measure, _ = family_measure(name)
    assert measure.wrong == []
    assert len(measure.cases) > 400


@each_family
def test_a_sample_of_what_could_be_missing_in_other_families_is_noticed(name: str) -> None:
    measure, steps = family_measure(name)
    drawn = Random(2).sample(list(deletions(measure.domain, steps)), SAMPLE)
    missed = [str(one) for one in drawn if not measure.notices(one)]
    print(f"{name}: {SAMPLE - len(missed)} of {SAMPLE} noticed; missed: {missed}")
    assert len(missed) <= (1 - ASKED) * SAMPLE


@pytest.mark.slow
@each_family
def test_nine_in_ten_of_all_that_could_be_missing_in_other_families_are_noticed(name: str) -> None:
    measure, steps = family_measure(name)
    every = list(deletions(measure.domain, steps))
    missed = [one for one in every if not measure.notices(one)]
    print(f"{name}: {len(every) - len(missed)} of {len(every)} noticed, {dict(Counter(one.part for one in every))}")
    print("\n".join(f"  missed: {one}" for one in missed))
    assert len(missed) <= (1 - ASKED) * len(every)


def test_a_deletion_takes_out_one_thing_and_no_other() -> None:
    steps, domain = order_of(DEMO, by_air=True)
    one = next(each for each in deletions(domain, steps) if each.part == "needs")
    poorer = without(domain, one)
    changed = [(old, new) for old, new in zip(domain.steps, poorer.steps, strict=True) if old != new]
    assert len(changed) == 1 and set(changed[0][0].needs) - set(changed[0][1].needs) == {one.fact}
    assert not check(steps, poorer).holds, "the order holds a step that the poorer model does not own"
