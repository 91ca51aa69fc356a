"""Six units and twelve: found, proved the cheapest with few states opened, held by the checker."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cases.jobs import planned
from tests.cases.long_trains import LONG, LongTrain

MOST_OPENED = 1000
"""A bound that loses its hold on so many like units shows in states opened long before it shows in the cost."""


@pytest.mark.parametrize("train", LONG, ids=lambda train: train.name)
def test_a_long_train_has_an_order_that_is_proved_the_cheapest(train: LongTrain, tmp_path: Path) -> None:
    answer = planned(train.path(tmp_path), train.by_air)
    assert answer.answer == "yes" and answer.order is not None and answer.checked is not None, answer.reasons
    assert answer.checked.holds
    assert answer.order.proved_best
    assert answer.order.cost_s == pytest.approx(train.best_s) == pytest.approx(answer.order.bound_s)
    assert answer.order.expanded < MOST_OPENED
