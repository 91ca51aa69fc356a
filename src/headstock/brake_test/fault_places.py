"""Where each kind of fault can be in a train under test: keys of devices and joints, vehicles, ends of the test."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Final

from headstock.brake_test.forecast import TrainUnderTest
from headstock.brake_test.leak_area import brake_pipe_vehicles
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.end_cock import Pipe
from headstock.formation.train_air import TrainAir, brake_places
from headstock.local_rules.drawn_tests import FaultKind

Places = Callable[[TrainUnderTest, TrainAir], Iterable[str]]


def _nowhere(_: TrainUnderTest, __: TrainAir) -> Iterable[str]:
    """Nothing is wrong at no place, once."""
    return ("",)


def _open_cocks(pipe: Pipe) -> Places:
    def places(tested: TrainUnderTest, _: TrainAir) -> Iterator[str]:
        for at, spec in tested.train.devices():
            if spec.kind == "end cock" and spec.pipe == pipe and tested.values[at.key()] == "open":
                yield at.key()

    return places


def _joints(tested: TrainUnderTest, air: TrainAir) -> Iterator[str]:
    joints = {str(joint) for joint in tested.train.joints}
    yield from (gate for gate in air.gates if gate in joints)


def _vehicles(_: TrainUnderTest, air: TrainAir) -> Iterable[str]:
    return brake_pipe_vehicles(air)


def _braked(tested: TrainUnderTest, air: TrainAir) -> Iterator[str]:
    """Vehicles with a brake that works as found."""
    keys = {at.where: at.key() for at in brake_places(tested.train)}
    yield from (vehicle for vehicle in air.gear.distributors if tested.values[keys[vehicle]] != "isolated")


def _fed(tested: TrainUnderTest, air: TrainAir) -> Iterator[str]:
    """Those whose reservoir is filled through a choke, which may be shut off."""
    vessels = air.network.gear.vessels
    yield from (vehicle for vehicle in _braked(tested, air) if vessels[air.gear.distributors[vehicle].reservoir].choke_m2 > 0.0)


def _other_valves(tested: TrainUnderTest, _: TrainAir) -> Iterator[str]:
    front = tested.train.cab_valve(tested.front)[0].key()
    for at, spec in tested.train.devices():
        if isinstance(spec, CabValveSpec) and at.key() != front and tested.values.get(at.key()) == "locked":
            yield at.key()


def _leading_valve(tested: TrainUnderTest, _: TrainAir) -> Iterable[str]:
    return (tested.train.cab_valve(tested.front)[0].key(),)


def _not_yet(kind: str, value: str) -> Places:
    """Devices of a kind that do not stand so anyway."""

    def places(tested: TrainUnderTest, _: TrainAir) -> Iterator[str]:
        for at, spec in tested.train.devices():
            if spec.kind == kind and tested.values.get(at.key(), "") != value:
                yield at.key()

    return places


def _gauges(tested: TrainUnderTest, _: TrainAir) -> Iterable[str]:
    """Ends whose pipe gauge is read."""
    read = {stage.reading.at for stage in tested.method.readings if stage.reading and stage.reading.reads == "brake pipe"}
    return sorted(read)


PLACES: Final[Mapping[FaultKind, Places]] = {
    "nothing": _nowhere, "cock shut": _open_cocks("brake pipe"), "cock part open": _open_cocks("brake pipe"),
    "pipe blocked": _joints, "pipe leaks": _vehicles, "brake isolated": _braked, "cylinder leaks": _braked,
    "reservoir not fed": _fed, "other valve feeds": _other_valves, "lapped valve feeds": _leading_valve,
    "compressor dead": _not_yet("main reservoir", "dead"), "main reservoir cock shut": _open_cocks("main reservoir pipe"),
    "parking brake on": _not_yet("parking brake", "on"), "hand brake on": _not_yet("hand brake", "on"),
    "wrong gauge read": _gauges, "gauge stuck": _gauges, "gauge off": _gauges,
}  # fmt: skip
"""By kind; every kind stands here."""


def places_of(kind: FaultKind, tested: TrainUnderTest, air: TrainAir) -> Iterable[str]:
    """Where a kind of fault can be in this train."""
    return PLACES[kind](tested, air)
