"""Files that are begun beside their place, each held by a lock while its writer lives: what a killed writer left can be told.

The lock (flock) goes with the process however that ends. Where a system has none (Windows), nothing is taken away.
"""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

LOCKS: Any = import_module("fcntl") if find_spec("fcntl") is not None else None


@contextmanager
def begun(folder: Path, prefix: str) -> Iterator[tuple[int, str]]:
    """A new file in a folder, its handle and its path; the name is gone afterwards, whatever was linked to it stays.

    Raises OSError.
    """
    handle, name = _held(folder, prefix)
    try:
        yield handle, name
    finally:
        try:
            os.unlink(name)
        finally:
            os.close(handle)


def _held(folder: Path, prefix: str) -> tuple[int, str]:
    """A new file that is locked and still there: one that was looked at between the two is begun anew."""
    while True:
        handle, name = tempfile.mkstemp(dir=folder, prefix=prefix)
        if LOCKS is None:
            return handle, name
        with suppress(OSError):  # a file system without locks: nobody can lock there, so nothing is taken away either
            LOCKS.flock(handle, LOCKS.LOCK_EX)
        if os.fstat(handle).st_nlink:
            return handle, name
        os.close(handle)


def take_away_left(folder: Path, prefix: str) -> None:
    """Take away what writers that are gone have left. One that cannot be taken away stays, and is in nobody's way."""
    for path in sorted(folder.glob(f"{prefix}*")) if LOCKS is not None else ():
        with suppress(OSError):
            handle = os.open(path, os.O_RDWR | os.O_NOFOLLOW | os.O_NONBLOCK)
            try:
                LOCKS.flock(handle, LOCKS.LOCK_EX | LOCKS.LOCK_NB)
                path.unlink()
            finally:
                os.close(handle)
