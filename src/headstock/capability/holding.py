"""Standing on a gradient on hand and parking brakes alone: does it hold, by which brakes, can one be lost?

Trapped air counts 0 kN: there is no way to state it here. Rolling resistance is never counted as help.
"""

import math
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from headstock.base.errors import Fault, InputError
from headstock.capability.holding_reasons import (
    AdhesionLimits,
    FewerThanLeastCount,
    ForceFallsShort,
    HeldWithMargin,
    HoldingReason,
    LeastCountDecides,
    NoBrakeCounts,
)
from headstock.capability.standing_portion import (
    ROUNDING,
    AvailableBrake,
    HoldingBrake,
    PortionOnGradient,
    available_brakes,
    counting_brakes,
)
from headstock.physics.adhesion import smallest_braked_share
from headstock.physics.gradient import G_M_S2, MAX_GRADIENT, slope_force_n

__all__ = [
    "AdhesionLimits",
    "AvailableBrake",
    "FewerThanLeastCount",
    "ForceFallsShort",
    "HeldWithMargin",
    "HoldingBalance",
    "HoldingBrake",
    "HoldingReason",
    "HoldingResult",
    "LeastCountDecides",
    "NoBrakeCounts",
    "PortionOnGradient",
    "available_brakes",
    "predict_balance",
    "predict_holding",
]


@dataclass(frozen=True, slots=True)
class HoldingBalance:
    """Forces [N] along the track with these brakes on: what they hold against what the hill pulls.

    lost is the brake taken away beforehand, if any. margin_reached and share_of_need [-] are infinite on the level
    with any brake on, 0 with none.
    """

    brakes_on: tuple[str, ...]
    lost: str | None
    force_n: float
    surplus_n: float
    margin_reached: float
    share_of_need: float
    stands: bool
    stands_with_margin: bool


@dataclass(frozen=True, slots=True)
class HoldingResult:
    """The answer for one portion; balances of a set are None where there is no set or no brake to lose."""

    portion: str
    slope_force_n: float
    needed_force_n: float
    available: tuple[AvailableBrake, ...]
    smallest_set: tuple[str, ...]
    set_on: HoldingBalance | None
    set_with_one_lost: HoldingBalance | None
    all_on: HoldingBalance
    all_with_one_lost: HoldingBalance | None
    held_gradient: float
    is_held_gradient_capped: bool
    holds: bool
    reasons: tuple[HoldingReason, ...]


def predict_holding(portion: PortionOnGradient) -> HoldingResult:
    """Which brakes hold this portion with the margin, and what is left when the strongest of them is lost.

    The smallest set is the fewest brakes, never below least_count; among sets of that size the one preferred by the
    order of portion.brakes. held_gradient [rise/run] is what all brakes hold with the margin, capped at MAX_GRADIENT.
    """
    available = available_brakes(portion)
    pull_n = abs(slope_force_n(portion.mass_kg, portion.gradient))
    chosen = _smallest_set(available, pull_n * portion.margin, portion.least_count)
    all_keys = [brake.key for brake in available]
    all_on = predict_balance(portion, all_keys)
    set_on = predict_balance(portion, chosen) if chosen else None
    held_gradient = _gradient_held_by_all(portion)
    return HoldingResult(
        portion=portion.name,
        slope_force_n=pull_n,
        needed_force_n=pull_n * portion.margin,
        available=available,
        smallest_set=chosen,
        set_on=set_on,
        set_with_one_lost=_with_strongest_lost(portion, chosen),
        all_on=all_on,
        all_with_one_lost=_with_strongest_lost(portion, all_keys),
        held_gradient=min(held_gradient, MAX_GRADIENT),
        is_held_gradient_capped=held_gradient > MAX_GRADIENT,
        holds=set_on is not None,
        reasons=_reasons_for_yes(portion, available, set_on) if set_on else _reasons_for_no(portion, available, all_on),
    )


def predict_balance(portion: PortionOnGradient, brakes_on: Iterable[str], lost: str | None = None) -> HoldingBalance:
    """Forces with exactly these brakes on, less the one lost; raises InputError for a key not fitted or named twice."""
    named = tuple(brakes_on)
    force_by_key = {brake.key: brake.available_force_n for brake in available_brakes(portion)}
    _refuse_wrong_keys(portion, named, force_by_key.keys(), lost)
    keys = tuple(key for key in named if key != lost)
    pull_n = abs(slope_force_n(portion.mass_kg, portion.gradient))
    needed_n = pull_n * portion.margin
    force_n = math.fsum(force_by_key[key] for key in keys)
    # With nothing on nothing stands, level road or not.
    return HoldingBalance(
        brakes_on=keys,
        lost=lost,
        force_n=force_n,
        surplus_n=force_n - pull_n,
        margin_reached=_ratio(force_n, pull_n),
        share_of_need=_ratio(force_n, needed_n),
        stands=force_n > 0.0 and _covers(force_n, pull_n),
        stands_with_margin=force_n > 0.0 and _covers(force_n, needed_n),
    )


def _refuse_wrong_keys(portion: PortionOnGradient, named: Sequence[str], fitted: Collection[str], lost: str | None) -> None:
    expected = "one of " + (", ".join(fitted) or "none")
    faults = [Fault("brake not fitted", found=key, expected=expected) for key in named if key not in fitted]
    faults += [Fault("brake named twice", found=key) for key, times in Counter(named).items() if times > 1]
    if lost is not None and lost not in named:
        faults.append(Fault("brake lost", found=lost, expected="one of the brakes that are on"))
    if faults:
        raise InputError(faults, where=portion.name)


