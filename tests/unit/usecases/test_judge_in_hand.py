"""A test in hand is judged as the same readings in a file are, from the first reading on."""

from __future__ import annotations

from pathlib import Path

import pytest

from headstock.brake_test.judge import Judgement
from headstock.equipment.library import load_fleet
from headstock.usecases import test_papers as papers
from headstock.usecases.job_file import JOBS_FOLDER, load_job
from headstock.usecases.judge_in_hand import judge_in_hand, readings_text, released_at, why_not_filed
from headstock.usecases.judge_readings import judge_readings
from headstock.usecases.test_in_hand import TestEvent, fold
from headstock.usecases.test_papers import TestPapers
from headstock.usecases.test_stages import not_before, stages_shown
from headstock.wiring import read_recorder
from tests.cases.tests_in_hand import event, good_test

T = "test-demo-1"
FLEET = load_fleet(None)
PAPERS: TestPapers = papers.test_papers(load_job(JOBS_FOLDER / "demo-attach.yaml"), FLEET)


def judged(events: list[TestEvent], expected: dict[str, tuple[float, float]] | None = None) -> Judgement:
    found = judge_in_hand(fold(events, PAPERS.stages, T), PAPERS, expected or {})
    assert found.judgement is not None and found.faults == ()
    return found.judgement


def test_a_whole_good_test_says_what_the_same_file_says(tmp_path: Path) -> None:
    hand = fold(good_test(T), PAPERS.stages, T)
    (tmp_path / "job.yaml").write_bytes((JOBS_FOLDER / "demo-attach.yaml").read_bytes())
    (tmp_path / "test.yaml").write_text(readings_text(hand, PAPERS, "job.yaml"), encoding="utf-8")
    assert judge_readings(tmp_path / "test.yaml", FLEET, read_recorder).judgement == judged(good_test(T))
    assert judged(good_test(T)).verdict == "within limits"


def test_each_reading_has_its_verdict_at_once() -> None:
    assert judge_in_hand(fold(good_test(T, 0), PAPERS.stages, T), PAPERS, {}).judgement is None
    states = [[one.state for one in judged(good_test(T, upto)).readings] for upto in (1, 2, 5)]
    assert states[0] == ["not yet"] * 5
    assert states[1] == ["within limits", *["not yet"] * 4]
    assert states[2] == ["within limits", "within limits", *["not yet"] * 3]


def test_a_reading_outside_its_limit_is_not_within_limits_and_doubt_changes_nothing() -> None:
    events = [*good_test(T, 4), event(T, 370, "reading", "P. Oad", stage="rear applied", shows="3.8", unit="bar")]
    assert judged(events).readings[1].state == "not within limits"
    doubted = judged(good_test(T, 5), {"rear applied": (3.0, 3.2)}).readings[1]
    assert doubted.state == "within limits" and any("forecast" in remark for remark in doubted.remarks)


def test_readings_that_differ_are_not_judged_and_not_filed() -> None:
    events = [*good_test(T), event(T, 371, "reading", "J. Tolk", stage="rear applied", shows="3.6", unit="bar", phone="b")]
    hand = fold(events, PAPERS.stages, T)
    assert judged(events).verdict == "not yet"
    assert "3.4 bar by P. Oad" in why_not_filed(hand)[0] and "3.6 bar by J. Tolk" in why_not_filed(hand)[0]


@pytest.mark.outside(source="common practice, no source", status="common practice")
def test_a_touch_makes_it_void_but_for_the_touches_of_the_method() -> None:
    touched = event(T, 375, "touched", "J. Tolk", device="217/2.brake_pipe_cock")
    part = event(T, 365, "touched", "P. Oad", device="226/2.brake_valve", part_of="rear valve unlocked")
    assert judged([*good_test(T), part]).verdict == "within limits"
    void = judged([*good_test(T), part, touched])
    assert void.verdict == "not yet" and [one.device for one in void.void_by] == ["217/2.brake_pipe_cock"]


def test_a_stage_that_cannot_be_read_lets_nothing_pass() -> None:
    events = [one for one in good_test(T) if (one.what, one.stage) != ("reading", "rear applied")]
    events.append(event(T, 371, "cannot read", "P. Oad", stage="rear applied"))
    assert judged(events).verdict == "not yet"


def test_a_second_try_counts_from_when_the_first_was_released() -> None:
    assert released_at(fold(good_test(T, 2), PAPERS.stages, T), PAPERS) is None
    first = fold(good_test(T, 12), PAPERS.stages, T)
    assert released_at(first, PAPERS) == "2026-01-20 10:07:40"
    assert 'earlier_released: "2026-01-20 10:07:40"' in readings_text(first, PAPERS, "job.yaml", "2026-01-20 10:07:40")


def test_the_staff_has_the_marks_of_the_gauge_and_the_limits_of_the_rules() -> None:
    record = judge_in_hand(fold(good_test(T, 8), PAPERS.stages, T), PAPERS, {}).record
    staffs = {one.key: one.staff for one in stages_shown(PAPERS, (), record, {"no rise": (-0.2, 0.1)})}
    charged, applied, fallen, rise = (staffs[key] for key in ("rear charged", "rear applied", "front fallen", "no rise"))
    assert charged is not None and applied is not None and fallen is not None and rise is not None
    assert charged.figures[:3] == ("0", "0.2", "0.4") and charged.figures[-1] == "10"
    assert (charged.edges, applied.edges, fallen.edges) == (("4.8", ""), ("", "3.6"), ("", "3.7"))
    assert rise.edges == ("", "3.5"), "0.1 above the 3.4 that was read before"
    assert rise.expected == pytest.approx((16.0, 17.5)), "3.2 to 3.5 in marks of 0.2"
    assert all(float(one.figures[one.begins]) > 3.7 for one in (applied, fallen)) and charged.figures[charged.begins] == "4.6"


def test_what_cannot_be_known_before_another_gauge_is_read_has_no_brackets() -> None:
    staffs = {one.key: one.staff for one in stages_shown(PAPERS, (), None, {})}
    assert staffs["no rise"] is not None and staffs["no rise"].within is None
    assert staffs["rear charged"] is not None and staffs["rear charged"].edges == ("4.8", "")


def test_nothing_is_read_before_what_the_rules_ask_to_wait() -> None:
    stages = stages_shown(PAPERS, (), None, {})
    waits = not_before(stages, fold(good_test(T, 12), PAPERS.stages, T))
    assert (waits[1], waits[2], waits[6], waits[8]) == ("10:04:05", "", "10:07:10", "10:11:40")
