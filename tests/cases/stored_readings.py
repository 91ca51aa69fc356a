"""Readings of drawn tests kept beside the cases, so that nobody waits for the air; remade by the slow suite and compared."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from headstock.brake_test.signature_set import Signatures
from tests.cases.drawn_trains import task_of

FOLDER = Path(__file__).parent / "drawn_readings"


def path_of(vehicles: int, method: str) -> Path:
    """Where the readings of a train and a method lie."""
    return FOLDER / f"{vehicles}-{method}.npz"


@cache
def signatures_of(vehicles: int, method: str) -> Signatures:
    """Readings of every cause as they are kept."""
    with np.load(path_of(vehicles, method)) as kept:
        readings = np.asarray(kept["readings"], dtype=np.float64)
    task = task_of(vehicles, method)
    assert len(readings) == task.count, "the causes have changed: python -m tests.cases.remake_drawn_readings"
    return Signatures(task, readings)
