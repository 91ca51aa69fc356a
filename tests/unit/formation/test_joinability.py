"""Joinability beyond the table: declarations, pins, heights, symmetry."""

from __future__ import annotations

from itertools import product

from headstock.equipment.library import load_fleet
from headstock.formation.joinability import TypeEnd, can_be_joined
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from tests.cases.joinability_table import EXPECTED

FLEET = load_fleet()
RULES = load_local_rules(BUILT_IN / "wending-vale.yaml")


def test_the_table_covers_every_pair_of_the_fleet_once() -> None:
    ends = [f"{name}/{end}" for name in FLEET.types for end in "12"]
    rows = [{frozenset(pair) for pair in row.ends()} for row in EXPECTED]
    assert sum(len(row) for row in rows) == len(set().union(*rows))
    assert set().union(*rows) == {frozenset(pair) for pair in product(ends, repeat=2)}


def test_pins_that_match_count_only_where_the_local_rules_accept_them() -> None:
    undeclared = FLEET.find("tarn").model_copy(update={"declared": ()})
    ends = (TypeEnd("tarn/1", undeclared, "1"), TypeEnd("tarn/2", undeclared, "2"))
    entry = RULES.levels_without_declaration.model_copy(update={"value": ("same pins",)})
    accepting = RULES.model_copy(update={"levels_without_declaration": entry})
    assert can_be_joined(*ends, RULES).best.level == "mechanical and automatic brake"
    assert can_be_joined(*ends, accepting).best.level == "electro-pneumatic brake"


def test_heads_too_far_apart_in_height_are_refused_with_the_figures() -> None:
    fell = FLEET.find("fell")
    coupler = fell.ends["1"].devices["coupler"].model_copy(update={"height_low_mm": 900.0})
    low = fell.ends["1"].model_copy(update={"devices": {**fell.ends["1"].devices, "coupler": coupler}})
    sunk = fell.model_copy(update={"ends": {**fell.ends, "1": low}})
    found = can_be_joined(TypeEnd("fell/1", sunk, "1"), TypeEnd("tarn/2", FLEET.find("tarn"), "2"), RULES)
    refused = next(way for way in found.ways if way.name == "direct")
    assert refused.answer == "no"
    assert "140 mm apart" in refused.reasons[0]
