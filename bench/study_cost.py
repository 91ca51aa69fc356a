"""What a study costs a scenario, and what a larger one would cost by that: processor time, bytes, workers, hours.

Alone: ``PYTHONPATH=src:. python -m bench.study_cost [DRAWS]``. 96 draws are 10,560 drawn tests of eight vehicles. Processor time
is what others on the machine change least; the clock is said, and how busy the machine was, and nothing is planned by it.
"""

from __future__ import annotations

import os
import resource
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import pyarrow.parquet as pq

from bench.study_scaling import scaling_study, spent_s
from headstock.compute.kept_runs import KeptRuns
from headstock.compute.signature_blocks import code_key
from headstock.compute.study_run import Content, run_study
from headstock.equipment.library import load_fleet
from headstock.exchange.mistake_parts import mistake_part_content
from headstock.exchange.study_parts import StudyFolder, part_content
from headstock.usecases.any_study import Study
from headstock.usecases.fleet_study import blocks_a_part
from headstock.usecases.study_of import study_of

HOUR_S = 3600.0


@dataclass(frozen=True)
class StudyCost:
    """What a study of so many scenarios took: processor and clock [s], its files [bytes] and parts, memory a process [MB]."""

    scenarios: int
    parts: int
    processor_s: float
    clock_s: float
    size_bytes: int
    process_mb: float

    @property
    def each_s(self) -> float:
        """Processor time of a scenario [s]."""
        return self.processor_s / self.scenarios

    @property
    def each_bytes(self) -> float:
        """Size of a scenario in the files."""
        return self.size_bytes / self.scenarios


@dataclass(frozen=True)
class StudyPlan:
    """What a larger study would take by the same cost a scenario: hours of ``workers`` cores of their own, bytes, files."""

    scenarios: int
    workers: int
    hours: float
    size_bytes: float
    files: int


def plan_of(each_s: float, each_bytes: float, scenarios: int, workers: int, a_block: int) -> StudyPlan:
    """By cost and size of one scenario [s, bytes] and the scenarios of a block, parts as ``fleet_study`` cuts them; cores wholly
    free, none waiting for the writer."""
    blocks = -(-scenarios // a_block)
    files = -(-blocks // blocks_a_part(blocks))
    return StudyPlan(scenarios, workers, scenarios * each_s / workers / HOUR_S, scenarios * each_bytes, files)


def cost_of(study: Study, content: Content, workers: int) -> StudyCost:
    """Work a study out into a folder of its own and say what it took, start of the processes counted."""
    before_s = spent_s(resource.RUSAGE_SELF) + spent_s(resource.RUSAGE_CHILDREN)
    with TemporaryDirectory() as name:
        folder, began = StudyFolder(Path(name), study, code_key(study.rests_on)), perf_counter()
        folder.open()
        run_study(study, content, folder, lambda *_: None, workers=workers)
        took_s = perf_counter() - began
        files = list(Path(name).rglob("part-*.parquet"))
        size = sum(path.stat().st_size for path in files)
        scenarios = sum(pq.read_metadata(path).num_rows for path in files)
    spent = spent_s(resource.RUSAGE_SELF) + spent_s(resource.RUSAGE_CHILDREN) - before_s
    return StudyCost(scenarios, len(files), spent, took_s, size, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024)


def said(what: str, cost: StudyCost) -> str:
    """One line."""
    return (f"{what}: {cost.scenarios:,} scenarios in {cost.parts} parts; processor {cost.processor_s:.1f} s, "
            f"{cost.each_s * 1e3:.2f} ms each; clock {cost.clock_s:.0f} s; {cost.each_bytes:.0f} bytes each; at most "
            f"{cost.process_mb:.0f} MB a process; load {os.getloadavg()[0]:.1f}")  # fmt: skip


def main(draws: int = 96) -> None:
    """Drawn tests by one and by two processes, mistakes by one; then what a thousand million drawn tests would take."""
    study = scaling_study(draws)
    costs = [cost_of(study, part_content, workers) for workers in (1, 2)]
    for workers, cost in zip((1, 2), costs, strict=True):
        print(said(f"drawn tests, {workers} workers", cost), flush=True)
    for workers in (1, 2):
        mistakes = study_of("demo-mistakes", load_fleet(), KeptRuns())
        print(said(f"mistakes, {workers} workers", cost_of(mistakes, mistake_part_content, workers)), flush=True)
    for workers in (2, 64, 1000):
        print(plan_of(costs[-1].each_s, costs[-1].each_bytes, 10**9, workers, 512), flush=True)


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
