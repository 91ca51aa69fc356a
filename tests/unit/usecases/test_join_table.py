"""The table of a fleet: every two ends once, like ends in one row, and nothing merged that differs."""

from __future__ import annotations

from itertools import combinations_with_replacement

import pytest

from headstock.base.errors import InputError
from headstock.cli.commands.table import table_lines
from headstock.equipment.library import Fleet, load_fleet
from headstock.equipment.unit_type import UnitType
from headstock.formation.curve_at_joint import curve_from
from headstock.formation.joinability import can_be_joined
from headstock.usecases.job_file import load_rules_named
from headstock.usecases.join_table import join_table
from headstock.usecases.standing_caution import invented_words
from headstock.usecases.track_given import TrackGiven, track_from
from tests.unit.formation.test_joinability import end_of, with_device

FLEET, RULES = load_fleet(), load_rules_named("wending-vale")
TABLE = join_table(FLEET, RULES)


def called(unit_type: UnitType, name: str) -> UnitType:
    return unit_type.model_copy(update={"type": name})


def many_types(count: int, name: str = "a type of unit with a long name") -> Fleet:
    """A fleet of so many types with names as long as a file may give."""
    kinds = list(FLEET.types.values())
    return Fleet(called(kinds[number % len(kinds)], f"{name} {number:02d}") for number in range(count))


def test_every_two_ends_stand_in_the_table_once() -> None:
    ends = [f"{name}/{end}" for name in FLEET.types for end in "12"]
    assert [(pair.first, pair.second) for pair in TABLE.every] == list(combinations_with_replacement(ends, 2))
    for pair in TABLE.every:
        if pair.first != pair.second:
            assert pair.join == can_be_joined(end_of(pair.first), end_of(pair.second), RULES)


def test_like_ends_have_one_row_and_unlike_ones_their_own() -> None:
    assert [row.name for row in TABLE.rows] == [
        "beck", "crag", "fell", "gale", "holm/1", "holm/2", "moss", "tarn", "wold/1", "wold/2"]  # fmt: skip
    assert [row.coupler for row in TABLE.rows][:3] == ["automatic coupler M", "rigid knuckle A", "drop-head knuckle A"]


@pytest.mark.parametrize("device", ["coupler", "jumper", "brake_pipe_hose"])
def test_one_thing_that_the_table_says_of_one_end_alone_parts_the_row(device: str) -> None:
    change = {"coupler": {"height_low_mm": 970}, "jumper": {"pattern": "T2"}, "brake_pipe_hose": {"half_coupling": "other"}}
    odd = with_device(end_of("tarn/2"), device, **change[device]).unit_type
    table = join_table(Fleet([odd, FLEET.find("fell")]), RULES)
    assert [row.name for row in table.rows] == ["fell", "tarn/1", "tarn/2"]


def test_a_row_says_what_each_of_its_ends_says() -> None:
    by_name = {row.name: row for row in TABLE.rows}
    every = {frozenset((pair.first, pair.second)): pair.join for pair in TABLE.every}
    numbers = {row.name: number for number, row in enumerate(TABLE.rows)}
    for one, other in combinations_with_replacement(by_name, 2):
        shown = TABLE.pair(numbers[one], numbers[other]).join
        assert TABLE.pair(numbers[other], numbers[one]).join is shown
        for a in by_name[one].ends:
            for b in by_name[other].ends:
                found = every[frozenset((a, b))]
                assert [(w.name, w.answer, w.level, w.main_reservoir_through, w.across) for w in found.ways] == [
                    (w.name, w.answer, w.level, w.main_reservoir_through, w.across) for w in shown.ways]  # fmt: skip


def test_types_that_are_named_stand_against_one_another() -> None:
    table = join_table(FLEET, RULES, names=("tarn", "moss"))
    assert [row.name for row in table.rows] == ["tarn", "moss"]
    with pytest.raises(InputError, match="twice"):
        join_table(FLEET, RULES, names=("tarn", "tarn"))
    with pytest.raises(InputError, match="unknown unit type"):
        join_table(FLEET, RULES, names=("tern",))


def test_two_ends_of_one_name_are_told_apart() -> None:
    said = str(join_table(FLEET, RULES, names=("moss",)).pairs[0].join.ways)
    assert "another moss" in said
    assert "(moss and moss" not in said and "another moss and moss have none" in said


def test_a_curve_takes_ways_away_and_the_table_says_which_curve() -> None:
    curved = join_table(FLEET, RULES, TrackGiven(curve_from(150.0, "reverse curve")))
    assert "a reverse curve of 150 m" in curved.origin
    before = {(pair.first, pair.second): pair.join.best for pair in TABLE.every}
    lost = [(pair.first, pair.second) for pair in curved.every
            if before[pair.first, pair.second].name == "direct" != pair.join.best.name]  # fmt: skip
    assert ("tarn/1", "fell/2")[::-1] in lost, "a screw is laid by hand where the heads do not meet"
    assert [pair.first for pair in curved.every if pair.join.best.name == "direct" and pair.join.answer != "no"] == []


def test_the_terminal_keeps_to_a_hundred_columns_whatever_the_fleet() -> None:
    for table in (TABLE, join_table(many_types(9), RULES), join_table(FLEET, RULES, names=("gale",))):
        lines = list(table_lines(table))
        assert max(len(line) for line in lines) <= 100
        assert "All invented for demonstration." in " ".join(lines)
        assert sum(line.count("only if") + line.count("yes") for line in lines) >= sum(
            pair.join.answer != "no" for pair in table.pairs)  # fmt: skip


def test_the_terminal_gives_a_square_its_three_words() -> None:
    lines = list(table_lines(TABLE))
    start = next(number for number, line in enumerate(lines) if line.startswith("moss "))
    assert lines[start].split() == ["moss", *["only", "if"] * 2, "yes", "no", "no", "no", "yes"]
    assert lines[start + 1].split() == ["adapter", "adapter", "screw", "screw"]
    assert lines[start + 2].split() == ["rescue", "rescue", "brake", "brake"]


def test_a_place_and_a_curve_together_are_refused() -> None:
    assert track_from("harrow-ings-3", None, None).words == "Harrow Ings, road 3, straight track"
    with pytest.raises(InputError, match="together"):
        track_from("harrow-ings-3", 150.0, None)
    with pytest.raises(InputError, match="place not found"):
        track_from("harrow-ings-4", None, None)


@pytest.mark.parametrize(
    ("parts", "words"),
    [([True, True], "All invented for demonstration."), ([True, False], "Some of it is invented for demonstration."),
     ([False, False], "")],
)  # fmt: skip
def test_what_is_invented_is_said_and_not_more(parts: list[bool], words: str) -> None:
    assert invented_words(parts) == words
