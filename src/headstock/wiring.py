"""The one place that joins the questions people ask to the adapters that print or store the answers."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from headstock.equipment.library import Fleet, load_fleet
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast
    from headstock.physics.air_run import AirEngine

DEMO_JOB = JOBS_FOLDER / "demo-attach.yaml"


def fleet_from(folder: Path | None) -> Fleet:
    """The built-in fleet, or one's own."""
    return load_fleet(folder)


def air_engine() -> AirEngine:
    """The air engine with its memory on disk; says on standard error how far it is when it has to reckon."""
    from headstock.compute.kept_runs import KeptRuns

    return KeptRuns(on_progress=_say_how_far)


def _say_how_far(done: int, of: int) -> None:
    """One line that counts up on a terminal, a line at the beginning and at the end elsewhere."""
    is_last = done == of
    if sys.stderr.isatty():
        print(f"\rreckoning the air: {done} of {of} runs", end="\n" if is_last else "", file=sys.stderr, flush=True)
    elif done == 0 or is_last:
        print(f"reckoning the air: {done} of {of} runs", file=sys.stderr, flush=True)


def print_sheet(answer: JobPlan, folder: Path, forecast: Forecast | None = None) -> Path:
    """Write the job sheet of a planned job into a folder; returns its path."""
    from headstock.sheets.compose import sheet_name, sheet_of
    from headstock.sheets.job_sheet import render_job_sheet

    pdf = render_job_sheet(sheet_of(answer, forecast))
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / sheet_name(answer)
    path.write_bytes(pdf)
    return path
