"""Dead units of which every brake is isolated: hauled within the conditions of the local rules, or refused with every reason."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from headstock.capability.holding import predict_holding
from headstock.devices.distributor import DistributorSpec, vehicle_place
from headstock.devices.kind import At
from headstock.formation.train import TrainUnit
from headstock.local_rules.rescue_rules import UnbrakedHaul
from headstock.usecases.holding_words import holding_words
from headstock.usecases.job_file import JobPapers
from headstock.usecases.portion_holds import portion_here

HAIR = 1e-9
Units = tuple[TrainUnit, ...]


@dataclass(frozen=True, slots=True)
class Unbraked:
    """Units hauled unbraked (none: nothing to say), every reason against it, what it is done within, whether somebody rides."""

    units: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    second_person: bool = False


BRAKED = Unbraked()


def isolated_vehicles(units: Units, left: Mapping[str, str]) -> frozenset[At]:
    """Vehicles whose automatic brake was found isolated."""
    return frozenset(at for unit in units for at in _brakes(unit) if left.get(at.key()) == "isolated")


def _brakes(unit: TrainUnit) -> list[At]:
    return [
        vehicle_place(At(unit.name, name), suffix)
        for name, spec in unit.unit_type.devices.items()
        if isinstance(spec, DistributorSpec)
        for suffix in spec.acts_on_vehicles
    ]


def unbraked_haul(
    papers: JobPapers, live: Units, dead: Units, left: Mapping[str, str], dead_is_lower: bool, pushed: bool
) -> Unbraked:
    """What is said of the units of a rescue that have brakes and none in use."""
    isolated = isolated_vehicles((*live, *dead), left)
    units = tuple(unit for unit in dead if _brakes(unit) and isolated.issuperset(_brakes(unit)))
    if not units:
        return BRAKED
    names = tuple(unit.name for unit in units)
    said = " and ".join(names)
    why = f"every brake of {said} is isolated: hauled unbraked"
    rules = papers.rules.rescue.unbraked if papers.rules.rescue is not None else None
    if rules is None:
        return Unbraked(names, (f"{why}, of which the local rules say nothing (rescue.unbraked)",))
    if not rules.allowed.value:
        return Unbraked(names, (f"{why}, which the local rules do not allow",))
    found = (
        *_too_heavy(rules, units, (*live, *dead), isolated),
        *_too_steep(rules, papers),
        *_not_held(papers, live, dead),
        *_no_second(rules, papers, units, dead_is_lower),
    )
    reasons = [f"{why}: {reason}" for reason in found]
    if pushed:
        reasons.append(f"{why}, and it would be pushed")
    return Unbraked(names, tuple(reasons), (_condition(rules, papers, said),), rules.second_person.value)


def _too_heavy(rules: UnbrakedHaul, units: Units, train: Units, isolated: frozenset[At]) -> Iterator[str]:
    """The unbraked mass over that of the units of which some brake is in use."""
    braked_kg = sum(unit.unit_type.mass_kg for unit in train if not isolated.issuperset(_brakes(unit)))
    unbraked_kg, most = sum(unit.unit_type.mass_kg for unit in units), rules.mass_share_at_most.value
    if unbraked_kg > most * braked_kg * (1 + HAIR):
        yield (f"it weighs {unbraked_kg / 1e3:.0f} t to the {braked_kg / 1e3:.0f} t of what brakes, "
               f"at most {most:g} of that is allowed")  # fmt: skip


def _too_steep(rules: UnbrakedHaul, papers: JobPapers) -> Iterator[str]:
    here, most = 1e3 * abs(papers.place.slope), rules.gradient_at_most_per_mille.value
    if here > most * (1 + HAIR):
        yield f"{papers.place.name} has {here:.1f} per mille, at most {most:g} are allowed"


def _not_held(papers: JobPapers, live: Units, dead: Units) -> Iterator[str]:
    """What hauls must hold all of it here without air."""
    held = predict_holding(portion_here(papers, live, (*live, *dead)))
    if not held.holds:
        yield f"what hauls it does not hold all of it here: {'; '.join(holding_words(reason) for reason in held.reasons)}"


def _no_second(rules: UnbrakedHaul, papers: JobPapers, units: Units, dead_is_lower: bool) -> Iterator[str]:
    if not rules.second_person.value:
        if dead_is_lower:
            yield "it stands on the lower side, and the local rules ask for nobody in it who could hold it"
        return
    if len(papers.job.crew) < 2:
        yield "nobody in the crew beside the driver to ride in it by its brakes"


def _condition(rules: UnbrakedHaul, papers: JobPapers, said: str) -> str:
    second = ", somebody in it by its hand or parking brakes" if rules.second_person.value else ""
    speed = papers.rules.speed_words(rules.speed_at_most_kmh.value)
    within = f"at most {speed}, up to {rules.gradient_at_most_per_mille.value:g} per mille{second}"
    return f"{said} unbraked, by {rules.method.value}: {within}, only if what hauls it stops all of it alone"
