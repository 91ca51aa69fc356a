"""One drawn test as a run of the air engine: a train with its causes and with what differs from train to train."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from math import inf

from headstock.base.conversion import BAR_PA
from headstock.brake_test.air_under_test import AirUnderTest, Drawn
from headstock.brake_test.causes import Cause
from headstock.brake_test.fault_acts import ACTS, leaking, put_into
from headstock.brake_test.forecast import SAMPLE_S, timeline_of
from headstock.brake_test.forecast_reading import SETTLING_S, StageSpan
from headstock.formation.air_charge import AirCharge
from headstock.formation.train_air import TrainOpenings
from headstock.formation.train_gear import RESERVOIR
from headstock.physics.air_run import AirRun
from headstock.physics.pipe_network import Change, PipeNetwork, ValveSetting


def drawn_run(tested: AirUnderTest, spans: Sequence[StageSpan], causes: Sequence[Cause], drawn: Drawn) -> AirRun:
    """The run of one drawn test, its stages as long as ``spans`` say."""
    leaks = tuple(cause for cause in causes if ACTS[cause.kind].leaks)
    opening = tuple(cause for cause in causes if ACTS[cause.kind].opens is not None)
    changed = _changed(tested, causes)
    openings, timeline = tested.moving.get(
        (tuple(spans), frozenset(changed.items()), opening, drawn.set_error_bar),
        lambda: _moving(tested, spans, changed, opening, drawn),
    )
    network = tested.leaking.get(
        (leaks, drawn.leak_bar_per_min, drawn.leak_shares, drawn.temperature_k), lambda: _leaking(tested, leaks, drawn)
    )
    start = tested.charged(openings, drawn.pipe_error_bar)
    vessel_pa, cylinder_pa = _emptied(tested, causes, start)
    return AirRun(
        network, openings.gates, openings.valves, openings.vessels, openings.distributors, start.pipe_pa, vessel_pa, cylinder_pa,
        timeline, SETTLING_S + spans[-1].ends_s, tested.probes, SAMPLE_S,
    )  # fmt: skip


def longer_spans(spans: Sequence[StageSpan], drawn: Drawn) -> tuple[StageSpan, ...]:
    """Stages as long as people took."""
    found, late_s = [], 0.0
    for span, more_s in zip(spans, drawn.longer_s, strict=True):
        found.append(replace(span, begins_s=span.begins_s + late_s, ends_s=span.ends_s + late_s + more_s))
        late_s += more_s
    return tuple(found)


def _emptied(tested: AirUnderTest, causes: Sequence[Cause], start: AirCharge) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Vessels and cylinders as charged; a reservoir that is not fed has long been empty, and its cylinder too."""
    vessel_pa, cylinder_pa = list(start.vessel_pa), list(start.cylinder_pa)
    for cause in causes:
        if ACTS[cause.kind].empties:
            vessel_pa[tested.air.gear.vessel(cause.place, RESERVOIR)] = tested.tested.outside_pa
            cylinder_pa[list(tested.air.gear.distributors).index(cause.place)] = 0.0
    return tuple(vessel_pa), tuple(cylinder_pa)


def _changed(tested: AirUnderTest, causes: Sequence[Cause]) -> dict[str, str]:
    """Devices that stand otherwise."""
    found = {}
    for cause in causes:
        act = ACTS[cause.kind]
        if act.stands:
            found[tested.brake_keys[cause.place] if act.of_brake else cause.place] = act.stands
    return found


def _leaking(tested: AirUnderTest, causes: Sequence[Cause], drawn: Drawn) -> PipeNetwork:
    """The network with the drawn leaks and those that are causes, at the drawn temperature."""
    network, unit_m2 = tested.air.network, tested.unit_leak_m2
    areas_m2 = leaking(tested, causes, [unit_m2 * drawn.leak_bar_per_min * share for share in drawn.leak_shares])
    leaks = [replace(leak, leak_area_m2=area) for leak, area in zip(network.brakes, areas_m2, strict=False)]
    return replace(network, brakes=(*leaks, *network.brakes[len(areas_m2) :]), ambient_k=drawn.temperature_k)


def _openings(tested: AirUnderTest, changed: Mapping[str, str], causes: Sequence[Cause], drawn: Drawn) -> TrainOpenings:
    """How all stands, with what is neither open nor shut."""
    plain, leading = tested.stands(changed), tested.leading[0]
    valves = list(plain.valves)
    valves[leading] = _off_set(valves[leading], drawn.set_error_bar)
    return put_into(tested, replace(plain, valves=tuple(valves)), causes)


@lru_cache(maxsize=4096)
def _off_set(valve: ValveSetting, error_bar: float) -> ValveSetting:
    """A valve that feeds up to a pressure a little off."""
    if valve.feed_area_m2 <= 0.0 or valve.feed_to_pa == inf:
        return valve
    return replace(valve, feed_to_pa=valve.feed_to_pa + error_bar * BAR_PA)


def _moving(
    tested: AirUnderTest, spans: Sequence[StageSpan], changed: Mapping[str, str], opening: Sequence[Cause], drawn: Drawn
) -> tuple[TrainOpenings, tuple[Change, ...]]:
    """How all stands at first; valves and outer cocks moved at the beginning of their stages."""
    line = timeline_of(spans, tested.moves, changed, lambda now: _openings(tested, now, opening, drawn))
    return _openings(tested, changed, opening, drawn), line
