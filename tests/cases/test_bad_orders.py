"""Bad orders, written by hand, are refused for the hand-written reason."""

from __future__ import annotations

import pytest

from headstock.reasoning.checker import check
from tests.cases.bad_orders import BAD_ORDERS, BadOrder
from tests.cases.jobs import order_of
from tests.cases.test_attach_plans import fits


@pytest.mark.parametrize("bad", BAD_ORDERS, ids=lambda bad: bad.name)
def test_a_bad_order_is_refused_for_its_reason(bad: BadOrder) -> None:
    steps, domain = order_of(bad.job, bad.by_air)
    edited = bad.edit(list(steps))
    assert edited != list(steps), "the edit changed nothing"
    complaints = check(edited, domain).complaints
    found = sorted({f"{c.kind}:{c.about}" for c in complaints})
    assert any(fits(complaint, bad.complaint) for complaint in complaints), f"{bad.reason}: found {found}"


def test_there_are_enough_bad_orders_and_each_has_a_reason() -> None:
    assert len({bad.name for bad in BAD_ORDERS}) >= 50
    assert all(len(bad.reason) > 10 for bad in BAD_ORDERS)
