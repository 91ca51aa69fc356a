"""How far the speed falls in a running test: the cylinders' pressures of a run pressed on the train's own wheels.

The automatic brake alone, from the local rules' speed; resistance is left out, so that a fall errs on the small side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from headstock.formation.train import Train
from headstock.formation.train_on_rail import moving_train, push_of
from headstock.physics.arrays import Floats
from headstock.physics.motion import Traces, braking_of, path_of
from headstock.physics.speed_law import KMH


@dataclass(frozen=True, slots=True)
class OnTheLine:
    """What differs from test to test: friction as a share of what is stated, rise ahead (rise/run), km/h more begun with."""

    friction_share: float = 1.0
    rise: float = 0.0
    from_error_kmh: float = 0.0


AS_STATED = OnTheLine()
"""The level, friction as stated, the speed as told."""


def cylinders_in_order(train: Train, vehicles: Sequence[str], cylinder_pa: Floats) -> Floats:
    """Pressures [Pa, gauge] (samples, vehicles of the train in order) from those of its brakes; none where there is no brake."""
    names = [unit.vehicle_name(suffix) for unit in train.units for suffix in unit.vehicle_suffixes]
    found = np.zeros((cylinder_pa.shape[0], len(names)))
    for number, vehicle in enumerate(vehicles):
        found[:, names.index(vehicle)] = np.maximum(cylinder_pa[:, number], 0.0)
    return found


def speed_fall_kmh(train: Train, cylinder_pa: Floats, sample_s: float, from_kmh: float, line: OnTheLine = AS_STATED) -> float:
    """How far the speed has fallen [km/h] when the traces (samples, vehicles in order) end; all of it where the train stands.

    Raises OutsideModelError for a speed beyond the train's friction or adhesion.
    """
    braking = braking_of(moving_train(train), Traces(sample_s, push_of(train, cylinder_pa)))
    braking = replace(braking, one=np.array([line.friction_share, 1.0, line.rise]))
    begun_m_s = (from_kmh + line.from_error_kmh) * KMH
    path = path_of(braking, begun_m_s)
    lasted_s = (cylinder_pa.shape[0] - 1) * sample_s
    then_m_s = float(np.interp(lasted_s, path[:, 0], path[:, 2]))
    return (begun_m_s - then_m_s) / KMH
