"""Limits and verdicts of a brake test in words, and the unit in which each limit is kept."""

from __future__ import annotations

from typing import Final

from headstock.brake_test.reading_verdict import LimitVerdict
from headstock.local_rules.limit_figures import PressureUnit, in_unit, limit_figure, limit_tail, rounded
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
VERDICT_WORDS: Final = {
    "within limits": "Readings within limits.", "not within limits": "Readings not within limits.",
    "not yet": "Not yet: nothing has passed.", "refused": "Refused: this cannot have been so, nothing was judged.",
}  # fmt: skip
WHAT_IS_WRONG: Final = "What may be wrong, and where to look next: headstock find {}"
"""After readings that are not within limits; the file's name goes in."""
NO_PERMISSION: Final = "That is about readings: it does not say that the train may go."


def limit_words(verdict: LimitVerdict, unit: PressureUnit) -> str:
    """What was read against a limit, pressures in the unit that people read."""
    words, own = LIMIT_WORDS[verdict.limit]
    tail = limit_tail(verdict.limit)
    if own.startswith("bar"):
        said_unit = own.replace("bar", unit, 1)
        shows = "not known" if verdict.value is None else rounded(in_unit(verdict.value, unit), 2 if unit == "bar" else 1)
        return f"{words} {shows}, limit {limit_figure(verdict.limit_value, verdict.limit, unit)} {said_unit} {tail}"
    shows = "not known" if verdict.value is None else f"{verdict.value:.4g}"
    return f"{words} {shows}, limit {verdict.limit_value:g}{f' {own}' if own else ''} {tail}"
