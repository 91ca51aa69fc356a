"""Stopping by stepwise integration along pressure traces: the typed doorway to the compiled march.

m (1 + r) dv/dt = - sum of min(push(t) mu(v), adhesion(v) weight) - resistance(v) - m g sin(slope under the train). A slope that
rises ahead is positive. The train's mass is spread evenly over its length; it gathers speed on a falling slope while its brakes
build up.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from headstock.base.errors import OutsideModelError
from headstock.physics.arrays import Floats, Ints
from headstock.physics.gradient import G_M_S2, MAX_GRADIENT
from headstock.physics.motion_march import Laws, run_down, run_down_many
from headstock.physics.resistance import RunningResistance
from headstock.physics.speed_law import KMH, SpeedLaw

UNTIL_S = 1800.0
"""A train that has not come to its end speed by then never will [s]."""
NO_RESISTANCE = RunningResistance(0.0, 0.0, 0.0, math.inf)
LEAST_MASS_KG, MOST_MASS_KG = 1e3, 1e8
"""Mass of a train answered for [kg]: beyond it is a slip of the unit (common practice)."""


@dataclass(frozen=True, slots=True)
class VehicleOnRail:
    """What the integration knows of a vehicle: mass [kg], share of turning parts [-], friction by speed, share of weight braked.

    ``electric``: share by speed of an electric brake's force; the force itself comes with the traces.
    """

    mass_kg: float
    rotating_mass_share: float
    friction: SpeedLaw
    braked_share: float = 1.0
    electric: SpeedLaw | None = None


@dataclass(frozen=True, slots=True)
class Track:
    """Sections as (where it begins [m from where braking is called for], gradient [rise/run]); the first reaches back."""

    sections: tuple[tuple[float, float], ...] = ((0.0, 0.0),)

    def __post_init__(self) -> None:
        starts = [at for at, _ in self.sections]
        if not starts or starts != sorted(set(starts)):
            raise OutsideModelError(f"gradient profile: found sections at {starts}, expected at least one, each after the other")
        for _, gradient in self.sections:
            if not abs(gradient) <= MAX_GRADIENT:
                raise OutsideModelError(f"gradient: found {gradient:g}, expected from -{MAX_GRADIENT:g} to {MAX_GRADIENT:g}")


LEVEL = Track()


@dataclass(frozen=True, slots=True)
class MovingTrain:
    """A train as the integration takes it: vehicles, adhesion by speed, length [m], resistance credited (none: the safe side)."""

    vehicles: tuple[VehicleOnRail, ...]
    adhesion: SpeedLaw
    length_m: float
    resistance: RunningResistance = NO_RESISTANCE

    @property
    def mass_kg(self) -> float:
        """Mass [kg]."""
        return math.fsum(vehicle.mass_kg for vehicle in self.vehicles)

    @property
    def heavy_kg(self) -> float:
        """Mass with what the turning parts add [kg]."""
        return math.fsum(vehicle.mass_kg * (1.0 + vehicle.rotating_mass_share) for vehicle in self.vehicles)


@dataclass(frozen=True, slots=True)
class Traces:
    """Push of every vehicle's brake [N] over time: (samples, vehicles), ``sample_s`` apart; held as at the end from then on."""

    sample_s: float
    push_n: Floats
    electric_n: Floats | None = None


@dataclass(frozen=True, slots=True)
class Stop:
    """Distance [m] and time [s] to the end speed; ``ended``: stopped, never, or beyond the speeds its laws are made for."""

    distance_m: float
    time_s: float
    ended: str

    @property
    def is_beyond(self) -> bool:
        """Whether it gathered more speed than its laws are made for."""
        return self.ended == "beyond the laws"

    @property
    def is_stopped(self) -> bool:
        """Whether it came to its end speed."""
        return self.ended == "stopped"


ENDED = ("stopped", "never", "beyond the laws")


@dataclass(frozen=True, slots=True)
class StopSet:
    """Many stops of one train: arrays of one entry a run; ``traces`` says which trace each takes.

    ``friction`` and ``adhesion`` are factors, ``slope`` is added to the profile, ``on`` (runs, vehicles) cuts brakes out.
    """

    speeds_m_s: Floats
    friction: Floats | None = None
    adhesion: Floats | None = None
    slope: Floats | None = None
    on: Floats | None = None
    traces: Ints | None = None


