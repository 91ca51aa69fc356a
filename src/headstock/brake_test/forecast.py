"""What the gauges at both ends will show during a brake test, healthy or with something standing otherwise.

Each case is one run of the air engine: the train as it stands when the test begins, the two valves moved as the method says,
each stage as long as the local rules allow. Limits decide whether a reading is good; the forecast never does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from operator import is_not
from typing import TYPE_CHECKING

from headstock.base.conversion import BAR_PA
from headstock.brake_test.forecast_reading import SETTLING_S, StageSpan
from headstock.brake_test.leak_area import leaking_more
from headstock.brake_test.live_wires import live_wires, wires_of_joints
from headstock.brake_test.probes import probes_of
from headstock.brake_test.stage_readings import TestRun, reading_places, values_read
from headstock.devices.scene import ELECTRIC
from headstock.formation.air_charge import PipePressures, air_charge_of, main_bar_of
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_air import TrainAir, TrainOpenings, brake_pipe_air_of, train_openings_of
from headstock.local_rules.limit_figures import is_within
from headstock.local_rules.rules import LocalRules
from headstock.local_rules.test_method import BrakeTestMethod, End, Limit, Stage
from headstock.physics.air_run import AirEngine, AirRun
from headstock.physics.distributor import DistributorSetting
from headstock.physics.pipe_network import ATMOSPHERE_PA, Change, GateSetting, ValveSetting

if TYPE_CHECKING:
    from headstock.brake_test.forecast_band import ForecastBand

SAMPLE_S = 0.25
HEALTHY = "healthy"
"""Name of the case without a fault."""


@dataclass(frozen=True)
class TrainUnderTest:
    """A train ready for its test: named values of its state, the cabs at both ends of the test, pipes as they were.

    ``pipe_bar``: gauge pressure in each unit's brake pipe before the portions' pipes were joined; ``outside_pa``: the atmosphere.
    """

    train: Train
    values: Mapping[str, str]
    front: UnitEnd
    rear: UnitEnd
    pipe_bar: Mapping[str, float]
    rules: LocalRules
    method: BrakeTestMethod
    without_air: frozenset[str] = frozenset()
    """Units without air: main reservoirs empty, reservoirs and cylinders let out by hand."""
    outside_pa: float = ATMOSPHERE_PA

    @cached_property
    def set_bar(self) -> float:
        """What the leading valve feeds to [bar]."""
        return self.train.cab_valve(self.front)[1].set_pressure_bar


@dataclass(frozen=True, slots=True)
class FaultCase:
    """Something that stands otherwise from the beginning: values by key, and how people call it.

    ``leaks``: of vehicles, further leaks of the brake pipe, as the whole pipe would fall by each alone [bar per minute].
    """

    name: str
    values: Mapping[str, str]
    leaks: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ForecastReading:
    """What a gauge will show at the end of a stage [bar, gauge; a rise: bar], and whether that is within the limit.

    Of brakes counted a share, of a flow l/min, of a fall of the speed km/h, and so is its limit.
    """

    stage: str
    name: str
    at: End
    limit: Limit
    limit_bar: float
    shows_bar: float
    within: bool


@dataclass(frozen=True, slots=True)
class ForecastCase:
    """One case: pressures [bar, gauge] at both cabs over time, the readings, and how well the mass was kept."""

    name: str
    t_s: tuple[float, ...]
    front_bar: tuple[float, ...]
    rear_bar: tuple[float, ...]
    readings: tuple[ForecastReading, ...]
    mass_balance: float

    @property
    def is_within_limits(self) -> bool:
        """Whether every reading is within its limit."""
        return all(reading.within for reading in self.readings)


@dataclass(frozen=True, slots=True)
class Forecast:
    """The healthy train first, then each fault; ``band``: how far healthy trains differ, where that was asked for."""

    stages: tuple[StageSpan, ...]
    cases: tuple[ForecastCase, ...]
    band: ForecastBand | None = None


def predict_readings(tested: TrainUnderTest, faults: Sequence[FaultCase], engine: AirEngine) -> Forecast:
    """The forecast of a test. Raises OutsideModelError for a train whose brake pipe the air engine does not know."""
    spans = stage_spans(tested)
    air = brake_pipe_air_of(tested.train, tested.outside_pa)
    cases = (FaultCase(HEALTHY, {}), *faults)
    runs = [_run(tested, air, spans, case) for case in cases]
    shown = [TestRun(spans, trace, run) for trace, run in zip(engine(runs), runs, strict=True)]
    return Forecast(spans, tuple(_judged(tested, air, case.name, run) for case, run in zip(cases, shown, strict=True)))


def shut_cock_faults(tested: TrainUnderTest) -> tuple[FaultCase, ...]:
    """Each brake pipe end cock that should be open, found shut."""
    found = []
    for at, spec in tested.train.devices():
        is_through = spec.kind == "end cock" and spec.pipe == "brake pipe" and tested.values[at.key()] == "open"
        if is_through:
            found.append(FaultCase(f"{spec.pipe} cock of {at.where} shut", {at.key(): "shut"}))
    return tuple(found)


def parted_wire_faults(tested: TrainUnderTest) -> tuple[FaultCase, ...]:
    """Each jumper or pair of electrical heads that should carry the wires, found parted."""
    stands = {"latched": "hanging", "mated": "covered"}
    places = {at.key(): f"{spec.kind} of {at.where}" for at, spec in tested.train.devices()}
    return tuple(
        FaultCase(f"{places[key]} not {value}", {key: stands[value]})
        for key, value in wires_of_joints(tested.train, tested.values).items()
    )


def stage_spans(tested: TrainUnderTest) -> tuple[StageSpan, ...]:
    """Stages one after another, each as long as the local rules allow."""
    spans, now_s = [], 0.0
    for stage in tested.method.stages:
        then_s = now_s + tested.rules.stage_s(stage)
        spans.append(StageSpan(stage.key, stage.says, stage.at, now_s, then_s))
        now_s = then_s
    return tuple(spans)


def _valve_key(tested: TrainUnderTest, at: End) -> str:
    """Variable key of the cab valve at one end of the test."""
    return tested.train.cab_valve(tested.front if at == "front" else tested.rear)[0].key()


def _run(tested: TrainUnderTest, air: TrainAir, spans: Sequence[StageSpan], case: FaultCase) -> AirRun:
    values = {**tested.values, **case.values}

    def stands(now: Mapping[str, str]) -> TrainOpenings:
        return train_openings_of(air, tested.train, now, live_wires(tested.train, tested.front, now))

    openings, moves = stands(values), [moved_by(tested, stage) for stage in tested.method.stages]
    start = air_charge_of(air, tested.train, openings, PipePressures(tested.pipe_bar, main_bars_of(tested), tested.without_air))
    return AirRun(
        leaking_more(air, case.leaks, tested.set_bar), openings.gates, openings.valves, openings.vessels,
        openings.distributors, start.pipe_pa, start.vessel_pa, start.cylinder_pa, timeline_of(spans, moves, values, stands),
        SETTLING_S + spans[-1].ends_s, probes_of(tested, air), SAMPLE_S,
    )  # fmt: skip


def main_bars_of(tested: TrainUnderTest) -> dict[str, float]:
    """What each unit's main reservoir stands at [bar gauge]."""
    return {unit.name: 0.0 if unit.name in tested.without_air else main_bar_of(unit) for unit in tested.train.units}


