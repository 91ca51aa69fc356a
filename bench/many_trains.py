"""Many test scenarios of one train of twelve vehicles, both pipes and all gear: one by one, eight abreast, on two threads.

Called by ``bench.fast_solver``; alone: ``PYTHONPATH=src:. python -m bench.many_trains``. Seconds are the processor's own, but for
the threads, for which nothing else may run meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

import numpy as np

from headstock.brake_test.forecast_reading import SETTLING_S
from headstock.equipment.library import load_fleet
from headstock.physics.air_run import AirRun, AirTrace
from headstock.physics.fast_many import ABREAST, answer_many
from headstock.physics.fast_run import answer_fast
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.plan_job import plan_job

FOLDER = Path(__file__).parents[1] / "src/headstock"
JOB, PLACE = FOLDER / "usecases/jobs/demo-attach.yaml", FOLDER / "formation/places/harrow-ings-3.yaml"
ASKED_MS = 3 * 60e3 * 2 / 100_000
"""A hundred thousand scenarios in three minutes on two cores, of one core [ms]."""


def longer_job(folder: Path) -> Path:
    """The demonstration's job with one more unit behind, on a longer road, as files in a folder."""
    place, job = folder / "road.yaml", folder / "job.yaml"
    place.write_text(PLACE.read_text("utf-8").replace("usable_length_m: 240", "usable_length_m: 400"), "utf-8")
    text = JOB.read_text("utf-8").replace("place: harrow-ings-3", f"place: {place}")
    text = text.replace('"226", type: tarn}\n', '"226", type: tarn}\n  - {name: "231", type: tarn}\n')
    text = text.replace("make: true}\n", "make: true}\n  - {ends: [226/2, 231/1]}\n")
    job.write_text(text, "utf-8")
    return job


def forecast_runs() -> tuple[AirRun, ...]:
    """All runs of the forecast of that job."""
    with TemporaryDirectory() as folder:
        asked: list[AirRun] = []

        def engine(runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
            asked.extend(runs)
            return answer_many(runs)

        forecast_of(plan_job(longer_job(Path(folder)), load_fleet()), engine)
    return tuple(asked)


def drawn(runs: Sequence[AirRun], count: int, seed: int = 0) -> list[AirRun]:
    """The runs over and over, each time with leaks of its own."""
    dice = np.random.default_rng(seed)
    found = []
    for number in range(count):
        run = runs[number % len(runs)]
        brakes = tuple(replace(one, leak_area_m2=one.leak_area_m2 * float(dice.uniform(0.0, 3.0))) for one in run.network.brakes)
        found.append(replace(run, network=replace(run.network, brakes=brakes)))
    return found


def least_ms(work: Callable[[], object], count: int, clock: Callable[[], float], times: int = 3) -> float:
    """Milliseconds a run, the least of some tries."""
    least = np.inf
    for _ in range(times):
        began = clock()
        work()
        least = min(least, clock() - began)
    return float(least) / count * 1e3


def say_many(count: int = 256) -> None:
    """Figures of scenarios in thousands."""
    runs = drawn(forecast_runs(), count)
    few = runs[:32]
    alone = [answer_fast(run) for run in few]
    alone_ms = least_ms(lambda: [answer_fast(run) for run in few], len(few), process_time)
    abreast_ms = least_ms(lambda: answer_many(runs), count, process_time)
    off = np.array([
        np.abs(one.readings_pa - other.readings_pa) / 100.0 for one, other in zip(alone, answer_many(few), strict=True)
    ])  # fmt: skip
    after = off[:, int(SETTLING_S / runs[0].sample_s) :]
    print(f"{count} scenarios of {len(runs[0].network.gear.distributors)} vehicles, both pipes and all gear,"
          f" {runs[0].until_s:.0f} s each: one by one {alone_ms:.2f} ms a run, eight abreast {abreast_ms:.2f} ms"
          f" ({1e3 / abreast_ms:.0f} runs/s and core; asked {ASKED_MS:.1f} ms), apart {after.mean():.2f} mbar in the mean,"
          f" 99.9 % {np.percentile(after, 99.9):.1f}, at the end at most {off[:, -1].max():.2f}")  # fmt: skip
    blocks = [runs[first : first + ABREAST] for first in range(0, count, ABREAST)]
    one_ms = least_ms(lambda: [answer_many(block) for block in blocks], count, perf_counter)
    with ThreadPoolExecutor(2) as pool:
        two_ms = least_ms(lambda: list(pool.map(answer_many, blocks)), count, perf_counter)
    print(f"the same on two threads: {one_ms / two_ms:.2f} times one thread, {1e3 / two_ms:.0f} runs/s")


if __name__ == "__main__":
    say_many()
