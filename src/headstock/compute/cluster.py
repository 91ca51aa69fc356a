"""Workers of a Dask cluster that is there already, by its address; the work is told to it once."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from typing import Any

from headstock.base.errors import Fault, InputError

WAIT_S = 10
TRIES = 3
"""So often a piece is done again where its worker died."""


class Cluster:
    """Workers of a cluster. Raises InputError where nobody answers, or Dask is not installed."""

    def __init__(self, work: Callable[[int], Any], address: str) -> None:
        try:
            from distributed import Client, KilledWorker
        except ModuleNotFoundError:
            fault = Fault("Dask is not installed", path="--cluster", found=address, expected="headstock[cluster]")
            raise InputError(fault, cure="Install headstock[cluster], or leave --cluster out.") from None
        try:
            self._client = Client(address, timeout=WAIT_S, set_as_default=False)
        except (OSError, ValueError) as error:
            fault = Fault("no cluster answers there", path="--cluster", found=f"{address}: {type(error).__name__}",
                          expected="the address of a Dask scheduler, as in tcp://10.0.0.5:8786")  # fmt: skip
            raise InputError(fault, cure="Start the scheduler and its workers first.") from None
        self.count = sum(self._client.nthreads().values())
        if not self.count:
            self._client.close()
            raise InputError(Fault("the cluster has no workers", path="--cluster", found=address, expected="one or more"),
                             cure="Start workers, each with one thread.")  # fmt: skip
        self.gone: tuple[type[BaseException], ...] = (KilledWorker,)
        self._work = self._client.scatter(work, broadcast=True)
        self._executor = self._client.get_executor(pure=False, retries=TRIES)

    def begin(self, number: int) -> Future[Any]:
        """Begin a piece."""
        found: Future[Any] = self._executor.submit(_done, self._work, number)
        return found

    def again(self) -> None:
        """Nothing to do: the cluster replaces its own workers."""

    def end(self) -> None:
        """Begin nothing more; leave the cluster as it was."""
        self._executor.shutdown(wait=True)
        self._client.close()


def _done(work: Callable[[int], Any], number: int) -> Any:
    return work(number)
