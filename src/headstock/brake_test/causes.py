"""What may be the cause of what the gauges show: each kind of fault at each place of the train under test."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from headstock.brake_test.forecast import TrainUnderTest
from headstock.devices.cab_valve import CabValveSpec
from headstock.formation.train_air import TrainAir, brake_places
from headstock.local_rules.drawn_tests import DrawnTests, FaultKind


@dataclass(frozen=True, slots=True)
class Cause:
    """One fault: what, where (key of a device, a joint, a vehicle, an end; "" for nothing wrong), how bad (0: has no degrees)."""

    kind: FaultKind
    place: str = ""
    severity: float = 0.0

    @property
    def without_degree(self) -> Cause:
        """The same fault however bad."""
        return replace(self, severity=0.0)


NOTHING = Cause("nothing")
"""Nothing is wrong: it is a cause too."""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A cause in one degree, and its share of the odds before anything is read."""

    cause: Cause
    prior: float


def causes_of(tested: TrainUnderTest, air: TrainAir, drawn: DrawnTests) -> tuple[Weighed, ...]:
    """Every cause in every degree; the weight of a kind is spread evenly over its places and degrees. Sums to 1."""
    found: list[Weighed] = []
    for fault in drawn.faults:
        places = tuple(places_of(fault.kind, tested, air))
        degrees = fault.severities or (0.0,)
        share = fault.weight / (len(places) * len(degrees)) if places else 0.0
        found += [Weighed(Cause(fault.kind, place, degree), share) for place in places for degree in degrees]
    total = sum(one.prior for one in found)
    return tuple(replace(one, prior=one.prior / total) for one in found)


def places_of(kind: FaultKind, tested: TrainUnderTest, air: TrainAir) -> Iterator[str]:
    """Where a kind of fault can be in this train."""
    if kind == "nothing":
        yield ""
    elif kind in ("cock shut", "cock part open"):
        yield from _open_cocks(tested, "brake pipe")
    elif kind == "main reservoir cock shut":
        yield from _open_cocks(tested, "main reservoir pipe")
    elif kind == "pipe blocked":
        joints = {str(joint) for joint in tested.train.joints}
        yield from (gate for gate in air.gates if gate in joints)
    elif kind == "pipe leaks":
        yield from brake_pipe_vehicles(air)
    elif kind in ("brake isolated", "cylinder leaks", "reservoir not fed"):
        yield from _braked(tested, air, kind)
    else:
        yield from _by_device(kind, tested)


def _open_cocks(tested: TrainUnderTest, pipe: str) -> Iterator[str]:
    for at, spec in tested.train.devices():
        if spec.kind == "end cock" and spec.pipe == pipe and tested.values[at.key()] == "open":
            yield at.key()


def _braked(tested: TrainUnderTest, air: TrainAir, kind: FaultKind) -> Iterator[str]:
    """Vehicles with a brake that works as found."""
    keys = {at.where: at.key() for at in brake_places(tested.train)}
    for vehicle, distributor in air.gear.distributors.items():
        if tested.values[keys[vehicle]] == "isolated":
            continue
        if kind != "reservoir not fed" or air.network.gear.vessels[distributor.reservoir].choke_m2 > 0.0:
            yield vehicle


def _by_device(kind: FaultKind, tested: TrainUnderTest) -> Iterator[str]:
    front = tested.train.cab_valve(tested.front)[0].key()
    for at, spec in tested.train.devices():
        key, stands = at.key(), tested.values.get(at.key(), "")
        if (
            (kind == "other valve feeds" and isinstance(spec, CabValveSpec) and key != front and stands == "locked")
            or (kind == "lapped valve feeds" and key == front)
            or (kind == "compressor dead" and spec.kind == "main reservoir" and stands != "dead")
            or (kind == "parking brake on" and spec.kind == "parking brake" and stands != "on")
            or (kind == "hand brake on" and spec.kind == "hand brake" and stands != "on")
        ):
            yield key
    if kind in ("wrong gauge read", "gauge stuck", "gauge off"):
        read = {stage.reading.at for stage in tested.method.readings if stage.reading and stage.reading.reads == "brake pipe"}
        yield from sorted(read)


def brake_pipe_vehicles(air: TrainAir) -> tuple[str, ...]:
    """Vehicles on the brake pipe, in the order of its leaks, which are the first of the network's."""
    split_m = air.network.gear.second_from_m
    return tuple(name for name, leak in zip(air.leaks, air.network.brakes, strict=True) if leak.at_m < split_m)
