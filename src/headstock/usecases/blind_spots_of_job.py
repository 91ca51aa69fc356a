"""An engineer asks: which faults can this brake test not see, what would see them, and what if a limit were moved?

Answered by drawn tests. It never says that a method may be used: that is for whoever answers for the railway's rules.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from headstock.brake_test.blind_spots import BlindSpots, CauseSeen, LimitMoved, blind_spots, limits_moved
from headstock.equipment.library import Fleet
from headstock.local_rules.extra_looks import DEMONSTRATION, ExtraLook, ExtraLooks, load_extra_looks
from headstock.physics.air_run import AirEngine
from headstock.reasoning.covering import smallest_cover
from headstock.usecases.test_signatures import MEMBERS, Blocks, TestSignatures, signatures_of_job

STEPS = (-0.3, -0.2, -0.1, -0.05, 0.0, 0.05, 0.1, 0.2, 0.3)
"""How far limits are moved, in bar."""


@dataclass(frozen=True, slots=True)
class LooksToAdd:
    """The cheapest looks that show what the test does not surely see, and what none of them shows."""

    looks: tuple[ExtraLook, ...]
    minutes: float
    never_shown: tuple[CauseSeen, ...]


@dataclass(frozen=True, slots=True)
class JobBlindSpots:
    """The whole answer; ``moved`` by reading, where its limit is a pressure."""

    test: TestSignatures
    spots: BlindSpots
    extra: ExtraLooks
    to_add: LooksToAdd
    moved: tuple[tuple[str, tuple[LimitMoved, ...]], ...]


def blind_spots_of_job(
    job: Path, fleet: Fleet, engine: AirEngine, blocks: Blocks, *, method: str | None = None, drawn: Path | None = None,
    looks: Path | None = None, members: int = MEMBERS,
) -> JobBlindSpots:  # fmt: skip
    """What the test of a job cannot see. Raises InputError for what cannot be meant."""
    extra = load_extra_looks(looks or DEMONSTRATION)
    test = signatures_of_job(job, fleet, engine, blocks, method=method, drawn=drawn, members=members)
    spots = blind_spots(test.signatures, test.errors)
    numbers = [number for number, place in enumerate(spots.places) if place.is_gauge]
    found = limits_moved(test.signatures, test.errors, numbers, STEPS)
    moved = tuple((spots.places[number].name, steps) for number, steps in zip(numbers, found, strict=True))
    return JobBlindSpots(test, spots, extra, looks_to_add(spots, extra), moved)


def looks_to_add(spots: BlindSpots, extra: ExtraLooks) -> LooksToAdd:
    """The cheapest set of looks for all that is not seen in every degree."""
    wanted = [cause for cause in spots.causes if cause.answer != "seen"]
    shows = np.array([[cause.cause.kind in look.shows for cause in wanted] for look in extra.looks], dtype=bool)
    cover = smallest_cover(shows.reshape(len(extra.looks), len(wanted)), [look.minutes for look in extra.looks])
    return LooksToAdd(
        tuple(extra.looks[number] for number in cover.looks), cover.cost, tuple(wanted[number] for number in cover.never_shown)
    )
