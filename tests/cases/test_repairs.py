"""Every single line of the demo order left out, and every two neighbours changed about, are mended by one change."""

from __future__ import annotations

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.repair import repair
from headstock.reasoning.step import Step
from tests.cases.bad_orders import BAD_ORDERS, BadOrder
from tests.cases.jobs import DEMO, order_of


def _holed() -> dict[str, list[Step]]:
    steps = list(order_of(DEMO)[0])
    found = {f"without {n + 1}": [*steps[:n], *steps[n + 1 :]] for n in range(len(steps))}
    swaps = {f"{n + 1} after {n + 2}": [*steps[:n], steps[n + 1], steps[n], *steps[n + 2 :]] for n in range(len(steps) - 1)}
    return found | swaps


def test_one_line_left_out_or_two_neighbours_changed_about_are_mended_by_one_change() -> None:
    domain = order_of(DEMO)[1]
    wrong, mended = [], 0
    for name, order in _holed().items():
        if check(order, domain).holds:
            continue
        result = repair(order, domain)
        mended += 1
        if result.answer != "repaired" or not check(result.steps, domain).holds or len(result.changes) != 1:
            wrong.append(f"{name}: {result.answer}, {len(result.changes)} changes")
    assert wrong == []
    assert mended > 150


@pytest.mark.parametrize("bad", BAD_ORDERS, ids=lambda bad: bad.name)
def test_every_bad_order_is_mended_and_no_change_of_it_can_be_spared(bad: BadOrder) -> None:
    steps, domain = order_of(bad.job, bad.by_air)
    result = repair(bad.edit(list(steps)), domain)
    assert result.answer == "repaired"
    assert check(result.steps, domain).holds
    assert len(result.changes) <= 14
