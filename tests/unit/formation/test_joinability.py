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


def with_device(end: TypeEnd, name: str, **change: object) -> TypeEnd:
    """The end with other data of one of its devices."""
    spec = end.unit_type.ends[end.end].model_copy(  # type: ignore[index]
        update={"devices": {**end.devices, name: end.devices[name].model_copy(update=change)}}
    )
    ends = {**end.unit_type.ends, end.end: spec}
    return TypeEnd(end.name, end.unit_type.model_copy(update={"ends": ends}), end.end)


def end_of(text: str) -> TypeEnd:
    name, _, end = text.partition("/")
    return TypeEnd(text, FLEET.find(name), end)


def test_an_adapter_on_board_that_bridges_too_little_is_not_the_one() -> None:
    wold = FLEET.find("wold")
    gear = tuple(g.model_copy(update={"bridges_mm": 49.0 if g.kind == "adapter" else None}) for g in wold.loose_gear)
    short = TypeEnd("wold/1", wold.model_copy(update={"loose_gear": gear}), "1")
    best = can_be_joined(short, end_of("gale/1"), RULES).best
    assert (best.name, best.answer) == ("adapter", "only if")
    assert "for heights up to 50 mm apart" in best.conditions[0]
    assert can_be_joined(end_of("wold/1"), end_of("gale/1"), RULES).answer == "yes"


def test_declared_wires_that_do_not_meet_pin_by_pin_carry_no_brake() -> None:
    pins = {**end_of("beck/2").devices["electrical_head"].pins, "1": "bell"}
    best = can_be_joined(end_of("beck/1"), with_device(end_of("beck/2"), "electrical_head", pins=pins), RULES).best
    assert (best.answer, best.level) == ("only if", "rescue")
    assert "no brake pipe on beck/1 or beck/2, and their brake wires are not declared to work together" in best.conditions[0]


def test_wires_of_an_automatic_brake_do_not_stand_for_its_pipe() -> None:
    ports = {"ports": ("main reservoir pipe",)}
    ends = [with_device(end_of(text), "coupler", **ports) for text in ("gale/1", "gale/2")]
    best = can_be_joined(ends[0], ends[1], RULES).best
    assert (best.answer, best.level, best.main_reservoir_through) == ("only if", "rescue", True)


def test_of_two_declarations_the_lower_one_counts() -> None:
    tarn = FLEET.find("tarn")
    lower = tarn.declared[0].model_copy(update={"level": "electro-pneumatic brake"})
    careful = TypeEnd("tarn/2", tarn.model_copy(update={"declared": (lower,)}), "2")
    assert can_be_joined(end_of("tarn/1"), careful, RULES).best.level == "electro-pneumatic brake"
    assert can_be_joined(careful, end_of("tarn/1"), RULES).best.level == "electro-pneumatic brake"


def test_an_electrical_head_is_locked_back_only_where_no_electric_level_is_declared() -> None:
    told = [str(can_be_joined(end_of("gale/1"), end_of(text), RULES).best) for text in ("gale/2", "holm/1")]
    assert ["locked back" in words for words in told] == [False, True]


def test_two_ends_alike_give_each_reason_once() -> None:
    holm = TypeEnd("holm/2", FLEET.find("holm"), "2")
    for way in can_be_joined(holm, holm, RULES).ways:
        assert len(way.reasons) == len(set(way.reasons)) > 0
