"""What the coupling takes when the moving portion meets the standing one, and how fast it may come.

The chain of vehicles with its draft gear lies between two brackets: endless chains below, two rigid lumps above.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from headstock.equipment.running_data import DraftGearSpec
from headstock.formation.not_stated import not_stated
from headstock.formation.train import Joint, Train, TrainUnit, UnitEnd
from headstock.formation.train_on_rail import vehicles_of
from headstock.physics.draft_gear import (
    DraftGear,
    in_series,
    linear_gear,
    measured_gear,
    power_law_gear,
    preloaded_gear,
)
from headstock.physics.impact import (
    ChainImpact,
    chain_impact,
    common_speed_m_s,
    endless_chain_force_n,
    impact_energy_j,
    lump_impact,
)
from headstock.physics.speed_law import KMH

SPEEDS_KMH = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)
"""Approach speeds of the table [km/h]."""


@dataclass(frozen=True, slots=True)
class ImpactAt:
    """At one approach speed: peak push [N] at the coupling that is hit, brackets [N], stroke [m], energy [J], speed after [m/s].

    ``others_n`` is the greatest push in any other coupling, ``shuts`` whether the gear that is hit is shut.
    """

    kmh: float
    peak_n: float
    endless_n: float
    lump_n: float
    others_n: float
    stroke_m: float
    energy_j: float
    after_m_s: float
    shuts: bool


@dataclass(frozen=True, slots=True)
class ImpactResult:
    """By speed; the most that the frames take [N]; the greatest speeds that keep gear open and frames unharmed [km/h].

    ``closes_from_kmh``: slower than this the couplers do not close; None where any speed does, or where a hand joins them.
    """

    joint: Joint
    at: tuple[ImpactAt, ...]
    frame_n: float
    gear_shuts_kmh: float
    frame_kmh: float
    closes_from_kmh: float | None

    def window_kmh(self, allowed_kmh: float) -> tuple[float, float]:
        """Least and greatest approach speed [km/h]: from where it closes to what gear, frames and local rules allow.

        Nothing lies between where the least is above the greatest.
        """
        return self.closes_from_kmh or 0.0, min(self.gear_shuts_kmh, self.frame_kmh, allowed_kmh)


def lacking_to_meet(train: Train) -> tuple[str, ...]:
    """What the types must state before an impact can be reckoned, in words."""
    needs = []
    for unit in train.units:
        if len(unit.unit_type.vehicles) > 1 and unit.unit_type.draft_gear_inside is None:
            needs.append((unit.unit_type.type, "draft_gear_inside"))
    for joint in train.joints:
        for end in (joint.first, joint.second):
            if _end_gear(train, end) is None:
                needs.append((train.unit(end.unit).unit_type.type, f"draft_gear of end {end.end}"))
    return not_stated(train.units, needs)


def predict_impact(
    train: Train, moving_first: bool, speeds_kmh: Sequence[float] = SPEEDS_KMH, by_the_blow: bool = True
) -> ImpactResult:  # fmt: skip
    """The moving portion comes at each speed; the other stands. Everything must be stated (`lacking_to_meet`).

    ``by_the_blow``: the couplers close on one another, not a hand.
    """
    joint = train.joint_to_make
    chains = [_chain(train, units) for units in train.portions()]
    if not moving_first:
        chains = [(masses[::-1], gears[::-1]) for masses, gears in chains[::-1]]
    hit = _joint_gear(train, joint)
    frame_n = min(1e3 * spec.frame_kn for end in (joint.first, joint.second) if (spec := _end_gear(train, end)) is not None)
    (first, inner_first), (second, inner_second) = chains

    def hits(kmh: float) -> ChainImpact:
        return chain_impact(first, second, kmh * KMH, inner_first, hit, inner_second)

    softest = min(gear.softest_n_per_m for gear in (*inner_first, hit, *inner_second))
    at = tuple(_at(kmh, hits(kmh), first, second, hit, softest) for kmh in speeds_kmh)
    shuts = _greatest(at, lambda kmh: hits(kmh).stroke_m <= hit.full_stroke_m, lambda row: not row.shuts)
    harms = _greatest(at, lambda kmh: hits(kmh).peak_n <= frame_n, lambda row: row.peak_n <= frame_n)
    return ImpactResult(joint, at, frame_n, shuts, harms, closes_from_kmh(train, joint) if by_the_blow else None)


def closes_from_kmh(train: Train, joint: Joint) -> float | None:
    """The speed from which both couplers of a joint close [km/h]; None where any does."""
    specs = [spec for end in (joint.first, joint.second) for _, spec in train.end_devices(end)]
    found = [float(spec.closes_from_kmh) for spec in specs if getattr(spec, "closes_from_kmh", None) is not None]
    return max(found, default=None)


def _at(
    kmh: float, chain: ChainImpact, first: Sequence[float], second: Sequence[float], hit: DraftGear, softest_n_per_m: float
) -> ImpactAt:  # fmt: skip
    lump = lump_impact(sum(first), sum(second), kmh * KMH, hit)[0]
    endless = endless_chain_force_n(kmh * KMH, softest_n_per_m, min(*first, *second))
    others = [push for number, push in enumerate(chain.push_n) if number != chain.hit]
    return ImpactAt(
        kmh, chain.peak_n, endless, lump, max(others, default=0.0), chain.stroke_m,
        impact_energy_j(sum(first), sum(second), kmh * KMH), common_speed_m_s(sum(first), sum(second), kmh * KMH),
        chain.stroke_m > hit.full_stroke_m,
    )  # fmt: skip


def _greatest(rows: Sequence[ImpactAt], holds: Callable[[float], bool], held: Callable[[ImpactAt], bool]) -> float:
    """Greatest speed [km/h] at which something holds, to 0.1 km/h, no further than the table goes."""
    low = max((row.kmh for row in rows if held(row)), default=0.0)
    higher = [row.kmh for row in rows if not held(row)]
    if not higher:
        return low
    high = min(higher)
    while high - low > 0.1:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _chain(train: Train, units: tuple[TrainUnit, ...]) -> tuple[list[float], list[DraftGear]]:
    """Masses [kg] of a portion's vehicles in order, and the gears between them."""
    part = Train(units, ())
    masses = [1e3 * vehicle.mass_t for _, vehicle, _ in vehicles_of(part)]
    gears: list[DraftGear] = []
    for number, unit in enumerate(units):
        if number:
            gears.append(_joint_gear(train, _between(train, units[number - 1], unit)))
        inside = unit.unit_type.draft_gear_inside
        if inside is not None:
            gears += [draft_gear(inside)] * (len(unit.unit_type.vehicles) - 1)
    return masses, gears


