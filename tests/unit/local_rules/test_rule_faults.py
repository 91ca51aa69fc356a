"""Entries of local rules that contradict one another: each named with its line and the cure."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from headstock.base.errors import ContentError, InputError
from headstock.equipment.library import load_fleet
from headstock.local_rules.rules import BUILT_IN, load_local_rules
from headstock.local_rules.triggers import BUILT_IN as TRIGGERS
from headstock.local_rules.triggers import built_in_names
from headstock.usecases.job_file import events_of, load_job
from headstock.usecases.read_files import read_files
from tests.cases.jobs import DEMO, SECOND

TEXT = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
MASS = "    - {what: mass, how: told, to: yard control"


def faults_of(folder: Path, before: str, after: str) -> list[tuple[str, str, str]]:
    """Path, whole text, and the line of the file that each fault points to."""
    assert before in TEXT
    text = TEXT.replace(before, after, 1)
    (folder / "rules.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        load_local_rules(folder / "rules.yaml")
    lines = text.splitlines()
    return [(fault.path, fault.text(), lines[(fault.line or 0) - 1]) for fault in caught.value.faults]


@pytest.mark.parametrize(
    ("before", "after", "path", "words", "line"),
    [
        ("may_go_between: {value: [shunter, guard]", "may_go_between: {value: [shunter]", "duties.goes_between.value[1]",
         "the guard goes between and may not", "goes_between"),
        ("goes_between: {value: [shunter, guard]", "goes_between: {value: [driver]", "duties.goes_between.value[0]",
         "one of may_go_between (shunter, guard), or driver among them", "goes_between"),
        ("counted_down_m: {value: [15, 10, 5]", "counted_down_m: {value: [5, 10, 15]", "approach.counted_down_m",
         "must come closer and closer; found [5.0, 10.0, 15.0]", "counted_down_m"),
        ("counted_down_m: {value: [15, 10, 5]", "counted_down_m: {value: [25, 10, 5]", "approach.counted_down_m.value",
         "at most 20 m, as approach.waits_m says", "counted_down_m"),
        ("counted_down_m: {value: [15, 10, 5]", "counted_down_m: {value: [15, 10.01, 10]", "approach.counted_down_m.value",
         "two distances are both said as 10.0 m", "counted_down_m"),
        ("rigid knuckle: [1.5, 0.5]", "rigid knuckle: [0.52, 0.5]", "approach.stops_m.value", "both said as 0.5 m", "rigid"),
        ("rigid knuckle: [1.5, 0.5]", "rigid knuckle: [21, 0.5]", "approach.stops_m.value", "farther off than where", "rigid"),
        ("lost_contact: {value: stop", "lost_contact: {value: go on", "approach.lost_contact.value", "stop", "lost_contact"),
        ("most_between: {value: 1", "most_between: {value: 0", "most_between.value", "at least 1", "most_between"),
        ("come_on: {hand: arm raised and lowered", "come_on: {hand: One arm swung  low across",
         "signals.value.come_on.hand", "come on, by hand, as stop on line", "come_on"),
        ("    stop: {hand", "    apply: {}\n    stop: {hand", "signals.value.apply", "say at least one", "apply"),
        ("    stop: {hand", "    come_an: {hand", "signals.value.stop", "missing", "value:"),
        (MASS, MASS.replace("mass", "length"), "tell_afterwards.value[2]", "length to yard control twice, also on", "length"),
        ('words: "Mass {value}."', 'words: "Mass {mass}."', "tell_afterwards.value[2].words", "filled in is {value}", "Mass"),
        ('words: "Mass {value}."', 'words: "Mass {value."', "tell_afterwards.value[2].words", "stands alone", "Mass"),
        ("what: mass", "what: maas", "tell_afterwards.value[2].what", "nearest mass", "maas"),
        ("triggers: wending-vale", "triggers: wendig-vale", "triggers", "nearest wending-vale", "triggers"),
        ("triggers: wending-vale", "triggers: example-germany", "triggers", "a trigger set with for_use: true", "triggers"),
        ("triggers: wending-vale\n", "", "triggers", "missing", "headstock"),
    ],
)  # fmt: skip
def test_a_contradiction_is_told_at_its_line_with_the_cure(
    before: str, after: str, path: str, words: str, line: str, tmp_path: Path
) -> None:
    found = [fault for fault in faults_of(tmp_path, before, after) if fault[0].startswith(path)]
    assert len(found) == 1
    assert words in found[0][1]
    assert line in found[0][2]


def test_distances_that_differ_in_metres_must_differ_in_feet(tmp_path: Path) -> None:
    text = TEXT.replace("length_unit: m", "length_unit: ft")
    (tmp_path / "metric.yaml").write_text(text, encoding="utf-8")
    load_local_rules(tmp_path / "metric.yaml")
    (tmp_path / "rules.yaml").write_text(text.replace("[2.0, 0.6]", "[0.7, 0.6]"), encoding="utf-8")
    with pytest.raises(ContentError, match="two distances are both said as 2 ft"):
        load_local_rules(tmp_path / "rules.yaml")


def test_several_contradictions_come_at_once(tmp_path: Path) -> None:
    text = TEXT.replace("may_go_between: {value: [shunter, guard]", "may_go_between: {value: [driver]")
    (tmp_path / "rules.yaml").write_text(text.replace("triggers: wending-vale", "triggers: nothing"), encoding="utf-8")
    with pytest.raises(ContentError) as caught:
        load_local_rules(tmp_path / "rules.yaml")
    assert [fault.path for fault in caught.value.faults] == [
        "duties.goes_between.value[0]", "duties.goes_between.value[1]", "triggers",
    ]  # fmt: skip


def test_a_habit_twice_is_refused(tmp_path: Path) -> None:
    ((path, text, _),) = faults_of(
        tmp_path, "levels_without_declaration:",
        "customary_order: {value: [jumpers, lamps, jumpers], source: demo}\nlevels_without_declaration:",
    )  # fmt: skip
    assert (path, "names each thing once" in text) == ("customary_order", True)


def with_triggers(folder: Path, *without: str) -> Path:
    """A job whose rules name a trigger set of their own that has no entries after some events."""
    triggers = (TRIGGERS / "wending-vale.yaml").read_text(encoding="utf-8")
    for event in without:
        triggers = re.sub(rf"(\[[^\]]*?)(, )?{event}(, )?", lambda m: m[1] + ((m[2] and m[3]) or ""), triggers)
    (folder / "own.yaml").write_text(triggers, encoding="utf-8")
    (folder / "rules.yaml").write_text(TEXT.replace("triggers: wending-vale", "triggers: own.yaml"), encoding="utf-8")
    job = DEMO.read_text(encoding="utf-8").replace("local_rules: wending-vale", "local_rules: rules.yaml")
    (folder / "job.yaml").write_text(job, encoding="utf-8")
    return folder / "job.yaml"


def test_the_events_of_a_job_come_from_its_file() -> None:
    assert events_of(load_job(DEMO).job) == ("attached at front", "controlling end changed")
    assert events_of(load_job(SECOND).job) == ("attached at rear", "controlling end changed")
    turned = load_job(DEMO).job.model_copy(update={"leaves_from": "226/2", "controls_afterwards": "217/2"})
    assert events_of(turned) == ("attached at rear",), "217 comes last where 226 leads; the cab is the same"
    assert events_of(turned.model_copy(update={"joints": ()})) == ()


def test_a_trigger_set_that_says_nothing_of_an_event_of_the_job_is_a_fault_of_the_job(tmp_path: Path) -> None:
    assert load_job(with_triggers(tmp_path)).triggers.name == "Wending Vale"
    with pytest.raises(InputError) as caught:
        load_job(with_triggers(tmp_path, "attached at front"))
    (fault,) = caught.value.faults
    assert (fault.path, fault.found) == ("local_rules", "attached at front")
    assert fault.expected == "an entry after attached at front, with test: none where no test is due"
    (read,) = read_files([tmp_path / "job.yaml"], load_fleet())
    assert [fault.found for fault in read.faults] == ["attached at front"]


def test_a_set_for_use_that_leaves_events_out_is_noted_and_an_example_is_not(tmp_path: Path) -> None:
    with_triggers(tmp_path, "attached at front")
    own, example = read_files([tmp_path / "own.yaml", TRIGGERS / "example-india.yaml"], load_fleet())
    assert own.notes == ("no entry after: attached at front",)
    assert example.notes == ()
    assert "example-india" in built_in_names()
