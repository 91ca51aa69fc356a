"""What the forecast expects of a healthy train, for remarks beside a verdict: opened outward by the gauge's error and marks."""

from __future__ import annotations

from pathlib import Path

from headstock.base.documents import read_document
from headstock.base.errors import Fault, InputError
from headstock.base.loading import load_as
from headstock.brake_test.forecast import predict_readings
from headstock.equipment.library import Fleet
from headstock.local_rules.limit_figures import is_share
from headstock.physics.air_run import AirEngine
from headstock.usecases.forecast_job import tested_by
from headstock.usecases.job_file import load_job
from headstock.usecases.readings_file import ReadingsFile
from headstock.usecases.tested_train import train_of_job

UNKNOWN_GAUGE_BAR = 0.2
"""Taken for a gauge of which nothing is known [bar] (common practice, no source)."""


def expected_of_record(path: Path, fleet: Fleet, engine: AirEngine) -> dict[str, tuple[float, float]]:
    """From and to [bar] by stage. Raises InputError for a record without a job."""
    document = read_document(path)
    given = load_as(document, ReadingsFile, "readings")
    if given.job is None:
        fault = Fault("no forecast for a train that no job describes", document.name, document.line_of(("train",)), "train")
        raise InputError(fault, cure="Leave --forecast out: limits decide without it.")
    job = path.parent / given.job
    tested = tested_by(job, fleet, engine, given.method, path.parent)
    if tested is None:
        fault = Fault("no forecast: the job has no order of work", document.name, document.line_of(("job",)), "job", given.job)
        raise InputError(fault, cure="Leave --forecast out, or ask headstock plan for the reasons.")
    gauges = train_of_job(load_job(job), fleet, None).tested.gauges
    found = {}
    for reading in predict_readings(tested, (), engine).cases[0].readings:
        if is_share(reading.limit):
            continue
        gauge = gauges.get((reading.at, "brake pipe"))
        open_bar = gauge.error_bar + gauge.graduation_bar / 2 if gauge is not None else UNKNOWN_GAUGE_BAR
        found[reading.stage] = (reading.shows_bar - open_bar, reading.shows_bar + open_bar)
    return found
