"""From a train to one of its pipes as the air engine takes it, and from how its cocks, hoses and valves stand to openings.

The network is what is bolted together: every hose is in it, joined or not, and every cock, open or shut. What stands open is
read from the named values of the train's state, so that one network serves a whole job.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf, pi

from headstock.base.errors import OutsideModelError
from headstock.devices.air_pipe import AirPipeSpec
from headstock.devices.distributor import DistributorSpec
from headstock.devices.end_cock import Pipe
from headstock.formation.pipe_ends import PipeEnd, PipeJoint, PipeUnit, Placed, pipe_chain
from headstock.formation.train import Train
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    Brake,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    ValveSetting,
    open_to_atmosphere,
)

VALVE_INSIDE_M = 1.0
"""How far inside the end cock a cab valve is joined to the pipe [m]."""
BAR_PA = 1.0e5
MM2 = 1.0e-6
LITRE = 1.0e-3


@dataclass(frozen=True, slots=True)
class AirNetwork:
    """A pipe network with names. Numbers of gates, valves and brakes in ``network`` are places in the tuples of names.

    ``gates``: keys of end cocks, and joints by name where two hoses or ports meet. ``valves``: keys of cab valves, and of the
    hoses at the two ends of the pipe. ``brakes``: vehicles. ``position_m`` [m from the front] holds all these, every hose
    (its middle), every vehicle and unit (its middle) and every unit end (just inside its cock).
    """

    pipe: Pipe
    network: PipeNetwork
    gates: tuple[str, ...]
    valves: tuple[str, ...]
    brakes: tuple[str, ...]
    position_m: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class AirOpenings:
    """How the gates and valves of a network stand, in its order."""

    gates: tuple[GateSetting, ...]
    valves: tuple[ValveSetting, ...]


@dataclass(slots=True)
class _Laid:
    """The pipe as far as it is laid."""

    at_m: float = 0.0
    pieces: list[Piece] = field(default_factory=list)
    gates: dict[str, Gate] = field(default_factory=dict)
    valves: dict[str, float] = field(default_factory=dict)
    brakes: dict[str, Brake] = field(default_factory=dict)
    position_m: dict[str, float] = field(default_factory=dict)

    def piece(self, piece: Piece) -> None:
        self.pieces.append(piece)
        self.at_m += piece.length_m

    def gate(self, key: str, area_m2: float) -> None:
        self.gates[key] = Gate(self.at_m, area_m2)
        self.position_m[key] = self.at_m


def air_network_of(train: Train, pipe: Pipe = "brake pipe") -> AirNetwork:
    """The whole train in order, joints made or to be made, outer hoses with it.

    Raises OutsideModelError when no unit has the pipe, or a unit between others lacks it.
    """
    chain = pipe_chain(train, pipe)
    laid = _Laid()
    if chain.units[0].first.hose is not None:
        laid.valves[_key(chain.units[0].first.hose)] = 0.0
    for number, unit in enumerate(chain.units):
        if number:
            _lay_meeting(laid, chain.joints[number - 1])
        _lay_unit(laid, unit, pipe)
    if chain.units[-1].last.hose is not None:
        laid.valves[_key(chain.units[-1].last.hose)] = laid.at_m
    network = PipeNetwork(
        tuple(laid.pieces), tuple(laid.gates.values()), tuple(laid.valves.values()), tuple(laid.brakes.values())
    )
    return AirNetwork(pipe, network, tuple(laid.gates), tuple(laid.valves), tuple(laid.brakes), laid.position_m)


def _key(placed: Placed) -> str:
    return placed[0].key()


def _lay_meeting(laid: _Laid, joint: PipeJoint) -> None:
    bores = [end.hose[1].bore_mm for end in (joint.first, joint.second) if end.hose is not None]
    area_m2 = _circle_m2(min(bores)) if bores else laid.pieces[-1].area_m2
    laid.gate(str(joint.joint), area_m2)


def _lay_unit(laid: _Laid, unit: PipeUnit, pipe: Pipe) -> None:
    _lay_hose_and_cock(laid, unit.first, unit.pipe, outward=True)
    start_m = laid.at_m
    kinds = {vehicle.suffix: vehicle for vehicle in unit.unit.unit_type.vehicles}
    for number, suffix in enumerate(unit.unit.vehicle_suffixes):
        if number:
            between = unit.pipe.hose_between_vehicles_m
            laid.piece(_piece(unit.pipe, between, unit.pipe.loss_between_vehicles))
        length_m = kinds[suffix].length_m
        _lay_brake(laid, unit, suffix, laid.at_m + length_m / 2, pipe)
        laid.piece(_piece(unit.pipe, length_m, unit.pipe.loss_per_vehicle))
    laid.position_m[unit.unit.name] = (start_m + laid.at_m) / 2
    _place_inside(laid, unit.first, start_m + VALVE_INSIDE_M)
    _place_inside(laid, unit.last, laid.at_m - VALVE_INSIDE_M)
    _lay_hose_and_cock(laid, unit.last, unit.pipe, outward=False)


def _lay_hose_and_cock(laid: _Laid, end: PipeEnd, pipe: AirPipeSpec, *, outward: bool) -> None:
    """Hose then cock towards the front of a unit (``outward``), cock then hose at its rear."""
    if end.cock is None or end.hose is None:
        return
    cock, hose = end.cock[1], end.hose[1]
    if not outward:
        laid.gate(_key(end.cock), cock.discharge_coefficient * _circle_m2(pipe.bore_mm))
    laid.position_m[_key(end.hose)] = laid.at_m + hose.length_m / 2
    laid.piece(Piece(hose.length_m, hose.bore_mm / 1e3, pipe.roughness_mm / 1e3, hose.loss))
    if outward:
        laid.gate(_key(end.cock), cock.discharge_coefficient * _circle_m2(pipe.bore_mm))


def _place_inside(laid: _Laid, end: PipeEnd, at_m: float) -> None:
    laid.position_m[str(end.end)] = at_m
    if end.valve is not None:
        laid.valves[_key(end.valve)] = at_m
        laid.position_m[_key(end.valve)] = at_m


def _piece(pipe: AirPipeSpec, length_m: float, loss: float) -> Piece:
    return Piece(length_m, pipe.bore_mm / 1e3, pipe.roughness_mm / 1e3, loss)


def _circle_m2(bore_mm: float) -> float:
    return pi / 4.0 * (bore_mm / 1e3) ** 2


def _lay_brake(laid: _Laid, unit: PipeUnit, suffix: str, at_m: float, pipe: Pipe) -> None:
    """A vehicle's brake; one without a brake, and every vehicle on the main reservoir pipe, still leaks."""
    name = unit.unit.vehicle_name(suffix)
    laid.position_m[name] = at_m
    leak_m2 = unit.pipe.leak_area_mm2_per_vehicle * MM2
    for spec in unit.unit.unit_type.devices.values():
        if pipe == "brake pipe" and isinstance(spec, DistributorSpec) and suffix in spec.acts_on_vehicles:
            laid.brakes[name] = _brake(spec, at_m, leak_m2)
            return
    laid.brakes[name] = Brake(at_m, 0.0, 0.0, 0.0, 0.0, False, 0.0, 0.0, 0.0, 1.0, 1.0, leak_m2)


