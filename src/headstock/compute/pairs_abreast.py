"""Pairs of mistakes counted by several processes, each with the order of work made again for itself.

Processes are started afresh (spawn), so that none inherits locks of threads; what they count is added up in one order, so
that the answer does not depend on which was quicker.
"""

from __future__ import annotations

import multiprocessing
import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from headstock.compute.kept_runs import KeptRuns
from headstock.compute.with_parent import end_with_parent
from headstock.equipment.library import load_fleet
from headstock.reasoning.mistake_pairs import PairCount, Pairs
from headstock.usecases.job_mistakes import PairsAsked, pairs_again

PARTS_A_WORKER = 8


@dataclass(frozen=True)
class PairsAbreast:
    """Spreads pairs over ``workers`` processes (all cores when not given)."""

    fleet: Path | None = None
    workers: int | None = None

    def __call__(self, asked: PairsAsked) -> PairCount:
        """All pairs of what was asked."""
        workers = self.workers or os.cpu_count() or 1
        parts = workers * PARTS_A_WORKER
        total = PairCount()
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(workers, context, _begin, (asked, self.fleet)) as pool:
            for part in pool.map(_count, [(number, parts) for number in range(parts)]):
                total.add(part)
        return total


_ready: list[Pairs] = []


def _begin(asked: PairsAsked, fleet: Path | None) -> None:
    """Make ready in a new process; the air has been asked before, and its answers are kept."""
    end_with_parent()
    _ready[:] = [pairs_again(asked, load_fleet(fleet), KeptRuns(workers=1))]


def _count(part: tuple[int, int]) -> PairCount:
    """Every so-manieth first mistake: early ones have more partners than late ones."""
    number, parts = part
    (pairs,) = _ready
    return pairs.count(range(number, len(pairs.mistakes), parts))
