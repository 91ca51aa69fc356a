"""A portion whose main reservoirs are empty is joined to a live one: how low the live ones fall, how long, when up again.

One run of the air engine. The live portion's compressors run as their governors say, the other's are dead, and its springs are
filled at the same time: the worst that can be asked. The lowest that may be is what holds the live portion's own springs off,
and what its brake pipe is charged to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from headstock.base.conversion import BAR_PA
from headstock.capability.equalising import joint_made
from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, TrainUnit
from headstock.formation.train_air import TrainAir, train_air_of, train_openings_of
from headstock.formation.train_gear import MAIN, SPRINGS
from headstock.physics.air_run import AirEngine, AirRun
from headstock.physics.arrays import Floats
from headstock.physics.pipe_network import ATMOSPHERE_PA, Probe
from headstock.physics.volumes import equalised_pa

UNTIL_S, SAMPLE_S = 900.0, 0.1


@dataclass(frozen=True, slots=True)
class MainDip:
    """The lowest that the live main reservoirs came to, and the lowest that they may [bar gauge]."""

    lowest_bar: float
    needed_bar: float

    @property
    def keeps(self) -> bool:
        """Whether they stay high enough."""
        return self.lowest_bar >= self.needed_bar


@dataclass(frozen=True, slots=True)
class Below:
    """A threshold of the live portion [bar, gauge], how long its main reservoirs are below it [s]; None: longer than watched."""

    what: str
    threshold_bar: float
    seconds: float | None


@dataclass(frozen=True, slots=True)
class ReservoirsResult(MainDip):
    """When they are lowest [s]; thresholds; when the dead portion's springs are held off [s], None: longer than watched."""

    lowest_at_s: float
    below: tuple[Below, ...]
    wait_s: float | None


@dataclass(frozen=True, slots=True)
class ReservoirsQuestion:
    """The live portion joined to the dead one; ``brake_bar`` in the live brake pipe [bar gauge], 0 where there is none.

    ``brake_pipe_joined``: both pipes at once, as couplers join them by the blow. ``until_s``: how long it is watched [s].
    """

    train: Train
    live: tuple[TrainUnit, ...]
    dead: tuple[TrainUnit, ...]
    brake_bar: float
    brake_pipe_joined: bool = False
    outside_pa: float = ATMOSPHERE_PA
    until_s: float = UNTIL_S


def predict_reservoirs(asked: ReservoirsQuestion, engine: AirEngine) -> ReservoirsResult | None:
    """None where the live portion has no main reservoir. Raises OutsideModelError for a train without air."""
    air = train_air_of(asked.train, asked.outside_pa)
    mains, springs = _vessels(air, asked.live, MAIN), _vessels(air, asked.dead, SPRINGS)
    if not mains:
        return None
    (trace,) = tuple(engine([_run(asked, air, (*mains, *springs))]))
    gauge_bar = (trace.readings_pa - asked.outside_pa) / BAR_PA
    lowest = gauge_bar[:, : len(mains)].min(axis=1)
    at = int(np.argmin(lowest))
    thresholds = _thresholds(asked.live)
    below = tuple(Below(what, bar, _seconds_below(trace.t_s, lowest, bar)) for what, bar in thresholds)
    wait = _up_again(trace.t_s, gauge_bar[:, len(mains) :].min(axis=1), _off_bar(asked.dead)) if springs else 0.0
    needed = max((bar for _, bar in thresholds), default=0.0)
    return ReservoirsResult(float(lowest[at]), needed, float(trace.t_s[at]), below, wait)


def springs_dip(
    live: Sequence[TrainUnit], dead: Sequence[TrainUnit], outside_pa: float = ATMOSPHERE_PA
) -> MainDip | None:  # fmt: skip
    """The same where the live main reservoirs fill the dead portion's springs alone, by Boyle's law; None without any."""
    mains = [(unit.unit_type.main_reservoir, main_bar_of(unit)) for unit in live]
    volume_l = sum(main.volume_l for main, _ in mains if main is not None)
    if not volume_l:
        return None
    bar = min(bar for main, bar in mains if main is not None)
    springs_l = sum(spec.cylinder_l * len(spec.vehicles) for unit in dead for spec in unit.unit_type.devices.values()
                    if isinstance(spec, ParkingBrakeSpec))  # fmt: skip
    equal_pa = equalised_pa(outside_pa + bar * BAR_PA, volume_l, outside_pa, springs_l)
    return MainDip((equal_pa - outside_pa) / BAR_PA, max((bar for _, bar in _thresholds(live)), default=0.0))


def _vessels(air: TrainAir, units: tuple[TrainUnit, ...], what: str) -> tuple[int, ...]:
    names = {unit.vehicle_name(suffix) for unit in units for suffix in unit.vehicle_suffixes}
    return tuple(n for n, (vehicle, kind) in enumerate(air.gear.vessels) if kind == what and vehicle in names)


def _run(asked: ReservoirsQuestion, air: TrainAir, watched: tuple[int, ...]) -> AirRun:
    train, dead = asked.train, frozenset(unit.name for unit in asked.dead)
    values = joint_made(train, dead) | {at.key(): "off" for at, spec in train.devices() if spec.kind == "parking brake"}
    if not asked.brake_pipe_joined:
        joint = train.joint_to_make
        values |= {at.key(): "shut" for end in (joint.first, joint.second) for at, spec in train.end_devices(end)
                   if spec.kind == "end cock" and spec.pipe == "brake pipe"}  # fmt: skip
    openings = train_openings_of(air, train, values)
    brake_bar = {unit.name: 0.0 if unit.name in dead else asked.brake_bar for unit in train.units}
    main_bar = {unit.name: 0.0 if unit.name in dead else main_bar_of(unit) for unit in train.units}
    start = air_charge_of(air, train, openings, PipePressures(brake_bar, main_bar))
    return AirRun(
        air.network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, start.vessel_pa,
        start.cylinder_pa, (), asked.until_s, tuple(Probe("vessel", number) for number in watched), SAMPLE_S,
    )  # fmt: skip


def _thresholds(live: Sequence[TrainUnit]) -> tuple[tuple[str, float], ...]:
    """What the live portion needs [bar gauge]: its parking brakes off, and its brake pipe fed."""
    off = _off_bar(live)
    ends = [spec for unit in live for end in unit.unit_type.ends.values() for spec in end.devices.values()]
    sets = [spec.set_pressure_bar for spec in ends if isinstance(spec, CabValveSpec)]
    found = [("its parking brakes stay off for certain", off)] if off > 0.0 else []
    return (*found, *([("its brake pipe can be fed", max(sets))] if sets else []))


def _off_bar(units: Sequence[TrainUnit]) -> float:
    specs = [spec for unit in units for spec in unit.unit_type.devices.values()]
    return max((spec.off_above_bar for spec in specs if isinstance(spec, ParkingBrakeSpec)), default=0.0)


def _seconds_below(t_s: Floats, bar: Floats, threshold_bar: float) -> float | None:
    if bar[-1] < threshold_bar:
        return None
    return float(sum(then - now for (now, then), low in zip(pairwise(t_s), bar < threshold_bar, strict=False) if low))


def _up_again(t_s: Floats, bar: Floats, threshold_bar: float) -> float | None:
    reached = np.flatnonzero(bar >= threshold_bar - 1e-6)
    return float(t_s[reached[0]]) if reached.size else None
