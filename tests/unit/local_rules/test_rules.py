"""Local rules: read with their sources, refused where they contradict themselves, clear about what they lack."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import ContentError, HeaderError, InputError
from headstock.local_rules.rules import BUILT_IN, LocalRules, load_local_rules
from headstock.local_rules.test_method import BUILT_IN as METHODS

TEXT = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
RULES = load_local_rules(BUILT_IN / "wending-vale.yaml")


def loaded(folder: Path, *changes: tuple[str, str]) -> LocalRules:
    text = TEXT
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    (folder / "rules.yaml").write_text(text, encoding="utf-8")
    return load_local_rules(folder / "rules.yaml")


@pytest.mark.parametrize("path", sorted(BUILT_IN.glob("*.yaml")), ids=lambda path: path.stem)
def test_built_in_rules_load_and_say_that_they_are_invented(path: Path) -> None:
    rules = load_local_rules(path)
    assert rules.invented
    assert all(list(stops) == sorted(stops, reverse=True) for stops in rules.approach.stops_m.value.values())


@pytest.mark.parametrize("stops", ["[0.6, 2.0]", "[2.0, 2.0]", "[]", "[5, 1, 2]"])
def test_stops_must_come_closer_and_closer(stops: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="must come closer and closer") as caught:
        loaded(tmp_path, ("[2.0, 0.6]", stops))
    (fault,) = caught.value.faults
    assert fault.path == "approach.stops_m"
    assert "drop-head knuckle" in fault.what


@pytest.mark.parametrize(
    ("before", "after", "path", "words"),
    [
        ("[2.0, 0.6]", "[2.0, -0.6]", "approach.stops_m.value.drop-head knuckle[1]", "more than 0"),
        ("margin: {value: 1.5", "margin: {value: 0.5", "holding.margin.value", "at least 1"),
        ("adhesion: {value: 0.12", "adhesion: {value: 0.6", "holding.adhesion.value", "at most 0.4"),
        ("least_count: {value: 1", "least_count: {value: 1.5", "holding.least_count.value", "a whole number"),
        ("pressure_unit: bar", "pressure_unit: atm", "pressure_unit", "bar or psi"),
        ("drives: {value: [driver]", "drives: {value: [fireman]", "duties.drives.value[0]", "one of driver, shunter"),
        ("climb_s: {value: 15, source: demo}", "climb_s: {value: 15}", "climb_s.source", "nothing"),
        ("climb_s: {value: 15, source: demo}", "climb_s: 15", "climb_s", "a group of names and values"),
        ("invented: true", "invented: yes", "invented", "nearest true"),
        ("walking_m_s:", "walkin_m_s:", "walkin_m_s", "nearest walking_m_s"),
        ("name: Wending Vale", "name: 7", "name", "put it in quotes"),
    ],
)
def test_a_wrong_entry_is_told_at_its_place(before: str, after: str, path: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, (before, after))
    fault = next(fault for fault in caught.value.faults if fault.path.replace("'", "") == path)
    assert words in fault.text()
    assert fault.line is not None
    assert after in TEXT.replace(before, after, 1).splitlines()[fault.line - 1]


def test_sources_that_are_not_listed_are_told_all_at_once(tmp_path: Path) -> None:
    margin = ("margin: {value: 1.5, source: demo}", "margin: {value: 1.5, source: dimo}")
    watch = ("watch_s: {value: 60, source: demo}", "watch_s: {value: 60, source: elsewhere}")
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, margin, watch)
    assert [(fault.what, fault.path, fault.nearest) for fault in caught.value.faults] == [
        ("source not listed in sources", "holding.margin.source", "demo"),
        ("source not listed in sources", "holding.watch_s.source", None),
    ]


def test_another_kind_of_file_is_no_local_rules() -> None:
    with pytest.raises(HeaderError, match="this is a test method file, not a local rules file"):
        load_local_rules(next(METHODS.glob("*.yaml")))


def test_an_allowance_is_read_by_its_name() -> None:
    assert RULES.allowance_s("hand_brake") == 45


def test_a_missing_allowance_says_what_to_add_and_names_the_nearest() -> None:
    with pytest.raises(InputError) as caught:
        RULES.allowance_s("hand_break")
    said = caught.value.text()
    for words in ("no time allowance", "nearest hand_brake", "Wending Vale", "Add hand_break to the rules' allowances_s."):
        assert words in said
