"""The answer of ``forecast`` as plain values."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from headstock.brake_test.forecast_reading import not_forecast
from headstock.usecases.forecast_job import JobForecast
from headstock.usecases.forecast_words import forecast_cautions, seen_in_words


def forecast_as_json(answer: JobForecast) -> dict[str, Any]:
    """The answer as plain values; traces in gauge bar over seconds from the test's beginning."""
    plan, forecast = answer.plan, answer.forecast
    rules = plan.papers.rules
    value: dict[str, Any] = {
        "answer": plan.answer, "job": plan.papers.job.title, "reasons": list(plan.reasons),
        "local_rules": {"name": rules.name, "edition": rules.edition}, "method": (answer.method or plan.papers.method).name,
    }  # fmt: skip
    if forecast is not None:
        value["note"] = " ".join(forecast_cautions(forecast))
        value["not_forecast"] = list(not_forecast(answer.method or plan.papers.method))
        value["stages"] = [asdict(span) for span in forecast.stages]
        value["cases"] = [
            {**asdict(case), "is_within_limits": case.is_within_limits, "seen": seen_in_words(case)} for case in forecast.cases
        ]
        if forecast.band is not None:
            value["band"] = asdict(forecast.band)
    return value
