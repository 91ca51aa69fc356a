"""Trains of 4, 8 and 12 vehicles under each method of testing whose air is reckoned; demonstration data, all invented.

The longest one stands in a road of its own: the built-in roads are too short for three units.
"""

from __future__ import annotations

import tempfile
from dataclasses import replace
from functools import cache
from pathlib import Path

from headstock.brake_test.air_under_test import AirUnderTest
from headstock.brake_test.forecast import TrainUnderTest, stage_spans
from headstock.brake_test.gauge_error import GaugeErrors, gauge_errors
from headstock.brake_test.signature_set import SignatureTask
from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.formation.train import Train
from headstock.formation.train_air import brake_pipe_air_of
from headstock.local_rules.drawn_tests import DEMONSTRATION, DrawnTests, load_drawn_tests
from headstock.local_rules.test_method import built_in_methods, load_test_method
from headstock.usecases.forecast_job import train_under_test
from headstock.usecases.job_file import PLACES_FOLDER
from headstock.usecases.other_method import by_method
from headstock.usecases.plan_job import plan_job
from tests.cases.jobs import DEMO, planned

METHODS = ("rear-application", "front-both-ways", "tail-vent", "full-count", "leak-by-drop", "one-person-both-ways")
VEHICLES = (4, 8, 12)
TRAINS = tuple((vehicles, method) for method in METHODS for vehicles in VEHICLES if (vehicles, method) != (12, "tail-vent"))
"""Left out: an open tail behind twelve vehicles is twenty times the work of the others for the fast solver."""
MEMBERS = 12
DRAWN: DrawnTests = load_drawn_tests(DEMONSTRATION)


@cache
def train_of(vehicles: int) -> TrainUnderTest:
    """A train handed to its test: one unit of the demonstration's two, both, or both and a third."""
    if vehicles == 12:
        return _three_units()
    found = train_under_test(planned(DEMO, by_air=True))
    assert found is not None
    return found if vehicles == 8 else _first_unit(found)


def _first_unit(pair: TrainUnderTest) -> TrainUnderTest:
    """The first unit alone: what stood towards its neighbour is shut."""
    own, other = pair.train.units
    rear = replace(pair.front, end="2" if pair.front.end == "1" else "1")
    values = {key: value for key, value in pair.values.items() if not key.startswith(str(other.name))}
    values |= {key: "shut" for key in values if key.startswith(str(rear)) and key.endswith("pipe_cock")}
    values |= {key: "on its dummy" for key in values if key.startswith(str(rear)) and key.endswith("pipe_hose")}
    return replace(pair, train=Train((own,), ()), values=values, rear=rear, pipe_bar={own.name: pair.pipe_bar[own.name]})


def _three_units() -> TrainUnderTest:
    job, place = DEMO.read_text(encoding="utf-8"), (PLACES_FOLDER / "harrow-ings-3.yaml").read_text(encoding="utf-8")
    for before, after in (
        ('  - {name: "226", type: tarn}\n', '  - {name: "226", type: tarn}\n  - {name: "229", type: tarn}\n'),
        ("make: true}\n", "make: true}\n  - {ends: [226/2, 229/1]}\n"), ("place: harrow-ings-3", "place: place.yaml"),
    ):  # fmt: skip
        assert before in job
        job = job.replace(before, after)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "job.yaml").write_text(job, encoding="utf-8")
        assert "usable_length_m: 240" in place
        (folder / "place.yaml").write_text(place.replace("usable_length_m: 240", "usable_length_m: 400"), encoding="utf-8")
        found = train_under_test(plan_job(folder / "job.yaml", load_fleet(), KeptRuns()))
    assert found is not None
    return found


@cache
def air_of(vehicles: int, method: str) -> AirUnderTest:
    """A train with its air under a built-in method."""
    tested = by_method(train_of(vehicles), load_test_method(built_in_methods()[method]))
    return AirUnderTest(tested, brake_pipe_air_of(tested.train, tested.outside_pa), stage_spans(tested))


@cache
def task_of(vehicles: int, method: str) -> SignatureTask:
    """Single faults of a train under a method, from the demonstration's ranges."""
    return SignatureTask(air_of(vehicles, method), DRAWN, MEMBERS)


def errors_of(vehicles: int, method: str) -> GaugeErrors:
    """The gauges of the same."""
    return gauge_errors(air_of(vehicles, method).tested, DRAWN)
