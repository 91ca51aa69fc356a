"""What a train with something wrong shows, after the tables of cocks at a joint; records that cannot be so, or be meant."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from headstock.base.errors import ContentError
from headstock.brake_test.judge import judge
from tests.cases.records import FREIGHT, MULTIPLE_UNIT, Row, clock, judged, record_text
from tests.cases.test_judged_tests import D, G, rear

REAR = "rear-application"
COMMON = "common practice, no source"


@pytest.mark.outside(source=COMMON, status="common practice")
@pytest.mark.parametrize(
    ("joint", "rows", "outside"),
    [
        ("both open", rear(3.4, 3.4, 3.4, 4.9), []),
        ("near one shut, plain: the far pipe keeps what it had", rear(3.4, 5.0, 5.0, 3.4), ["Applied, front", "Restored, rear"]),
        ("far one shut, vented: the near pipe blows out", rear(3.4, 0.0, 0.0, 3.4), ["Restored, rear"]),
        ("both shut, the far pipe empty", rear(0.0, 5.0, 5.0, 0.0), ["Applied, front", "Restored, rear"]),
        ("half open: slow to fall, still high in front", rear(3.4, 4.1, 4.1, 4.9), ["Applied, front"]),
        ("a second valve feeds: the drop fills up again", rear(3.4, 3.4, 4.9, 4.9), ["Rise, front"]),
        ("hoses crossed, main reservoir in the pipe", rear(5.0, 5.0, 5.0, 4.9), ["Applied, rear", "Applied, front"]),
        ("an isolated brake: a gauge of the pipe does not see it", rear(3.4, 3.4, 3.4, 4.9), []),
        ("the main reservoir cock shut: neither does it see that", rear(3.4, 3.4, 3.4, 4.9), []),
    ],
)
def test_a_joint_that_is_not_through_is_not_within_limits(
    joint: str, rows: list[Row], outside: list[str], tmp_path: Path
) -> None:
    answer = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rows)).judgement
    found = [reading.name for reading in answer.readings if reading.state == "not within limits"]
    assert (answer.verdict, found) == ("not within limits" if outside else "within limits", outside), joint


GOOD = rear(3.4, 3.4, 3.4, 4.9)


def with_row(place: int, row: Row) -> list[Row]:
    return [*GOOD[:place], row, *GOOD[place + 1 :]]


@pytest.mark.parametrize(
    ("rows", "more", "said"),
    [
        (with_row(1, ("rear charged", G, 100, "5.0 bar")), "", "100 s after charging began"),
        (with_row(4, ("front fallen", G, 350, "3.4 bar")), "", "cannot have gone 90 m from the rear to the front in 11 s"),
        (with_row(1, ("rear charged", G, 300, "5.0 bar", {"gauge": "brake cylinder"})), "", "not on the brake cylinder"),
        (with_row(1, ("rear charged", G, 300, "5.0 bar", {"at": "front"})), "", "read at the rear, not at the front"),
        (with_row(1, ("rear charged", G, 300, "72 bar")), "", "in psi"),
        (with_row(1, ("rear charged", G, 300, "4.9 psi")), "", "4.9 bar would be near the limit"),
        (with_row(3, ("rear applied", G, 340, "49 psi")), "", "read in bar and in psi"),
        (GOOD, f"earlier_released: {clock(200)}\n", "direct release"),
    ],
)
def test_the_impossible_is_refused_with_its_cure(rows: list[Row], more: str, said: str, tmp_path: Path) -> None:
    answer = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rows, more)).judgement
    assert answer.verdict == "refused"
    assert answer.readings == ()
    assert said in " ".join(refusal.what for refusal in answer.refusals)
    assert all(refusal.cure and refusal.line for refusal in answer.refusals)


def test_a_second_try_on_graduated_brakes_is_not_refused_for_their_reservoirs(tmp_path: Path) -> None:
    train = {**MULTIPLE_UNIT, "releases": ["graduated"]}
    more = f"earlier_released: {clock(200)}\n"
    assert judged(tmp_path, record_text(REAR, train, GOOD, more)).judgement.verdict == "within limits"


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        ("stage: lapped", "stage: laped", "no such stage in the method"),
        ('time: "10:05:40"', 'time: "10:03:00"', "out of order"),
        ("shows: 5.0, unit: bar", "shows: 5.0, unit: cfm", "wrong unit for the brake pipe"),
        ("shows: 5.0, unit: bar", "shows: 5.0", "wrong unit for the brake pipe"),
        (", shows: 5.0, unit: bar", "", "no figure"),
        ('time: "10:05:00"', 'time: "2026-05-01 10:05:00"', "clocks mixed"),
        ('time: "10:05:00"', 'clock: tower, time: "10:05:00"', "clocks mixed"),
        ('time: "10:05:00"', 'time: "10.05"', "time not understood"),
        ('rules_edition: "3"', 'rules_edition: "2"', "another edition"),
        ("shows: 5.0", "shows: -1.0", "below nothing"),
        ("method: rear-application", "method: rear-aplication", "test method not found"),
        ("stage: rear charged", "stage: charged", "nothing is read in the stage charged"),
    ],
)
def test_a_record_that_cannot_be_meant_is_refused_and_nothing_judged(before: str, after: str, said: str, tmp_path: Path) -> None:
    from headstock.base.errors import InputError

    text = record_text(REAR, MULTIPLE_UNIT, GOOD)
    assert before in text
    with pytest.raises(InputError) as caught:
        judged(tmp_path, text.replace(before, after, 1))
    assert said in caught.value.text()


def test_a_stage_left_out_between_is_named_with_its_line(tmp_path: Path) -> None:
    rows = [row for row in GOOD if row[0] != "front fallen"]
    with pytest.raises(ContentError, match="missing stage before rear shut") as caught:
        judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rows))
    assert caught.value.cure.startswith("Nothing was judged")
    assert caught.value.faults[0].line is not None


def test_two_clocks_whose_difference_is_known_are_one_clock(tmp_path: Path) -> None:
    rows = [(*row[:3], *row[3:]) for row in GOOD]
    text = record_text(REAR, MULTIPLE_UNIT, rows, "clocks: {tower: 0, own: -3600}\n")
    lines = text.splitlines()
    for number, line in enumerate(lines):
        if "who: guard" in line:
            lines[number] = line.replace('time: "10:', 'clock: own, time: "11:')
        elif "who: driver" in line:
            lines[number] = line.replace("time:", "clock: tower, time:")
    assert judged(tmp_path, "\n".join(lines) + "\n").judgement.verdict == "within limits"


def test_a_creeping_gauge_after_a_fast_exhaust_is_no_refill_until_it_goes_on(tmp_path: Path) -> None:
    """Read 10 s after the exhaust, 20 s are needed; 0.3 is less than the 0.39 that warming can make."""
    early = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rear(3.4, 3.4, 3.7, 4.9))).judgement
    assert early.verdict == "not yet"
    far = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rear(3.4, 3.4, 4.2, 4.9))).judgement
    assert far.verdict == "not within limits"
    settled = [*rear(3.4, 3.4, 3.4, 4.9)]
    settled[6:7] = [("no rise", D, 395, "3.6 bar"), ("no rise", D, 430, "3.6 bar")]
    settled[8:] = [("restored", D, 440), ("rear restored", G, 700, "4.9 bar")]
    assert judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, settled)).judgement.verdict == "within limits"
    settled.insert(7, ("no rise", D, 410, "4.0 bar"))
    up_and_down = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, settled)).judgement
    assert up_and_down.verdict == "not within limits", "the farthest look counts, not the last"
    del settled[7]
    settled[7] = ("no rise", D, 430, "3.8 bar")
    assert judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, settled)).judgement.verdict == "not within limits"


def test_too_short_a_watch_is_not_yet(tmp_path: Path) -> None:
    rows = with_row(6, ("no rise", D, 380, "3.4 bar"))
    answer = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, rows)).judgement
    assert answer.verdict == "not yet"
    assert "at least 30 s" in answer.reasons[0]


def test_a_floor_above_the_set_pressure_is_not_applicable_and_shows_nothing(tmp_path: Path) -> None:
    train = {**MULTIPLE_UNIT, "set_pressure_bar": 4.5}
    rows = [(row[0], row[1], row[2], *(["4.4 bar"] if row[3:] in (("5.0 bar",), ("4.9 bar",)) else row[3:])) for row in GOOD]
    answer = judged(tmp_path, record_text(REAR, train, rows)).judgement
    states = [reading.state for reading in answer.readings]
    assert states == ["not applicable", "within limits", "within limits", "within limits", "not applicable"]
    assert answer.verdict == "not yet", "nothing shows the way from front to rear"


def test_within_limits_and_outside_the_forecast_is_within_limits_with_a_remark(tmp_path: Path) -> None:
    record = judged(tmp_path, record_text(REAR, MULTIPLE_UNIT, GOOD)).record
    plain, remarked = judge(record), judge(replace(record, expected_bar={"front fallen": (3.5, 3.7)}))
    assert (plain.verdict, remarked.verdict) == ("within limits", "within limits")
    said = next(reading for reading in remarked.readings if reading.stage == "front fallen").remarks
    assert any("outside what a healthy train is forecast to show" in remark for remark in said)


def test_a_gauge_s_marks_and_class_are_remarked_on_and_do_not_decide(tmp_path: Path) -> None:
    train = {**MULTIPLE_UNIT, "gauges": ["{at: rear, reads: brake pipe, range_high_bar: 10, graduation_bar: 0.2, "
                                         "accuracy_class_percent: 1.6}"]}  # fmt: skip
    answer = judged(tmp_path, record_text(REAR, train, with_row(1, ("rear charged", G, 300, "4.87 bar")))).judgement
    assert answer.verdict == "within limits"
    assert len(answer.readings[0].remarks) == 2


def test_an_example_says_that_it_is_none_for_use(tmp_path: Path) -> None:
    rows = [("charged", D, 0), ("rear charged", G, 300, "88 psi"), ("flow", D, 320, "10 cfm")]
    answer = judged(tmp_path, record_text("example-leak-by-flow-freight", FREIGHT, rows)).judgement
    assert "not for use" in " ".join(answer.remarks)