def _between(train: Train, one: TrainUnit, other: TrainUnit) -> Joint:
    return next(joint for joint in train.joints if {joint.first.unit, joint.second.unit} == {one.name, other.name})


def _joint_gear(train: Train, joint: Joint) -> DraftGear:
    gears = [draft_gear(spec) for end in (joint.first, joint.second) if (spec := _end_gear(train, end)) is not None]
    return in_series(gears[0], gears[1])


def _end_gear(train: Train, end: UnitEnd) -> DraftGearSpec | None:
    return train.unit(end.unit).end_spec(end.end).draft_gear


def draft_gear(spec: DraftGearSpec) -> DraftGear:
    """A gear as its data say."""
    stroke, force = 1e-3 * spec.stroke_mm, 1e3 * spec.force_kn
    if spec.law == "preloaded" and spec.preload_kn is not None:
        preload = 1e3 * spec.preload_kn
        return preloaded_gear(preload, (force - preload) / stroke, stroke, spec.gives_back)
    if spec.law == "power law" and spec.exponent is not None:
        return power_law_gear(force / stroke**spec.exponent, spec.exponent, stroke, spec.gives_back)
    if spec.law == "measured":
        return measured_gear([(1e-3 * x, 1e3 * f) for x, f in spec.points], spec.gives_back)
    return linear_gear(force / stroke, stroke, spec.gives_back)
