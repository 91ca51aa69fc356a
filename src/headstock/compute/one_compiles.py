"""Where several processes need the same compiled code and none is kept yet, one compiles and the others wait for it.

Each would compile for a minute or two otherwise, all of them the same, on cores that somebody else wants too.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

try:
    import fcntl
except ImportError:  # no such locks on this system: each compiles for itself
    fcntl = None  # type: ignore[assignment]


@contextmanager
def one_at_a_time(lock: Path) -> Iterator[None]:
    """Held by one process at a time; whoever cannot lock there goes on without."""
    if fcntl is None:
        yield
        return
    try:
        lock.parent.mkdir(parents=True, exist_ok=True)
        file = lock.open("a")
    except OSError:
        yield
        return
    with file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield
