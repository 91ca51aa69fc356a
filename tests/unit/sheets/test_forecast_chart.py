"""What the forecast says on paper: figures in people's unit, limits that decide, a sentence for each fault."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.brake_test.forecast import Forecast, ForecastReading
from headstock.sheets.compose import sheet_of
from headstock.sheets.forecast_chart import forecast_chart, groups_drawn
from headstock.sheets.forecast_content import ForecastChart
from headstock.sheets.forecast_figures import GaugeSeen, figure_text, is_close_call, nearest_mark
from headstock.sheets.forecast_words import forecast_data, forecast_text
from tests.cases.jobs import DEMO, planned
from tests.unit.sheets.forecasts import READINGS, STAGES, forecast_case, shut, six_faults, spans, two_faults

FRONT, REAR = GaugeSeen("217/1", 0.0, 0.2), GaugeSeen("226/2", 0.0, 0.2)


def chart(forecast: Forecast | None = None) -> ForecastChart:
    return forecast_chart(forecast or six_faults(), "bar", FRONT, REAR)


def reading(shows_bar: float, limit_bar: float = 3.6) -> ForecastReading:
    within = shows_bar <= limit_bar
    return ForecastReading("rear applied", "Applied, rear", "rear", "rear_full_at_most_bar", limit_bar, shows_bar, within)


def test_every_reading_stands_in_the_order_of_the_test_with_limit_healthy_and_each_fault() -> None:
    rows = chart().rows
    assert [row.name for row in rows] == [name for _, name, *_ in READINGS]
    assert [(row.limit, row.limit_tail) for row in rows] == [
        ("4.8", "or more"), ("3.6", "or less"), ("3.7", "or less"), ("0.1", "or less"), ("4.8", "or more")
    ]  # fmt: skip
    assert all(len(row.shows) == 7 for row in rows)
    assert [figure.text for figure in rows[0].shows] == ["4.98", "2.70", "2.70", "4.20", "4.98", "4.98", "3.60"]


def test_a_figure_is_outside_where_its_limit_says_so_and_nowhere_else() -> None:
    forecast = six_faults()
    for place, row in enumerate(chart(forecast).rows):
        assert [figure.within for figure in row.shows] == [case.readings[place].within for case in forecast.cases]
    assert sum(not figure.within for row in chart(forecast).rows for figure in row.shows) == 4 * 3 + 1


def test_a_sentence_for_each_fault_names_the_readings_that_see_it() -> None:
    said = {fault.name: fault.seen for fault in chart().faults}
    assert said["brake pipe cock of 217/2 shut"] == "Seen at: Charged, rear; Applied, front; Restored, rear."
    leak = said["leak of 0.1 bar a minute in 2173"]
    assert leak == "Not seen by any reading of this test: within limits everywhere."
    assert said["brake pipe choked in 2262"] == "Seen at: Applied, rear (by less than half a mark: look closely)."
    assert [fault.number for fault in chart().faults] == [1, 2, 3, 4, 5, 6]


def test_a_healthy_train_outside_its_limits_is_not_passed_over() -> None:
    assert chart().healthy == "Within limits at every reading."
    slow = replace(six_faults(), cases=(shut("healthy"),))
    assert chart(slow).healthy.startswith("Not within limits at: Charged, rear; Applied, front; Restored, rear.")
    assert chart(slow).faults == ()


def test_the_limits_decide_and_the_forecast_says_that_it_does_not() -> None:
    assert chart().cautions[0] == "The limits and the readings decide, the forecast never does."
    assert all(word in chart().cautions[1] for word in ("leaks", "°C", "gauges"))
    assert "not to one scale" in chart().caption


@pytest.mark.parametrize(("shows_bar", "text"), [(3.5949, "3.59"), (3.5951, "3.60"), (3.6004, "3.6004"), (3.604, "3.604")])
def test_no_figure_is_rounded_to_the_other_side_of_its_limit(shows_bar: float, text: str) -> None:
    assert figure_text(reading(shows_bar), "bar") == text


def test_a_trace_below_nothing_is_nothing_and_a_fall_keeps_its_sign() -> None:
    rise = ForecastReading("no rise", "Rise, front", "front", "rise_at_most_bar", 0.1, -0.001, True)
    assert figure_text(rise, "bar") == "0.00"
    assert figure_text(replace(rise, shows_bar=-0.02), "bar") == "\N{MINUS SIGN}0.02"


def test_the_nearest_mark_is_one_that_the_gauge_has() -> None:
    assert nearest_mark(reading(3.68), "bar", REAR) == "3.6"
    assert nearest_mark(reading(3.71), "bar", REAR) == "3.8"
    assert nearest_mark(reading(-0.3), "bar", REAR) == "0.0"
    assert nearest_mark(reading(3.71), "bar", GaugeSeen("226/2", 0.0, 0.5)) == "3.5"
    assert nearest_mark(reading(3.71), "bar", GaugeSeen()) == ""


def test_outside_by_less_than_half_a_mark_asks_for_a_close_look() -> None:
    assert is_close_call(reading(3.69), REAR)
    assert not is_close_call(reading(3.71), REAR)
    assert not is_close_call(reading(3.59), REAR)
    assert not is_close_call(reading(3.69), GaugeSeen())


def test_in_psi_every_figure_line_and_limit_is_in_psi() -> None:
    in_bar, in_psi = chart(), forecast_chart(six_faults(), "psi", FRONT, REAR)
    bar, psi = in_bar.gauges[1], in_psi.gauges[1]
    factor = 1e5 / 6894.757293168  # pound-force and square inch as they are defined
    assert psi.lines[0].shows == pytest.approx([value * factor for value in bar.lines[0].shows], abs=0.01)
    assert psi.limits[0].levels[0] == pytest.approx(4.8 * factor, abs=0.01)
    assert (psi.title, in_psi.unit) == (("Rear gauge", "cab 226/2", "psi"), "psi")
    assert [row.limit for row in in_psi.rows] == ["69.7", "52.2", "53.6", "1.4", "69.7"], "on the safe side"
    assert in_psi.rows[0].shows[0].text == "72.2"
    assert [mark.within for mark in psi.marks] == [mark.within for mark in bar.marks]


def test_a_rise_is_drawn_from_where_each_line_stood_when_its_stage_began() -> None:
    front = chart(two_faults()).gauges[0]
    rise = next(limit for limit in front.limits if limit.is_rise)
    assert rise.figure == "rise 0.1" and STAGES[rise.stage][0] == "no rise"
    assert rise.levels == pytest.approx((3.4 + 0.1, 5.0 + 0.1, 3.4 + 0.1), abs=0.02)


def test_lines_that_go_together_are_drawn_once_and_at_most_four_faults_are_drawn() -> None:
    assert groups_drawn(six_faults().cases) == ((1, 2), (3,), (4,), (6,))
    many = tuple(shut(f"fault {number}", rear_bar=2.0 + 0.25 * number) for number in range(8))
    groups = groups_drawn((forecast_case("healthy"), *many))
    assert len(groups) == 4 and {1, 8} <= {group[0] for group in groups}
    notes = {fault.number: fault.note for fault in chart().faults}
    assert notes[5] == "reads as healthy, not drawn" and notes[1] == notes[2] == ""


def test_a_fault_that_no_gauge_can_tell_from_healthy_is_not_drawn() -> None:
    made = chart(Forecast(spans(), (forecast_case("healthy"), forecast_case("distributor of 2172 cut out"))))
    assert made.faults[0].drawn_as == 0 and made.faults[0].note == "reads as healthy, not drawn"
    assert [line.numbers for line in made.gauges[0].lines] == [(0,)]


def test_each_gauge_has_the_limits_that_are_read_there() -> None:
    front, rear = chart().gauges
    assert [STAGES[limit.stage][0] for limit in front.limits] == ["front fallen", "no rise"]
    assert [STAGES[limit.stage][0] for limit in rear.limits] == ["rear charged", "rear applied", "rear restored"]
    assert [limit.at_most for limit in rear.limits] == [False, True, False]


def test_the_drawing_is_said_in_words_too() -> None:
    text = forecast_text(chart())
    assert "Front gauge, cab 217/1, bar, when each stage ends. Healthy: charged 5.0, rear charged 5.0" in text
    assert "Fault 1 and 2: charged 2.7" in text
    assert "Limits: rear charged 4.8 or more, rear applied 3.6 or less, rear restored 4.8 or more." in text


def test_more_faults_than_a_table_holds_go_to_a_second_one_beside_the_healthy_train_again() -> None:
    cases = (forecast_case("healthy"), *(shut(f"fault {number}") for number in range(10)))
    tables = forecast_data(chart(Forecast(spans(), cases)))["tables"]
    assert [table["heads"] for table in tables] == [["healthy", *map(str, range(1, 9))], ["healthy", "9", "10"]]
    assert all(len(row["shows"]) == len(table["heads"]) for table in tables for row in table["rows"])
    assert len(forecast_data(chart(two_faults()))["tables"]) == 1


def test_a_job_gives_the_cabs_their_gauges_and_the_unit() -> None:
    made = sheet_of(planned(DEMO), two_faults()).forecast
    assert made is not None
    assert [gauge.title for gauge in made.gauges] == [("Front gauge", "cab 217/1", "bar"), ("Rear gauge", "cab 226/2", "bar")]
    assert "marks 0.2 bar apart" in made.caption
    assert sheet_of(planned(DEMO)).forecast is None
