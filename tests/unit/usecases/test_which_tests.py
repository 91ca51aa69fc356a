"""Which test is due: asked by events and facts as people write them, or of a job, whose own events and facts are known."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import load_fleet
from headstock.usecases.which_tests import WhichTests, which_tests
from tests.cases.jobs import DEMO, SECOND


def asked(*events: str, facts: Sequence[str] = (), name: str | None = None, job: Path | None = None) -> WhichTests:
    return which_tests(events, facts, name, job, load_fleet())


def test_a_job_brings_its_events_and_what_is_known_of_it() -> None:
    answer = asked(job=DEMO, facts=["added_tested=true"])
    assert answer.events == ("attached at front", "controlling end changed", "jumper or head touched")
    assert answer.facts == {"places_joined": 1.0, "added_tested": True}
    assert answer.result.answer == "yes"
    assert [test.test for test in answer.result.due] == ["continuity", "running", "wires"]
    no_wires = asked(job=SECOND)
    assert no_wires.events == ("attached at rear", "controlling end changed")


def test_a_brake_found_isolated_is_an_event_of_the_job(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8") + "  2262.automatic_brake: isolated\n"
    (tmp_path / "job.yaml").write_text(text, encoding="utf-8")
    answer = asked(job=tmp_path / "job.yaml")
    assert "brake isolated" in answer.events
    assert "full" in [test.test for test in answer.result.due]


def test_further_events_and_another_set_may_be_named_with_a_job() -> None:
    answer = asked("vehicles from snow", "controlling end changed", job=DEMO, name="example-1520")
    assert answer.triggers.name.startswith("Example: network of 1520 mm")
    assert answer.events[-1] == "vehicles from snow" and answer.events.count("controlling end changed") == 1
    assert answer.result.silent == ("jumper or head touched", "vehicles from snow")


def test_without_a_job_the_invented_set_answers() -> None:
    assert asked("cock touched").triggers.name == "Wending Vale"


@pytest.mark.parametrize(
    ("fact", "words"),
    [
        ("stood_min", "NAME=NUMBER"),
        ("stood_min=true", "NAME=NUMBER"),
        ("stood_min=long", "NAME=NUMBER"),
        ("stood_min=-3", "a number of 0 or more"),
        ("stood_min=nan", "a number of 0 or more"),
        ("unaltered=yes", "NAME=true"),
        ("unaltered=1", "true or false"),
        ("stod_min=3", "nearest stood_min"),
    ],
)
def test_a_fact_that_cannot_be_meant_is_refused(fact: str, words: str) -> None:
    with pytest.raises(InputError) as caught:
        asked("stood", facts=[fact])
    assert words in caught.value.faults[0].text()
    assert "headstock due --list" in caught.value.cure


def test_a_fact_twice_a_wrong_event_and_a_wrong_set_are_refused() -> None:
    with pytest.raises(InputError, match="each fact once"):
        asked("stood", facts=["stood_min=3", "stood_min=4"])
    with pytest.raises(InputError, match="nearest stood"):
        asked("stod")
    with pytest.raises(InputError, match="nearest example-india"):
        asked("stood", name="example-indai")
