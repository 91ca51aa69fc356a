"""Where several processes need the same compiled code and none is kept yet, one compiles and the others wait for it.

Each would compile for a minute or two otherwise, all of them the same, on cores that somebody else wants too.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path


@contextmanager
def one_at_a_time(lock: Path) -> Iterator[None]:
    """Held by one process at a time; whoever cannot lock there (no such locks, no such folder) goes on without."""
    try:
        lock.parent.mkdir(parents=True, exist_ok=True)
        file = lock.open("a", encoding="utf-8")
    except OSError:
        yield
        return
    with file:
        if find_spec("fcntl") is not None:
            locks = import_module("fcntl")
            locks.flock(file, locks.LOCK_EX)
        yield
