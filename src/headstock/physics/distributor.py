"""Brake gear on a pipe network: vessels behind chokes, distributors that follow the pipe, compressors with their governor.

Pascals are absolute unless a name says gauge; areas are effective ones. What stands one way or another is a setting.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Literal

Opens = Literal["always", "released", "applied"]
RELEASED, APPLIED, EMERGENCY = 0, 1, 2
"""Modes of a distributor."""


@dataclass(frozen=True, slots=True)
class Vessel:
    """A volume [m3] on the pipe at ``at_m`` through a choke [m2]: both ways, or only into it (a check valve).

    With a distributor (by number) the choke is open only in the mode that ``opens`` names, and ``vent_m2`` to the atmosphere
    only while released. ``backed_at_m``: a second place that fills it through ``backed_choke_m2`` and a check valve when the
    pressure there is higher. A compressor delivers ``compressor_kg_s`` from when it starts until it stops [Pa]; a safety valve
    opens and shuts at pressures.
    """

    at_m: float
    volume_m3: float
    choke_m2: float
    both_ways: bool = True
    distributor: int | None = None
    opens: Opens = "always"
    vent_m2: float = 0.0
    leak_m2: float = 0.0
    backed_at_m: float | None = None
    backed_choke_m2: float = 0.0
    compressor_kg_s: float = 0.0
    starts_pa: float = 0.0
    stops_pa: float = 0.0
    safety_m2: float = 0.0
    safety_opens_pa: float = inf
    safety_shuts_pa: float = inf


@dataclass(frozen=True, slots=True)
class VesselSetting:
    """Share of the choke that is open [0 to 1], an extra opening to the atmosphere [m2], whether the compressor may run."""

    open: float = 1.0
    vent_m2: float = 0.0
    compressor: bool = True


@dataclass(frozen=True, slots=True)
class Distributor:
    """One vehicle's valve between pipe (at ``at_m``), reference, reservoir and cylinder. Vessels are given by number.

    It applies when the pipe is ``applies_pa`` below its reference: the control chamber (graduated release) or the reservoir
    (direct release). Graduated: the cylinder goes to ``gain`` times the difference, at least ``first_step_pa``, and lets go
    when the pipe has come back to within ``releases_pa``. Direct: the reservoir feeds the cylinder until it is no higher than
    the pipe, and the whole cylinder is let out when the pipe is ``releases_pa`` above the reservoir. Time constants [s] of
    filling up to the first step, filling, and release. ``vent_m2`` opens from the pipe to the atmosphere when the rate chamber
    (or, without one, the reference) is ``vent_opens_pa`` above the pipe, until the pipe is below ``vent_shuts_pa``.
    The electro-pneumatic circuit fills from the same reservoir; the higher of the two pressures is the cylinder's.
    """

    at_m: float
    release: Literal["direct", "graduated"]
    reservoir: int
    chamber: int | None
    cylinder_m3: float
    cylinder_max_pa: float
    applies_pa: float
    releases_pa: float
    gain: float
    first_step_pa: float
    first_step_s: float
    fill_s: float
    release_s: float
    rate_chamber: int | None = None
    vent_m2: float = 0.0
    vent_opens_pa: float = inf
    vent_shuts_pa: float = 0.0
    electric_max_pa: float = 0.0
    electric_fill_s: float = 1.0
    electric_release_s: float = 1.0


@dataclass(frozen=True, slots=True)
class DistributorSetting:
    """Cut off from the pipe and emptied, or not; the electro-pneumatic wires as they reach it; what the cylinder leaks [m2]."""

    isolated: bool = False
    application_wire: bool = False
    holding_wire: bool = False
    cylinder_leak_m2: float = 0.0


@dataclass(frozen=True, slots=True)
class Feed:
    """A valve (by number) is fed from the network itself, at a place [m], instead of from a source of its own."""

    valve: int
    at_m: float


@dataclass(frozen=True, slots=True)
class Gear:
    """All brake gear of a network. Cells from ``second_from_m`` on are worked out after those before: fed valves draw there."""

    vessels: tuple[Vessel, ...] = ()
    distributors: tuple[Distributor, ...] = ()
    feeds: tuple[Feed, ...] = ()
    second_from_m: float = inf


NO_GEAR = Gear()
