"""Which hand and parking brakes hold each portion of a job, and which of them are used."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from headstock.capability.holding import HoldingBrake, HoldingResult, PortionOnGradient, predict_holding
from headstock.capability.standing_portion import ROUNDING
from headstock.devices.hand_brake import HandBrakeSpec
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.train import Train, TrainUnit
from headstock.usecases.job_file import JobPapers


def holdings(papers: JobPapers, train: Train, moving_first: bool) -> dict[str, HoldingResult]:
    """Both portions' holds by name. Where a train is parted the standing one's must hold the whole train: so it is proved."""
    first, second = train.portions()
    standing = second if moving_first else first
    whole = papers.job.work == "detach"
    return {_name(units): _hold(papers, units, train.units if whole and units == standing else units)
            for units in (first, second)}  # fmt: skip


def _hold(papers: JobPapers, units: tuple[TrainUnit, ...], held: tuple[TrainUnit, ...]) -> HoldingResult:
    """Which hand and parking brakes of a portion hold ``held`` here."""
    return predict_holding(portion_here(papers, units, held))


def portion_here(papers: JobPapers, units: tuple[TrainUnit, ...], held: tuple[TrainUnit, ...]) -> PortionOnGradient:
    """``held`` on the place's gradient with the brakes of ``units``: parking brakes first, then the low end's hand brakes."""
    rules = papers.rules.holding
    low_first = papers.place.falls_towards == papers.place.directions[0]
    ordered = units if low_first else units[::-1]
    asked = papers.job.joined_by_a_rescue
    released = frozenset(asked.springs_by_hand) if asked is not None else frozenset()
    brakes = [brake for unit in ordered for brake in _parking_brakes(unit, released)]
    brakes += [brake for unit in ordered for brake in _hand_brakes(unit, _from_the_low_end(papers, unit))]
    return PortionOnGradient(
        name=_name(units),
        mass_kg=sum(unit.unit_type.mass_kg for unit in held),
        gradient=papers.place.slope,
        brakes=tuple(brakes),
        margin=rules.margin.value,
        adhesion=rules.adhesion.value,
        least_count=rules.least_count.value,
    )


def brakes_used(papers: JobPapers, result: HoldingResult, left: Mapping[str, str]) -> tuple[str, ...]:
    """The brakes that a portion's hold rests on, every one found on among them, so that each is seen and comes off again.

    Those found on are the whole set where they suffice; else the smallest set joins them.
    """
    force_n = {brake.key: brake.available_force_n for brake in result.available}
    found_on = tuple(key for key in force_n if left.get(key) == "on")
    counting = sum(force_n[key] > 0 for key in found_on)
    enough = sum(force_n[key] for key in found_on) >= result.needed_force_n * (1 - ROUNDING)
    if enough and counting >= papers.rules.holding.least_count.value:
        return found_on
    return tuple(dict.fromkeys((*result.smallest_set, *found_on)))


def _parking_brakes(unit: TrainUnit, released: frozenset[str]) -> Iterator[HoldingBrake]:
    """Parking brakes; of those released by hand (by vehicle) what can be set again here."""
    masses_t = {vehicle.suffix: vehicle.mass_t for vehicle in unit.unit_type.vehicles}
    for name, spec in unit.unit_type.devices.items():
        if isinstance(spec, ParkingBrakeSpec):
            gone = released if spec.set_again_by_hand is None else frozenset[str]()
            acting = [suffix for suffix in spec.vehicles if unit.vehicle_name(suffix) not in gone]
            mass_t = spec.share_of_weight * sum(masses_t[suffix] for suffix in acting)
            force_kn = spec.force_per_vehicle_kn * len(acting)
            if not acting:
                continue
            yield HoldingBrake(f"{unit.name}.{name}", unit.name, force_kn * 1e3, mass_t * 1e3)


def _hand_brakes(unit: TrainUnit, order: tuple[str, ...]) -> Iterator[HoldingBrake]:
    vehicles = {vehicle.suffix: vehicle for vehicle in unit.unit_type.vehicles}
    for suffix in order:
        where = unit.vehicle_name(suffix)
        for name, spec in vehicles[suffix].devices.items():
            if isinstance(spec, HandBrakeSpec):
                mass_kg = vehicles[suffix].mass_t * spec.share_of_weight * 1e3
                yield HoldingBrake(f"{where}.{name}", where, spec.force_kn * 1e3, mass_kg)


def _from_the_low_end(papers: JobPapers, unit: TrainUnit) -> tuple[str, ...]:
    low_is_first = papers.place.falls_towards == papers.place.directions[0]
    return unit.vehicle_suffixes if low_is_first else unit.vehicle_suffixes[::-1]


def _name(units: tuple[TrainUnit, ...]) -> str:
    return "+".join(unit.name for unit in units)
