"""What is read off a run of the air at the end of a stage: a gauge, how far it has changed, or brakes counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from headstock.base.conversion import BAR_PA
from headstock.devices.distributor import LET_OFF_BAR
from headstock.local_rules.limit_figures import is_rise
from headstock.local_rules.method_stage import CHANGES, End, Reads
from headstock.local_rules.test_limits import Limit
from headstock.local_rules.test_method import BrakeTestMethod
from headstock.physics.air_run import AirTrace
from headstock.physics.pipe_network import ATMOSPHERE_PA

SETTLING_S = 30.0
"""Before the first stage: the portions' pipes, just joined, come to one pressure."""
BRAKES_READ: tuple[Reads, ...] = ("brakes applied", "brakes released")
FORECAST: tuple[Reads, ...] = ("brake pipe", "brake cylinder", *BRAKES_READ, "flow", "speed")
"""What the air engine can say of a method's readings; of the speed with the train's masses and friction."""
BY_ITSELF: tuple[Reads, ...] = ("brake pipe", "brake cylinder", "flow", "speed")
"""What a method must read something of to be forecast: counts alone are none."""
OF_CYLINDERS: tuple[Reads, ...] = ("brake cylinder", *BRAKES_READ, "speed")
"""What it takes the brake cylinders for."""
NOT_AIR: Mapping[Reads, str] = {
    "lamp": "a lamp shows no air",
    "bell": "a bell is heard",
}
"""Why nothing is said of other readings."""
GAUGES = 2
"""Probes before those of the brake cylinders."""


@dataclass(frozen=True, slots=True)
class StageSpan:
    """When a stage begins and ends [s from the beginning of the first]."""

    key: str
    says: str
    at: End
    begins_s: float
    ends_s: float


def is_forecast(method: BrakeTestMethod) -> bool:
    """Whether the air has something to say about a method's readings."""
    return not_forecast_because(method) is None


def not_forecast_because(method: BrakeTestMethod) -> str | None:
    """Why no forecast can be made of a method; None where one can."""
    read = dict.fromkeys(stage.reading.reads for stage in method.stages if stage.reading is not None)
    if any(reads in BY_ITSELF for reads in read):
        return None
    said = [f"it reads {reads}: {NOT_AIR[reads]}" for reads in read if reads in NOT_AIR]
    return "; ".join(said) or "it reads neither gauge, flow nor speed"


def not_forecast(method: BrakeTestMethod) -> tuple[str, ...]:
    """Readings of a method that is forecast of which nothing is said, and why."""
    return tuple(
        f"{stage.reading.name}: {NOT_AIR[stage.reading.reads]}" for stage in method.stages
        if stage.reading is not None and stage.reading.reads in NOT_AIR
    )  # fmt: skip


def shown_bar(
    trace: AirTrace, spans: Sequence[StageSpan], method: BrakeTestMethod, span: StageSpan, limit: Limit, set_bar: float,
    outside_pa: float = ATMOSPHERE_PA,
) -> float:  # fmt: skip
    """What a pipe gauge shows at the end of a stage [bar]; of a change, from where it counts: a leak [bar per minute]."""
    at_end_bar = _gauge_bar(trace, span.at, span.ends_s, outside_pa)
    if limit == "below_set_at_most_bar":
        return set_bar - at_end_bar
    if limit not in CHANGES:
        return at_end_bar
    begins_s = _step_begins_s(spans, method, span) if limit == "step_at_least_bar" else span.begins_s
    rise_bar = at_end_bar - _gauge_bar(trace, span.at, begins_s, outside_pa)
    if limit == "leak_at_most_bar_per_min":
        return -rise_bar * 60.0 / (span.ends_s - begins_s)
    return rise_bar if is_rise(limit) else -rise_bar


def _gauge_bar(trace: AirTrace, at: End, when_s: float, outside_pa: float) -> float:
    """The last sample not after the moment: what is done next must not be in it."""
    return (trace.before(SETTLING_S + when_s, 0 if at == "front" else 1) - outside_pa) / BAR_PA


def _step_begins_s(spans: Sequence[StageSpan], method: BrakeTestMethod, span: StageSpan) -> float:
    """When the pipe began to be drawn, last before the end of a stage [s]."""
    begins_s, was_charged = span.begins_s, True
    for here, stage in zip(spans, method.stages, strict=True):
        if stage.leaves_pipe == "drawn" and was_charged:
            begins_s = here.begins_s
        was_charged = stage.leaves_pipe == "charged"
        if here.key == span.key:
            break
    return begins_s


def cylinder_bar(
    trace: AirTrace, brake: int, span: StageSpan, limit: Limit, outside_pa: float = ATMOSPHERE_PA
) -> float:  # fmt: skip
    """What the gauge of a brake cylinder shows at the end of a stage [bar]; of a fall, from the stage's beginning."""
    began_bar, ended_bar = (
        (trace.before(SETTLING_S + at_s, GAUGES + brake) - outside_pa) / BAR_PA for at_s in (span.begins_s, span.ends_s)
    )
    return began_bar - ended_bar if limit in CHANGES else ended_bar


def share_of_brakes(
    trace: AirTrace, brakes: Sequence[int], span: StageSpan, reads: Reads, outside_pa: float = ATMOSPHERE_PA
) -> float:
    """Share of some brakes [-] whose cylinders are above, or down to, what counts as let off at the end of a stage."""
    at_s = SETTLING_S + span.ends_s
    cylinders_bar = [(trace.before(at_s, GAUGES + number) - outside_pa) / BAR_PA for number in brakes]
    applied = sum(value > LET_OFF_BAR for value in cylinders_bar)
    counted = applied if reads == "brakes applied" else len(brakes) - applied
    return counted / len(brakes) if brakes else 0.0
