"""Pieces, gates and leaks of one pipe laid end to end, unit by unit, with the names of everything on it."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi

from headstock.devices.air_pipe import AirPipeSpec
from headstock.formation.pipe_ends import PipeChain, PipeEnd, PipeJoint, PipeUnit, Placed
from headstock.physics.pipe_network import Brake, Gate, Piece

VALVE_INSIDE_M = 1.0
"""How far inside the end cock a cab valve is joined to the pipe [m]."""
MM2 = 1.0e-6
LITRE = 1.0e-3


@dataclass(slots=True)
class LaidPipe:
    """The pipe as far as it is laid: pieces, and gates, valves (places [m]) and leaks by name; places of everything [m]."""

    at_m: float = 0.0
    pieces: list[Piece] = field(default_factory=list)
    gates: dict[str, Gate] = field(default_factory=dict)
    valves: dict[str, float] = field(default_factory=dict)
    leaks: dict[str, Brake] = field(default_factory=dict)
    position_m: dict[str, float] = field(default_factory=dict)

    def piece(self, piece: Piece) -> None:
        """One more piece at the end."""
        self.pieces.append(piece)
        self.at_m += piece.length_m

    def gate(self, key: str, area_m2: float) -> None:
        """A gate at the end, by name."""
        self.gates[key] = Gate(self.at_m, area_m2)
        self.position_m[key] = self.at_m


def key_of(placed: Placed) -> str:
    """Key of a device in the train's state."""
    return placed[0].key()


def lay_chain(laid: LaidPipe, chain: PipeChain) -> None:
    """Units that neighbour one another, with the meetings between them."""
    for number, unit in enumerate(chain.units):
        if number:
            _lay_meeting(laid, chain.joints[number - 1], unit.pipe)
        _lay_unit(laid, unit)


def meeting_key(joint: PipeJoint, pipe: AirPipeSpec) -> str:
    """Name of the place where two hoses or ports of a pipe meet."""
    return str(joint.joint) if pipe.pipe == "brake pipe" else f"{joint.joint}, {pipe.pipe}"


def _lay_meeting(laid: LaidPipe, joint: PipeJoint, pipe: AirPipeSpec) -> None:
    bores = [end.hose[1].bore_mm for end in (joint.first, joint.second) if end.hose is not None]
    area_m2 = circle_m2(min(bores)) if bores else laid.pieces[-1].area_m2
    laid.gate(meeting_key(joint, pipe), area_m2)


def _lay_unit(laid: LaidPipe, unit: PipeUnit) -> None:
    _lay_hose_and_cock(laid, unit.first, unit.pipe, outward=True)
    start_m = laid.at_m
    kinds = {vehicle.suffix: vehicle for vehicle in unit.unit.unit_type.vehicles}
    for number, suffix in enumerate(unit.unit.vehicle_suffixes):
        if number:
            between = unit.pipe.hose_between_vehicles_m
            laid.piece(_piece(unit.pipe, between, unit.pipe.loss_between_vehicles))
        length_m = kinds[suffix].length_m
        _lay_leak(laid, unit, suffix, laid.at_m + length_m / 2)
        laid.piece(_piece(unit.pipe, length_m, unit.pipe.loss_per_vehicle))
    laid.position_m[unit.unit.name] = (start_m + laid.at_m) / 2
    _place_inside(laid, unit.first, start_m + VALVE_INSIDE_M)
    _place_inside(laid, unit.last, laid.at_m - VALVE_INSIDE_M)
    _lay_hose_and_cock(laid, unit.last, unit.pipe, outward=False)


def _lay_hose_and_cock(laid: LaidPipe, end: PipeEnd, pipe: AirPipeSpec, *, outward: bool) -> None:
    """Hose then cock towards the front of a unit (``outward``), cock then hose at its rear."""
    if end.cock is None or end.hose is None:
        return
    cock, hose = end.cock[1], end.hose[1]
    if not outward:
        laid.gate(key_of(end.cock), cock.discharge_coefficient * circle_m2(pipe.bore_mm))
    laid.position_m[key_of(end.hose)] = laid.at_m + hose.length_m / 2
    laid.piece(Piece(hose.length_m, hose.bore_mm / 1e3, pipe.roughness_mm / 1e3, hose.loss))
    if outward:
        laid.gate(key_of(end.cock), cock.discharge_coefficient * circle_m2(pipe.bore_mm))


def _place_inside(laid: LaidPipe, end: PipeEnd, at_m: float) -> None:
    laid.position_m[str(end.end)] = at_m
    if end.valve is not None:
        laid.valves[key_of(end.valve)] = at_m
        laid.position_m[key_of(end.valve)] = at_m


def _piece(pipe: AirPipeSpec, length_m: float, loss: float) -> Piece:
    return Piece(length_m, pipe.bore_mm / 1e3, pipe.roughness_mm / 1e3, loss)


def circle_m2(bore_mm: float) -> float:
    """Cross-section [m2] of a bore [mm]."""
    return pi / 4.0 * (bore_mm / 1e3) ** 2


def _lay_leak(laid: LaidPipe, unit: PipeUnit, suffix: str, at_m: float) -> None:
    name = unit.unit.vehicle_name(suffix)
    laid.position_m[name] = at_m
    laid.leaks[name] = Brake(at_m, 0.0, 0.0, 0.0, 0.0, False, 0.0, 0.0, 0.0, 1.0, 1.0, unit.pipe.leak_area_mm2_per_vehicle * MM2)
