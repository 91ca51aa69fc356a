"""A fleet study on one process, on two, and on a Dask cluster of four workers of this machine: time, processor time, memory.

Alone: ``PYTHONPATH=src:. python -m bench.study_scaling [DRAWS [--no-cluster]]``. 96 draws are 10,560 drawn tests of eight
vehicles, 9,091 about a million. Nothing else should run meanwhile; how busy the machine was is said. Compiled code is made
ready before the clock starts. Under load the clock says nothing of scaling; processor time still says what the parts cost.
"""

from __future__ import annotations

import os
import resource
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from headstock.compute.kept_runs import KeptRuns
from headstock.compute.signature_blocks import code_key
from headstock.compute.study_run import PartWork, run_study
from headstock.equipment.library import load_fleet
from headstock.exchange.study_parts import StudyFolder, part_content
from headstock.usecases.fleet_study import FleetStudy, fleet_study
from headstock.usecases.study_file import load_study

STUDY = """headstock: study 1
name: Scaling
edition: "1"
invented: true
jobs: [demo-attach]
methods: [rear-application]
draws: {draws}
most_scenarios: 100000000
"""


def scaling_study(draws: int) -> FleetStudy:
    """One train by one method, every fault."""
    with TemporaryDirectory() as name:
        path = Path(name) / "study.yaml"
        path.write_text(STUDY.format(draws=draws), encoding="utf-8")
        return fleet_study(load_study(path), load_fleet(), KeptRuns())


def spent_s(who: int) -> float:
    """Processor time so far [s]."""
    return sum(resource.getrusage(who)[:2])


def say_run(study: FleetStudy, what: str, workers: int | None = None, cluster: str | None = None) -> None:
    """Work it out into an empty folder and say what it took."""
    load, own_s, child_s = os.getloadavg()[0], spent_s(resource.RUSAGE_SELF), spent_s(resource.RUSAGE_CHILDREN)
    with TemporaryDirectory() as name:
        folder, began = StudyFolder(Path(name), study, code_key()), perf_counter()
        folder.open()
        run_study(study, part_content, folder, lambda *_: None, workers=workers, cluster=cluster)
        took_s = perf_counter() - began
        size_mb = sum(path.stat().st_size for path in Path(name).rglob("*.parquet")) / 1e6
    own_s, child_s = spent_s(resource.RUSAGE_SELF) - own_s, spent_s(resource.RUSAGE_CHILDREN) - child_s
    own_mb, child_mb = (resource.getrusage(who).ru_maxrss / 1024 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    print(
        f"{what}: {study.count} drawn tests, written: {took_s:.1f} s, {study.count / took_s:.0f} a second; processor:"
        f" {own_s:.1f} s here, {child_s:.1f} s in processes that have ended; at most {own_mb:.0f} and {child_mb:.0f} MB a"
        f" process; {size_mb:.1f} MB of files; load before {load:.1f}, after {os.getloadavg()[0]:.1f}",
        flush=True,
    )


def say_one_by_one(study: FleetStudy, parts: int = 4) -> None:
    """Parts worked out in this very process: what a drawn test costs, nothing spread."""
    work = PartWork(study, part_content, "bench", code_key())
    work(0)
    began, own_s = perf_counter(), spent_s(resource.RUSAGE_SELF)
    numbers = [study.parts * number // parts for number in range(parts)]
    tests = sum(len(study.setting_of(part).asked.singles.numbers(part)) for part in numbers)
    for part in numbers:
        work(part)
    own_s = spent_s(resource.RUSAGE_SELF) - own_s
    print(f"in this process: {tests} drawn tests, {own_s / tests * 1e3:.2f} ms of a processor each,"
          f" {(perf_counter() - began) / tests * 1e3:.2f} ms by the clock", flush=True)  # fmt: skip


def say_scaling(draws: int = 96, with_cluster: bool = True) -> None:
    """All of it."""
    study = scaling_study(draws)
    say_one_by_one(study)
    for workers in (1, 2):
        say_run(study, f"{workers} processes", workers=workers)
    if with_cluster:
        from distributed import LocalCluster  # noqa: PLC0415 an extra that not everybody has

        with LocalCluster(n_workers=4, threads_per_worker=1, dashboard_address=None, host="127.0.0.1") as cluster:
            say_run(study, "Dask, 4 workers, first time", cluster=cluster.scheduler_address)
            say_run(study, "Dask, 4 workers, again", cluster=cluster.scheduler_address)


if __name__ == "__main__":
    say_scaling(int(sys.argv[1]) if len(sys.argv) > 1 else 96, "--no-cluster" not in sys.argv)
