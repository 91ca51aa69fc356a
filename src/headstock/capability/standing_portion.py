"""A portion standing on a gradient, the hand and parking brakes that count, and what each passes to the rail.

Trapped air counts 0 kN: there is no way to state it here.
"""

import math
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.physics.adhesion import MAX_ADHESION, adhesion_capped_force_n
from headstock.physics.gradient import MAX_GRADIENT, normal_force_n

ROUNDING = 1e-9
"""Relative rounding allowed [-]: the machine's last digits never turn a brake that just holds into one that fails."""

# Figures beyond these are slips of the unit, not trains; within them no sum or quotient here leaves the numbers.
LARGEST_FIGURE = 1e9
"""Largest mass [kg] or force [N] taken."""
LARGEST_MARGIN = 10.0
"""Largest margin [-] taken: 150 is 150 %, not a factor."""
SMALLEST_ADHESION = 0.001
"""Smallest adhesion [-] taken: no rail is so slippery."""
LEAST_FORCE_N, LEAST_MASS_KG = 1.0, 1.0
"""A brake of less force [N], or on axles of less mass [kg], counts for nothing."""


@dataclass(frozen=True, slots=True)
class HoldingBrake:
    """One hand or parking brake that counts: force [N] at the wheel rim, mass [kg] on the axles it alone brakes.

    Brakes that share axles are stated as one, or the rail would be counted twice.
    """

    key: str
    where: str
    force_n: float
    braked_axle_mass_kg: float


@dataclass(frozen=True, slots=True)
class PortionOnGradient:
    """A standing portion: mass [kg], gradient [rise/run] of either sign, brakes in order of preference.

    margin [-] (1 to 10), adhesion [-] and least_count (1 or above, level roads included) come from the local rules.
    Raises InputError with all that contradicts itself at once, OutsideModelError for figures the formulas don't cover.
    """

    name: str
    mass_kg: float
    gradient: float
    brakes: tuple[HoldingBrake, ...]
    margin: float
    adhesion: float
    least_count: int

    def __post_init__(self) -> None:
        faults = [*_faults_of_brakes(self), *_faults_of_portion(self)]
        if faults:
            raise InputError(faults, where=self.name)
        _refuse_outside_model(self)


@dataclass(frozen=True, slots=True)
class AvailableBrake:
    """What one brake passes to the rail: its stated force [N] and the force [N] left by the adhesion."""

    key: str
    where: str
    stated_force_n: float
    available_force_n: float

    @property
    def is_adhesion_limited(self) -> bool:
        return self.available_force_n < self.stated_force_n * (1.0 - ROUNDING)


def available_brakes(portion: PortionOnGradient) -> tuple[AvailableBrake, ...]:
    """Every brake with the force [N] that reaches the rail on this gradient, in the order stated."""
    return tuple(
        AvailableBrake(brake.key, brake.where, brake.force_n, _force_on(brake, portion.gradient, portion.adhesion))
        for brake in portion.brakes
    )


def counting_brakes(portion: PortionOnGradient) -> tuple[HoldingBrake, ...]:
    """The brakes that give any force at all, in the order stated."""
    return tuple(brake for brake in portion.brakes if _counts(brake))


def _counts(brake: HoldingBrake) -> bool:
    return brake.force_n >= LEAST_FORCE_N and brake.braked_axle_mass_kg >= LEAST_MASS_KG


def _force_on(brake: HoldingBrake, gradient: float, adhesion: float) -> float:
    if not _counts(brake):
        return 0.0
    weight_n = normal_force_n(brake.braked_axle_mass_kg, gradient)
    return adhesion_capped_force_n(brake.force_n, weight_n, adhesion)


def _faults_of_brakes(portion: PortionOnGradient) -> Iterator[Fault]:
    for key, times in Counter(brake.key for brake in portion.brakes).items():
        if times > 1:
            yield Fault("brake named twice", path=key, found=f"{times} times", expected="each brake once")
    for brake in portion.brakes:
        for what in ("force_n", "braked_axle_mass_kg"):
            value = getattr(brake, what)
            if not 0.0 <= value <= LARGEST_FIGURE:
                yield Fault(what, path=brake.key, found=f"{value:g}", expected=f"0 to {LARGEST_FIGURE:g}")


def _faults_of_portion(portion: PortionOnGradient) -> Iterator[Fault]:
    if not LEAST_MASS_KG <= portion.mass_kg <= LARGEST_FIGURE:
        yield Fault("mass_kg", found=f"{portion.mass_kg:g}", expected=f"{LEAST_MASS_KG:g} to {LARGEST_FIGURE:g}")
    braked_kg = sum(brake.braked_axle_mass_kg for brake in portion.brakes)
    if braked_kg > portion.mass_kg * (1.0 + ROUNDING):
        limit = f"at most the {portion.mass_kg:g} kg of the portion; brakes that share axles are one brake"
        yield Fault("mass on braked axles", found=f"{braked_kg:g} kg", expected=limit)
    if not 1.0 <= portion.margin <= LARGEST_MARGIN:
        yield Fault("margin", found=f"{portion.margin:g}", expected=f"a factor from 1 to {LARGEST_MARGIN:g}")
    if portion.least_count < 1:
        yield Fault("least_count", found=str(portion.least_count), expected="at least 1, level roads included")
    if not portion.adhesion >= SMALLEST_ADHESION:
        yield Fault("adhesion", found=f"{portion.adhesion:g}", expected=f"at least {SMALLEST_ADHESION:g}")
    if math.isnan(portion.gradient):
        yield Fault("gradient", found="not a number", expected="a fraction rise/run")


def _refuse_outside_model(portion: PortionOnGradient) -> None:
    beyond = []
    if abs(portion.gradient) > MAX_GRADIENT:
        beyond.append(f"gradient {portion.gradient:g}, answered for to {MAX_GRADIENT:g} either way")
    if portion.adhesion > MAX_ADHESION:
        beyond.append(f"adhesion {portion.adhesion:g}, answered for to {MAX_ADHESION:g}")
    if beyond:
        raise OutsideModelError("; ".join(beyond), where=portion.name, why="Beyond this no train stands on its own wheels.")
