"""A train's brake gear as the air engine takes it: vessels and distributors of every vehicle, reservoirs, spring cylinders.

Times of the data (to 95 %, to 0.4 bar) become time constants: t / ln 20 and t / ln (most / 0.4).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf, log

from headstock.base.conversion import BAR_PA
from headstock.devices.distributor import LET_OFF_BAR, DistributorSpec
from headstock.devices.main_reservoir import MainReservoirSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.formation.laid_pipe import LITRE, MM2
from headstock.formation.train import Train, TrainUnit
from headstock.physics.distributor import Distributor, Vessel
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.pipe_network import ATMOSPHERE_PA

FREE_AIR_K = 288.15
"""Temperature of free air [K], as compressors are rated (common practice, no source)."""
FIRST_STEP_S = 0.25
"""Time constant up to the first step [s] (common practice, no source)."""
CHAMBER, RESERVOIR, BULB, RATE = "control chamber", "reservoir", "bulb", "emergency chamber"
SPRINGS, MAIN = "spring cylinder", "main reservoir"


@dataclass(frozen=True, slots=True)
class GearPlaces:
    """Where vehicles are on the brake pipe, on the main reservoir pipe (or the unit's own reservoir) [m]; atmosphere [Pa]."""

    brake_m: Mapping[str, float]
    main_m: Mapping[str, float]
    outside_pa: float = ATMOSPHERE_PA


@dataclass(slots=True)
class TrainGear:
    """Vessels by vehicle and what they are, distributors by vehicle, in the order of their numbers."""

    vessels: dict[tuple[str, str], Vessel] = field(default_factory=dict)
    distributors: dict[str, Distributor] = field(default_factory=dict)

    def vessel(self, vehicle: str, what: str) -> int:
        """Number of a vessel."""
        return list(self.vessels).index((vehicle, what))


def train_gear_of(train: Train, places: GearPlaces) -> TrainGear:
    """All gear of a train."""
    gear = TrainGear()
    for unit in train.units:
        for spec in unit.unit_type.devices.values():
            if isinstance(spec, DistributorSpec):
                for suffix in spec.acts_on_vehicles:
                    _add_brake(gear, spec, unit.vehicle_name(suffix), places)
            elif isinstance(spec, WiredBrakeSpec):
                for suffix in spec.acts_on_vehicles:
                    _add_wired_brake(gear, spec, unit.vehicle_name(suffix), places)
            elif isinstance(spec, ParkingBrakeSpec):
                _add_springs(gear, spec, unit, places)
            elif isinstance(spec, MainReservoirSpec):
                vehicle = unit.vehicle_name(spec.vehicle)
                gear.vessels[vehicle, MAIN] = _main_reservoir(spec, places.main_m[vehicle], places.outside_pa)
    return gear


def _add_brake(gear: TrainGear, spec: DistributorSpec, vehicle: str, places: GearPlaces) -> None:
    number, at_m, first = len(gear.distributors), places.brake_m[vehicle], len(gear.vessels)
    kinds = []
    for what, vessel in (
        (CHAMBER, _chamber(spec, number, at_m)),
        (RESERVOIR, _reservoir(spec, number, at_m, places.main_m.get(vehicle, at_m))),
        (BULB, _bulb(spec, number, at_m)),
        (RATE, _rate_chamber(spec, number, at_m)),
    ):
        if vessel is not None:
            gear.vessels[vehicle, what] = vessel
            kinds.append(what)
    at = {what: first + n for n, what in enumerate(kinds)}
    vent, wires, chamber = spec.emergency_vent, spec.electric, spec.control_chamber
    gear.distributors[vehicle] = Distributor(
        at_m=at_m, release=spec.release, reservoir=at[RESERVOIR], chamber=at.get(CHAMBER), cylinder_m3=spec.cylinder_l * LITRE,
        cylinder_max_pa=spec.cylinder_max_bar * BAR_PA, applies_pa=spec.applies_at_bar * BAR_PA,
        releases_pa=spec.releases_within_bar * BAR_PA, gain=chamber.cylinder_bar_per_bar if chamber else 1.0,
        first_step_pa=chamber.first_step_bar * BAR_PA if chamber else 0.0, first_step_s=FIRST_STEP_S,
        fill_s=fill_constant_s(spec.cylinder_fill_s),
        release_s=release_constant_s(spec.cylinder_release_s, spec.cylinder_max_bar),
        rate_chamber=at.get(RATE), vent_m2=vent.vent_mm2 * MM2 if vent else 0.0,
        vent_opens_pa=vent.opens_at_bar * BAR_PA if vent else 0.0,
        vent_shuts_pa=vent.shuts_at_bar * BAR_PA + places.outside_pa if vent else 0.0,
        electric_max_pa=wires.max_bar * BAR_PA if wires else 0.0,
        electric_fill_s=fill_constant_s(wires.fill_s) if wires else 1.0,
        electric_release_s=release_constant_s(wires.release_s, wires.max_bar) if wires else 1.0,
    )  # fmt: skip


def _add_wired_brake(gear: TrainGear, spec: WiredBrakeSpec, vehicle: str, places: GearPlaces) -> None:
    """A distributor that no pipe moves: its reservoir feeds the wired circuit alone."""
    at_m, reservoir = places.main_m[vehicle], len(gear.vessels)
    gear.vessels[vehicle, RESERVOIR] = Vessel(at_m, spec.reservoir_l * LITRE, spec.reservoir_choke_mm2 * MM2, False)
    gear.distributors[vehicle] = Distributor(
        at_m=at_m, release="direct", reservoir=reservoir, chamber=None, cylinder_m3=spec.cylinder_l * LITRE,
        cylinder_max_pa=spec.max_bar * BAR_PA, applies_pa=inf, releases_pa=0.0, gain=0.0, first_step_pa=0.0,
        first_step_s=FIRST_STEP_S, fill_s=1.0, release_s=1.0, electric_max_pa=spec.max_bar * BAR_PA,
        electric_fill_s=fill_constant_s(spec.fill_s),
        electric_release_s=release_constant_s(spec.release_s, spec.max_bar),
    )  # fmt: skip


def fill_constant_s(to_95_percent_s: float) -> float:
    """Time constant [s] of what reaches 95 % in a time [s]. Source: closed form."""
    return to_95_percent_s / log(20.0)


def release_constant_s(to_04_bar_s: float, from_bar: float) -> float:
    """Time constant [s] of what falls from a pressure [bar, gauge, above 0.4] to 0.4 bar in a time [s]. Source: closed form."""
    return to_04_bar_s / log(from_bar / LET_OFF_BAR)


def _chamber(spec: DistributorSpec, number: int, at_m: float) -> Vessel | None:
    chamber = spec.control_chamber
    if chamber is None:
        return None
    return Vessel(at_m, chamber.volume_l * LITRE, chamber.choke_mm2 * MM2, True, number, "released")


def _reservoir(spec: DistributorSpec, number: int, at_m: float, main_m: float) -> Vessel:
    volume_m3, choke_m2 = spec.reservoir_l * LITRE, spec.reservoir_choke_mm2 * MM2
    if spec.release == "direct":
        return Vessel(at_m, volume_m3, choke_m2, True, number, "released")
    if spec.reservoir_fed_by == "brake pipe":
        return Vessel(at_m, volume_m3, choke_m2, False, number)
    backed_mm2 = spec.reservoir_backed_by_brake_pipe_mm2
    if backed_mm2 is None:
        return Vessel(main_m, volume_m3, choke_m2, False)
    return Vessel(main_m, volume_m3, choke_m2, False, backed_at_m=at_m, backed_choke_m2=backed_mm2 * MM2)


def _bulb(spec: DistributorSpec, number: int, at_m: float) -> Vessel | None:
    bulb = spec.accelerator
    if bulb is None:
        return None
    return Vessel(at_m, bulb.bulb_l * LITRE, bulb.choke_mm2 * MM2, True, number, "applied", vent_m2=bulb.empties_mm2 * MM2)


def _rate_chamber(spec: DistributorSpec, number: int, at_m: float) -> Vessel | None:
    vent = spec.emergency_vent
    return None if vent is None else Vessel(at_m, vent.chamber_l * LITRE, vent.choke_mm2 * MM2, True, number)


def _add_springs(gear: TrainGear, spec: ParkingBrakeSpec, unit: TrainUnit, places: GearPlaces) -> None:
    for suffix in spec.vehicles:
        vehicle = unit.vehicle_name(suffix)
        gear.vessels[vehicle, SPRINGS] = Vessel(places.main_m[vehicle], spec.cylinder_l * LITRE, spec.choke_mm2 * MM2, False)


def _main_reservoir(spec: MainReservoirSpec, at_m: float, outside_pa: float) -> Vessel:
    """A compressor takes in so many litres of the air that is there."""
    free_kg_s = spec.free_air_l_per_min * LITRE / 60.0 * outside_pa / (GAS_CONSTANT_J_KG_K * FREE_AIR_K)
    return Vessel(
        at_m, spec.volume_l * LITRE, spec.opening_mm2 * MM2, True, compressor_kg_s=free_kg_s,
        starts_pa=spec.starts_at_bar * BAR_PA + outside_pa, stops_pa=spec.stops_at_bar * BAR_PA + outside_pa,
        safety_m2=spec.safety_mm2 * MM2, safety_opens_pa=spec.safety_opens_bar * BAR_PA + outside_pa,
        safety_shuts_pa=spec.safety_shuts_bar * BAR_PA + outside_pa,
    )  # fmt: skip
