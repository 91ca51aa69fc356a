"""A method of testing the brake: stages with names of their own, each of which does something."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.base.errors import ContentError
from headstock.local_rules.rules import BUILT_IN as RULES
from headstock.local_rules.rules import load_local_rules
from headstock.local_rules.test_method import BUILT_IN, BrakeTestMethod, load_test_method

TEXT = (BUILT_IN / "rear-application.yaml").read_text(encoding="utf-8")
READS_FRONT = '    reading: {at: front, limit: front_full_at_most_bar, name: "Applied, front", shows: rear to front}\n'


def loaded(folder: Path, *changes: tuple[str, str]) -> BrakeTestMethod:
    text = TEXT
    for before, after in changes:
        assert before in text
        text = text.replace(before, after, 1)
    (folder / "method.yaml").write_text(text, encoding="utf-8")
    return load_test_method(folder / "method.yaml")


@pytest.mark.parametrize("path", sorted(BUILT_IN.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_built_in_method_names_only_allowances_and_limits_that_the_built_in_rules_have(path: Path) -> None:
    method = load_test_method(path)
    for rules in map(load_local_rules, RULES.glob("*.yaml")):
        for stage in method.stages:
            assert rules.allowance_s(stage.allowance) > 0
            for limit in filter(None, (stage.waits, *(stage.reading.limits if stage.reading else ()))):
                assert rules.using(method).limit(limit) >= 0


@pytest.mark.parametrize("path", sorted(BUILT_IN.glob("*.yaml")), ids=lambda path: path.stem)
def test_in_a_built_in_method_each_valve_goes_on_from_where_it_was_left(path: Path) -> None:
    stands: dict[str, str] = {}
    for stage in load_test_method(path).stages:
        if stage.valve is not None:
            assert stands.get(stage.valve.at, stage.valve.before) == stage.valve.before
            assert stage.valve.before != stage.valve.after
            stands[stage.valve.at] = stage.valve.after
    assert {at: stands[at] for at in stands} == {at: "running" if at == "front" else "locked" for at in stands}
    planned = {"rear-application", "front-both-ways", "one-person-both-ways", "tail-vent", "full-count"}
    assert (load_test_method(path).not_planned_because is None) == (path.stem in planned)


def test_a_stage_is_done_where_its_valve_or_its_gauge_is() -> None:
    stages = {stage.key: stage for stage in load_test_method(BUILT_IN / "rear-application.yaml").stages}
    assert (stages["lapped"].at, stages["rear charged"].at, stages["rear applied"].at) == ("front", "rear", "rear")


def test_a_method_says_what_it_cannot_show(tmp_path: Path) -> None:
    assert load_test_method(BUILT_IN / "rear-application.yaml").cannot_show
    start, end = TEXT.index("cannot_show:"), TEXT.index("stages:")
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, (TEXT[start:end], "cannot_show: []\n"))
    assert (caught.value.faults[0].path, caught.value.faults[0].expected) == ("cannot_show", "at least 1 in the list")


def test_a_stage_twice_is_refused_by_its_name(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="stages must have names of their own; twice: charged, restored"):
        loaded(tmp_path, ("key: lapped", "key: charged"), ("key: rear restored", "key: restored"))


def test_a_stage_that_does_nothing_is_refused_where_it_stands(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="a stage must move a valve or read a gauge") as caught:
        loaded(tmp_path, (READS_FRONT, ""))
    (fault,) = caught.value.faults
    assert fault.path == "stages[4]"
    assert fault.line is not None
    assert "key: front fallen" in TEXT.splitlines()[fault.line - 1]


@pytest.mark.parametrize(
    ("before", "after", "path", "words"),
    [
        ("limit: front_full_at_most_bar", "limit: front_ful_at_most_bar", "stages[4].reading.limit", "nearest front_full"),
        ("after: lap}", "after: lapp}", "stages[2].valve.after", "nearest lap"),
        ("at: rear, before: locked", "at: middle, before: locked", "stages[3].valve.at", "front or rear"),
        ("waits: no_rise_watch_s", "waits: no_rise_watch", "stages[6].waits", "nearest no_rise_watch_s"),
        ("leaves_pipe: drawn", "leaves_pipe: empty", "stages[3].leaves_pipe", "charged or drawn"),
        ("key: lapped", "key: Lapped!", "stages[2].key", "text of the form"),
        ("    allowance: valve\n", "", "stages[0].allowance", "missing field"),
        ('edition: "1"', "edition: 1", "edition", "put it in quotes"),
    ],
)  # fmt: skip
def test_a_wrong_word_in_a_stage_is_told_at_its_place(before: str, after: str, path: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, (before, after))
    (fault,) = caught.value.faults
    assert fault.path == path
    assert words in fault.text()


def test_a_source_that_is_not_listed_is_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError) as caught:
        loaded(tmp_path, ("    source: practice", "    source: practise"))
    (fault,) = caught.value.faults
    assert (fault.path, fault.nearest) == ("stages[0].source", "practice")
