"""What a reading within its limit but outside the forecast may mean: where to look, never what is so."""

from __future__ import annotations

from typing import Final

from headstock.local_rules.test_limits import Limit

ALSO: Final = "a wrong gauge or one that is off, or data that are not this train's"
LEAK: Final = "a leak, a hose that does not seat"
FEED: Final = "a second valve that feeds, a lapped valve that does not shut"
THROTTLED: Final = "an end cock part open, a blocked pipe"
MEANS: Final[dict[Limit, tuple[str, str]]] = {
    "charged_at_least_bar": (f"not charged to the end yet, {LEAK}, {THROTTLED}", "a valve set too high, an overcharge"),
    "rear_full_at_most_bar": (f"a valve that lets out more than it should, {LEAK}", f"read before the exhaust had ended, {FEED}"),
    "front_full_at_most_bar": (f"a valve that lets out more than it should, {LEAK}",
                               f"read before the exhaust had ended, {THROTTLED}, {FEED}"),
    "rise_at_most_bar": (LEAK, FEED),
    "leak_at_most_bar_per_min": (FEED, f"{LEAK}, read before the pipe had settled"),
    "below_set_at_most_bar": ("a valve set too high, an overcharge", f"not charged to the end yet, {LEAK}, {THROTTLED}"),
    "step_at_least_bar": (f"read before the exhaust had ended, {THROTTLED}, {FEED}", f"a valve that lets out more, {LEAK}"),
    "cylinder_applied_at_least_bar": ("a wire that does not reach the unit, a brake that is isolated, read too early",
                                      "an application by the pipe as well"),
    "cylinder_fall_at_most_bar": ("an application that is still going on", "a cylinder that leaks, a holding wire that is dead"),
    "cylinder_released_at_most_bar": ("", "read before it was let off, a holding wire that stays live, a pipe that is drawn"),
    "flow_at_most_l_per_min": (f"an end cock shut, a blocked pipe, {FEED}", f"{LEAK}, read before the reservoirs were full"),
    "speed_fall_at_least_kmh": ("a brake that is isolated, an end cock shut, a fall in the line, an application that was smaller",
                                "another brake at work besides, a rise in the line, an application that lasted longer"),
    "applied_share_at_least": ("a brake that is isolated or does not apply", "brakes counted that are not on this pipe"),
    "released_share_at_least": ("a brake that does not let off, a parking or hand brake on", "brakes counted twice"),
}  # fmt: skip
"""Per limit: read lower than healthy trains are forecast to show, and higher (common practice, no source)."""


def may_mean(limit: Limit, is_higher: bool) -> str:
    """In words, the likeliest first; nobody has counted them."""
    low, high = MEANS.get(limit, ("", ""))
    said = high if is_higher else low
    return f"{said}, {ALSO}" if said else ALSO
