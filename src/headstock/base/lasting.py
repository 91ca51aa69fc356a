"""For a process that serves many at once: what is there for good is not looked through again and again for garbage."""

from __future__ import annotations

import gc


def make_lasting() -> None:
    """Collect what is garbage now, and never again look through what is left.

    To be called when something large that stays has been made, a bounded number of times: looking through some hundred
    thousand objects holds up all threads for a tenth of a second and more.
    """
    gc.collect()
    gc.freeze()