@dataclass(frozen=True, slots=True)
class Braking:
    """A train with its traces and track, ready: columns of the march. Made once, asked often."""

    edges: Floats
    mu: Floats
    rail: Floats
    share: Floats
    train: Floats
    pushes: Floats
    electrics: Floats
    sample_s: float
    at_m: Floats
    sine: Floats
    vehicles: int
    end_m_s: float
    up_to_m_s: float
    one: Floats = field(default_factory=lambda: np.array([1.0, 1.0, 0.0]))

    @property
    def laws(self) -> Laws:
        """What the march takes as one."""
        return (self.mu, self.rail, self.share, self.train, self.at_m, self.sine, self.one)

    def on_track(self, track: Track) -> Braking:
        """The same on another track."""
        at_m, sine = _columns_of(track)
        return replace(self, at_m=at_m, sine=sine)


def braking_of(
    train: MovingTrain, traces: Sequence[Traces] | Traces, track: Track = LEVEL, end_m_s: float = 0.0
) -> Braking:  # fmt: skip
    """Columns of the march. Raises OutsideModelError for masses, traces or laws that cannot be meant."""
    given = (traces,) if isinstance(traces, Traces) else tuple(traces)
    _refuse(train, given)
    at_m, sine = _columns_of(track)
    edges, up_to = _edges(train, end_m_s)
    mu, rail, share = _bands(train, edges)
    weights = [vehicle.mass_kg * G_M_S2 * vehicle.braked_share for vehicle in train.vehicles]
    resistance = train.resistance
    columns = np.array([train.mass_kg, train.heavy_kg, train.length_m, resistance.constant_n, resistance.per_m_s_n,
                        resistance.per_m2_s2_n, *weights])  # fmt: skip
    pushes = np.ascontiguousarray(np.stack([trace.push_n for trace in given]), dtype=np.float64)
    electrics = np.zeros((len(given), 0, len(train.vehicles)))
    if any(trace.electric_n is not None for trace in given):
        electrics = np.stack([np.zeros_like(trace.push_n) if trace.electric_n is None else trace.electric_n for trace in given])
    return Braking(edges, mu, rail, share, columns, pushes, np.ascontiguousarray(electrics), given[0].sample_s, at_m, sine,
                   len(train.vehicles), end_m_s, up_to)  # fmt: skip


def stop_from(braking: Braking, speed_m_s: float, trace: int = 0, on: Floats | None = None) -> Stop:
    """One stop (or fall to the end speed) from a speed [m/s]. Raises OutsideModelError beyond the laws' speeds."""
    return stops_of(braking, StopSet(np.array([speed_m_s]), traces=np.array([trace]), on=None if on is None else on[None, :]))[0]


def stops_of(braking: Braking, asked: StopSet) -> tuple[Stop, ...]:
    """Many stops, as objects."""
    distance, time, ended = stop_columns(braking, asked)
    return tuple(Stop(float(s), float(t), ENDED[e]) for s, t, e in zip(distance, time, ended, strict=True))


def stop_columns(braking: Braking, asked: StopSet) -> tuple[Floats, Floats, Ints]:
    """Many stops, as arrays: distance [m], time [s], how it ended. Raises OutsideModelError beyond the laws' speeds."""
    speeds = np.asarray(asked.speeds_m_s, dtype=np.float64)
    _refuse_speeds(braking, speeds)
    runs = speeds.size
    factors = np.ones((runs, 3))
    factors[:, 2] = 0.0
    for column, given in enumerate((asked.friction, asked.adhesion, asked.slope)):
        if given is not None:
            factors[:, column] = given
    on = np.ones((runs, braking.vehicles)) if asked.on is None else np.ascontiguousarray(asked.on, dtype=np.float64)
    which = np.zeros(runs, dtype=np.int64) if asked.traces is None else np.asarray(asked.traces, dtype=np.int64)
    return run_down_many(speeds, braking.end_m_s, braking.edges, braking.pushes, braking.electrics, which, on, braking.sample_s,
                         UNTIL_S, braking.laws, factors)  # fmt: skip


def path_of(braking: Braking, speed_m_s: float, trace: int = 0) -> Floats:
    """Rows of one stop: time [s], distance [m], speed [m/s]. Raises OutsideModelError beyond the laws' speeds."""
    _refuse_speeds(braking, np.array([speed_m_s]))
    path = np.empty((int(UNTIL_S / braking.sample_s) + braking.edges.size + 2, 3))
    *_, rows = run_down(speed_m_s, braking.end_m_s, braking.edges, braking.pushes[trace], braking.electrics[trace],
                        np.ones(braking.vehicles), braking.sample_s, UNTIL_S, braking.laws, path)  # fmt: skip
    return path[:rows]


