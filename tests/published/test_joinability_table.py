"""Joinability of the whole demo fleet against the table worked out by hand."""

from __future__ import annotations

from dataclasses import asdict

import pytest

from headstock.equipment.library import load_fleet
from headstock.formation.joinability import JoinResult, TypeEnd, can_be_joined
from headstock.local_rules.rules import BUILT_IN, LocalRules, load_local_rules
from tests.cases.joinability_table import EXPECTED, ExpectedJoin

FLEET = load_fleet()
ROWS = [(row, ends) for row in EXPECTED for ends in row.ends()]
RULES = load_local_rules(BUILT_IN / "wending-vale.yaml")


def answer(a: str, b: str, rules: LocalRules = RULES) -> JoinResult:
    ends = [TypeEnd(text, FLEET.find(text.split("/")[0]), text.split("/")[1]) for text in (a, b)]
    return can_be_joined(ends[0], ends[1], rules)


@pytest.mark.outside(source="common practice, no source", clause="coupler families", status="common practice")
@pytest.mark.parametrize(("row", "ends"), ROWS, ids=[" with ".join(ends) for _, ends in ROWS])
@pytest.mark.parametrize("turned", [False, True], ids=["as written", "turned"])
def test_two_ends_join_as_the_table_says(row: ExpectedJoin, ends: tuple[str, str], turned: bool) -> None:
    a, b = ends
    found = answer(b, a) if turned else answer(a, b)
    best = found.best
    way = best.name if best.answer != "no" else "none"
    assert (found.answer, way, best.level, best.main_reservoir_through) == (
        row.answer,
        row.way,
        row.level,
        row.main_reservoir_through,
    ), row.why
    said = str([asdict(one) for one in found.ways])
    assert [word for word in row.words if word not in said] == []


@pytest.mark.outside(source="EN 15020", clause="scope", status="second-hand")
def test_a_fixed_hook_is_outside_the_rescue_coupler() -> None:
    assert "EN 15020" in str(answer("moss/1", "gale/1").ways)
    assert answer("moss/1", "gale/1").answer == "no"


@pytest.mark.outside(source="EN 16019", clause="scope", status="second-hand")
def test_a_like_face_alone_gives_no_electrical_level() -> None:
    gale = FLEET.find("gale")
    undeclared = gale.model_copy(update={"declared": ()})
    found = can_be_joined(TypeEnd("gale/1", undeclared, "1"), TypeEnd("gale/2", undeclared, "2"), RULES)
    assert found.best.level == "mechanical and automatic brake"
