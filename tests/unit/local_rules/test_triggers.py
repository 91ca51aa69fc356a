"""Trigger sets: read with their sources, refused where entries disagree, never quieter than they are."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest

from headstock.base.errors import ContentError, InputError
from headstock.local_rules.events import DUE_TESTS, EVENTS, FACTS, NUMBER_FACTS, SO_FACTS, DueTest, Event, NumberFact, SoFact
from headstock.local_rules.triggers import BUILT_IN, TriggerSet, load_trigger_set

HEAD = """headstock: trigger set 1
name: Somewhere
edition: "1"
invented: true
for_use: true
lacks: []
sources:
  demo: {text: Invented, edition: "1", status: invented}
  told: {text: As told, edition: none, status: second-hand}
triggers:
"""


def written(folder: Path, *entries: str, head: str = HEAD) -> TriggerSet:
    text = head + "".join(f"  - {{{entry}, words: why not, source: demo}}\n" for entry in entries)
    (folder / "set.yaml").write_text(text, encoding="utf-8")
    return load_trigger_set(folder / "set.yaml")


def test_every_event_fact_and_test_has_its_meaning() -> None:
    for names, meanings in ((Event, EVENTS), (NumberFact, NUMBER_FACTS), (SoFact, SO_FACTS), (DueTest, DUE_TESTS)):
        assert set(get_args(names)) == set(meanings)
    units = (("_min", "[min]"), ("_m", "[m]"), ("_per_mille", "[per mille]"))
    for name, meaning in FACTS.items():
        unit = next((unit for ending, unit in units if name.endswith(ending)), None)
        assert unit is None or unit in meaning


@pytest.mark.parametrize("path", sorted(BUILT_IN.glob("*.yaml")), ids=lambda path: path.stem)
def test_a_built_in_set_is_either_invented_or_an_example_that_names_what_it_lacks(path: Path) -> None:
    triggers = load_trigger_set(path)
    assert triggers.invented is triggers.for_use is (path.stem == "wending-vale")
    assert triggers.for_use or (triggers.lacks and triggers.name.startswith("Example: "))
    statuses = {triggers.sources[entry.source].status for entry in triggers.triggers}
    assert statuses <= ({"invented", "common practice"} if triggers.invented else {"read", "second-hand", "from memory"})


def test_the_invented_set_speaks_of_every_event() -> None:
    triggers = load_trigger_set(BUILT_IN / "wending-vale.yaml")
    assert [event for event in EVENTS if not triggers.after(event)] == []


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("test: none", "test: continuity"),
        ("test: full", "test: continuity"),
        ("test: none, when: [{fact: stood_min, over: 30}]", "test: cab, when: [{fact: stood_min, under: 60}]"),
        ("test: none, when: [{fact: stood_min, at_most: 60}]", "test: full, when: [{fact: stood_min, at_least: 60}]"),
        ("test: full", "test: continuity, when: [{fact: unaltered, so: true}]"),
        ("test: none, when: [{fact: unaltered, so: true}]", "test: full, when: [{fact: stood_min, over: 60}]"),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_two_entries_that_disagree_are_both_named_with_their_lines(first: str, second: str, turned: bool, tmp_path: Path) -> None:
    entries = [f"key: one, after: [stood, crew changed], {first}", f"key: other, after: [stood], {second}"]
    with pytest.raises(ContentError) as caught:
        written(tmp_path, *(reversed(entries) if turned else entries))
    (fault,) = caught.value.faults
    assert "entries " in fault.what and "disagree after: stood" in fault.what
    assert "one (line 11" in fault.what or "one (line 12" in fault.what
    assert "other (line 11" in fault.what or "other (line 12" in fault.what
    assert (fault.line, fault.path) == (12, "triggers[1]")
    assert fault.expected == "conditions that keep them apart, or the narrower one stricter"


@pytest.mark.parametrize(
    ("first", "second"),
    [
        ("test: continuity", "test: full, when: [{fact: places_joined, over: 2}]"),
        ("test: none", "test: full, when: [{fact: places_joined, over: 2}]"),
        ("test: none, when: [{fact: stood_min, under: 60}]", "test: full, when: [{fact: stood_min, at_least: 60}]"),
        ("test: none, when: [{fact: stood_min, at_most: 60}]", "test: full, when: [{fact: stood_min, over: 60}]"),
        ("test: none, when: [{fact: unaltered, so: true}]", "test: full, when: [{fact: unaltered, so: false}]"),
        ("test: continuity, when: [{fact: unaltered, so: true}]", "test: full, when: [{fact: stood_min, over: 60}]"),
        ("test: none", "test: running"),
        ("test: continuity", "test: full, covers: what was added"),
    ],
)
@pytest.mark.parametrize("turned", [False, True])
def test_entries_that_can_both_be_meant_are_taken(first: str, second: str, turned: bool, tmp_path: Path) -> None:
    entries = [f"key: one, after: [stood], {first}", f"key: other, after: [stood], {second}"]
    assert len(written(tmp_path, *(reversed(entries) if turned else entries)).triggers) == 2


def test_entries_of_unlike_events_never_disagree(tmp_path: Path) -> None:
    written(tmp_path, "key: one, after: [stood], test: none", "key: other, after: [crew changed], test: full")


@pytest.mark.parametrize(
    ("entry", "path", "words"),
    [
        ("key: a, after: [stod], test: full", "triggers[0].after[0]", "nearest stood"),
        ("key: a, after: [], test: full", "triggers[0].after", "at least one"),
        ("key: a, after: [stood], test: ful", "triggers[0].test", "nearest full"),
        ("key: a, after: [stood], test: full, when: [{fact: stod_min, over: 3}]", "triggers[0].when[0].fact", "stood_min"),
        ("key: a, after: [stood], test: full, when: [{fact: stood_min, so: true}]", "triggers[0].when[0]", "is a number"),
        ("key: a, after: [stood], test: full, when: [{fact: stood_min, over: 3, under: 9}]", "triggers[0].when[0]", "say one of"),
        ("key: a, after: [stood], test: full, when: [{fact: unaltered, over: 3}]", "triggers[0].when[0]", "so: true or"),
        ("key: a, after: [stood], test: full, when: [{fact: unaltered}]", "triggers[0].when[0]", "so: true or"),
        ("key: a, after: [stood], test: full, when: [{fact: stood_min, over: 60}, {fact: stood_min, at_most: 60}]",
         "triggers[0].when", "can never hold together"),
        ("key: a, after: [stood], test: full, when: [{fact: unaltered, so: true}, {fact: unaltered, so: false}]",
         "triggers[0].when", "unaltered so and unaltered not so"),
    ],
)  # fmt: skip
def test_a_wrong_entry_is_told_at_its_line(entry: str, path: str, words: str, tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        written(tmp_path, entry)
    (fault,) = caught.value.faults
    assert (fault.path, fault.line) == (path, 11)
    assert words in fault.text()


def test_a_name_twice_is_told_with_both_lines(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="entry one twice, also on line 11") as caught:
        written(tmp_path, "key: one, after: [stood], test: full", "key: one, after: [crew changed], test: full")
    assert [fault.line for fault in caught.value.faults] == [12]


@pytest.mark.parametrize("status", ["second-hand", "from memory"])
def test_a_set_for_use_rests_on_no_source_that_nobody_has_read(status: str, tmp_path: Path) -> None:
    head = HEAD.replace("status: invented", f"status: {status}")
    with pytest.raises(ContentError, match=f"an entry known {status} only, in a set for use") as caught:
        written(tmp_path, "key: one, after: [stood], test: full", head=head)
    assert caught.value.faults[0].expected == "a source somebody has read, or for_use: false"
    example = head.replace("for_use: true", "for_use: false").replace("lacks: []", "lacks: [much]")
    assert not written(tmp_path, "key: one, after: [stood], test: full", head=example).for_use


def test_an_example_is_never_complete(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="an example is never complete"):
        written(tmp_path, "key: one, after: [stood], test: full", head=HEAD.replace("for_use: true", "for_use: false"))


def test_a_source_that_is_not_listed_is_told(tmp_path: Path) -> None:
    with pytest.raises(ContentError, match="source not listed"):
        written(tmp_path, "key: one, after: [stood], test: full", head=HEAD.replace("demo: {", "dema: {"))
