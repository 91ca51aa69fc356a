"""How fast stops are: ten thousand drawn ones of a twelve-vehicle train on one core, and one whole `can`.

``python -m bench.stops``. The aims: 10,000 stops under 5 s, one answer for twelve vehicles under 0.3 s after import.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from headstock.capability.brake_traces import EMERGENCY, cylinder_traces, ready_train
from headstock.capability.braked_train import force_traces
from headstock.formation.train_on_rail import moving_train
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fast_run import answer_fast
from headstock.physics.motion import StopSet, Track, braking_of, stop_columns
from headstock.usecases.can_job import can_job
from headstock.usecases.job_file import load_job
from headstock.usecases.job_reader import JobReader
from headstock.wiring import DEMO_JOB, air_engine, fleet_from

RUNS = 10_000
THIRD = """  - {name: "231", type: tarn}
joints:
  - {ends: [217/2, 226/1], make: true}
  - {ends: [226/2, 231/1]}
"""


def twelve_vehicles(folder: Path) -> Path:
    """The demo job with a third unit behind."""
    text = DEMO_JOB.read_text(encoding="utf-8")
    head, _, tail = text.partition("joints:\n")
    job = folder / "twelve.yaml"
    job.write_text(head + THIRD + tail.partition("\n")[2], encoding="utf-8")
    return job


def reckoned(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
    """The air engine without its memory."""
    return tuple(answer_fast(run) for run in runs)


def main() -> None:
    """Both, in wall time and in time on the core."""
    with TemporaryDirectory() as folder:
        job, fleet, engine = twelve_vehicles(Path(folder)), fleet_from(None), air_engine()
        for kept, whose in (("air kept", engine), ("air reckoned anew", reckoned)):
            can_job(job, fleet, whose)
            began, worked = time.perf_counter(), time.process_time()
            can_job(job, fleet, whose)
            took, core = time.perf_counter() - began, time.process_time() - worked
            print(f"one can, 12 vehicles, {kept}: {took:.3f} s ({core:.3f} s of core)")
        reader = JobReader(load_job(job), fleet)
        train = reader.train()
        ready = ready_train(train, reader.ends()["controls_afterwards"], {})
        began, worked = time.perf_counter(), time.process_time()
        cylinders = cylinder_traces(ready, [EMERGENCY], reckoned)
        print(f"the air of one emergency: {time.perf_counter() - began:.3f} s ({time.process_time() - worked:.3f} s of core)")
    braking = braking_of(moving_train(train), force_traces(train, EMERGENCY, cylinders[EMERGENCY]), Track(((0.0, -0.005),)))
    drawn = np.random.default_rng(1)
    asked = StopSet(drawn.uniform(20.0, 40.0, RUNS), drawn.normal(1.0, 0.08, RUNS), drawn.uniform(0.6, 1.0, RUNS))
    stop_columns(braking, StopSet(np.array([30.0])))
    began, worked = time.perf_counter(), time.process_time()
    distance, _, _ = stop_columns(braking, asked)
    took, core = time.perf_counter() - began, time.process_time() - worked
    print(f"{RUNS} stops, {braking.vehicles} vehicles: {took:.2f} s ({core:.2f} s of core), mean {distance.mean():.0f} m")


if __name__ == "__main__":
    main()
