"""Tests due: every entry that fired and why; unknown or unsaid is not decided, never quietly none."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import InputError
from headstock.local_rules.condition import Condition, Value, both, can_hold, is_within, spans_of
from headstock.local_rules.events import EVENTS, FACTS, IS_NUMBER, STRICTNESS, Event, FactName
from headstock.local_rules.tests_due import EXAMPLE, RUNNING_TEST_BLIND, VOIDED, TestsDueResult
from headstock.local_rules.tests_due import tests_due as due_after
from headstock.local_rules.triggers import BUILT_IN, load_trigger_set

SETS = {path.stem: load_trigger_set(path) for path in sorted(BUILT_IN.glob("*.yaml"))}
OURS = SETS["wending-vale"]
TOLD: dict[str, Value] = {"places_joined": 1.0, "added_tested": True}


def due(name: str, *events: Event, **facts: Value) -> TestsDueResult:
    return due_after(events, facts, SETS[name])


def test_an_attachment_asks_for_a_continuity_test_and_says_why() -> None:
    result = due("wending-vale", "attached at rear", **TOLD)
    assert result.answer == "yes"
    assert [(test.test, test.covers, test.asked_by) for test in result.due] == [("continuity", "the whole train", ("attached",))]
    assert [(entry.key, entry.because, entry.source.status) for entry in result.fired] == [
        ("attached", ("attached at rear",), "invented")
    ]


def test_the_stricter_test_stands_for_the_milder_one() -> None:
    result = due("wending-vale", "attached at front", places_joined=3.0, added_tested=True)
    assert [(test.test, test.asked_by) for test in result.due] == [("full", ("attached", "attached at many places"))]
    assert result.fired[1].because == ("attached at front", "places_joined over 2: it is 3")


def test_what_is_unknown_and_could_change_the_answer_is_asked_for() -> None:
    result = due("wending-vale", "attached at rear")
    assert (result.answer, result.missing) == ("not decided", ("places_joined", "added_tested"))
    assert [test.test for test in result.due] == ["continuity"], "due whatever the rest is"


def test_what_is_unknown_and_could_change_nothing_is_not_asked_for() -> None:
    result = due("wending-vale", "newly formed", "attached at rear", added_tested=True)
    assert (result.answer, result.missing) == ("yes", ())
    assert [test.test for test in result.due] == ["full"]


def test_no_test_is_due_only_where_an_entry_says_so() -> None:
    said = due("example-germany", "detached at rear")
    assert (said.answer, said.due, [entry.key for entry in said.fired]) == ("no", (), ["off the rear"])
    unsaid = due("example-germany", "crew changed")
    assert (unsaid.answer, unsaid.silent) == ("not decided", ("crew changed",))
    outside = due("example-india", "stood", stood_min=20.0)
    assert (outside.answer, outside.silent) == ("not decided", ("stood",)), "no entry for a short stop"
    assert due_after((), {}, OURS).answer == "not decided"


def test_what_is_due_anyhow_decides_also_where_another_event_is_open() -> None:
    result = due("example-us-passenger", "detached at rear", "crew changed")
    assert (result.answer, result.missing) == ("yes", ()), "a continuity test is due whoever relieved whom"
    result = due("example-germany", "attached at rear", "stood", places_joined=1.0, stood_min=20.0)
    assert result.answer == "yes", "a cab test or a continuity test: the continuity test is due anyhow"


def test_an_event_of_which_the_set_may_be_silent_is_open_even_where_the_test_it_may_ask_for_is_due_anyhow() -> None:
    result = due("example-india", "attached at rear", "stood")
    assert (result.answer, result.missing, [test.test for test in result.due]) == ("not decided", ("stood_min",), ["continuity"])
    assert due("example-india", "attached at rear", "stood", stood_min=31.0).answer == "yes"


@pytest.mark.parametrize(("in_use", "words"), [(True, "automatic brake alone"), (None, "not known here"), (False, "")])
def test_a_running_test_with_an_electric_brake_in_use_proves_nothing_about_the_pipe(in_use: bool | None, words: str) -> None:
    facts: dict[str, Value] = {} if in_use is None else {"electric_brake_in_use": in_use}
    notes = [note for note in due("wending-vale", "standing test passed", **facts).notes if RUNNING_TEST_BLIND in note]
    assert len(notes) == (in_use is not False)
    assert all(words in note for note in notes)
    still = due("wending-vale", "cock touched", **facts)
    assert not [note for note in still.notes if RUNNING_TEST_BLIND in note], "no running test, no word of it"


@pytest.mark.parametrize("name", sorted(SETS))
def test_every_answer_says_that_a_touch_voids_a_test_and_whether_the_set_is_an_example(name: str) -> None:
    notes = due(name, "attached at rear").notes
    assert VOIDED in notes
    assert (EXAMPLE in notes) is (name != "wending-vale")
    assert [note for note in notes if note.startswith("The set lacks: ")] == [f"The set lacks: {x}" for x in SETS[name].lacks]


def test_unknown_names_and_wrong_values_come_all_at_once() -> None:
    with pytest.raises(InputError) as caught:
        due_after(["attached at reer"], {"stood_mins": 3.0, "stood_min": True, "unaltered": 1.0, "off_air_min": -1.0}, OURS)  # type: ignore[list-item]
    assert [fault.nearest or fault.expected for fault in caught.value.faults] == [
        "attached at rear", "stood_min", "a number of 0 or more", "true or false", "a number of 0 or more",
    ]  # fmt: skip


VALUES: dict[str, st.SearchStrategy[Value]] = {
    name: st.sampled_from([0.0, 1.0, 2.0, 3.0, 15.9, 16.0, 30.0, 60.0, 61.0, 240.0, 720.0, 721.0, 1440.0, 2000.0, 3000.0])
    if name in IS_NUMBER else st.booleans()
    for name in FACTS
}  # fmt: skip


@given(
    name=st.sampled_from(sorted(SETS)), events=st.lists(st.sampled_from(sorted(EVENTS)), min_size=1, max_size=3, unique=True),
    facts=st.fixed_dictionaries({}, optional=VALUES), rest=st.fixed_dictionaries(VALUES),
)  # fmt: skip
def test_more_knowledge_never_takes_back_what_was_due_and_never_turns_an_answer(
    name: str, events: list[Event], facts: dict[str, Value], rest: dict[str, Value]
) -> None:
    little, all_known = due_after(events, facts, SETS[name]), due_after(events, {**rest, **facts}, SETS[name])
    assert all_known.may_fire == ()
    for test in little.due:
        least = STRICTNESS.get(test.test)
        assert any(
            more.covers == test.covers
            and (more.test == test.test or (least is not None and STRICTNESS.get(more.test, -1) > least))
            for more in all_known.due
        )
    if little.answer != "not decided":
        assert {(t.test, t.covers) for t in all_known.due} == {(t.test, t.covers) for t in little.due}
        assert all_known.answer == little.answer


SPANS = st.lists(
    st.tuples(st.sampled_from(["over", "at_least", "under", "at_most"]), st.sampled_from([1.0, 2.0, 3.0])), max_size=3
)
POINTS = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5]


@given(first=SPANS, second=SPANS)
def test_spans_say_what_trying_every_value_says(first: list[tuple[str, float]], second: list[tuple[str, float]]) -> None:
    fact: FactName = "stood_min"
    a, b = ([Condition.model_validate({"fact": fact, way: at}) for way, at in ways] for ways in (first, second))
    holds_a, holds_b = ({p for p in POINTS if all(c.holds(p) for c in ways)} for ways in (a, b))
    if can_hold(spans_of(a)) and can_hold(spans_of(b)):
        assert is_within(spans_of(a), spans_of(b)) is (holds_a <= holds_b)
    assert can_hold(both(spans_of(a), spans_of(b))) is bool(holds_a & holds_b)


def test_a_file_of_one_entry_is_enough(tmp_path: Path) -> None:
    text = (BUILT_IN / "wending-vale.yaml").read_text(encoding="utf-8")
    head, _, tail = text.partition("triggers:\n")
    (tmp_path / "one.yaml").write_text(f"{head}triggers:\n{''.join(tail.splitlines(keepends=True)[:2])}", encoding="utf-8")
    only = load_trigger_set(tmp_path / "one.yaml")
    assert due_after(["cock touched"], {}, only).silent == ("cock touched",)


@pytest.mark.outside(source="49 CFR 238.317", clause="(a)", status="read")
@pytest.mark.parametrize(("event", "facts", "answer"), [
    ("detached at rear", {}, "yes"), ("detached in the middle", {}, "yes"),
    ("controlling end changed", {"terminal_only": False}, "yes"), ("crew changed", {"face_to_face": False}, "yes"),
    ("crew changed", {"face_to_face": True}, "no"), ("crew changed", {}, "not decided"),
])  # fmt: skip
def test_passenger_equipment_is_tested_for_continuity_when_the_text_says_so(
    event: Event, facts: dict[str, Value], answer: str
) -> None:
    result = due("example-us-passenger", event, **facts)
    assert result.answer == answer
    assert ("continuity" in {test.test for test in result.due}) is (answer == "yes")


@pytest.mark.outside(source="49 CFR 238.313", clause="(c)", status="read")
@pytest.mark.parametrize(("tested", "off_air_min", "tests"), [
    (True, 239.0, {("continuity", "the whole train")}), (True, 241.0, {("full", "what was added")}),
    (False, 239.0, {("full", "what was added")}), (False, 241.0, {("full", "what was added")}),
])  # fmt: skip
def test_an_added_vehicle_needs_its_own_test_when_it_was_not_tested_or_four_hours_off_air(
    tested: bool, off_air_min: float, tests: set[tuple[str, str]]
) -> None:
    result = due("example-us-passenger", "attached at rear", added_tested=tested, off_air_min=off_air_min)
    assert {(test.test, test.covers) for test in result.due} == tests


@pytest.mark.outside(source="49 CFR 238.315", clause="(a)(1)", status="read")
@pytest.mark.parametrize(("recent", "unused", "on_air"), list(product([True, False], repeat=3)))
def test_the_morning_test_is_waived_only_when_all_three_hold(recent: bool, unused: bool, on_air: bool) -> None:
    result = due("example-us-passenger", "taken into service", full_test_age_min=719.0 if recent else 721.0, unused=unused,
                 off_air_min=239.0 if on_air else 241.0, full_test_today=True)  # fmt: skip
    assert (result.answer == "no") is (recent and unused and on_air)
