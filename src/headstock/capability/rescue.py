"""Hauling a portion that cannot help itself: start and haul, hold and stop; what is weakest; the hold as brakes come off.

Unbraked hauling is refused unless the hauling portion's own brakes stop and hold all of it, and then only with its conditions.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from headstock.capability.standing_portion import PortionOnGradient, available_brakes
from headstock.physics.gradient import slope_force_n
from headstock.physics.pull import hauling_pull_n, steepest_start

Verdict = Literal["yes", "only if", "no"]


@dataclass(frozen=True, slots=True)
class WeakPart:
    """A part of the couple and the pull it is rated for [N]."""

    part: str
    rated_n: float


@dataclass(frozen=True, slots=True)
class HaulQuestion:
    """Masses [kg], pulls [N], what it takes to start [N], the steepest rise ahead [rise/run], parts of the couple.

    ``start_m_s2`` is the least acceleration that counts as a start; ``refused`` are reasons of a rescue found before.
    ``adhesion_n`` is what the driven axles can pass to the rail; ``is_braked`` whether the hauled portion's brake answers;
    ``holds_alone`` whether the hauling portion's hand and parking brakes hold all of it here; ``stops_alone`` whether its air
    brake alone stops all of it here, None where that is not known.
    """

    hauling_kg: float
    hauled_kg: float
    turning_share: float
    pull_n: float
    adhesion_n: float
    breakaway_n: float
    hauled_breakaway_n: float
    rise: float
    parts: tuple[WeakPart, ...]
    is_braked: bool
    holds_alone: bool
    stops_alone: bool | None
    start_m_s2: float
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class HaulResult:
    """Starts it or not, up to which rise; pull in the couple when starting [N] against its weakest part; how one may haul."""

    verdict: Verdict
    starts: bool
    steepest_start: float
    couple_n: float
    weakest: WeakPart
    couple_holds: bool
    reasons: tuple[str, ...]
    conditions: tuple[str, ...]


def predict_haul(asked: HaulQuestion) -> HaulResult:
    """Start on the steepest rise, and the couple when starting there. Raises OutsideModelError beyond a gradient of 0.15."""
    pull = min(asked.pull_n, asked.adhesion_n)
    total_kg = asked.hauling_kg + asked.hauled_kg
    steepest = steepest_start(pull - total_kg * (1.0 + asked.turning_share) * asked.start_m_s2, total_kg, asked.breakaway_n)
    starts = steepest >= asked.rise
    couple = hauling_pull_n(asked.hauled_kg, asked.start_m_s2, asked.turning_share, asked.hauled_breakaway_n, asked.rise)
    weakest = min(asked.parts, key=lambda part: part.rated_n)
    holds = couple <= weakest.rated_n
    reasons = list(asked.refused)
    if not starts:
        reasons.append(
            f"it starts on a rise of {1e3 * max(steepest, 0.0):.1f} per mille at most, {1e3 * asked.rise:.1f} lie ahead"
        )
    if not holds:
        reasons.append(
            f"starting there puts {couple / 1e3:.0f} kN on the couple, {weakest.part} is rated for {weakest.rated_n / 1e3:.0f} kN"
        )
    if not asked.is_braked:
        reasons += _unbraked_reasons(asked)
    conditions = () if asked.is_braked else UNBRAKED
    verdict: Verdict = "no" if reasons else "only if" if conditions else "yes"
    return HaulResult(verdict, starts, steepest, couple, weakest, holds, tuple(reasons), conditions)


def _unbraked_reasons(asked: HaulQuestion) -> list[str]:
    """Without a brake on what is hauled, the hauling portion must stop and hold all of it alone."""
    reasons = []
    if not asked.holds_alone:
        reasons.append("what is hauled has no brake that answers, and the hauling portion's own do not hold all of it here")
    if asked.stops_alone is None:
        reasons.append("what is hauled has no brake that answers, and whether the hauling portion alone stops it is not known")
    elif not asked.stops_alone:
        reasons.append("what is hauled has no brake that answers, and the hauling portion's brake alone does not stop it here")
    return reasons


UNBRAKED = (
    "a written method for hauling unbraked is there",
    "the hauling portion alone stops and holds all of it on every gradient ahead",
    "the hauled portion is never on the lower side unless a second hold is ready in it",
    "somebody in the hauled portion stands by its hand brakes",
)
"""What hauling a portion whose brake does not answer rests on (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class ReleaseStep:
    """After a brake has come off: what holds [N], what is needed with the margin [N], whether all still stands so."""

    off: str
    force_n: float
    needed_n: float
    stands: bool


@dataclass(frozen=True, slots=True)
class ReleaseOrder:
    """Brakes in an order in which they come off; ``dips`` names the first step at which the hold falls below its need."""

    steps: tuple[ReleaseStep, ...]
    dips: str | None


def hold_while_releasing(portion: PortionOnGradient, off: Sequence[str], also_holds_n: float = 0.0) -> ReleaseOrder:
    """What holds after each release, all brakes of the portion being on at first; ``also_holds_n`` [N] holds throughout.

    From the step that ``dips`` names on, a brake worked from the leading cab must hold: on and proved before that one comes off.
    """
    force_by_key = {brake.key: brake.available_force_n for brake in available_brakes(portion)}
    needed = abs(slope_force_n(portion.mass_kg, portion.gradient)) * portion.margin
    on = dict(force_by_key)
    steps = []
    for key in off:
        del on[key]
        force = sum(on.values()) + also_holds_n
        steps.append(ReleaseStep(key, force, needed, force > 0.0 and force >= needed * (1.0 - 1e-9)))
    return ReleaseOrder(tuple(steps), next((step.off for step in steps if not step.stands), None))
