"""What is still needed is never set too high: along an order that was found, the bound stays at or below what was yet to pay."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.reasoning.encoding import Encoder
from headstock.reasoning.planner import Search
from tests.cases.jobs import DEMO, SECOND, order_of


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_the_bound_never_exceeds_what_the_found_order_still_costs(job: Path) -> None:
    _, domain = order_of(job)
    search = Search(Encoder(domain).task(), domain)
    node = search.run(2.0, 10_000)
    assert node is not None
    total, bounds, over = node.cost, [], []
    while node is not None:
        bounds.append(search.rest(node.state).cost)
        over.append(bounds[-1] - (total - node.cost))
        node = node.parent
    assert max(over) <= 1e-6
    assert bounds[-1] > 0.8 * total
