"""What the forecast expects of healthy trains, for remarks beside a verdict: the band of drawn trains as gauges show it."""

from __future__ import annotations

from pathlib import Path

from headstock.base.documents import read_document
from headstock.base.errors import Fault, InputError
from headstock.base.loading import load_as
from headstock.brake_test.forecast import TrainUnderTest
from headstock.equipment.library import Fleet
from headstock.physics.air_run import AirEngine
from headstock.usecases.forecast_bands import BandAsked, band_of_test
from headstock.usecases.forecast_job import tested_by
from headstock.usecases.job_file import job_path
from headstock.usecases.readings_file import ReadingsFile


def expected_of_record(path: Path, fleet: Fleet, engine: AirEngine, asked: BandAsked) -> dict[str, tuple[float, float]]:
    """From and to by stage, in the unit of the reading's limit. Raises InputError for a record without a job."""
    document = read_document(path)
    given = load_as(document, ReadingsFile, "readings")
    if given.job is None:
        fault = Fault("no forecast for a train that no job describes", document.name, document.line_of(("train",)), "train")
        raise InputError(fault, cure="Leave --forecast out: limits decide without it.")
    tested = tested_by(job_path(given.job, path.parent, document), fleet, engine, given.method, path.parent)
    if tested is None:
        fault = Fault("no forecast: the job has no order of work", document.name, document.line_of(("job",)), "job", given.job)
        raise InputError(fault, cure="Leave --forecast out, or ask headstock plan for the reasons.")
    return expected_of_test(tested, asked)


def expected_of_test(tested: TrainUnderTest, asked: BandAsked) -> dict[str, tuple[float, float]]:
    """The same of a train as its plan hands it to the test."""
    return {reading.stage: (reading.lowest, reading.highest) for reading in band_of_test(tested, asked).readings}
