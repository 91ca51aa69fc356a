"""Options that several commands have."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
FleetFolder = Annotated[Path | None, typer.Option("--fleet", help="Folder of your own unit types (*.yaml).")]
PlaceName = Annotated[str | None, typer.Option("--place", help="Place whose curve counts: a file, or a built-in name.")]
Radius = Annotated[
    float | None, typer.Option("--curve-radius", help="Radius of the curve at the joint [m]; straight track if not given.")
]
BendWords = Annotated[
    str | None,
    typer.Option("--curve", help="How it bends: one curve, end of a curve, or reverse curve, which is taken if not given."),
]
RulesName = Annotated[str, typer.Option("--local-rules", help="Local rules: a file, or the name of built-in ones.")]
Database = Annotated[str | None, typer.Option("--records", help="A file (SQLite) or an address (PostgreSQL); else your own.")]
JobName = Annotated[Path, typer.Argument(metavar="JOB", help="Job: a file, or the name of a built-in one.")]
ReadingsName = Annotated[Path, typer.Argument(metavar="READINGS", help="Readings: a file, or the name of built-in ones.")]


def job_named(job: Path) -> Path:
    """A job's file, or a built-in one by its name. Raises InputError."""
    from headstock.usecases.job_file import JOBS_FOLDER

    return _named("job", job, JOBS_FOLDER)


def readings_named(readings: Path) -> Path:
    """The file of readings, or built-in ones by their name. Raises InputError."""
    from headstock.usecases.readings_file import READINGS_FOLDER

    return _named("readings", readings, READINGS_FOLDER)


def _named(kind: str, given: Path, folder: Path) -> Path:
    """What looks like a path stays one: reading it says best what is wrong with it."""
    from headstock.usecases.job_file import file_named

    return given if given.suffix or given.parent != Path() else file_named(kind, str(given), folder)
