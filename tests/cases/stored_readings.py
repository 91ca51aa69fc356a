"""Readings of drawn tests kept beside the cases, so that nobody waits for the air; remade by the slow suite and compared."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np

from headstock.brake_test.signature_set import Signatures
from headstock.compute.signature_blocks import block_name, code_key
from headstock.exchange.signature_store import SignatureStore
from headstock.physics._source_key import cache_folder
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


def keep_for_commands(vehicles: int, method: str) -> None:
    """Lay the stored readings where commands look for them, so that no journey waits for the air."""
    signatures = signatures_of(vehicles, method)
    store, task = SignatureStore(cache_folder() / "signatures"), signatures.task
    for block in range(task.blocks):
        rows = [task.row_of(number) for number in task.numbers(block)]
        store.keep(block_name(code_key(), task, block), signatures.readings[rows])
