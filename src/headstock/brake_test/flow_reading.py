"""What a flow meter beside the driver's valve reads: the free air that the valve lets into the pipe at a moment.

The valve's own law at the pressures that the run has on both its sides, as the engine itself has it. What a meter makes of a
flow that is not steady hangs on what it is built into: methods have it read when it is.
Source: textbook forms (closed form).
"""

from __future__ import annotations

from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_air import TrainAir
from headstock.formation.train_gear import FREE_AIR_K, MAIN
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.pipe_network import Probe, ValveSetting

LITRES_A_MINUTE = 60_000.0
"""Of a cubic metre a second."""


def supply_probe(train: Train, air: TrainAir, cab: UnitEnd) -> Probe | None:
    """Where to read what the valve of a cab is fed from; None where it has a source of its own, at a fixed pressure."""
    number = air.valves.index(train.cab_valve(cab)[0].key())
    place = next((feed.at_m for feed in air.network.gear.feeds if feed.valve == number), None)
    if place is None:
        return None
    unit, second_m = train.unit(cab.unit), air.network.gear.second_from_m
    names = [unit.vehicle_name(suffix) for suffix in unit.vehicle_suffixes]
    beside = {
        number: abs(leak.at_m - place) for number, (name, leak) in enumerate(zip(air.leaks, air.network.brakes, strict=True))
        if name in names and leak.at_m >= second_m
    }  # fmt: skip
    if beside:
        return Probe("branch", min(beside, key=lambda number: beside[number]))
    vessel = next((number for number, (name, what) in enumerate(air.gear.vessels) if name in names and what == MAIN), None)
    return None if vessel is None else Probe("vessel", vessel)


def free_air_l_per_min(mass_kg_s: float, outside_pa: float) -> float:
    """A flow [kg/s] as people read it: litres a minute of the air outside, at the temperature that compressors are rated for."""
    return mass_kg_s * GAS_CONSTANT_J_KG_K * FREE_AIR_K / outside_pa * LITRES_A_MINUTE


def fed_kg_s(setting: ValveSetting, supply_pa: float, pipe_pa: float, temperature_k: float) -> float:
    """What a valve lets in [kg/s] from a supply into a pipe [Pa, absolute]: less over the last of the way to where it ends."""
    share = min(1.0, max(0.0, (setting.feed_to_pa - pipe_pa) / setting.droop_pa))
    return share * mass_flow_kg_s(setting.feed_area_m2, supply_pa, pipe_pa, temperature_k)


def flow_l_per_min(run: AirRun, trace: AirTrace, valve: tuple[int, int], supply: int | None, at_s: float) -> float:
    """Free air [l/min] through a valve (its number, its probe) at a moment of a run [s]; ``supply``: the probe of its source."""
    number, probe = valve
    setting = run.valves[number]
    for change in run.timeline:
        if change.number == number and isinstance(change.to, ValveSetting) and change.t_s < at_s - 1e-9:
            setting = change.to
    supply_pa = setting.supply_pa if supply is None else trace.before(at_s, supply)
    mass_kg_s = fed_kg_s(setting, supply_pa, trace.before(at_s, probe), run.network.ambient_k)
    return free_air_l_per_min(mass_kg_s, run.network.atmosphere_pa)
