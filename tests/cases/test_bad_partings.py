"""Each bad parting is refused for the reason written by hand."""

from __future__ import annotations

import pytest

from headstock.reasoning.checker import check
from tests.cases.bad_partings import BAD_PARTINGS, BadParting
from tests.cases.jobs import PART, breaks_of, order_of

practice = pytest.mark.outside(source="common practice, no source", clause="parting a train", status="common practice")


@practice
@pytest.mark.parametrize("bad", BAD_PARTINGS, ids=lambda bad: bad.name)
def test_a_bad_parting_is_refused_for_its_reason(bad: BadParting) -> None:
    steps, domain = order_of(PART)
    assert check(steps, domain).holds
    found = breaks_of((steps, domain), bad.edit)
    assert bad.breaks in found, f"{bad.because}; found {sorted(found)}"
