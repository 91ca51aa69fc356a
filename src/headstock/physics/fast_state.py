"""What the fast solver remembers of a block of lanes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from headstock.physics.arrays import Floats
from headstock.physics.fast_gear import GearState
from headstock.physics.fast_settings import Distributors, Gates, Valves, Vessels


class Steps(NamedTuple):
    """First step after an event [s], how far a step may miss the extrapolated pressures [Pa], the longest step [s]."""

    first_s: float
    tolerance_pa: float
    longest_s: float


@dataclass(frozen=True, slots=True)
class FastState:
    """All that the air of a block remembers, with the level before (for the second-order formula) and the step control.

    ``clock`` (4, lanes): time [s], step to come [s], last step [s] (0 after an event), steps so far. ``now`` and ``before``:
    pressures [Pa] (cells, lanes), flows [kg/s] (faces, lanes), chambers and reservoirs [Pa] (brakes, lanes), tally [kg] (fed,
    let out, to cylinders; lanes). ``cylinder`` and where it goes, ``aim`` [Pa, gauge] (brakes, lanes), ``drawn`` [kg/s] by
    branches in the last step (cells, lanes). Settings of gates, valves, vessels and distributors a lane; ``gear``: what vessels
    and distributors remember.
    """

    clock: Floats
    now: tuple[Floats, ...]
    before: tuple[Floats, ...]
    cylinder: Floats
    aim: Floats
    drawn: Floats
    gates: Gates
    valves: Valves
    vessels: Vessels
    distributors: Distributors
    gear: GearState
    first_mass_kg: Floats
