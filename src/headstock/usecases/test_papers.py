"""What a brake test of a job rests on: its papers, the train it is about, vehicle by vehicle, and where people go between."""

from __future__ import annotations

from dataclasses import dataclass

from headstock.equipment.library import Fleet
from headstock.formation.train import TrainUnit
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.tested_train import TrainOfTest, train_of_job


@dataclass(frozen=True, slots=True)
class VehicleOfTest:
    """A vehicle in order along the road: number, unit, length [m], cab at its first or last end."""

    number: str
    unit: str
    length_m: float
    cab_first: bool
    cab_last: bool


@dataclass(frozen=True, slots=True)
class TestPapers:
    """A job's papers with the train that its test is about; ``front_first``: whether it is led from its first end."""

    __test__ = False

    papers: JobPapers
    train: TrainOfTest
    vehicles: tuple[VehicleOfTest, ...]
    joints: tuple[str, ...]
    front_first: bool

    @property
    def stages(self) -> tuple[str, ...]:
        """Stages of the method, in order."""
        return tuple(stage.key for stage in self.papers.method.stages)

    @property
    def people(self) -> tuple[str, ...]:
        """Names of the crew."""
        return tuple(dict.fromkeys(self.papers.job.crew.values()))


def test_papers(papers: JobPapers, fleet: Fleet) -> TestPapers:
    """What a test of a job rests on. Raises InputError."""
    tested = train_of_job(papers, fleet, None)
    whole = JobReader(papers, fleet).train()
    units = [unit for unit in whole.units if unit.name in tested.units]
    joints = tuple(f"{joint.first} and {joint.second}" for joint in whole.joints)
    front = tested.cabs["front"] if tested.cabs else ""
    return TestPapers(papers, tested, tuple(vehicle for unit in units for vehicle in _vehicles(unit)), joints,
                      front == f"{units[0].name}/{units[0].first_end}")  # fmt: skip


def _vehicles(unit: TrainUnit) -> list[VehicleOfTest]:
    lengths = {vehicle.suffix: vehicle.length_m for vehicle in unit.unit_type.vehicles}
    order = unit.vehicle_suffixes
    ends = (unit.first_end, "2" if unit.first_end == "1" else "1")
    cabs = [unit.end_spec(end).has_cab for end in ends]
    return [VehicleOfTest(unit.vehicle_name(suffix), unit.name, lengths[suffix], number == 0 and cabs[0],
                          number == len(order) - 1 and cabs[1]) for number, suffix in enumerate(order)]  # fmt: skip
