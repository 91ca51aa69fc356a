"""The brake test of the demo train by the air engine, with a leak, a narrow joint, cut-out brakes, or a hose that breaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from headstock.brake_test.forecast import SETTLING_S, FaultCase, TrainUnderTest, predict_readings, stage_spans
from headstock.compute.kept_runs import KeptRuns
from headstock.formation.train_air import train_air_of
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.pipe_network import ATMOSPHERE_PA, Change, GateSetting
from headstock.usecases.forecast_job import train_under_test
from tests.cases.jobs import DEMO, planned

AT_THE_JOINT = 2
"""Of the places where the pipe can leak, the one next to the joint: behind the third vehicle."""
BROKEN_M2 = 500e-6
"""The open end of a pipe of an inch."""


def demo_train() -> TrainUnderTest:
    """The demo train as its plan hands it to the test."""
    found = train_under_test(planned(DEMO, by_air=True))
    assert found is not None
    return found


def forecast(values: dict[str, str], gate: float | None = None, leak_m2: float = 0.0) -> dict[str, bool]:
    """Which readings are within their limits; ``gate``: how far open cocks let air through [0 to 1]."""

    def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        return KeptRuns()([_altered(run, gate, leak_m2) for run in runs])

    cases = predict_readings(demo_train(), [FaultCase("fault", values)], engine).cases
    return {reading.name: reading.within for reading in cases[1].readings}


def _altered(run: AirRun, gate: float | None, leak_m2: float) -> AirRun:
    gates = run.gates
    if gate is not None:
        gates = tuple(GateSetting(gate) if one.open == 1.0 else one for one in gates)
    brakes = tuple(replace(brake, leak_area_m2=leak_m2 if number == AT_THE_JOINT else 0.0)
                   for number, brake in enumerate(run.network.brakes))  # fmt: skip
    return replace(run, gates=gates, network=replace(run.network, brakes=brakes))


def after_a_crimped_break(seconds: float) -> tuple[float, float]:
    """Gauge pressures [bar] at front and rear so long after a hose breaks behind a charged, lapped pipe, its rear part shut."""
    train = demo_train()
    lapped = next(span for span in stage_spans(train) if span.key == "lapped")
    breaks_s, traces = SETTLING_S + lapped.begins_s + 0.5, []

    def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        traces.extend(KeptRuns()([_broken(run, breaks_s) for run in runs]))
        return tuple(traces)

    predict_readings(train, [], engine)
    front, rear = ((traces[0].at(breaks_s + seconds, probe) - ATMOSPHERE_PA) / 1e5 for probe in (0, 1))
    return front, rear


def _broken(run: AirRun, at_s: float) -> AirRun:
    """The standing portion's joint cock shuts, open to the air on its front side; valves stay as they are from then on."""
    joint = train_air_of(demo_train().train).gates.index("226/1.brake_pipe_cock")
    kept = tuple(change for change in run.timeline if change.t_s < at_s)
    return replace(run, timeline=(*kept, Change(at_s, joint, GateSetting(0.0, front_vent_m2=BROKEN_M2))))
