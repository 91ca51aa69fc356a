"""How low does a live portion's main reservoir fall when an empty one is joined to it? One run of the air engine.

Its compressors run as their governors say; the springs of the empty portion are filled at the same time, the worst that can be
asked of it. The lowest that may be is what holds its own springs off, and what its brake pipe is charged to.
"""

from __future__ import annotations

from dataclasses import dataclass

from headstock.capability.equalising import SAMPLE_S, joint_made
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.laid_pipe import BAR_PA
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_air import train_air_of, train_openings_of
from headstock.formation.train_gear import MAIN
from headstock.physics.air_run import AirEngine, AirRun
from headstock.physics.pipe_network import ATMOSPHERE_PA, Probe
from headstock.physics.volumes import equalised_pa

UNTIL_S = 120.0


@dataclass(frozen=True, slots=True)
class MainDip:
    """The lowest that the live main reservoirs came to, and the lowest that they may [bar gauge]."""

    lowest_bar: float
    needed_bar: float

    @property
    def keeps(self) -> bool:
        """Whether they stay high enough."""
        return self.lowest_bar >= self.needed_bar


def predict_main_dip(train: Train, live: tuple[TrainUnit, ...], brake_bar: float, engine: AirEngine) -> MainDip | None:
    """``live`` joined to the rest of the train, which has no air; ``brake_bar`` in the live brake pipe [bar gauge].

    None when no live unit has a main reservoir. Raises OutsideModelError without a brake pipe.
    """
    air = train_air_of(train)
    names = {unit.name for unit in live}
    dead = frozenset(unit.name for unit in train.units if unit.name not in names)
    values = joint_made(train, dead)
    values |= {at.key(): "off" for at, spec in train.devices() if spec.kind == "parking brake"}
    openings = train_openings_of(air, train, values)
    main_bar = {unit.name: main_bar_of(unit) if unit.name in names else 0.0 for unit in train.units}
    pipe_bar = {unit.name: brake_bar if unit.name in names else 0.0 for unit in train.units}
    start = air_charge_of(air, train, openings, PipePressures(pipe_bar, main_bar))
    vehicles = {unit.vehicle_name(suffix) for unit in live for suffix in unit.vehicle_suffixes}
    probes = tuple(Probe("vessel", number) for number, (vehicle, what) in enumerate(air.gear.vessels)
                   if what == MAIN and vehicle in vehicles)  # fmt: skip
    if not probes:
        return None
    run = AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, start.vessel_pa,
        start.cylinder_pa, (), UNTIL_S, probes, SAMPLE_S,
    )  # fmt: skip
    (trace,) = tuple(engine([run]))
    return MainDip((float(trace.readings_pa.min()) - ATMOSPHERE_PA) / BAR_PA, _needed_bar(live))


def springs_dip(live: tuple[TrainUnit, ...], dead: tuple[TrainUnit, ...]) -> MainDip | None:
    """The same where the live main reservoirs fill the dead portion's springs alone, by Boyle's law; None without any."""
    mains = [(unit.unit_type.main_reservoir, main_bar_of(unit)) for unit in live]
    volume_l = sum(main.volume_l for main, _ in mains if main is not None)
    if not volume_l:
        return None
    bar = min(bar for main, bar in mains if main is not None)
    springs_l = sum(spec.cylinder_l * len(spec.vehicles) for unit in dead for spec in unit.unit_type.devices.values()
                    if isinstance(spec, ParkingBrakeSpec))  # fmt: skip
    equal_pa = equalised_pa(ATMOSPHERE_PA + bar * BAR_PA, volume_l, ATMOSPHERE_PA, springs_l)
    return MainDip((equal_pa - ATMOSPHERE_PA) / BAR_PA, _needed_bar(live))


def _needed_bar(live: tuple[TrainUnit, ...]) -> float:
    """What the live units' springs and brake pipes need [bar gauge]."""
    devices = [spec for unit in live for spec in unit.unit_type.devices.values()]
    ends = [spec for unit in live for end in unit.unit_type.ends.values() for spec in end.devices.values()]
    springs = [spec.off_above_bar for spec in devices if isinstance(spec, ParkingBrakeSpec)]
    return max([*springs, *(spec.set_pressure_bar for spec in ends if isinstance(spec, CabValveSpec))], default=0.0)
