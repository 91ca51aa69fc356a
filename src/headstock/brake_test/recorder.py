"""What a recorder kept of a brake test: samples over time, gaps that are not bridged, lone spikes that are left out."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.local_rules.method_stage import End, Reads

Channel = tuple[End, Reads]


@dataclass(frozen=True, slots=True)
class RecorderTrace:
    """Values by channel at times [s, on the clock of the test]; bar (gauge) or l per min. ``spikes``: moments left out."""

    t_s: tuple[float, ...]
    values: Mapping[Channel, tuple[float, ...]]
    longest_gap_s: float
    spikes: tuple[float, ...] = ()

    def at(self, channel: Channel, when_s: float) -> float | None:
        """The value at a moment, straight between samples; None before the first, after the last, or in a gap."""
        values = self.values.get(channel)
        if values is None or not self.t_s or not self.t_s[0] <= when_s <= self.t_s[-1]:
            return None
        place = min(bisect_right(self.t_s, when_s), len(self.t_s) - 1)
        before, after = self.t_s[place - 1], self.t_s[place]
        if after - before > self.longest_gap_s:
            return None
        share = (when_s - before) / (after - before)
        return values[place - 1] + share * (values[place] - values[place - 1])


def without_spikes(
    t_s: Sequence[float], values: Mapping[Channel, Sequence[float]], jump: float
) -> tuple[list[float], dict[Channel, list[float]], tuple[float, ...]]:
    """Samples without those that lie more than ``jump`` from both neighbours, on one side of both: no air does that."""
    wrong = {
        place
        for series in values.values()
        for place in range(1, len(t_s) - 1)
        if min(abs(series[place] - series[place - 1]), abs(series[place] - series[place + 1])) > jump
        and (series[place] - series[place - 1]) * (series[place] - series[place + 1]) > 0
    }
    kept = [place for place in range(len(t_s)) if place not in wrong]
    return (
        [t_s[place] for place in kept],
        {channel: [series[place] for place in kept] for channel, series in values.items()},
        tuple(t_s[place] for place in sorted(wrong)),
    )
