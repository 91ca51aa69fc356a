"""A study worked out part by part, by processes of this machine or a Dask cluster; each part is kept as it is done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from threading import Lock
from time import perf_counter
from typing import Any, Protocol

from headstock.base.errors import Fault, InputError
from headstock.compute.abreast import Processes, Workers, in_order, workers_of
from headstock.compute.kept_runs import KeptRuns
from headstock.compute.signature_blocks import code_key
from headstock.physics.air_run import AirEngine
from headstock.usecases.any_study import Means, Study

Content = Callable[[Any, Sequence[Any], str], bytes]
"""From a study, the rows of a part and the key to the part's file."""
Told = Callable[[int, int, float | None], None]
"""Told how many parts are done, of how many, and about how long the rest will take [s]."""


class PartStore(Protocol):
    """Keeps parts by number."""

    @property
    def key(self) -> str:
        """Names study and code."""
        ...

    @property
    def code(self) -> str:
        """Names the code."""
        ...

    def has(self, part: int) -> bool:
        """Whether it is there."""
        ...

    def keep(self, part: int, content: bytes) -> None:
        """Keep it, whole or not at all."""
        ...


@dataclass(frozen=True)
class PartWork:
    """What is told to whoever works: from a part's number to its content."""

    study: Study
    content: Content
    key: str
    code: str

    def __call__(self, part: int) -> bytes:
        """Work out a part, one at a time in a process. Raises InputError where the code is other than who asked has."""
        from headstock.physics.fast_many import answer_many  # compiled code: only where something is worked out

        own = code_key(self.study.rests_on)
        if own != self.code:
            fault = Fault("a worker has other code", found=own, expected=self.code)
            raise InputError(fault, cure="Install the same Headstock for every worker.")
        with ONE_AT_A_TIME:
            return self.content(self.study, self.study.worked_out(part, Means(answer_many, _engine())), self.key)


ONE_AT_A_TIME = Lock()
"""A train keeps what it has worked out; threads of one process take turns."""


@cache
def _engine() -> AirEngine:
    """One of each process, which works out what it asks by itself."""
    return KeptRuns(workers=1)


@dataclass(frozen=True, slots=True)
class StudyDone:
    """How many parts were there before, and how many were worked out."""

    before: int
    worked_out: int


def run_study(
    study: Study, content: Content, store: PartStore, told: Told, *, workers: int | None = None, cluster: str | None = None
) -> StudyDone:
    """Work out every part that is not kept. Raises InputError for what cannot be kept or reached."""
    missing = [part for part in range(study.parts) if not store.has(part)]
    before, began = study.parts - len(missing), perf_counter()
    told(before, study.parts, None)
    if not missing:
        return StudyDone(before, 0)
    made = in_order(_crew(PartWork(study, content, store.key, store.code), len(missing), workers, cluster), missing, store.keep)
    try:
        for done, part in enumerate(missing, start=1):
            store.keep(part, next(made))
            told(before + done, study.parts, (perf_counter() - began) / done * (len(missing) - done))
    finally:
        made.close()
    return StudyDone(before, len(missing))


def _crew(work: PartWork, parts: int, workers: int | None, cluster: str | None) -> Workers:
    if cluster is not None:
        from headstock.compute.cluster import Cluster

        return Cluster(work, cluster)
    return Processes(work, min(workers_of(workers), parts))
