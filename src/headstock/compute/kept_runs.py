"""Air runs answered from what is kept, the others side by side on threads, and then kept.

An answer is kept under the digest of its question and of the sources of physics: a change of either asks anew. A file that
cannot be read counts as not there.
"""

from __future__ import annotations

import hashlib
import os
import tempfile
import zipfile
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path

import numpy as np

from headstock.physics._source_key import cache_folder, source_key
from headstock.physics.air_run import AirRun, AirTrace, Progress

MOST_KEPT = 400


class KeptRuns:
    """An air engine with a memory on disk. ``workers`` runs at a time; the kernels let go of the interpreter's lock."""

    def __init__(self, folder: Path | None = None, on_progress: Progress | None = None, workers: int | None = None) -> None:
        self.folder = (folder or cache_folder()) / "runs"
        self.on_progress = on_progress
        self.workers = workers or os.cpu_count() or 1
        self.sources = source_key()

    def __call__(self, runs: Sequence[AirRun]) -> tuple[AirTrace, ...]:
        """One trace a run, in the order asked; equal runs are answered once."""
        names = [self._name(run) for run in runs]
        wanted = dict(zip(names, runs, strict=True))
        found = {name: trace for name in wanted if (trace := self._kept(name)) is not None}
        missing = {name: run for name, run in wanted.items() if name not in found}
        if missing:
            found |= self._answered(missing)
        return tuple(found[name] for name in names)

    def _answered(self, missing: dict[str, AirRun]) -> dict[str, AirTrace]:
        from headstock.physics.fast_run import answer_fast  # compiled code: only when something is not kept

        found = {}
        self._tell(0, len(missing))
        with ThreadPoolExecutor(min(self.workers, len(missing))) as pool:
            running = {pool.submit(answer_fast, run): name for name, run in missing.items()}
            for done, future in enumerate(as_completed(running), start=1):
                found[running[future]] = future.result()
                self._keep(running[future], future.result())
                self._tell(done, len(missing))
        self._forget_oldest()
        return found

    def _tell(self, done: int, of: int) -> None:
        if self.on_progress is not None:
            self.on_progress(done, of)

    def _name(self, run: AirRun) -> str:
        return hashlib.sha256(f"{self.sources}\0{run.content()}".encode()).hexdigest()[:32]

    def _kept(self, name: str) -> AirTrace | None:
        path = self.folder / f"{name}.npz"
        try:
            with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
                trace = AirTrace(kept["t_s"], kept["readings_pa"], float(kept["mass_balance"]))
            path.touch()
        except (OSError, ValueError, KeyError, EOFError, zipfile.BadZipFile):
            return None
        return trace

    def _keep(self, name: str, trace: AirTrace) -> None:
        """Written beside and renamed, so that no reader ever sees half a file; a full or locked disk only means not kept."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            with tempfile.NamedTemporaryFile(dir=self.folder, suffix=".part", delete=False) as part:
                np.savez_compressed(
                    part, t_s=trace.t_s, readings_pa=trace.readings_pa, mass_balance=np.float64(trace.mass_balance)
                )
            Path(part.name).replace(self.folder / f"{name}.npz")
        except OSError:
            return

    def _forget_oldest(self) -> None:
        try:
            kept = sorted(self.folder.glob("*.npz"), key=lambda path: path.stat().st_mtime)
            for path in kept[: max(0, len(kept) - MOST_KEPT)]:
                path.unlink(missing_ok=True)
        except OSError:
            return
