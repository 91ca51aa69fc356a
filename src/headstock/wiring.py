"""The one place that joins the questions people ask to the adapters that print or store the answers."""

from __future__ import annotations

from pathlib import Path

from headstock.equipment.library import Fleet, load_fleet
from headstock.usecases.job_file import JOBS_FOLDER
from headstock.usecases.plan_job import JobPlan

DEMO_JOB = JOBS_FOLDER / "demo-attach.yaml"


def fleet_from(folder: Path | None) -> Fleet:
    """The built-in fleet, or one's own."""
    return load_fleet(folder)


def print_sheet(answer: JobPlan, folder: Path) -> Path:
    """Write the job sheet of a planned job into a folder; returns its path."""
    from headstock.sheets.compose import sheet_name, sheet_of
    from headstock.sheets.job_sheet import render_job_sheet

    pdf = render_job_sheet(sheet_of(answer))
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / sheet_name(answer)
    path.write_bytes(pdf)
    return path
