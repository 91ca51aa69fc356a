"""Blocks of signatures worked out by several processes, each block kept as it is done: a killed run goes on where it was.

Processes are started afresh (spawn); a block is cut by scenario numbers, never by worker, so that the figures are the same
whoever works out what.
"""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.signature_set import SignatureTask
from headstock.compute.with_parent import end_with_parent
from headstock.physics._source_key import source_key

Floats = NDArray[np.float64]
Progress = Callable[[int, int], None]
FEWEST = 2
"""So many blocks are worth starting processes for."""


class BlockStore(Protocol):
    """Keeps blocks by name; what it cannot keep is worked out again."""

    def kept(self, name: str) -> Floats | None:
        """A block, or None."""
        ...

    def keep(self, name: str, block: Floats) -> None:
        """Keep a block, whole or not at all."""
        ...


def code_key() -> str:
    """Digest of the code that signatures hang on."""
    package = Path(__file__).parents[1]
    return "-".join(source_key(package / folder)[:8] for folder in ("physics", "formation", "brake_test", "devices"))


def block_name(code: str, task: SignatureTask, block: int) -> str:
    """Under which name a block is kept."""
    return f"{code}-{task.key}-{block}"


@dataclass
class SignatureBlocks:
    """Answers tasks from the store, and by ``workers`` processes (all cores when not given) what is not kept."""

    store: BlockStore
    on_progress: Progress | None = None
    workers: int | None = None
    code: str = field(default_factory=code_key)

    def __call__(self, task: SignatureTask) -> tuple[Floats, ...]:
        """Every block of a task in order."""
        names = [block_name(self.code, task, block) for block in range(task.blocks)]
        found = {block: kept for block, name in enumerate(names) if (kept := self.store.kept(name)) is not None}
        missing = [block for block in range(task.blocks) if block not in found]
        if missing:
            self._tell(len(found), task.blocks)
            for block, readings in self._answered(task, missing):
                self.store.keep(names[block], readings)
                found[block] = readings
                self._tell(len(found), task.blocks)
        return tuple(found[block] for block in range(task.blocks))

    def _answered(self, task: SignatureTask, missing: list[int]) -> Iterator[tuple[int, Floats]]:
        workers = min(self.workers or os.cpu_count() or 1, len(missing))
        if workers < 2 or len(missing) < FEWEST:
            for block in missing:
                yield block, _block(task, block)
            return
        context = multiprocessing.get_context("spawn")
        with ProcessPoolExecutor(workers, context, _begin, (task,)) as pool:
            running = {pool.submit(_again, block): block for block in missing}
            for future in as_completed(running):
                yield running[future], future.result()

    def _tell(self, done: int, of: int) -> None:
        if self.on_progress is not None:
            self.on_progress(done, of)


_task: list[SignatureTask] = []


def _begin(task: SignatureTask) -> None:
    end_with_parent()
    _task[:] = [task]


def _again(block: int) -> Floats:
    (task,) = _task
    return _block(task, block)


def _block(task: SignatureTask, block: int) -> Floats:
    from headstock.physics.fast_many import answer_many  # compiled code: only when something is not kept

    return task.answer(block, answer_many)
