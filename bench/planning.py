"""Each job of the catalogue, the part-made couples, the rescues and the long trains, planned and explained in a fresh process:
best, bound at the start, difference, states opened, seconds of processor.

``PYTHONPATH=src:. python -m bench.planning``; with a number, that job alone, in this process.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.equipment.library import load_fleet
from headstock.procedures.explain import explain_order
from headstock.procedures.work import domain_of
from headstock.reasoning.encoding import Encoder
from headstock.reasoning.planner import Search, any_way, plan
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from tests.cases.catalogue import JOBS
from tests.cases.long_trains import LONG
from tests.cases.part_made import PLANNED, Found
from tests.cases.rescues import RESCUES, Rescued, job_text

EVERY = (*JOBS, *PLANNED, *RESCUES, *LONG)


def written(number: int, folder: Path) -> tuple[str, Path, bool]:
    """Name of a job, its file, written into the folder where it is not a built-in one, and whether the air is asked."""
    job = EVERY[number]
    if not isinstance(job, Found | Rescued):
        air = " (air)" if job.by_air and "(air)" not in job.name else ""
        return job.name + air, job.path(folder), job.by_air
    path = folder / "job.yaml"
    path.write_text(job.text if isinstance(job, Found) else job_text(job), encoding="utf-8")
    return (job.name, path, True) if isinstance(job, Found) else (f"rescue {job.name}", path, job.by_air)


def one(number: int) -> str:
    """A line of the table for one job."""
    with tempfile.TemporaryDirectory() as folder:
        name, path, by_air = written(number, Path(folder))
        made = assemble(load_job(path), load_fleet(), KeptRuns() if by_air else None)
    assert made.task is not None, made.outside + made.refusals
    before = time.process_time()
    domain = domain_of(made.task)
    found = plan(domain)
    explain_order(found.steps, domain)
    seconds = time.process_time() - before
    loose = any_way(Search(Encoder(domain).task(), domain), domain, 250)
    other = "none" if loose is None else f"{loose[1]:.1f}"
    proved = "proved" if found.proved_best else "NOT proved"
    return (f"{name:44} {found.cost_s:9.2f} {found.bound_s:9.2f} {found.cost_s - found.bound_s:7.2f} {found.expanded:6d} "
            f"{seconds:6.2f} {len(found.steps):4d} {proved:10} {other:>9}")  # fmt: skip


def main() -> None:
    """All jobs, one process each."""
    if len(sys.argv) > 1:
        print(one(int(sys.argv[1])))
        return
    print(f"{'job':44} {'best s':>9} {'bound s':>9} {'differ':>7} {'opened':>6} {'s cpu':>6} {'':4} {'':10} {'loose s':>9}")
    for number in range(len(EVERY)):
        command = [sys.executable, "-m", "bench.planning", str(number)]
        print(subprocess.run(command, capture_output=True, text=True, check=True).stdout, end="", flush=True)


if __name__ == "__main__":
    main()
