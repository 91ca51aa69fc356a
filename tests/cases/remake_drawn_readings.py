"""Makes the stored readings anew: ``python -m tests.cases.remake_drawn_readings [vehicles-method ...]``; minutes of work.

Per train and method: of every cause in every degree the true readings of its drawn tests, by the fast engine. With
``--kinds A,B`` only those kinds of fault, the others as they are kept.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence

import numpy as np

from headstock.brake_test.signature_set import laid_together
from headstock.brake_test.signatures import readings_of
from headstock.physics.fast_many import answer_many
from tests.cases.drawn_trains import TRAINS, task_of
from tests.cases.stored_readings import path_of


def remake(vehicles: int, method: str, kinds: Sequence[str] = ()) -> None:
    """One file."""
    task, path = task_of(vehicles, method), path_of(vehicles, method)
    wanted = [n for n in range(task.count) if not kinds or task.scenario(n).causes[0].kind in kinds]
    made = readings_of(task.air, task.drawn, [task.scenario(number) for number in wanted], task.seed, answer_many)
    if kinds:
        with np.load(path) as kept:
            readings = np.asarray(kept["readings"], dtype=np.float64)
        readings[[task.row_of(n) for n in wanted]] = made
    else:
        readings = laid_together(task, [made]).readings
    np.savez_compressed(path, readings=readings.round(4).astype(np.float32))


if __name__ == "__main__":
    given = sys.argv[1:]
    only = given.pop().split(",") if len(given) > 1 and given[-2] == "--kinds" else []
    given = [name for name in given if name != "--kinds"]
    for name in given or [f"{vehicles}-{method}" for vehicles, method in TRAINS]:
        began_s = time.monotonic()
        count, _, rest = name.partition("-")
        remake(int(count), rest, only)
        print(f"{name}: {time.monotonic() - began_s:.0f} s", flush=True)
