"""The train of a job, or one described in a record, as its brake test's figures need it, and the path of the test in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from headstock.base.errors import Fault, InputError
from headstock.brake_test.test_record import GaugeFacts, TrainTested
from headstock.brake_test.touches import TestPath
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.distributor import DistributorSpec
from headstock.devices.gauge import GaugeSpec
from headstock.equipment.library import Fleet
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_air import brake_places
from headstock.local_rules.method_stage import End, Reads
from headstock.local_rules.test_method import BrakeTestMethod, Release
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.readings_file import TrainGiven

READS: Mapping[str, Reads] = {"brake pipe": "brake pipe", "brake cylinder": "brake cylinder"}
WIRES = ("jumper", "electrical head", "automatic coupler", "brake controller")


@dataclass(frozen=True, slots=True)
class TrainOfTest:
    """The train, the path of the test, the cabs by end; ``units`` in order."""

    tested: TrainTested
    path: TestPath | None
    known: frozenset[str] = frozenset()
    cabs: Mapping[End, str] | None = None
    units: tuple[str, ...] = ()


def train_of_job(papers: JobPapers, fleet: Fleet, electric_in_use: bool | None) -> TrainOfTest:
    """The train that the job's test is about: all of it, or after parting the portion that leaves. Raises InputError."""
    reader = JobReader(papers, fleet)
    whole, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(whole)
    reader.check_cabs(whole, ends, moving_first)
    train = whole if papers.job.work == "attach" else _leaving(whole, moving_first)
    front = ends["controls_afterwards"]
    first, last = train.outer_ends
    rear = last if front == first else first
    tested = _facts(train, front, rear, electric_in_use)
    known = frozenset(at.key() for at, _ in train.devices()) | {at.key() for at in brake_places(train)}
    cabs: dict[End, str] = {"front": str(front), "rear": str(rear)}
    return TrainOfTest(tested, _path(train, front, rear, papers.method), known, cabs, tuple(unit.name for unit in train.units))


def _leaving(train: Train, moving_first: bool) -> Train:
    units = train.portions()[0 if moving_first else 1]
    names = {unit.name for unit in units}
    return Train(units, tuple(joint for joint in train.joints if {joint.first.unit, joint.second.unit} <= names))


def _facts(train: Train, front: UnitEnd, rear: UnitEnd, electric_in_use: bool | None) -> TrainTested:
    brakes = [spec for unit in train.units for spec in unit.unit_type.devices.values() if isinstance(spec, DistributorSpec)]
    releases: frozenset[Release] = frozenset(spec.release for spec in brakes)
    gauges: dict[tuple[End, Reads], GaugeFacts] = {}
    ends: tuple[tuple[End, UnitEnd], ...] = (("front", front), ("rear", rear))
    for at, end in ends:
        for _, spec in train.end_devices(end):
            if isinstance(spec, GaugeSpec) and spec.reads in READS:
                gauges[at, READS[spec.reads]] = GaugeFacts(spec.range_low_bar, spec.range_high_bar, spec.graduation_bar,
                                                           spec.accuracy_class_percent)  # fmt: skip
    has_electric = bool(brakes) and all(spec.electro_pneumatic != "none" for spec in brakes)
    return TrainTested(
        stock="multiple unit", releases=releases, set_bar=_valve(train, front).set_pressure_bar,
        length_m=sum(unit.unit_type.length_m for unit in train.units), brakes=len(brake_places(train)), gauges=gauges,
        has_electric_brake=has_electric, electric_in_use=electric_in_use,
    )  # fmt: skip


def _valve(train: Train, end: UnitEnd) -> CabValveSpec:
    try:
        return train.cab_valve(end)[1]
    except KeyError:
        fault = Fault("no brake valve in the leading cab", found=str(end), expected="a cab with a brake valve")
        raise InputError(fault, cure="Describe the train in the record instead of naming the job.") from None


def _path(train: Train, front: UnitEnd, rear: UnitEnd, method: BrakeTestMethod) -> TestPath:
    devices = {at.key() for at, spec in train.devices() if _is_in_path(spec, method)}
    if method.brake != "wires":
        devices |= {at.key() for at in brake_places(train)}
    named: dict[str, str] = {}
    for end, words in ((front, {"cab valve": "leading brake valve", "brake controller": "brake controller"}),
                       (rear, {"cab valve": "rear brake valve", "end cock": "tail cock", "hose": "tail hose"})):  # fmt: skip
        for at, spec in train.end_devices(end):
            if spec.kind in words and getattr(spec, "pipe", "brake pipe") == "brake pipe":
                named[words[spec.kind]] = at.key()
    return TestPath(frozenset(devices), named, method.exempt_touches)


def _is_in_path(spec: object, method: BrakeTestMethod) -> bool:
    kind = getattr(spec, "kind", "")
    if method.brake != "automatic":
        return kind in WIRES
    of_pipe = kind in ("end cock", "hose") and getattr(spec, "pipe", "") == "brake pipe"
    return of_pipe or kind in ("cab valve", "automatic coupler")


def train_given(given: TrainGiven, method: BrakeTestMethod, electric_in_use: bool | None) -> TrainOfTest:
    """A train described in the record itself."""
    gauges = {(gauge.at, gauge.reads): GaugeFacts(gauge.range_low_bar, gauge.range_high_bar, gauge.graduation_bar,
                                                  gauge.accuracy_class_percent) for gauge in given.gauges}  # fmt: skip
    tested = TrainTested(
        stock=given.stock, releases=frozenset(given.releases), set_bar=given.set_pressure_bar, length_m=given.length_m,
        brakes=given.brakes, gauges=gauges, has_electric_brake=given.electric_brake, electric_in_use=electric_in_use,
    )  # fmt: skip
    known = frozenset(given.devices)
    path = TestPath(known, given.named, method.exempt_touches) if known else None
    return TrainOfTest(tested, path, known)
