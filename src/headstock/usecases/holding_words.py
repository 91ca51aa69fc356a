"""Why a portion is held or not, in words."""

from __future__ import annotations

from headstock.capability.holding_reasons import (
    AdhesionLimits,
    FewerThanLeastCount,
    ForceFallsShort,
    HeldWithMargin,
    HoldingReason,
    LeastCountDecides,
    NoBrakeCounts,
)


def holding_words(reason: HoldingReason) -> str:
    """One reason as people say it, with its figures."""
    match reason:
        case NoBrakeCounts():
            return "no hand or parking brake that counts is fitted"
        case ForceFallsShort(available, needed, more):
            further = f"; at least {more} more like the strongest would be needed" if more is not None else ""
            return f"all its hand and parking brakes give {_kn(available)}, {_kn(needed)} are needed with the margin{further}"
        case FewerThanLeastCount(counting, least):
            return f"{counting} brakes count, the local rules ask for {least}"
        case AdhesionLimits(brakes, lost, braked, least_share):
            named = ", ".join(key.replace(".", " ").replace("_", " ") for key in brakes)
            share = f"{braked:.0%} of the weight is braked, {least_share:.0%} would be needed"
            return f"the rail takes {_kn(lost)} less than {named} give; {share}" if brakes else share
        case HeldWithMargin(count, margin):
            reached = "on the level" if margin == float("inf") else f"{margin:.1f} times the pull of the hill"
            return f"{count} hold, {reached}"
        case LeastCountDecides(by_force, least):
            return f"{by_force} would do by force, the local rules ask for {least}"


def _kn(force_n: float) -> str:
    return f"{force_n / 1000:.1f} kN"
