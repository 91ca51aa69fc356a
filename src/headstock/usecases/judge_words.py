"""Limits of a brake test in words, and the unit in which each is kept."""

from __future__ import annotations

from typing import Final

from headstock.local_rules.test_limits import Limit

LIMIT_WORDS: Final[dict[Limit, tuple[str, str]]] = {
    "charged_at_least_bar": ("shows", "bar"), "rear_full_at_most_bar": ("shows", "bar"),
    "front_full_at_most_bar": ("shows", "bar"), "rise_at_most_bar": ("rose", "bar"),
    "below_set_at_most_bar": ("below the set pressure by", "bar"), "step_at_least_bar": ("fell", "bar"),
    "leak_at_most_bar_per_min": ("fell", "bar a minute"), "flow_at_most_l_per_min": ("flow", "l a minute"),
    "cylinder_applied_at_least_bar": ("cylinder", "bar"), "cylinder_fall_at_most_bar": ("fell", "bar"),
    "cylinder_released_at_most_bar": ("cylinder", "bar"), "applied_share_at_least": ("share applied", ""),
    "released_share_at_least": ("share released", ""), "speed_fall_at_least_kmh": ("fell", "km/h"),
}  # fmt: skip
