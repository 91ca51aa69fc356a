"""The three worked examples of the air case, run as the command runs them, against their reference bands.

The references were integrated by other code than ours, with the full energy equation on a fine grid; a band covers both
gas models and the refinement of the grid.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from headstock.physics.pipe_network import GasModel
from headstock.usecases.air_case import AirCaseResult, answer_air_file

FOLDER = Path(__file__).parent / "air_examples"
NAMES = ("cock-shut-at-joint-6", "full-service-12-vehicles-two-pipe", "leak-test-8-vehicles-single-pipe")
FIRST_ARRIVALS = {"cock-shut-at-joint-6": "pipe6", "full-service-12-vehicles-two-pipe": "rear"}
reference = pytest.mark.outside(source="independent integration", clause="full energy equation, fine grid", status="computed")


@cache
def ran(name: str, gas: GasModel) -> AirCaseResult:
    """One run for all tests of this module: the leak test with heat transfer takes some ten seconds."""
    return answer_air_file(FOLDER / f"{name}.json", "fine", gas).results[0]


def expected_of(name: str) -> list[dict[str, Any]]:
    value = json.loads((FOLDER / f"{name}.expected.json").read_text(encoding="utf-8"))
    return list(value["answers"])


@reference
@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize("name", NAMES)
def test_every_answer_of_an_example_lies_in_its_band(name: str, gas: GasModel) -> None:
    answers, expected = ran(name, gas).answers, expected_of(name)
    assert len(answers) == len(expected) >= 7
    outside = [
        f"{told['kind']} {told['where']}: {answer.value} not in {told['band']}"
        for answer, told in zip(answers, expected, strict=True)
        if answer.value is None or not told["band"][0] <= answer.value <= told["band"][1]
    ]
    assert outside == []
    assert [answer.unit for answer in answers] == [told["unit"].removesuffix(" gauge") for told in expected]


@reference
@pytest.mark.parametrize("name", FIRST_ARRIVALS)
def test_the_first_fall_arrives_within_thirty_milliseconds_of_the_reference(name: str) -> None:
    for answer, told in zip(ran(name, "heat-transfer").answers, expected_of(name), strict=True):
        if told["where"] == FIRST_ARRIVALS[name] and told.get("level_bar") == 4.95:
            assert answer.value == pytest.approx(told["reference"], abs=0.03)
            return
    pytest.fail("the example asks for no first arrival")


@reference
@pytest.mark.parametrize("name", NAMES)
def test_without_heat_transfer_to_follow_every_answer_is_near_the_isothermal_one(name: str) -> None:
    for answer, told in zip(ran(name, "isothermal").answers, expected_of(name), strict=True):
        assert answer.value == pytest.approx(told["isothermal"], abs=0.01)


@pytest.mark.outside(source="closed form", clause="conservation of mass", status="computed")
@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
@pytest.mark.parametrize("name", NAMES)
def test_no_air_is_lost_or_made(name: str, gas: GasModel) -> None:
    assert abs(ran(name, gas).mass_balance_relative) < 1e-12
