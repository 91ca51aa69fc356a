"""Why a portion is held or not: one value per reason, with its figures; words are the business of the faces."""

from dataclasses import dataclass
from typing import ClassVar


@dataclass(frozen=True, slots=True)
class NoBrakeCounts:
    """No: nothing fitted gives any force."""

    code: ClassVar[str] = "no-brake-counts"


@dataclass(frozen=True, slots=True)
class ForceFallsShort:
    """No: all brakes together stay below the need [N]; at least so many more like the strongest (None: no number)."""

    code: ClassVar[str] = "force-falls-short"
    available_force_n: float
    needed_force_n: float
    more_brakes_needed: int | None


@dataclass(frozen=True, slots=True)
class FewerThanLeastCount:
    """No: fewer brakes count than the local rules ask for, whatever the force."""

    code: ClassVar[str] = "fewer-than-least-count"
    brakes_counting: int
    least_count: int


@dataclass(frozen=True, slots=True)
class AdhesionLimits:
    """No: the rail takes less than these brakes give; lost force [N], share of the weight braked and needed [-]."""

    code: ClassVar[str] = "adhesion-limits"
    brakes: tuple[str, ...]
    lost_force_n: float
    braked_share: float
    smallest_braked_share: float
    would_hold_without_limit: bool


@dataclass(frozen=True, slots=True)
class HeldWithMargin:
    """Yes: so many brakes hold with the margin."""

    code: ClassVar[str] = "held-with-margin"
    brakes_needed: int
    margin_reached: float


@dataclass(frozen=True, slots=True)
class LeastCountDecides:
    """Yes, and the number comes from the local rules: by force alone fewer would do."""

    code: ClassVar[str] = "least-count-decides"
    brakes_by_force: int
    least_count: int


HoldingReason = NoBrakeCounts | ForceFallsShort | FewerThanLeastCount | AdhesionLimits | HeldWithMargin | LeastCountDecides
