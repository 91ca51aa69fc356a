"""The opening that lets a pipe fall so fast: a leak as people speak of it, for the air engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import sqrt

from headstock.formation.train_air import TrainAir
from headstock.physics.gas import GAS_CONSTANT_J_KG_K
from headstock.physics.orifice import flow_function
from headstock.physics.pipe_network import PipeNetwork

BAR_PA = 1e5


def leak_area_m2(network: PipeNetwork, until_m: float, fall_bar_per_min: float, gauge_bar: float) -> float:
    """Opening from which a pipe up to a place [m] falls so fast at a pressure [bar gauge], isothermal; choked outflow."""
    volume_m3, at_m = 0.0, 0.0
    for piece in network.pieces:
        volume_m3 += piece.area_m2 * max(0.0, min(piece.length_m, until_m - at_m))
        at_m += piece.length_m
    pressure_pa = gauge_bar * BAR_PA + network.atmosphere_pa
    speed = flow_function(network.atmosphere_pa / pressure_pa) * sqrt(GAS_CONSTANT_J_KG_K * network.ambient_k)
    return fall_bar_per_min * BAR_PA / 60.0 * volume_m3 / (pressure_pa * speed)


def brake_pipe_vehicles(air: TrainAir) -> tuple[str, ...]:
    """Vehicles on the brake pipe, in the order of its leaks, which are the first of the network's."""
    split_m = air.network.gear.second_from_m
    return tuple(name for name, leak in zip(air.leaks, air.network.brakes, strict=True) if leak.at_m < split_m)


def leaking_more(air: TrainAir, falls_bar_per_min: Mapping[str, float], set_bar: float) -> PipeNetwork:
    """The network with further leaks of the brake pipe at some vehicles, each as the whole pipe would fall by it alone."""
    network = air.network
    one_m2 = leak_area_m2(network, min(network.length_m, network.gear.second_from_m), 1.0, set_bar)
    places, leaks = list(brake_pipe_vehicles(air)), list(network.brakes)
    for vehicle, fall in falls_bar_per_min.items():
        number = places.index(vehicle)
        leaks[number] = replace(leaks[number], leak_area_m2=leaks[number].leak_area_m2 + fall * one_m2)
    return replace(network, brakes=tuple(leaks)) if falls_bar_per_min else network
