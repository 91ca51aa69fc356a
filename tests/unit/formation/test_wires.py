"""Wires pin by pin: the whole fleet against the table by hand, and toys for what the fleet does not have."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest

from headstock.equipment.library import load_fleet
from headstock.formation.joinability import JoinResult, TypeEnd, can_be_joined
from headstock.formation.wires import WireMatch, function_lines, pin_words, wire_matches, wire_words, wires_alike, wires_meet
from tests.cases.wire_table import HEADS, JUMPERS, ExpectedWires
from tests.unit.formation.test_joinability import RULES, end_of, with_device

PINS = {"1": "EP apply", "2": "EP hold", "3": "bell"}


def toys(first: dict[str, str], second: dict[str, str], patterns: tuple[str, str] = ("T", "T")) -> tuple[TypeEnd, TypeEnd]:
    """Two ends of the demo's Tarn with other jumpers."""
    made = [with_device(end_of(name), "jumper", pins=pins, pattern=pattern)
            for name, pins, pattern in zip(("tarn/1", "tarn/2"), (first, second), patterns, strict=True)]  # fmt: skip
    return made[0], made[1]


def undeclared(end: TypeEnd) -> TypeEnd:
    return TypeEnd(end.name, end.unit_type.model_copy(update={"declared": ()}), end.end)


def joined_where_pins_count(first: TypeEnd, second: TypeEnd) -> JoinResult:
    entry = RULES.levels_without_declaration.model_copy(update={"value": ("same pins",)})
    return can_be_joined(undeclared(first), undeclared(second), RULES.model_copy(update={"levels_without_declaration": entry}))


def only_match(first: TypeEnd, second: TypeEnd) -> WireMatch:
    (match,) = wire_matches(first, second)
    return match


@pytest.mark.parametrize("row", [*JUMPERS, *HEADS], ids=lambda row: " with ".join(row.ends))
@pytest.mark.parametrize("turned", [False, True], ids=["as written", "turned"])
def test_each_pin_finds_what_the_table_by_hand_says(row: ExpectedWires, turned: bool) -> None:
    names = row.ends[::-1] if turned else row.ends
    match = only_match(end_of(names[0]), end_of(names[1]))
    assert (match.device, match.verdict, match.joined) == (row.device, row.verdict, row.same)
    assert tuple(line.pin for line in match.crossed) == row.crossed
    assert sorted(match.at_other_pins) == sorted(row.moved)
    sides = (match.second_only, match.first_only) if turned else (match.first_only, match.second_only)
    assert sides == (row.first_only, row.second_only)


def test_the_table_by_hand_has_every_two_patterns_of_the_fleet() -> None:
    for rows, kind in ((JUMPERS, "jumper"), (HEADS, "electrical head")):
        found = {spec.pattern for unit in load_fleet().types.values() for end in unit.ends.values()
                 for spec in end.devices.values() if spec.kind == kind}  # fmt: skip
        written = {frozenset(only_match(end_of(row.ends[0]), end_of(row.ends[1])).patterns) for row in rows}
        assert written == {frozenset(pair) for pair in combinations_with_replacement(found, 2)}


def test_the_same_pin_with_another_function_is_refused_and_takes_the_electric_level_away() -> None:
    first, second = toys(PINS, {**PINS, "2": "bell", "3": "EP hold"})
    answer = can_be_joined(first, second, RULES)
    (match,) = answer.wires
    assert match.verdict == "crossed" and not match.can_be_entered
    assert "refused, pin 2 is EP hold on tarn/1 and bell on tarn/2; pin 3 is" in wire_words(match, "tarn/1", "tarn/2")
    assert answer.best.level == "mechanical and automatic brake"
    assert answer.best.changes[-1].startswith("jumpers T stay in their dummies: pin 2 is EP hold on tarn/1")
    alike = can_be_joined(*toys(PINS, PINS), RULES)
    assert alike.best.level == "full multiple working", "declared, and no pin is crossed"


