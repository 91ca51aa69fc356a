"""A worker ends when whoever began it has ended, however that was: a server that is killed leaves nobody behind."""

from __future__ import annotations

import os
import threading
from multiprocessing import parent_process


def end_with_parent() -> None:
    """Watch the parent from a thread; nothing where there is none."""
    parent = parent_process()
    if parent is None:
        return

    def watched() -> None:
        parent.join()
        os._exit(1)

    threading.Thread(target=watched, daemon=True, name="watch the parent").start()
