"""What can reach each length of a pipe: a feed, the open air, a valve that draws it down, or nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from headstock.formation.air_network import AirNetwork, AirOpenings
from headstock.physics.pipe_network import ValveSetting


@dataclass(frozen=True, slots=True)
class Section:
    """A length of pipe between shut or cut gates, and what reaches it. Pressures [Pa] are absolute.

    ``keys``: the vehicles, units, hoses, cab valves and unit ends (just inside the cock) in it. ``fed_to_pa``: the highest feed;
    ``drawn_to_pa``: where a valve that lets out stops by itself, which is not the open air. Leaks do not count.
    """

    from_m: float
    to_m: float
    keys: tuple[str, ...]
    fed_to_pa: float | None
    vented: bool
    drawn_to_pa: float | None

    @property
    def fed(self) -> bool:
        """Whether a feed reaches it."""
        return self.fed_to_pa is not None

    @property
    def word(self) -> str:
        """Fed, vented, drawn (by a valve that stops at a pressure), two of these, or trapped when nothing reaches it."""
        drawn = self.drawn_to_pa is not None and not self.vented
        parts = [word for word, is_so in (("fed", self.fed), ("vented", self.vented), ("drawn", drawn)) if is_so]
        return " and ".join(parts) or "trapped"


@dataclass(frozen=True, slots=True)
class Reach:
    """The sections of a pipe from the front."""

    sections: tuple[Section, ...]

    def of(self, key: str) -> Section:
        """The section that holds a vehicle, a unit, a hose, a cab valve or the inside of a unit end (``226/1``)."""
        for section in self.sections:
            if key in section.keys:
                return section
        raise KeyError(key)


def air_reach_of(network: AirNetwork, openings: AirOpenings) -> Reach:
    """What reaches each length of the pipe as its gates and valves stand."""
    length_m = network.network.length_m
    cuts = [(0.0, 0.0, 0.0)]
    for gate, setting in zip(network.network.gates, openings.gates, strict=True):
        if setting.open <= 0.0:
            cuts.append((gate.at_m, setting.front_vent_m2, setting.rear_vent_m2))
    cuts.append((length_m, 0.0, 0.0))
    sections = []
    for (from_m, _, vent_at_front), (to_m, vent_at_rear, _) in pairwise(cuts):
        sections.append(_section(network, openings, from_m, to_m, max(vent_at_front, vent_at_rear) > 0.0))
    return Reach(tuple(sections))


def _section(network: AirNetwork, openings: AirOpenings, from_m: float, to_m: float, vent: bool) -> Section:
    inside = [
        setting
        for at_m, setting in zip(network.network.valves_at_m, openings.valves, strict=True)
        if from_m <= at_m <= to_m
    ]  # fmt: skip
    keys = tuple(key for key, at_m in network.position_m.items() if key not in network.gates and from_m < at_m < to_m)
    outside_pa = network.network.atmosphere_pa
    feeds = [setting.supply_pa for setting in inside if _feeds(setting, outside_pa)]
    limits = [setting.exhaust_to_pa for setting in inside if setting.exhaust_area_m2 > 0.0]
    vented = vent or any(limit <= outside_pa for limit in limits)
    drawn = [limit for limit in limits if limit > outside_pa]
    return Section(from_m, to_m, keys, _greatest(feeds), vented, min(drawn, default=None))


def _feeds(setting: ValveSetting, outside_pa: float) -> bool:
    """A plain opening lets the atmosphere in as well, which is no feed."""
    return setting.feed_area_m2 > 0.0 and setting.supply_pa > outside_pa


def _greatest(values: Sequence[float]) -> float | None:
    return max(values, default=None)