def speed_for_distance(braking: Braking, distance_m: float, trace: int = 0, on: Floats | None = None) -> float | None:
    """Greatest speed [m/s] that still stops within a distance [m], to 1 mm/s; the laws' greatest where even that does.

    None where even walking pace does not.
    """
    low, high = 0.1, braking.up_to_m_s
    if _distance(braking, low, trace, on) > distance_m:
        return None
    reached = _distance(braking, high, trace, on)
    if reached <= distance_m:
        return high
    speed = high
    while high - low > 1e-3:
        # Distances grow nearly as the square of the speed.
        guess = speed * math.sqrt(distance_m / reached)
        aside = 2e-4 if reached > distance_m else -2e-4
        speed = guess - aside if low < guess - aside < high else 0.5 * (low + high)
        reached = _distance(braking, speed, trace, on)
        low, high = (low, speed) if reached > distance_m else (speed, high)
    return low


def _distance(braking: Braking, speed_m_s: float, trace: int, on: Floats | None) -> float:
    """Stopping distance [m], without end where it never stops."""
    stop = stop_from(braking, speed_m_s, trace, on)
    return stop.distance_m if stop.is_stopped else math.inf


def _refuse(train: MovingTrain, traces: tuple[Traces, ...]) -> None:
    if not LEAST_MASS_KG <= train.mass_kg <= MOST_MASS_KG:
        raise OutsideModelError(f"mass: found {train.mass_kg:g} kg, expected {LEAST_MASS_KG:g} to {MOST_MASS_KG:g} kg")
    if not train.length_m > 0.0:
        raise OutsideModelError(f"length_m: found {train.length_m:g}, expected above 0")
    for vehicle in train.vehicles:
        if not 0.0 <= vehicle.rotating_mass_share <= 0.5:
            raise OutsideModelError(f"rotating_mass_share: found {vehicle.rotating_mass_share:g}, expected 0 to 0.5")
    for trace in traces:
        wrong = trace.push_n.shape != (traces[0].push_n.shape[0], len(train.vehicles)) or trace.sample_s != traces[0].sample_s
        if wrong or not (np.isfinite(trace.push_n).all() and (trace.push_n >= 0.0).all() and trace.sample_s > 0.0):
            raise OutsideModelError(
                f"push_n: found {trace.push_n.shape} values, expected finite ones, a column a vehicle, alike in all traces"
            )


def _refuse_speeds(braking: Braking, speeds: Floats) -> None:
    if not (np.isfinite(speeds).all() and (speeds >= 0.0).all() and (speeds <= braking.up_to_m_s * (1.0 + 1e-12)).all()):
        raise OutsideModelError(
            f"speed: found {float(np.max(speeds)) / KMH:g} km/h, the friction, adhesion or resistance in use is given for "
            f"0 to {braking.up_to_m_s / KMH:g} km/h"
        )


def _columns_of(track: Track) -> tuple[Floats, Floats]:
    at_m = np.array([at for at, _ in track.sections])
    return at_m, np.array([gradient / math.hypot(1.0, gradient) for _, gradient in track.sections])


def _edges(train: MovingTrain, end_m_s: float) -> tuple[Floats, float]:
    """Where any law has a new band, from 0 to the least of the speeds that the laws are made for."""
    laws = [train.adhesion, *(vehicle.friction for vehicle in train.vehicles)]
    laws += [vehicle.electric for vehicle in train.vehicles if vehicle.electric is not None]
    up_to = min([law.up_to_m_s for law in laws] + [train.resistance.up_to_m_s])
    if not math.isfinite(up_to):
        raise OutsideModelError("the laws in use say no greatest speed")
    inner = {band.from_m_s for law in laws for band in law.bands} | {end_m_s}
    return np.array(sorted({0.0, up_to} | {edge for edge in inner if 0.0 < edge < up_to})), up_to


def _bands(train: MovingTrain, edges: Floats) -> tuple[Floats, Floats, Floats]:
    bands, count = edges.size - 1, len(train.vehicles)
    mu, share, rail = np.zeros((bands, count, 3)), np.zeros((bands, count, 3)), np.zeros((bands, 3))
    for number in range(bands):
        middle = 0.5 * (edges[number] + edges[number + 1])
        rail[number] = _triple(train.adhesion, middle)
        for n, vehicle in enumerate(train.vehicles):
            mu[number, n] = _triple(vehicle.friction, middle)
            if vehicle.electric is not None:
                share[number, n] = _triple(vehicle.electric, middle)
    return mu, rail, share


def _triple(law: SpeedLaw, speed_m_s: float) -> tuple[float, float, float]:
    band = law.band_at(speed_m_s)
    return band.at_rest, band.per_m_s, band.bend_s_m
