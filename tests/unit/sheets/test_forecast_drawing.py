"""The forecast as drawn and set: limits at their height, labels apart, in one ink, on the sheet where it belongs."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from pypdf import PdfReader

from headstock.brake_test.forecast import Forecast
from headstock.sheets.forecast_chart import forecast_chart
from headstock.sheets.forecast_content import ChartStage, ForecastChart
from headstock.sheets.forecast_figures import GaugeSeen
from headstock.sheets.forecast_frame import RIGHT, Frame, column_edges, drawn_lines, letters_mm, scales_of, stage_heads
from headstock.sheets.forecast_labels import Box, boxed
from headstock.sheets.forecast_svg import DASHES, forecast_svg, laid_out, thinned, words_on
from headstock.sheets.forecast_words import forecast_data
from headstock.sheets.job_sheet import render_job_sheet
from tests.unit.sheets.forecasts import close_faults, forecast_case, shut, six_faults, spans, two_faults
from tests.unit.sheets.sample import sample

SVG = "{http://www.w3.org/2000/svg}"
FORECASTS = {"two": two_faults(), "six": six_faults(), "close": close_faults()}


def chart(forecast: Forecast, unit: str = "bar") -> ForecastChart:
    return forecast_chart(forecast, unit, GaugeSeen("217/1", 0.0, 0.2), GaugeSeen("226/2", 0.0, 0.2))  # type: ignore[arg-type]


def words_of(element: ET.Element) -> str:
    return "".join(element.itertext()).strip()


def scales_drawn(drawing: ET.Element) -> list[tuple[float, float]]:
    """Of each gauge, from the figures at its side: where 0 would be, and mm a unit. Figures of a gauge go upward."""
    marks = [(float(text.get("y", "")) - 1, float(words_of(text))) for text in drawing.iter(f"{SVG}text")
             if text.get("font-family") == "B612" and text.get("text-anchor") == "end" and words_of(text)[0].isdigit()
             and text.get("stroke") is None]  # fmt: skip
    cut = next(place for place, (one, other) in enumerate(pairwise(marks), start=1) if other[1] <= one[1] and other[0] > one[0])
    found = []
    for gauge in (marks[:cut], marks[cut:]):
        (y0, low), (y1, high) = gauge[0], gauge[-1]
        unit_mm = (y0 - y1) / (high - low)
        found.append((y0 + low * unit_mm, unit_mm))
    return found


@pytest.mark.parametrize("unit", ["bar", "psi"])
@pytest.mark.parametrize("size", FORECASTS)
def test_brackets_stand_at_their_limits_and_open_to_the_allowed_side(size: str, unit: str) -> None:
    made = chart(FORECASTS[size], unit)
    drawing = ET.fromstring(forecast_svg(made))
    bars = [path.get("d", "") for path in drawing.iter(f"{SVG}path") if path.get("stroke-width") == "0.7"]
    found = [[float(part) for part in re.findall(r"-?[\d.]+", bar)] for bar in bars]
    for gauge, (zero, unit_mm) in zip(made.gauges, scales_drawn(drawing), strict=True):
        for limit in gauge.limits:
            for level in limit.levels:
                y, down = zero - level * unit_mm, 1 if limit.at_most else -1
                # The bar at half its weight beyond the limit, the foot of its leg on the allowed side; near rises share one.
                off = 0.85 if limit.is_rise else 0.05
                near = [leg for _, foot, leg, *_ in found if abs(foot + leg + down * 0.35 - y) <= off]
                assert near and all(leg * down < 0 for leg in near), (limit, y)


@pytest.mark.parametrize("size", FORECASTS)
def test_labels_and_words_of_limits_do_not_meet(size: str) -> None:
    made = chart(FORECASTS[size])
    edges = column_edges(made.stages)
    times = (*(stage.begins_s for stage in made.stages), made.stages[-1].ends_s)
    for gauge, scale in zip(made.gauges, scales_of(made), strict=True):
        frame = Frame(edges, times, scale, 0.0)
        brackets, labels = laid_out(frame, gauge, drawn_lines(frame, gauge))
        boxes: list[Box] = [*labels, *(bracket.words for bracket in brackets if bracket.words is not None)]
        assert not [pair for pair in combinations(boxes, 2) if pair[0].meets(pair[1])]
        assert all(frame.holds(box) for box in boxes)
        frames = [boxed(frame.edges[mark.stage + 1], frame.y(mark.shows), 2.4, 2.4) for mark in gauge.marks if not mark.within]
        assert not [box for box in boxes for frame_box in frames if box.meets(frame_box)]
        assert not [box for box in labels for bracket in brackets if box.meets(bracket.bar)]


@pytest.mark.parametrize("size", FORECASTS)
def test_no_line_runs_through_the_words_of_a_limit(size: str) -> None:
    made = chart(FORECASTS[size])
    times = (*(stage.begins_s for stage in made.stages), made.stages[-1].ends_s)
    for gauge, scale in zip(made.gauges, scales_of(made), strict=True):
        frame = Frame(column_edges(made.stages), times, scale, 0.0)
        brackets, _ = laid_out(frame, gauge, drawn_lines(frame, gauge))
        for box in (bracket.words for bracket in brackets if bracket.words is not None):
            for line in gauge.lines:
                points = [(frame.x(t_s), frame.y(shows)) for t_s, shows in zip(line.t_s, line.shows, strict=True)]
                assert not [y for x, y in points if box.left < x < box.right and box.top < y < box.bottom]


@pytest.mark.parametrize("size", FORECASTS)
def test_every_fault_drawn_has_its_number_at_a_line_of_both_gauges(size: str) -> None:
    made = chart(FORECASTS[size])
    drawing = forecast_svg(made)
    words = re.findall(r">([^<>]+)</text>", drawing)
    numbers = {number for group in words for number in _numbers(group)}
    assert {fault.number for fault in made.faults if fault.drawn_as} <= numbers
    assert sum(word.startswith("healthy") for word in words) == 2
    assert "cab 217/1" in words and "cab 226/2" in words and "246 s" in words


def _numbers(words: str) -> set[int]:
    found = set()
    for part in words.removeprefix("healthy").strip(", ").split(", "):
        ends = [int(end) for end in part.split("\N{EN DASH}") if end.isdigit()]
        found |= set(range(ends[0], ends[-1] + 1)) if ends else set()
    return found


def test_numbers_in_a_row_are_said_by_first_and_last() -> None:
    assert words_on((0,)) == "healthy"
    assert words_on((0, 1, 2)) == "healthy, 1, 2"
    assert words_on((1, 2)) == "1, 2"
    assert words_on((1, 2, 3, 6)) == "1\N{EN DASH}3, 6"
    assert words_on((2, 4, 5, 6)) == "2, 4\N{EN DASH}6"


def test_one_ink_tells_healthy_and_faults_apart_by_weight_and_pattern() -> None:
    drawing = forecast_svg(chart(six_faults()))
    assert set(re.findall(r"#[0-9a-f]{3,6}", drawing)) == {"#17140f", "#9c917b", "#fff"}
    assert drawing.count('stroke-width="0.75"') == 2
    assert {dash for dash in DASHES if f'stroke-dasharray="{dash}"' in drawing} == set(DASHES)
    samples = [tuple(fault["dash"]) for fault in forecast_data(chart(six_faults()))["faults"]]
    assert samples[0] == samples[1] and samples[4] == () and len(set(samples)) == 5


def test_letters_of_the_drawing_are_eight_points_at_least() -> None:
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', forecast_svg(chart(six_faults())))]
    assert min(sizes) / 25.4 * 72 >= 8.0


def test_columns_grow_with_the_root_of_their_seconds_and_fill_the_width() -> None:
    stages = tuple(ChartStage(f"s{number}", begins, ends) for number, (begins, ends) in enumerate([(0, 4), (4, 20), (20, 56)]))
    widths = [second - first for first, second in pairwise(column_edges(stages))]
    assert widths[1] - widths[0] == pytest.approx(widths[2] - widths[1])
    assert widths[0] < widths[1] < widths[2]
    assert column_edges(stages)[-1] == RIGHT


def test_names_too_wide_for_their_columns_become_numbers_with_a_list() -> None:
    made = chart(six_faults())
    heads = stage_heads(made.stages, column_edges(made.stages))
    assert heads[1] == ("rear", "charged")
    stages = tuple(replace(stage, name=f"{stage.name} thoroughly and unhurriedly") for stage in made.stages)
    assert stage_heads(stages, column_edges(stages)) == [(str(number),) for number in range(1, 10)]
    assert "Stages: 1 charged thoroughly" in forecast_data(replace(made, stages=stages))["caption"]
    edges = column_edges(made.stages)
    for number, lines in enumerate(heads):
        assert max(map(letters_mm, lines)) <= edges[number + 1] - edges[number]


def test_points_left_out_lie_on_the_line() -> None:
    points = [(x / 10, (x / 100) ** 2) for x in range(1001)]
    kept = thinned(points, 0.04)
    assert kept[0] == points[0] and kept[-1] == points[-1] and len(kept) < 60
    for (x0, y0), (x1, y1) in pairwise(kept):
        between = [(x, y) for x, y in points if x0 <= x <= x1]
        assert max(abs(y - y0 - (y1 - y0) * (x - x0) / (x1 - x0)) for x, y in between) <= 0.0401


def pages_of(forecast: ForecastChart | None) -> list[str]:
    pages = PdfReader(io.BytesIO(render_job_sheet(replace(sample(), forecast=forecast)))).pages
    return [" ".join(page.extract_text().split()) for page in pages]


def test_the_forecast_opens_the_detail_with_chart_table_and_sentences_on_one_page() -> None:
    made = chart(six_faults())
    page = pages_of(made)[1]
    assert page.index("What holds each portion") < page.index("Forecast of the brake test") < page.index("does, and why")
    assert "Forecast of the brake test: what the gauges should show · all invented" in page
    assert made.cautions[0] in page and page.count("outside") == 13
    assert all(f"{fault.name}. {fault.seen}" in page for fault in made.faults)
    assert all(row.name in page for row in made.rows)


def test_a_sheet_without_a_forecast_has_no_word_of_it() -> None:
    assert "orecast" not in " ".join(pages_of(None))


@pytest.mark.parametrize("faults", [0, 1, 12])
def test_no_fault_one_fault_and_many_can_be_set(faults: int) -> None:
    cases = (forecast_case("healthy"), *(shut(f"fault number {n}", rear_bar=2 + n / 5) for n in range(1, faults + 1)))
    everything = " ".join(pages_of(chart(Forecast(spans(), cases))))
    assert all(f"fault number {n}." in everything for n in range(1, faults + 1))
    assert "healthy. Within limits at every reading." in everything


def test_a_gauge_that_never_moves_is_still_drawn() -> None:
    still = [(5.0, 1.0)] * 9
    cases = (forecast_case("healthy", still, still, 5.0),)
    assert "healthy" in forecast_svg(chart(Forecast(spans(), cases)))


def test_the_same_forecast_gives_the_same_bytes_and_another_others() -> None:
    made = replace(sample(), forecast=chart(two_faults()))
    assert render_job_sheet(made) == render_job_sheet(made)
    assert render_job_sheet(made) != render_job_sheet(replace(sample(), forecast=chart(six_faults())))
