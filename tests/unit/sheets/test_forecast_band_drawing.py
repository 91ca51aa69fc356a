"""The band on the forecast's drawing: hatched, inside the plot, in the table and in words; without a band nothing changes."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

from headstock.brake_test.forecast import Forecast
from headstock.brake_test.forecast_band import ForecastBand, GaugeBand, ReadingBand, StageBand
from headstock.sheets.forecast_chart import forecast_chart
from headstock.sheets.forecast_frame import scales_of
from headstock.sheets.forecast_svg import forecast_svg
from headstock.sheets.forecast_words import forecast_data
from tests.unit.sheets.forecasts import forecast_case, spans


def banded(wide: float = 0.2) -> Forecast:
    """A made-up forecast with a made-up band so far to either side of its healthy train."""
    plain = Forecast(spans(), (forecast_case("healthy"), forecast_case("a fault", start=0.0)))
    case = plain.cases[0]
    gauges = [
        GaugeBand(at, tuple(v - wide for v in row), tuple(v + wide for v in row), row, row)
        for at, row in (("front", case.front_bar), ("rear", case.rear_bar))
    ]
    readings = tuple(
        ReadingBand(r.stage, r.name, r.at, r.limit, r.shows_bar, r.shows_bar, r.shows_bar - wide, r.shows_bar + wide)
        for r in case.readings
    )
    stages = tuple(StageBand(span.key, 2, 5, 0.0) for span in plain.stages)
    band = ForecastBand(200, 1, "made up", "1", True, case.t_s, (gauges[0], gauges[1]), readings, stages)
    return replace(plain, band=band)


def test_the_band_is_hatched_between_its_edges_and_inside_the_plot() -> None:
    chart = forecast_chart(banded(), "bar")
    drawn = forecast_svg(chart)
    root = ElementTree.fromstring(drawn)
    assert len(root.findall("{http://www.w3.org/2000/svg}clipPath")) == 2 and "nan" not in drawn
    for gauge, scale in zip(chart.gauges, scales_of(chart), strict=True):
        assert gauge.band is not None
        assert scale.low <= min(gauge.band.lowest) and max(gauge.band.highest) <= scale.high


def test_table_caption_and_words_say_the_band() -> None:
    data = forecast_data(forecast_chart(banded(), "bar"))
    assert data["tables"][0]["has_band"] and " to " in data["tables"][0]["rows"][0]["band"]
    assert "Hatched" in data["caption"] and "Band:" in data["text"] and "after 2 to 5 s" in data["still"]
    assert any("200 healthy trains" in caution and "invented" in caution for caution in data["cautions"])
    psi = forecast_data(forecast_chart(banded(), "psi"))["tables"][0]["rows"][0]["band"]
    assert float(psi.split()[0]) > 60


def test_without_a_band_nothing_is_hatched() -> None:
    chart = forecast_chart(replace(banded(), band=None), "bar")
    assert "clipPath" not in forecast_svg(chart) and not forecast_data(chart)["tables"][0]["has_band"]