def _ratio(force_n: float, against_n: float) -> float:
    if against_n == 0.0:
        return math.inf if force_n > 0.0 else 0.0
    return force_n / against_n


def _covers(force_n: float, needed_n: float) -> bool:
    return force_n >= needed_n * (1.0 - ROUNDING)


def _with_strongest_lost(portion: PortionOnGradient, keys: Sequence[str]) -> HoldingBalance | None:
    if not keys:
        return None
    force_by_key = {brake.key: brake.available_force_n for brake in available_brakes(portion)}
    return predict_balance(portion, keys, lost=max(keys, key=force_by_key.__getitem__))


def _fewest_by_force(forces_n: Sequence[float], needed_n: float) -> int | None:
    """How many of the strongest cover the need; None when all together do not."""
    strongest = sorted(forces_n, reverse=True)
    return next((n for n in range(len(strongest) + 1) if _covers(math.fsum(strongest[:n]), needed_n)), None)


def _smallest_set(available: Sequence[AvailableBrake], needed_n: float, least_count: int) -> tuple[str, ...]:
    """Fewest brakes that cover the need, then the earliest stated; empty when there is no such set."""
    usable = [brake for brake in available if brake.available_force_n > 0.0]
    fewest = _fewest_by_force([brake.available_force_n for brake in usable], needed_n)
    if fewest is None or len(usable) < least_count:
        return ()
    size = max(fewest, least_count)
    chosen: list[AvailableBrake] = []
    for place, brake in enumerate(usable):
        # A preferred brake is taken whenever the strongest of those after it can still complete the set.
        later = sorted((b.available_force_n for b in usable[place + 1 :]), reverse=True)
        missing = size - len(chosen) - 1
        reach_n = math.fsum([b.available_force_n for b in [*chosen, brake]] + later[: max(missing, 0)])
        if 0 <= missing <= len(later) and _covers(reach_n, needed_n):
            chosen.append(brake)
    return tuple(brake.key for brake in chosen)


def _gradient_held_by_all(portion: PortionOnGradient) -> float:
    """Solve S m g i = sum of min(F sqrt(1 + i^2), mu m_k g) for i, from the level up; the sum is capped, so it ends."""
    gradient = 0.0
    weight_n = portion.mass_kg * G_M_S2
    for _ in range(200):
        held = math.fsum(
            min(b.force_n * math.hypot(1.0, gradient), portion.adhesion * b.braked_axle_mass_kg * G_M_S2)
            for b in counting_brakes(portion)
        )
        before, gradient = gradient, held / (portion.margin * weight_n)
        if gradient > MAX_GRADIENT or math.isclose(gradient, before, rel_tol=1e-15):
            break
    return gradient


def _reasons_for_yes(
    portion: PortionOnGradient, available: Sequence[AvailableBrake], set_on: HoldingBalance
) -> tuple[HoldingReason, ...]:
    needed_n = abs(slope_force_n(portion.mass_kg, portion.gradient)) * portion.margin
    by_force = _fewest_by_force([brake.available_force_n for brake in available], needed_n)
    reasons: list[HoldingReason] = [HeldWithMargin(len(set_on.brakes_on), set_on.margin_reached)]
    if by_force is not None and by_force < portion.least_count:
        reasons.append(LeastCountDecides(by_force, portion.least_count))
    return tuple(reasons)


def _reasons_for_no(
    portion: PortionOnGradient, available: Sequence[AvailableBrake], all_on: HoldingBalance
) -> tuple[HoldingReason, ...]:
    reasons: list[HoldingReason] = []
    counting = sum(brake.available_force_n > 0.0 for brake in available)
    needed_n = abs(slope_force_n(portion.mass_kg, portion.gradient)) * portion.margin
    if counting == 0:
        reasons.append(NoBrakeCounts())
    if counting < portion.least_count:
        reasons.append(FewerThanLeastCount(counting, portion.least_count))
    if not _covers(all_on.force_n, needed_n):
        more = _more_brakes_needed(portion, available, needed_n - all_on.force_n)
        reasons.append(ForceFallsShort(all_on.force_n, needed_n, more))
        reasons.extend(_adhesion_reason(portion, available, needed_n))
    return tuple(reasons)


def _more_brakes_needed(portion: PortionOnGradient, available: Sequence[AvailableBrake], shortfall_n: float) -> int | None:
    strongest_n = max((brake.available_force_n for brake in available), default=0.0)
    all_axles = smallest_braked_share(portion.gradient, portion.adhesion, portion.margin)
    if strongest_n == 0.0 or all_axles > 1.0 + ROUNDING:
        return None
    return math.ceil(shortfall_n / strongest_n * (1.0 - ROUNDING))


def _adhesion_reason(
    portion: PortionOnGradient, available: Sequence[AvailableBrake], needed_n: float
) -> Sequence[AdhesionLimits]:
    limited = [brake for brake in available if brake.is_adhesion_limited]
    braked_share = math.fsum(brake.braked_axle_mass_kg for brake in counting_brakes(portion)) / portion.mass_kg
    smallest_share = smallest_braked_share(portion.gradient, portion.adhesion, portion.margin)
    if not limited and braked_share >= smallest_share * (1.0 - ROUNDING):
        return ()
    stated_n = math.fsum(brake.stated_force_n for brake in available)
    return (
        AdhesionLimits(
            brakes=tuple(brake.key for brake in limited),
            lost_force_n=math.fsum(brake.stated_force_n - brake.available_force_n for brake in limited),
            braked_share=braked_share,
            smallest_braked_share=smallest_share,
            would_hold_without_limit=_covers(stated_n, needed_n),
        ),
    )
