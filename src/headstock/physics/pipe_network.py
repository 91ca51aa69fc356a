"""One pipe with what is cut into it, hangs on it and feeds it, in metres, pascals (absolute) and kilograms.

The description is free of any grid and of any state: a network is what is bolted together; how its gates and valves
stand is a ``GateSetting`` or ``ValveSetting`` and may change at any time.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import inf, pi
from typing import Literal

from headstock.base.errors import OutsideModelError
from headstock.physics.distributor import NO_GEAR, DistributorSetting, Gear, VesselSetting

ATMOSPHERE_PA = 101325.0
"""Standard atmosphere [Pa] (exact by definition): what stands outside unless a network says otherwise."""
GasModel = Literal["isothermal", "heat-transfer"]
ProbeKind = Literal["front", "rear", "branch", "valve", "chamber", "reservoir", "cylinder", "vessel", "brake cylinder"]


@dataclass(frozen=True, slots=True)
class Piece:
    """A length of pipe [m] of one bore [m] and roughness [m]; ``loss`` [-] is spread over it, on the velocity head."""

    length_m: float
    bore_m: float
    roughness_m: float
    loss: float = 0.0

    @property
    def area_m2(self) -> float:
        """Cross-section [m2]."""
        return pi / 4.0 * self.bore_m**2


@dataclass(frozen=True, slots=True)
class Gate:
    """A place [m from the front] where the pipe can be narrowed or shut; ``area_m2`` is its effective area, fully open."""

    at_m: float
    area_m2: float


@dataclass(frozen=True, slots=True)
class GateSetting:
    """How far a gate is open [0 to 1], and the effective area [m2] open to the atmosphere on either side when it is shut.

    At 1 the gate is no obstacle at all; vents count only at 0.
    """

    open: float = 1.0
    front_vent_m2: float = 0.0
    rear_vent_m2: float = 0.0


@dataclass(frozen=True, slots=True)
class ValveSetting:
    """What a valve, or an opening to the atmosphere, does to the pipe at its face.

    It feeds from ``supply_pa`` through ``feed_area_m2`` while the face is below ``feed_to_pa``, and lets out to the
    atmosphere through ``exhaust_area_m2`` while the face is above ``exhaust_to_pa``. Either area shrinks in proportion
    over the last ``droop_pa`` before its limit; without a limit it stays whole. Nothing given: shut.
    """

    supply_pa: float = 0.0
    feed_area_m2: float = 0.0
    feed_to_pa: float = inf
    exhaust_area_m2: float = 0.0
    exhaust_to_pa: float = -inf
    droop_pa: float = 1.0e4


SHUT = ValveSetting()


def open_to_atmosphere(area_m2: float, atmosphere_pa: float = ATMOSPHERE_PA) -> ValveSetting:
    """A plain opening of an effective area [m2]: out, and in when the pipe is below the atmosphere [Pa]."""
    return ValveSetting(supply_pa=atmosphere_pa, feed_area_m2=area_m2, exhaust_area_m2=area_m2)


@dataclass(frozen=True, slots=True)
class Brake:
    """One vehicle's brake, drawing at a point ``at_m`` [m from the front].

    Control chamber and reservoir fill from the pipe through chokes [m2, effective] with check valves. The cylinder goes
    to gain x (chamber - pipe), at most ``cylinder_max_pa`` [gauge] and what the reservoir has, with the two time
    constants [s]. A reservoir that the pipe does not feed keeps its pressure; one that it feeds gives up
    cylinder volume / reservoir volume of each rise. ``leak_area_m2`` leads from the pipe to the atmosphere. While the chamber
    is less than ``gives_back_pa`` above the pipe its choke has no check valve, as on a brake that has not applied (the fine
    solver alone knows it; the fast one has distributors).
    """

    at_m: float
    chamber_m3: float
    chamber_choke_m2: float
    reservoir_m3: float
    reservoir_choke_m2: float
    fed_by_pipe: bool
    cylinder_m3: float
    gain: float
    cylinder_max_pa: float
    fill_s: float
    release_s: float
    leak_area_m2: float = 0.0
    gives_back_pa: float = 0.0


@dataclass(frozen=True, slots=True)
class PipeNetwork:
    """Pieces end to end, gates, valves (by place [m]; at 0 or at the end they sit axially, elsewhere on a branch), brakes.

    ``gear`` is what the fast solver alone knows; ``ambient_k`` is the temperature of all air [K],
    ``atmosphere_pa`` the pressure outside.
    """

    pieces: tuple[Piece, ...]
    gates: tuple[Gate, ...] = ()
    valves_at_m: tuple[float, ...] = ()
    brakes: tuple[Brake, ...] = ()
    ambient_k: float = 288.15
    gear: Gear = NO_GEAR
    atmosphere_pa: float = ATMOSPHERE_PA

    @property
    def length_m(self) -> float:
        """Length of the pipe [m]."""
        return sum(piece.length_m for piece in self.pieces)

    def is_axial(self, valve: int) -> bool:
        """Whether a valve sits at an end of the pipe, in its axis."""
        return self.valves_at_m[valve] <= 0.0 or self.valves_at_m[valve] >= self.length_m - 1e-9


@dataclass(frozen=True, slots=True)
class Change:
    """From ``t_s`` on, a gate, valve, vessel or distributor (by number) stands otherwise."""

    t_s: float
    number: int
    to: GateSetting | ValveSetting | VesselSetting | DistributorSetting


@dataclass(frozen=True, slots=True)
class Probe:
    """Where to read (by number): the end cells, the static pressure at a brake's or valve's place, a brake's vessels.

    Of the gear: a vessel, or the brake cylinder of a distributor.
    """

    kind: ProbeKind
    number: int = 0


def checked_timeline(timeline: tuple[Change, ...]) -> tuple[Change, ...]:
    """The timeline if its times do not run backwards. Raises OutsideModelError."""
    for before, after in pairwise(timeline):
        if after.t_s < before.t_s:
            raise OutsideModelError(f"timeline: found {after.t_s:g} s after {before.t_s:g} s, expected times in order")
    return timeline
