"""Work of an event loop in a thread of its own: where the same process drives a browser, one is running in this one already."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any


def run_apart(work: Coroutine[Any, Any, None]) -> None:
    """Done when it ends; raises what it raises."""
    with ThreadPoolExecutor(1) as pool:
        pool.submit(asyncio.run, work).result()
