"""From cylinder pressures to what the integration takes: the forces of every vehicle's brakes over time."""

from __future__ import annotations

import numpy as np

from headstock.capability.brake_traces import BY_WIRES, EMERGENCY, CylinderTraces
from headstock.equipment.running_data import ElectricRetardationSpec
from headstock.formation.train import Train
from headstock.formation.train_on_rail import push_of, vehicles_of
from headstock.physics.arrays import Floats
from headstock.physics.motion import Traces


def force_traces(train: Train, call: str, cylinders: CylinderTraces) -> Traces:
    """Push of every vehicle over time; the electric brake with it where the call may count on it.

    An emergency counts on it only where the data say so; a call by the automatic brake's pipe alone never does.
    """
    electric = np.zeros_like(cylinders.cylinder_pa)
    t_s = np.arange(electric.shape[0], dtype=np.float64) * cylinders.sample_s
    for n, (_, vehicle, _) in enumerate(vehicles_of(train)):
        spec = vehicle.electric_retardation
        if spec is not None and (call == BY_WIRES or (call == EMERGENCY and spec.counts_in_emergency)):
            electric[:, n] = _electric_n(spec, t_s)
    return Traces(cylinders.sample_s, push_of(train, cylinders.cylinder_pa), electric if electric.any() else None)


def _electric_n(spec: ElectricRetardationSpec, t_s: Floats) -> Floats:
    return np.asarray(1e3 * spec.force_kn * np.clip((t_s - spec.delay_s) / spec.rise_s, 0.0, 1.0), dtype=np.float64)
