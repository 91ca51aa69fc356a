"""The whole air of a train for the fast engine: brake pipe, main reservoir pipe or each unit's own reservoir, all brake gear.

The pipes lie one behind the other in one network, with walls between: brake pipe first, then what feeds it. A unit without a
pipe parts it. Every hose and cock is in it; what stands open is read from the named values of the train's state.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf

from headstock.base.conversion import BAR_PA
from headstock.base.errors import OutsideModelError
from headstock.devices.distributor import DistributorSpec, vehicle_place
from headstock.devices.end_cock import Pipe
from headstock.devices.kind import At, DeviceSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.formation.air_network import absolute_pa, cab_valve_setting, openings_of_chain
from headstock.formation.laid_pipe import MM2, LaidPipe, key_of, lay_chain
from headstock.formation.pipe_ends import PipeChain, Placed, pipe_chains
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_gear import MAIN, SPRINGS, GearPlaces, TrainGear, train_gear_of
from headstock.physics.distributor import DistributorSetting, Feed, Gear, VesselSetting
from headstock.physics.pipe_network import ATMOSPHERE_PA, Gate, GateSetting, Piece, PipeNetwork, ValveSetting

WALL = "wall "
OWN_PIPE = Piece(2.0, 0.025, 5e-5, 1.0)
"""Between the main reservoir and the cab valves of a unit without a main reservoir pipe (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class TrainAir:
    """The network and its names, in the order of its numbers: gates (cocks, joints, walls), valves (of cabs, mouths of hoses).

    ``leaks``: vehicles on the brake pipe, then on what feeds it. Places [m] on the brake pipe and on what feeds it.
    """

    network: PipeNetwork
    gates: tuple[str, ...]
    valves: tuple[str, ...]
    leaks: tuple[str, ...]
    gear: TrainGear
    brake_m: Mapping[str, float]
    main_m: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class TrainOpenings:
    """How gates, valves, vessels and distributors of a train's air stand, in the order of their numbers."""

    gates: tuple[GateSetting, ...]
    valves: tuple[ValveSetting, ...]
    vessels: tuple[VesselSetting, ...]
    distributors: tuple[DistributorSetting, ...]


@dataclass(slots=True)
class _Laying:
    """One network of several pipes as far as it is laid."""

    laid: LaidPipe = field(default_factory=LaidPipe)
    walls: int = 0

    def wall(self) -> None:
        """Shut for good: what is laid next is another pipe."""
        if self.laid.at_m > 0.0:
            self.laid.gates[f"{WALL}{self.walls}"] = Gate(self.laid.at_m, 1e-4)
            self.walls += 1


def brake_pipe_air_of(train: Train, outside_pa: float = ATMOSPHERE_PA) -> TrainAir:
    """The same, for questions about the brake pipe. Raises OutsideModelError when no unit has one."""
    if not pipe_chains(train, "brake pipe"):
        names = ", ".join(unit.name for unit in train.units)
        raise OutsideModelError(
            f"no unit of the train has a brake pipe: {names}",
            why="The question is about that pipe; brakes by wires alone are not read on its gauges.",
        )
    return train_air_of(train, outside_pa)


def train_air_of(train: Train, outside_pa: float = ATMOSPHERE_PA) -> TrainAir:
    """All air of a train, the atmosphere at a pressure [Pa]; without a brake pipe, that of the main reservoirs alone.

    Raises OutsideModelError when no unit has a pipe or a main reservoir.
    """
    laying = _Laying()
    _lay_chains(laying, pipe_chains(train, "brake pipe"))
    laid, brake_m, split_m = laying.laid, laying.laid.position_m, laying.laid.at_m
    brake_leaks = tuple(laid.leaks)
    laid.position_m, leaks_of_brake, laid.leaks = {}, dict(laid.leaks), {}
    _lay_chains(laying, pipe_chains(train, "main reservoir pipe"))
    _lay_own_reservoirs(laying, train)
    main_m = laid.position_m
    if not laid.pieces:
        names = ", ".join(unit.name for unit in train.units)
        raise OutsideModelError(f"no unit of the train has an air pipe or a main reservoir: {names}")
    gear = train_gear_of(train, GearPlaces(brake_m, main_m, outside_pa))
    network = PipeNetwork(
        tuple(laid.pieces), tuple(laid.gates.values()), tuple(laid.valves.values()),
        (*leaks_of_brake.values(), *laid.leaks.values()),
        gear=Gear(tuple(gear.vessels.values()), tuple(gear.distributors.values()), _feeds(train, tuple(laid.valves), main_m),
                  split_m if laid.at_m > split_m > 0.0 else inf),
        atmosphere_pa=outside_pa,
    )  # fmt: skip
    return TrainAir(network, tuple(laid.gates), tuple(laid.valves), brake_leaks + tuple(laid.leaks), gear, brake_m, main_m)


def _lay_chains(laying: _Laying, chains: tuple[PipeChain, ...]) -> None:
    laid = laying.laid
    for chain in chains:
        laying.wall()
        lay_chain(laid, chain)
        for end in (chain.units[0].first, chain.units[-1].last):
            if end.hose is not None:
                laid.valves[key_of(end.hose)] = laid.position_m[key_of(end.hose)]


def _lay_own_reservoirs(laying: _Laying, train: Train) -> None:
    """A unit with a main reservoir that no pipe takes through the train."""
    for unit in train.units:
        if unit.unit_type.main_reservoir is None or unit.unit_type.air_pipe("main reservoir pipe") is not None:
            continue
        laying.wall()
        middle_m = laying.laid.at_m + OWN_PIPE.length_m / 2
        laying.laid.piece(OWN_PIPE)
        names = [unit.vehicle_name(suffix) for suffix in unit.vehicle_suffixes] + [f"{unit.name}/1", f"{unit.name}/2"]
        laying.laid.position_m |= dict.fromkeys(names, middle_m)


def _feeds(train: Train, valves: tuple[str, ...], main_m: Mapping[str, float]) -> tuple[Feed, ...]:
    """Each cab valve fed from just inside its own end of what feeds the unit."""
    found = []
    for at, spec in train.devices():
        if spec.kind == "cab valve" and at.key() in valves and at.where in main_m:
            found.append(Feed(valves.index(at.key()), main_m[at.where]))
    return tuple(sorted(found, key=lambda feed: feed.valve))


def train_openings_of(
    air: TrainAir, train: Train, values: Mapping[str, str], wires: Mapping[str, tuple[bool, bool]] | None = None
) -> TrainOpenings:
    """How all of it stands, from the named values of the train's state.

    ``wires``: per vehicle, whether the application and the holding wire are live there. Not given: dead, and a brake that has
    nothing but wires is as its unit's own controllers command. Raises OutsideModelError when one hose of a pair is said to be
    joined and the other is not.
    """
    outside_pa = air.network.atmosphere_pa
    gates = {name: GateSetting(0.0) for name in air.gates if name.startswith(WALL)}
    valves: dict[str, ValveSetting] = {}
    pipes: tuple[Pipe, ...] = ("brake pipe", "main reservoir pipe")
    for pipe in pipes:
        for chain in pipe_chains(train, pipe):
            some_gates, some_valves = openings_of_chain(chain, values, outside_pa)
            gates |= some_gates
            valves |= some_valves
    fed = {feed.valve for feed in air.network.gear.feeds}
    placed = {at.key(): (at, spec) for at, spec in train.devices()}
    for number, name in enumerate(air.valves):
        if number in fed:
            valves[name] = _fed_valve(placed[name], values[name], outside_pa)
    return TrainOpenings(
        tuple(gates[name] for name in air.gates), tuple(valves[name] for name in air.valves),
        _vessels(air, train, values), _distributors(air, train, values, wires or {}),
    )  # fmt: skip


def _fed_valve(valve: Placed, does: str, outside_pa: float) -> ValveSetting:
    """As with a source of its own, but closing as the pipe comes to what it feeds to: the source is higher."""
    spec = valve[1]
    feeds_to_bar = spec.feeds_to_bar(does)
    if feeds_to_bar is None:
        return cab_valve_setting(valve, does, outside_pa)
    area_m2 = spec.position(does).feeds_through_mm2 * MM2
    return ValveSetting(0.0, area_m2, absolute_pa(feeds_to_bar, outside_pa), droop_pa=spec.droop_bar * BAR_PA)


def _vessels(air: TrainAir, train: Train, values: Mapping[str, str]) -> tuple[VesselSetting, ...]:
    """Spring cylinders filled or emptied, compressors working or dead; all others plain."""
    found = dict.fromkeys(air.gear.vessels, VesselSetting())
    for at, spec in train.devices():
        unit = train.unit(at.unit)
        if isinstance(spec, ParkingBrakeSpec) and values[at.key()] == "on":
            found |= {(unit.vehicle_name(suffix), SPRINGS): VesselSetting(0.0, spec.vent_mm2 * MM2) for suffix in spec.vehicles}
        elif isinstance(spec, MainReservoirSpec) and values[at.key()] == "dead":
            found[unit.vehicle_name(spec.vehicle), MAIN] = VesselSetting(compressor=False)
    return tuple(found.values())


def _distributors(
    air: TrainAir, train: Train, values: Mapping[str, str], wires: Mapping[str, tuple[bool, bool]]
) -> tuple[DistributorSetting, ...]:
    found, commanded = [], _commanded(train, values)
    places = {at.where: at for at in brake_places(train)}
    for vehicle in air.gear.distributors:
        application, holding = wires.get(vehicle, commanded.get(vehicle, (False, False)))
        found.append(DistributorSetting(values[places[vehicle].key()] == "isolated", application, holding))
    return tuple(found)


def _commanded(train: Train, values: Mapping[str, str]) -> dict[str, tuple[bool, bool]]:
    """Brakes that have nothing but wires: off only while a controller of their unit says release and none says otherwise."""
    said: dict[str, set[str]] = {unit.name: set() for unit in train.units}
    for at, spec in train.devices():
        if spec.kind == "brake controller":
            said[at.unit].add(values[at.key()])
    units = unit_of_vehicle(train)
    wired = [at.where for at in brake_places(train, WiredBrakeSpec)]
    released = {unit for unit, words in said.items() if "release" in words and words <= {"release", "locked"}}
    return {vehicle: (False, False) if units[vehicle].name in released else (True, True) for vehicle in wired}


def brake_places(train: Train, *kinds: type[DeviceSpec]) -> tuple[At, ...]:
    """The place of every vehicle's brake: the automatic and the wired ones, or those of some kinds of data."""
    return tuple(
        vehicle_place(at, suffix)
        for at, spec in train.devices()
        if isinstance(spec, kinds or (DistributorSpec, WiredBrakeSpec))
        for suffix in spec.acts_on_vehicles  # type: ignore[attr-defined]
    )


def unit_of_vehicle(train: Train) -> dict[str, TrainUnit]:
    """The unit that each vehicle belongs to."""
    return {unit.vehicle_name(suffix): unit for unit in train.units for suffix in unit.vehicle_suffixes}
