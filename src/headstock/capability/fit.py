"""Does the finished train fit: on the road, at a platform, before a signal; how much is over; its pantographs and its current."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from headstock.formation.train import Train


@dataclass(frozen=True, slots=True)
class Fit:
    """Length of the train against a length there is [m]: over is positive where it fits. It stands off its end by so much [m]."""

    against: str
    train_m: float
    there_is_m: float
    stands_off_m: float = 0.0

    @property
    def over_m(self) -> float:
        """What is left behind it [m]; below nothing it does not fit."""
        return self.there_is_m - self.stands_off_m - self.train_m

    @property
    def fits(self) -> bool:
        """Whether the train is no longer than what there is."""
        return self.over_m >= 0.0


@dataclass(frozen=True, slots=True)
class PantographGap:
    """Two raised pantographs that follow one another along the train, and how far they are apart [m]."""

    first: str
    second: str
    apart_m: float


@dataclass(frozen=True, slots=True)
class Supply:
    """Current standing and at most [A]; pantographs with their places [m from the train's first end]; the least gap [m]."""

    standing_a: float
    greatest_a: float
    pantographs_m: tuple[tuple[str, float], ...]
    gaps: tuple[PantographGap, ...]

    def too_much(self, at_most_a: float | None, apart_at_least_m: float | None) -> tuple[str, ...]:
        """What goes beyond what a place allows [A, m], in words; nothing where it says nothing."""
        found = []
        if at_most_a is not None and self.greatest_a > at_most_a:
            found.append(f"it can draw {self.greatest_a:.0f} A, {at_most_a:g} A may be drawn here")
        if apart_at_least_m is not None:
            found += [f"pantographs {gap.first} and {gap.second} are {gap.apart_m:.1f} m apart, at least {apart_at_least_m:g} m "
                      "are asked here" for gap in self.gaps if gap.apart_m < apart_at_least_m]  # fmt: skip
        return tuple(found)


def train_length_m(train: Train) -> float:
    """Length over couplers [m]."""
    return sum(unit.unit_type.length_m for unit in train.units)


def predict_fit(train: Train, lengths: Sequence[tuple[str, float, float]]) -> tuple[Fit, ...]:
    """Against each length, as (against what, metres there are, how far before its end one stands [m])."""
    length_m = train_length_m(train)
    return tuple(Fit(name, length_m, there_is_m, stands_off_m) for name, there_is_m, stands_off_m in lengths)


def predict_supply(train: Train) -> Supply | None:
    """Currents added, pantographs in order; None where no unit draws any."""
    specs = [(unit, spec) for unit in train.units if (spec := unit.unit_type.supply) is not None]
    if not specs:
        return None
    places = []
    for unit, spec in specs:
        start = train.start_m(unit.name)
        for number, at_m in enumerate(spec.pantographs_m, start=1):
            along = at_m if unit.first_end == "1" else unit.unit_type.length_m - at_m
            places.append((f"{unit.name} no. {number}", start + along))
    places.sort(key=lambda place: place[1])
    gaps = tuple(PantographGap(one, other, there - here) for (one, here), (other, there) in pairwise(places))
    standing, greatest = (sum(getattr(spec, name) for _, spec in specs) for name in ("standing_a", "greatest_a"))
    return Supply(standing, greatest, tuple(places), gaps)
