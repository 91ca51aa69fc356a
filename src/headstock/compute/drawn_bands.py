"""Healthy trains drawn and run for a band, kept by content: asked again, nothing is reckoned."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from headstock.brake_test.band_task import BandTask
from headstock.compute.signature_blocks import BlockStore, code_key


@dataclass
class DrawnBands:
    """Answers band tasks from the store, and on one core what is not kept: eight trains side by side."""

    store: BlockStore
    code: str = field(default_factory=code_key)

    def __call__(self, task: BandTask) -> NDArray[np.float64]:
        """The values of a task (values, members)."""
        name = f"{self.code}-{task.key}"
        kept = self.store.kept(name)
        if kept is not None and kept.shape[1] == task.members:
            return kept
        from headstock.physics.fast_many import answer_many  # compiled code: only when something is not kept

        values = task.answer(answer_many)
        self.store.keep(name, values)
        return values
