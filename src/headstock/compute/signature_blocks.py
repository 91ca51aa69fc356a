"""Blocks of signatures worked out by several processes, each block kept as it is done: a killed run goes on where it was.

Processes are started afresh (spawn); a block is cut by scenario numbers, never by worker, so that the figures are the same
whoever works out what. Blocks come in order, and no more of them are held than are being worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.signature_set import SignatureTask
from headstock.compute.abreast import Processes, in_order, workers_of
from headstock.compute.one_compiles import one_at_a_time
from headstock.physics._source_key import cache_folder, source_key
from headstock.physics.air_run import AirRun, AirTrace

Floats = NDArray[np.float64]
Progress = Callable[[int, int], None]
FEWEST = 2
"""So many blocks are worth starting processes for."""


class BlockStore(Protocol):
    """Keeps blocks by name; what it cannot keep is worked out again."""

    def kept(self, name: str) -> Floats | None:
        """A block, or None."""
        ...

    def has(self, name: str) -> bool:
        """Whether it is there, as far as can be seen without reading it."""
        ...

    def keep(self, name: str, block: Floats) -> None:
        """Keep a block, whole or not at all."""
        ...


@cache
def code_key(folders: tuple[str, ...] = ("physics", "formation", "brake_test", "devices")) -> str:
    """Digest of the code in some folders of this package; without any named, of that which signatures hang on."""
    package = Path(__file__).parents[1]
    return "-".join(source_key(package / folder)[:8] for folder in folders)


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
        return tuple(self.in_order(task))

    def in_order(self, task: SignatureTask) -> Iterator[Floats]:
        """Block by block; what was done stays kept when nobody asks any further, or when the work is broken off."""
        names = [block_name(self.code, task, block) for block in range(task.blocks)]
        missing = [block for block, name in enumerate(names) if not self.store.has(name)]
        done, waited_for = task.blocks - len(missing), set(missing)
        if missing:
            self._tell(done, task.blocks)
        made = self._answered(task, missing, names)
        try:
            for block, name in enumerate(names):
                if block in waited_for:
                    readings = next(made)
                    self.store.keep(name, readings)
                    done += 1
                    self._tell(done, task.blocks)
                else:
                    kept = self.store.kept(name)
                    readings = _block(task, block) if kept is None else kept
                yield readings
        finally:
            made.close()

    def _answered(self, task: SignatureTask, missing: Sequence[int], names: Sequence[str]) -> Generator[Floats]:
        """The missing blocks in order; broken off, those under way are kept too."""
        workers = min(workers_of(self.workers), len(missing))
        if workers < 2 or len(missing) < FEWEST:
            yield from (_block(task, block) for block in missing)
            return
        yield from in_order(
            Processes(partial(_block, task), workers), missing, lambda block, done: self.store.keep(names[block], done)
        )

    def _tell(self, done: int, of: int) -> None:
        if self.on_progress is not None:
            self.on_progress(done, of)


_compiled: list[bool] = []


def _block(task: SignatureTask, block: int) -> Floats:
    from headstock.physics.fast_many import answer_many  # compiled code: only when something is not kept

    def answered(runs: Sequence[AirRun]) -> Sequence[AirTrace]:
        if not _compiled:  # by two of the runs, with the lock; the same two are answered with the others again
            with one_at_a_time(cache_folder() / "kernels" / "compiling.lock"):
                answer_many(runs[:2])
            _compiled.append(True)
        return answer_many(runs)

    return task.answer(block, answered)
