"""Joinability beyond the table: declarations, pins, heights, symmetry."""

from __future__ import annotations

from itertools import product

import pytest

from headstock.equipment.library import load_fleet
from headstock.formation.curve_at_joint import BENDS, CurveAtJoint, curve_from
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


ENDS = [f"{name}/{end}" for name in FLEET.types for end in "12"]
CURVES = [None, *(curve_from(150.0, bend) for bend in (None, *BENDS))]


@pytest.mark.parametrize("curve", CURVES, ids=lambda curve: curve.words if curve else "straight")
def test_either_order_gives_the_same_answer_for_every_two_ends_of_the_fleet(curve: CurveAtJoint | None) -> None:
    for a, b in product(ENDS, repeat=2):
        one, other = can_be_joined(end_of(a), end_of(b), RULES, curve), can_be_joined(end_of(b), end_of(a), RULES, curve)
        assert (one.ways, one.answer, one.first, one.second) == (other.ways, other.answer, other.second, other.first)
        throws = one.geometry.throws_mm
        assert (throws[::-1] if throws else None) == other.geometry.throws_mm
        assert one.geometry.sideways_apart_mm == other.geometry.sideways_apart_mm
        assert [match.joined for match in one.wires] == [match.joined for match in other.wires]


def called(end: TypeEnd, names: dict[str, str]) -> TypeEnd:
    """The end of a type by another name, in its declarations too."""
    unit_type = end.unit_type
    declared = tuple(d.model_copy(update={"with_type": names.get(d.with_type, d.with_type)}) for d in unit_type.declared)
    name = names[unit_type.type]
    return TypeEnd(f"{name}/{end.end}", unit_type.model_copy(update={"type": name, "declared": declared}), end.end)


def test_what_types_are_called_does_not_matter() -> None:
    for a, b in product(ENDS, repeat=2):
        one, other = end_of(a), end_of(b)
        # Named so that they sort the other way round.
        first_name, second_name = ("y", "x") if one.unit_type.type < other.unit_type.type else ("x", "y")
        names = {one.unit_type.type: first_name} | (
            {other.unit_type.type: second_name} if one.unit_type.type != other.unit_type.type else {}
        )
        plain, turned = can_be_joined(one, other, RULES), can_be_joined(called(one, names), called(other, names), RULES)
        facts = [[(w.name, w.answer, w.level, w.main_reservoir_through, w.across, len(w.conditions), len(w.losses),
                   w.restrictions[-1:], len(w.reasons)) for w in found.ways] for found in (plain, turned)]  # fmt: skip
        assert facts[0] == facts[1], (a, b)


def test_of_two_screws_the_strongest_on_a_hook_is_taken_whichever_end_is_named_first() -> None:
    for pair in (("moss/1", "wold/1"), ("wold/1", "moss/1")):
        best = can_be_joined(end_of(pair[0]), end_of(pair[1]), RULES).best
        assert best.equipment == ("screw coupling: on the hook of wold/1",)


def test_nothing_is_said_twice_of_two_ends_of_one_name() -> None:
    gale = end_of("gale/1")
    bare = TypeEnd("gale/1", gale.unit_type.model_copy(update={"declared": ()}), "1")
    changes = can_be_joined(bare, bare, RULES).best.changes
    assert changes == ("electrical head of gale/1 locked back and covered",)