def test_pins_on_one_side_alone_are_lost_and_need_a_declaration() -> None:
    first, second = toys(PINS, {**PINS, "4": "lighting"})
    match = only_match(first, second)
    assert (match.verdict, match.second_only) == ("one side has more", ("lighting",))
    assert function_lines(match, "a", "b", True) == ("joined: EP apply, EP hold, bell", "on b only: lighting")
    assert (
        function_lines(match, "a", "b", False)[0] == "at like pins, joined only where that is declared: EP apply, EP hold, bell"
    )
    assert can_be_joined(first, second, RULES).best.level == "full multiple working"
    assert joined_where_pins_count(first, second).best.level == "mechanical and automatic brake"
    assert joined_where_pins_count(*toys(PINS, PINS)).best.level == "electro-pneumatic brake"


def test_plugs_of_two_patterns_join_nothing_whatever_is_declared() -> None:
    ends = toys(PINS, PINS, ("T", "U"))
    assert not wires_meet(wire_matches(*ends)) and not wires_alike(wire_matches(*ends))
    assert can_be_joined(*ends, RULES).best.level == "mechanical and automatic brake"
    assert function_lines(only_match(*ends), "a", "b", True) == ("at like pins, not joined: EP apply, EP hold, bell",)


def test_like_pins_give_no_electro_pneumatic_brake_to_units_that_have_none() -> None:
    assert joined_where_pins_count(end_of("fell/1"), end_of("fell/2")).best.level == "mechanical and automatic brake"


def test_a_jumper_finds_no_head_and_an_end_without_wires_finds_nothing() -> None:
    matches = wire_matches(end_of("tarn/1"), end_of("gale/1"))
    assert [(match.device, match.verdict) for match in matches] == [("jumper", "nothing to join"),
                                                                    ("electrical head", "nothing to join")]  # fmt: skip
    assert wire_words(matches[0], "tarn/1", "gale/1") == "jumper T of tarn/1: gale/1 has no jumper to join it to"
    assert wire_words(matches[1], "tarn/1", "gale/1").startswith("electrical head G of gale/1: tarn/1 has no")
    assert wire_matches(end_of("moss/1"), end_of("wold/2")) == ()


def with_power(end: TypeEnd, jumper_first: bool, pins: dict[str, str]) -> TypeEnd:
    """The end with a second jumper, for heating, described before or after its own."""
    power = end.devices["jumper"].model_copy(update={"pattern": "P", "pins": pins})
    jumpers = {"jumper": end.devices["jumper"], "power": power}
    order = ("jumper", "power") if jumper_first else ("power", "jumper")
    devices = {name: spec for name, spec in end.devices.items() if name != "jumper"} | {name: jumpers[name] for name in order}
    spec = end.unit_type.ends[end.end].model_copy(update={"devices": devices})  # type: ignore[index]
    return TypeEnd(end.name, end.unit_type.model_copy(update={"ends": {**end.unit_type.ends, end.end: spec}}), end.end)


def test_two_jumpers_on_an_end_find_their_fellows_by_pattern() -> None:
    first, second = toys(PINS, PINS)
    heating = {"1": "heating"}
    ends = with_power(first, True, heating), with_power(second, False, heating)
    assert [match.patterns for match in wire_matches(*ends)] == [("T", "T"), ("P", "P")]
    assert can_be_joined(*ends, RULES).best.level == "full multiple working"


def test_one_crossed_jumper_of_two_takes_the_electric_level_away() -> None:
    first, second = toys(PINS, PINS)
    ends = with_power(first, True, {"1": "heating"}), with_power(second, False, {"1": "lighting"})
    assert [match.verdict for match in wire_matches(*ends)] == ["alike", "crossed"]
    best = can_be_joined(*ends, RULES).best
    assert best.level == "mechanical and automatic brake"
    assert best.changes[-1].startswith("jumpers P stay in their dummies: pin 1 is heating on tarn/1 and lighting on tarn/2")


def test_a_pin_is_called_joined_only_where_wires_are() -> None:
    alike, crossed = only_match(*toys(PINS, PINS)), only_match(*toys(PINS, {**PINS, "2": "bell"}))
    assert {pin_words(alike, line, True) for line in alike.lines} == {"joined"}
    assert {pin_words(alike, line, False) for line in alike.lines} == {"same on both"}
    assert [pin_words(crossed, line, False) for line in crossed.lines] == ["same on both", "crossed: refused", "same on both"]
    other = only_match(*toys(PINS, {"1": "bell"}, ("T", "U")))
    assert [pin_words(other, line, False) for line in other.lines] == ["differs", "one side only", "one side only"]
