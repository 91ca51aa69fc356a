"""Answers about jobs, worked out once for each job text and kept while the server runs; each by one thread at a time."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.usecases.job_book import BookedJob, job_path
from headstock.usecases.records_port import Records

T = TypeVar("T")
MOST_KEPT = 200
"""Of each kind: many small answers drive none of another kind out."""


class Answers:
    """What pages ask, under keys that begin with a fixed word, their kind. ``folder``: where job texts become files."""

    def __init__(self, fleet: Fleet, engine: AirEngine, records: Records, folder: Path) -> None:
        self.fleet, self.engine, self.records, self.folder = fleet, engine, records, folder
        self._kept: dict[str, OrderedDict[tuple[str, ...], Any]] = {}
        self._busy: dict[tuple[str, ...], threading.Lock] = {}
        self._lock = threading.Lock()
        self._fleets = 0

    def use_fleet(self, fleet: Fleet) -> None:
        """Another fleet from now on; answers of the one before are forgotten, those still being worked out too."""
        with self._lock:
            self.fleet = fleet
            self._fleets += 1
            self._kept.clear()

    def kept(self, key: tuple[str, ...], work: Callable[[], T]) -> T:
        """The answer under a key, worked out on first use; whoever asks meanwhile waits for it."""
        with self._lock:
            of_kind = self._kept.setdefault(key[0], OrderedDict())
            if key in of_kind:
                of_kind.move_to_end(key)
                found: T = of_kind[key]
                return found
            busy = self._busy.setdefault(key, threading.Lock())
        with busy:
            with self._lock:
                if key in self._kept.get(key[0], {}):
                    return self._kept[key[0]][key]  # type: ignore[no-any-return]
                fleet = self._fleets
            try:
                answer = work()
            except BaseException:
                with self._lock:
                    self._no_longer_busy(key, busy)
                raise
            with self._lock:
                self._no_longer_busy(key, busy)
                if fleet == self._fleets:
                    self._keep(key, answer)
            return answer

    def _no_longer_busy(self, key: tuple[str, ...], busy: threading.Lock) -> None:
        """Whoever asks from now on waits for nobody; the lock of another who began since stays."""
        if self._busy.get(key) is busy:
            del self._busy[key]

    def _keep(self, key: tuple[str, ...], answer: object) -> None:
        """Keep an answer; the one of its kind that was asked for longest ago makes room."""
        of_kind = self._kept.setdefault(key[0], OrderedDict())
        of_kind[key] = answer
        if len(of_kind) > MOST_KEPT:
            of_kind.popitem(last=False)

    def is_kept(self, *key: str) -> bool:
        """Whether an answer is there without work."""
        with self._lock:
            return key in self._kept.get(key[0], {})

    def path_of(self, job: BookedJob) -> Path:
        """The job as a file."""
        return job_path(job.text, self.folder)