def _brake(spec: DistributorSpec, at_m: float, leak_m2: float) -> Brake:
    return Brake(
        at_m=at_m,
        chamber_m3=spec.control_chamber_l * LITRE,
        chamber_choke_m2=spec.control_chamber_choke_mm2 * MM2,
        reservoir_m3=spec.reservoir_l * LITRE,
        reservoir_choke_m2=spec.reservoir_choke_mm2 * MM2,
        fed_by_pipe=spec.reservoir_fed_by == "brake pipe",
        cylinder_m3=spec.cylinder_l * LITRE,
        gain=spec.cylinder_bar_per_bar,
        cylinder_max_pa=spec.cylinder_max_bar * BAR_PA,
        fill_s=spec.cylinder_fill_s,
        release_s=spec.cylinder_release_s,
        leak_area_m2=leak_m2,
    )


def air_openings_of(network: AirNetwork, train: Train, values: Mapping[str, str]) -> AirOpenings:
    """How everything on a pipe stands, from the named values of the train's state.

    Raises OutsideModelError when one hose of a pair is said to be joined and the other is not.
    """
    chain = pipe_chain(train, network.pipe)
    gates: dict[str, GateSetting] = {}
    valves: dict[str, ValveSetting] = {}
    for joint in chain.joints:
        gates[str(joint.joint)] = _meeting(joint, values)
    for unit in chain.units:
        for end, outward in ((unit.first, True), (unit.last, False)):
            if end.cock is not None:
                gates[_key(end.cock)] = _cock(end.cock, values, outward)
            if end.valve is not None:
                valves[_key(end.valve)] = cab_valve_setting(end.valve, values[_key(end.valve)])
    for end in (chain.units[0].first, chain.units[-1].last):
        if end.hose is not None:
            valves[_key(end.hose)] = _outer_mouth(end, values)
    return AirOpenings(tuple(gates[key] for key in network.gates), tuple(valves[key] for key in network.valves))


