"""Makes the stored readings anew: ``python -m tests.cases.remake_drawn_readings [vehicles-method ...]``; minutes of work.

Per train and method: of every cause in every degree the true readings of its drawn tests, by the fast engine.
"""

from __future__ import annotations

import sys
import time

import numpy as np

from headstock.physics.fast_many import answer_many
from tests.cases.drawn_trains import METHODS, VEHICLES, task_of
from tests.cases.stored_readings import path_of


def remake(vehicles: int, method: str) -> None:
    """One file."""
    task = task_of(vehicles, method)
    readings = np.concatenate([task.answer(block, answer_many) for block in range(task.blocks)])
    np.savez_compressed(path_of(vehicles, method), readings=readings.round(4).astype(np.float32))


if __name__ == "__main__":
    for name in sys.argv[1:] or [f"{vehicles}-{method}" for method in METHODS for vehicles in VEHICLES]:
        began_s = time.monotonic()
        vehicles, _, method = name.partition("-")
        remake(int(vehicles), method)
        print(f"{name}: {time.monotonic() - began_s:.0f} s", flush=True)
