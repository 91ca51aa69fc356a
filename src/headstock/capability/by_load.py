"""What a load changes of a stop: mass and the force pressed; the pressures stay those of the train."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from headstock.capability.brake_traces import EMERGENCY, CylinderTraces
from headstock.capability.braked_train import force_traces
from headstock.equipment.loads import Load, under_load
from headstock.formation.train import Train
from headstock.formation.train_on_rail import moving_train
from headstock.physics.motion import Stop, StopSet, Track, braking_of, stops_of
from headstock.physics.speed_law import KMH


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One load: mass [kg], emergency stops from each speed asked for."""

    load: Load
    mass_kg: float
    stops: tuple[Stop, ...]


def train_under(train: Train, load: Load) -> Train:
    """The same train, every unit under one load."""
    return train_loaded(train, {unit.name: load for unit in train.units})


def train_loaded(train: Train, loads: Mapping[str, Load]) -> Train:
    """The same train, each unit under its own load, by its name."""
    return replace(
        train, units=tuple(replace(unit, unit_type=under_load(unit.unit_type, loads[unit.name])) for unit in train.units)
    )


def predict_by_load(
    train: Train, loads: Sequence[Load], cylinders: CylinderTraces, speeds_kmh: Sequence[float], track: Track
) -> tuple[LoadCase, ...]:  # fmt: skip
    """``train`` in working order; no speed beyond the laws. Raises OutsideModelError where a block is pressed beyond its law."""
    found = []
    for load in loads:
        loaded = train_under(train, load)
        braking = braking_of(moving_train(loaded), force_traces(loaded, EMERGENCY, cylinders), track)
        stops = stops_of(braking, StopSet(np.array(speeds_kmh) * KMH))
        found.append(LoadCase(load, sum(unit.unit_type.mass_kg for unit in loaded.units), stops))
    return tuple(found)
