"""A question to the air engine as plain data, and its answer: same content, same answer, so that answers can be kept."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from headstock.physics.distributor import DistributorSetting, VesselSetting
from headstock.physics.pipe_network import Change, GateSetting, PipeNetwork, Probe, ValveSetting


@dataclass(frozen=True, slots=True)
class AirRun:
    """One run: a network, how all stands at first, what changes when, what is read.

    ``pipe_pa``: stretches from the front as (where it ends [m], absolute pressure [Pa]). Per vessel its pressure [Pa, absolute],
    per distributor the cylinder's [Pa, gauge].
    """

    network: PipeNetwork
    gates: tuple[GateSetting, ...]
    valves: tuple[ValveSetting, ...]
    vessels: tuple[VesselSetting, ...]
    distributors: tuple[DistributorSetting, ...]
    pipe_pa: tuple[tuple[float, float], ...]
    vessel_pa: tuple[float, ...]
    cylinder_pa: tuple[float, ...]
    timeline: tuple[Change, ...]
    until_s: float
    probes: tuple[Probe, ...]
    sample_s: float = 0.25

    def content(self) -> str:
        """All of it as text, every figure to the last bit."""
        return repr(self)


@dataclass(frozen=True, slots=True)
class AirTrace:
    """Readings [Pa, absolute] (samples, probes) at times [s], and the mass balance (relative)."""

    t_s: NDArray[np.float64]
    readings_pa: NDArray[np.float64]
    mass_balance: float

    def at(self, t_s: float, probe: int) -> float:
        """What a probe reads at a time, in a straight line between samples [Pa, absolute]."""
        return float(np.interp(t_s, self.t_s, self.readings_pa[:, probe]))

    def before(self, t_s: float, probe: int) -> float:
        """The last sample not after a time [Pa, absolute]: a valve moved at that very time is not in it."""
        return float(self.readings_pa[max(0, int(np.searchsorted(self.t_s, t_s + 1e-9, side="right")) - 1), probe])


Progress = Callable[[int, int], None]
"""Told how many runs are done and how many there are."""


class AirEngine(Protocol):
    """Whoever answers runs: in the order asked."""

    def __call__(self, runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        """One trace a run."""
        ...
