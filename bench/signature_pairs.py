"""Every two faults at once of a train of twelve vehicles with two pipes, worked out and written: time and memory.

Alone: ``PYTHONPATH=src:. python -m bench.signature_pairs [DRAWS [WORKERS]]``. Two draws of each pair are 27,086 scenarios, eight
are 108,344; 668 of faults alone come first. Nothing else should run meanwhile; how busy the machine was is said. Compiled code is
made ready before the clock starts.
"""

from __future__ import annotations

import os
import resource
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from bench.many_trains import longer_job
from headstock.compute.kept_runs import KeptRuns
from headstock.compute.signature_blocks import SignatureBlocks
from headstock.equipment.library import load_fleet
from headstock.exchange.signature_store import SignatureStore
from headstock.exchange.signature_table import signatures_parquet
from headstock.usecases.all_signatures import JobSignatures, signatures_asked

ASKED, ASKED_S, ASKED_MB = 100_000, 180.0, 1000.0
LEAST_MEMBERS = 4


def pairs_of_twelve(draws: int) -> JobSignatures:
    """All pairs of faults of the demonstration's job with one more unit behind, on a longer road."""
    with TemporaryDirectory() as folder:
        return signatures_asked(longer_job(Path(folder)), load_fleet(), KeptRuns(), members=LEAST_MEMBERS, pairs=draws)


def children_s() -> float:
    """Processor time of all processes that have ended [s]."""
    return sum(resource.getrusage(resource.RUSAGE_CHILDREN)[:2])


def say_pairs(draws: int = 2, workers: int = 2) -> None:
    """Work out all pairs into an empty store, write them, and say what it took."""
    asked = pairs_of_twelve(draws)
    with TemporaryDirectory() as folder:  # compiled, or read from what is kept, in processes as those that work
        SignatureBlocks(SignatureStore(Path(folder)), workers=max(2, workers))(asked.singles)
    load, spent_s = os.getloadavg()[0], children_s()
    with TemporaryDirectory() as folder:
        blocks = SignatureBlocks(SignatureStore(Path(folder)), workers=workers)
        began = perf_counter()
        content = signatures_parquet(asked, blocks.in_order)
        (Path(folder) / "pairs.parquet").write_bytes(content)
        took_s = perf_counter() - began
    own_mb, child_mb = (resource.getrusage(who).ru_maxrss / 1024 for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    spent_s = children_s() - spent_s
    most_mb = own_mb + (workers * child_mb if workers > 1 else 0.0)
    vehicles = len(asked.singles.air.vehicles)
    print(f"{asked.count} scenarios of {vehicles} vehicles, written: {took_s:.0f} s on {workers} processes,"
          f" {asked.count / took_s:.0f} a second, {spent_s / asked.count * 1e3:.2f} ms of a processor each; {ASKED} would take"
          f" {took_s / asked.count * ASKED:.0f} s (asked {ASKED_S:.0f}); at most {most_mb:.0f} MB (asked {ASKED_MB:.0f}),"
          f" {own_mb:.0f} and {child_mb:.0f} a process; file {len(content) / 1e6:.1f} MB; load before {load:.1f},"
          f" after {os.getloadavg()[0]:.1f}")  # fmt: skip


if __name__ == "__main__":
    say_pairs(*(int(word) for word in sys.argv[1:3]))
