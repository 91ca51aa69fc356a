"""From a train to one of its pipes as the air engine takes it, and from how its cocks, hoses and valves stand to openings.

The network is what is bolted together: every hose is in it, joined or not, and every cock, open or shut. What stands open is
read from the named values of the train's state, so that one network serves a whole job.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import inf

from headstock.base.conversion import BAR_PA
from headstock.base.errors import OutsideModelError
from headstock.devices.end_cock import Pipe
from headstock.formation.laid_pipe import MM2, LaidPipe, circle_m2, key_of, lay_chain, meeting_key
from headstock.formation.pipe_ends import PipeChain, PipeEnd, PipeJoint, Placed, pipe_chain
from headstock.formation.train import Train
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    GateSetting,
    PipeNetwork,
    ValveSetting,
    open_to_atmosphere,
)


@dataclass(frozen=True, slots=True)
class AirNetwork:
    """A pipe network with names. Numbers of gates, valves and brakes in ``network`` are places in the tuples of names.

    ``gates``: keys of end cocks, and joints by name where two hoses or ports meet. ``valves``: keys of cab valves, and of the
    hoses at the two ends of the pipe. ``vehicles``: the brakes of the network, which only leak. ``position_m`` [m from the front]
    holds all these, every hose (its middle), every vehicle and unit (its middle) and every unit end (just inside its cock).
    """

    pipe: Pipe
    network: PipeNetwork
    gates: tuple[str, ...]
    valves: tuple[str, ...]
    vehicles: tuple[str, ...]
    position_m: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class AirOpenings:
    """How the gates and valves of a network stand, in its order."""

    gates: tuple[GateSetting, ...]
    valves: tuple[ValveSetting, ...]


def air_network_of(train: Train, pipe: Pipe = "brake pipe") -> AirNetwork:
    """The whole train in order, joints made or to be made, outer hoses with it.

    Raises OutsideModelError when no unit has the pipe, or a unit between others lacks it.
    """
    chain = pipe_chain(train, pipe)
    laid = LaidPipe()
    if chain.units[0].first.hose is not None:
        laid.valves[key_of(chain.units[0].first.hose)] = 0.0
    lay_chain(laid, chain)
    if chain.units[-1].last.hose is not None:
        laid.valves[key_of(chain.units[-1].last.hose)] = laid.at_m
    network = PipeNetwork(tuple(laid.pieces), tuple(laid.gates.values()), tuple(laid.valves.values()), tuple(laid.leaks.values()))
    return AirNetwork(pipe, network, tuple(laid.gates), tuple(laid.valves), tuple(laid.leaks), laid.position_m)


def air_openings_of(network: AirNetwork, train: Train, values: Mapping[str, str]) -> AirOpenings:
    """How everything on a pipe stands, from the named values of the train's state.

    Raises OutsideModelError when one hose of a pair is said to be joined and the other is not.
    """
    gates, valves = openings_of_chain(pipe_chain(train, network.pipe), values, network.network.atmosphere_pa)
    return AirOpenings(tuple(gates[key] for key in network.gates), tuple(valves[key] for key in network.valves))


def openings_of_chain(
    chain: PipeChain, values: Mapping[str, str], outside_pa: float = ATMOSPHERE_PA
) -> tuple[dict[str, GateSetting], dict[str, ValveSetting]]:  # fmt: skip
    """Gates and valves of one chain by name, the open air at a pressure [Pa]; the same errors."""
    gates: dict[str, GateSetting] = {}
    valves: dict[str, ValveSetting] = {}
    for joint in chain.joints:
        gates[meeting_key(joint, chain.units[0].pipe)] = _meeting(joint, values)
    for unit in chain.units:
        for end, outward in ((unit.first, True), (unit.last, False)):
            if end.cock is not None:
                gates[key_of(end.cock)] = _cock(end.cock, values, outward)
            if end.valve is not None:
                valves[key_of(end.valve)] = cab_valve_setting(end.valve, values[key_of(end.valve)], outside_pa)
    for end in (chain.units[0].first, chain.units[-1].last):
        if end.hose is not None:
            valves[key_of(end.hose)] = _outer_mouth(end, values, outside_pa)
    return gates, valves


def _cock(cock: Placed, values: Mapping[str, str], outward: bool) -> GateSetting:
    """An open cock is no obstacle; a shut one with a vent opens its hose's side, which lies in front when it looks outward."""
    if values[key_of(cock)] == "open":
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
        return values[key_of(end.hose)] == "joined"
    return end.port is not None and values[end.port[0].key("latch")] == "locked"


def _refuse_half_joined(joint: PipeJoint, joined: list[bool]) -> None:
    """Only hoses: a locked latch facing something that is no port of its own face joins nothing and lets nothing out."""
    for end, is_joined in zip((joint.first, joint.second), joined, strict=True):
        if is_joined and end.hose is not None:
            raise OutsideModelError(
                f"{key_of(end.hose)} is joined, but what faces it at {joint.joint} is not joined to it",
                why="Two hoses are joined to one another or not at all.",
                cure="Give both hoses of the joint as joined, or neither.",
            )


def _mouth_m2(end: PipeEnd, values: Mapping[str, str]) -> float:
    """Effective area [m2] open to the atmosphere at a hose that is not joined; ports shut themselves."""
    if end.hose is None or end.cock is None or values[key_of(end.hose)] != "hanging":
        return 0.0
    return float(end.cock[1].discharge_coefficient) * circle_m2(end.hose[1].bore_mm)


def _outer_mouth(end: PipeEnd, values: Mapping[str, str], outside_pa: float) -> ValveSetting:
    if end.hose is not None and values[key_of(end.hose)] == "joined":
        raise OutsideModelError(
            f"{key_of(end.hose)} is joined, but nothing that has the pipe faces it",
            why="Two hoses are joined to one another or not at all.",
            cure="Give this hose as hanging or on its dummy.",
        )
    area_m2 = _mouth_m2(end, values)
    return open_to_atmosphere(area_m2, outside_pa) if area_m2 > 0.0 else SHUT


def cab_valve_setting(valve: Placed, does: str, outside_pa: float = ATMOSPHERE_PA) -> ValveSetting:
    """What a cab valve does to the brake pipe: running feeds from the set pressure, inward only; full and empty let out.

    A lap that makes up for leaks feeds from the pressure that it keeps up.
    """
    spec = valve[1]
    position, feeds_to_bar = spec.position(does), spec.feeds_to_bar(does)
    if feeds_to_bar is not None:
        return ValveSetting(absolute_pa(feeds_to_bar, outside_pa), position.feeds_through_mm2 * MM2)
    if does in ("lap", "locked"):
        return SHUT
    ends_at_pa = absolute_pa(position.ends_at_bar, outside_pa) if position.ends_at_bar > 0.0 else -inf
    return ValveSetting(
        exhaust_area_m2=position.lets_out_through_mm2 * MM2, exhaust_to_pa=ends_at_pa, droop_pa=spec.droop_bar * BAR_PA
    )


def absolute_pa(gauge_bar: float, outside_pa: float = ATMOSPHERE_PA) -> float:
    """Gauge pressure [bar] as absolute pressure [Pa] where the atmosphere stands at ``outside_pa``."""
    return gauge_bar * BAR_PA + outside_pa
