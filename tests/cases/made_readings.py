"""A fixed sample of faults with readings made otherwise than the ones they are looked for among.

Of the pipe: by the fine solver with heat transfer, no gear (see ``fine_readings``). Of the gear, which the fine solver does not
know: by the fast one at a closer tolerance. Both from draws that no stored reading was made from.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from headstock.brake_test.causes import Cause
from tests.cases.drawn_trains import METHODS, TRAINS, task_of
from tests.cases.fine_readings import PIPE_KINDS

FILE = Path(__file__).parent / "drawn_readings" / "made.json"
SAMPLE, BY_FINE, SEED = 150, 60, 1000


@dataclass(frozen=True, slots=True)
class Made:
    """A fault of a train under a method, and true readings of one drawn test with it."""

    vehicles: int
    method: str
    cause: Cause
    by: str
    draw: int
    readings: tuple[float, ...]


def chosen() -> list[tuple[int, str, Cause, str, int]]:
    """The sample: even over trains, methods and all causes in all degrees."""
    trains = sorted(TRAINS, key=lambda train: (train[0], METHODS.index(train[1])))
    every = [(vehicles, method, one.cause) for vehicles, method in trains for one in task_of(vehicles, method).singles]
    dice, found, fine = np.random.default_rng(SEED), [], 0
    for number, which in enumerate(dice.choice(len(every), SAMPLE, replace=False).tolist()):
        vehicles, method, cause = every[which]
        by_fine = cause.kind in PIPE_KINDS and fine < BY_FINE
        fine += by_fine
        found.append((vehicles, method, cause, "fine" if by_fine else "fast, closer", number))
    return found


def made_readings() -> tuple[Made, ...]:
    """The sample as it is kept."""
    kept = json.loads(FILE.read_text(encoding="utf-8"))
    return tuple(Made(one["vehicles"], one["method"], Cause(one["kind"], one["place"], one["severity"]), one["by"], one["draw"],
                      tuple(one["readings"])) for one in kept)  # fmt: skip