def _cock(cock: Placed, values: Mapping[str, str], outward: bool) -> GateSetting:
    """An open cock is no obstacle; a shut one with a vent opens its hose's side, which lies in front when it looks outward."""
    if values[_key(cock)] == "open":
        return GateSetting(1.0)
    vent_m2 = (cock[1].vent_area_mm2 or 0.0) * MM2
    return GateSetting(0.0, vent_m2, 0.0) if outward else GateSetting(0.0, 0.0, vent_m2)


def _meeting(joint: PipeJoint, values: Mapping[str, str]) -> GateSetting:
    """Where two hoses or ports meet: one pipe when joined, else each side by itself."""
    joined = [_joined(end, values) for end in (joint.first, joint.second)]
    if all(joined) and joint.mates:
        return GateSetting(1.0)
    if any(joined):
        _refuse_half_joined(joint, joined)
    return GateSetting(0.0, _mouth_m2(joint.first, values), _mouth_m2(joint.second, values))


def _joined(end: PipeEnd, values: Mapping[str, str]) -> bool:
    if end.hose is not None:
        return values[_key(end.hose)] == "joined"
    return end.port is not None and values[end.port[0].key("latch")] == "locked"


def _refuse_half_joined(joint: PipeJoint, joined: list[bool]) -> None:
    """Only hoses: a locked latch facing something that is no port of its own face joins nothing and lets nothing out."""
    for end, is_joined in zip((joint.first, joint.second), joined, strict=True):
        if is_joined and end.hose is not None:
            raise OutsideModelError(
                f"{_key(end.hose)} is joined, but what faces it at {joint.joint} is not joined to it",
                why="Two hoses are joined to one another or not at all.",
                cure="Give both hoses of the joint as joined, or neither.",
            )


def _mouth_m2(end: PipeEnd, values: Mapping[str, str]) -> float:
    """Effective area [m2] open to the atmosphere at a hose that is not joined; ports shut themselves."""
    if end.hose is None or end.cock is None or values[_key(end.hose)] != "hanging":
        return 0.0
    return float(end.cock[1].discharge_coefficient) * _circle_m2(end.hose[1].bore_mm)


def _outer_mouth(end: PipeEnd, values: Mapping[str, str]) -> ValveSetting:
    if end.hose is not None and values[_key(end.hose)] == "joined":
        raise OutsideModelError(
            f"{_key(end.hose)} is joined, but nothing that has the pipe faces it",
            why="Two hoses are joined to one another or not at all.",
            cure="Give this hose as hanging or on its dummy.",
        )
    area_m2 = _mouth_m2(end, values)
    return open_to_atmosphere(area_m2) if area_m2 > 0.0 else SHUT


def cab_valve_setting(valve: Placed, does: str) -> ValveSetting:
    """What a cab valve does to the brake pipe: running feeds from the set pressure, inward only; full and empty let out."""
    spec = valve[1]
    if does in ("lap", "locked"):
        return SHUT
    position = spec.position(does)
    if does == "running":
        return ValveSetting(absolute_pa(spec.set_pressure_bar), position.feeds_through_mm2 * MM2)
    ends_at_pa = absolute_pa(position.ends_at_bar) if position.ends_at_bar > 0.0 else -inf
    return ValveSetting(
        exhaust_area_m2=position.lets_out_through_mm2 * MM2, exhaust_to_pa=ends_at_pa, droop_pa=spec.droop_bar * BAR_PA
    )


def absolute_pa(gauge_bar: float) -> float:
    """Gauge pressure [bar] as absolute pressure [Pa]."""
    return gauge_bar * BAR_PA + ATMOSPHERE_PA