def timeline_of(
    spans: Sequence[StageSpan], moves: Sequence[Mapping[str, str]], values: Mapping[str, str],
    stands: Callable[[Mapping[str, str]], TrainOpenings],
) -> tuple[Change, ...]:  # fmt: skip
    """Valves, outer cocks, commands by wires at the beginning of their stages; ``stands``: how all stands with these values."""
    now, changes = dict(values), list[Change]()
    before = stands(now)
    for span, moved in zip(spans, moves, strict=True):
        if not moved:
            continue
        now.update(moved)
        after = stands(now)
        at_s = SETTLING_S + span.begins_s
        changes += _changes(at_s, before.gates, after.gates) + _changes(at_s, before.valves, after.valves)
        changes += _changes(at_s, before.distributors, after.distributors)
        before = after
    return tuple(changes)


def _changes(
    at_s: float, before: Sequence[GateSetting | ValveSetting | DistributorSetting],
    after: Sequence[GateSetting | ValveSetting | DistributorSetting],
) -> list[Change]:  # fmt: skip
    """What stands otherwise than before, by its number."""
    others = [number for number, is_other in enumerate(map(is_not, after, before)) if is_other]  # most are the very same
    return [Change(at_s, number, after[number]) for number in others if after[number] != before[number]]


def moved_by(tested: TrainUnderTest, stage: Stage) -> dict[str, str]:
    """What a stage moves, as named values of the train's state; the hose of a cock that is opened is off its dummy."""
    if stage.electric is not None:
        return {ELECTRIC: stage.electric}
    if stage.valve is not None:
        return {_valve_key(tested, stage.valve.at): stage.valve.after}
    if stage.cock is None:
        return {}
    end = tested.front if stage.cock.at == "front" else tested.rear
    pipe = [(at, spec) for at, spec in tested.train.end_devices(end) if getattr(spec, "pipe", "") == "brake pipe"]
    moved = {at.key(): stage.cock.after for at, spec in pipe if spec.kind == "end cock"}
    return moved | {at.key(): "hanging" for at, spec in pipe if spec.kind == "hose"}


def _judged(tested: TrainUnderTest, air: TrainAir, name: str, run: TestRun) -> ForecastCase:
    trace = run.trace
    gauge_bar = (trace.readings_pa - tested.outside_pa) / BAR_PA
    shown = trace.t_s >= SETTLING_S
    readings = [
        ForecastReading(place.stage, place.name, place.at, place.limit, place.limit_bar, value,
                        is_within(value, place.limit_bar, place.limit))
        for place, value in zip(reading_places(tested), values_read(tested, air, run), strict=True)
    ]  # fmt: skip
    return ForecastCase(
        name, tuple((trace.t_s[shown] - SETTLING_S).tolist()), tuple(gauge_bar[shown, 0].tolist()),
        tuple(gauge_bar[shown, 1].tolist()), tuple(readings), trace.mass_balance,
    )  # fmt: skip
