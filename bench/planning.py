"""Each job of the catalogue, planned and explained in a fresh process: best, bound at the start, difference, states opened,
seconds of processor.

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
from headstock.procedures.attach import attach_domain
from headstock.procedures.detach import detach_domain
from headstock.procedures.explain import explain_order
from headstock.reasoning.encoding import Encoder
from headstock.reasoning.planner import Search, any_way, plan
from headstock.usecases.assemble import assemble
from headstock.usecases.job_file import load_job
from tests.cases.catalogue import JOBS


def one(number: int) -> str:
    """A line of the table for one job."""
    job = JOBS[number]
    with tempfile.TemporaryDirectory() as folder:
        made = assemble(load_job(job.path(Path(folder))), load_fleet(), KeptRuns() if job.by_air else None)
    assert made.task is not None, made.outside + made.refusals
    before = time.process_time()
    domain = detach_domain(made.task) if made.task.parts else attach_domain(made.task)
    found = plan(domain)
    explain_order(found.steps, domain)
    seconds = time.process_time() - before
    loose = any_way(Search(Encoder(domain).task(), domain), domain, 250)
    other = "none" if loose is None else f"{loose[1]:.1f}"
    name = f"{job.name}{' (air)' if job.by_air else ''}"
    proved = "proved" if found.proved_best else "NOT proved"
    return (f"{name:28} {found.cost_s:9.2f} {found.bound_s:9.2f} {found.cost_s - found.bound_s:7.2f} {found.expanded:6d} "
            f"{seconds:6.2f} {len(found.steps):4d} {proved:10} {other:>9}")  # fmt: skip


def main() -> None:
    """All jobs, one process each."""
    if len(sys.argv) > 1:
        print(one(int(sys.argv[1])))
        return
    print(f"{'job':28} {'best s':>9} {'bound s':>9} {'differ':>7} {'opened':>6} {'s cpu':>6} {'':4} {'':10} {'loose s':>9}")
    for number in range(len(JOBS)):
        command = [sys.executable, "-m", "bench.planning", str(number)]
        print(subprocess.run(command, capture_output=True, text=True, check=True).stdout, end="", flush=True)


if __name__ == "__main__":
    main()
