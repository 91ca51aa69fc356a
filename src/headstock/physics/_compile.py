"""The one doorway to compiled code: which flags, and a cache on disk that no edit of a kernel can make stale.

The cache lies in a folder named after the content of all of physics: a compiled caller keeps the old body of what it
calls when only the file of the callee changed, so the file's own date is not enough.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numba
from numba.core import config

from headstock.physics._source_key import cache_folder, source_key

F = TypeVar("F", bound=Callable[..., Any])

# No flag that lets the compiler assume there are no NaN: the status words of the kernels rest on comparisons with them.
_FLAGS = {"contract", "arcp", "nsz"}

# Read when a function is decorated, so it must be set before the first one is.
setattr(config, "CACHE_DIR", str(cache_folder() / "kernels" / source_key()))  # noqa: B010  (its stubs do not know it)


def kernel(function: F) -> F:
    """`function` compiled on its first call, kept on disk, free of the interpreter's lock; plain under NUMBA_DISABLE_JIT."""
    compiled: Any = numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=_FLAGS)(function)
    return compiled  # type: ignore[no-any-return]


def bare(function: F) -> F:
    """The same for what makes no arrays: without counting references, which costs small functions more than their work."""
    options: Any = {"_nrt": False}  # its stubs do not know it
    compiled: Any = numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=_FLAGS, **options)(function)
    return compiled  # type: ignore[no-any-return]


def within(function: F) -> F:
    """The same, written out in every caller: for small formulas in loops that are to be done several lanes at a time."""
    compiled: Any = numba.njit(cache=True, nogil=True, error_model="numpy", fastmath=_FLAGS, inline="always")(function)
    return compiled  # type: ignore[no-any-return]
