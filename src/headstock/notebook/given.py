"""What questions are asked of: a fleet of unit types, and a job with its train."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.equipment.library import Fleet as UnitTypes
from headstock.equipment.library import load_fleet as load_unit_types
from headstock.formation.joinability import TypeEnd
from headstock.notebook.shown import Answer, Lines, Part, Picture, Table
from headstock.sheets.end_figure import end_figure
from headstock.sheets.pictures import train_drawing
from headstock.sheets.svg import PRINT, train_svg
from headstock.usecases.answers_as_data.fleet import carries, type_as_json
from headstock.usecases.assemble import AssembledJob, assemble
from headstock.usecases.job_file import JOBS_FOLDER, JobPapers, file_named
from headstock.usecases.job_file import load_job as load_papers
from headstock.usecases.standing_caution import invented_words


class Fleet(Answer):
    """Unit types by name, and the folder that they came from (None: the built-in, invented ones)."""

    def __init__(self, unit_types: UnitTypes, folder: Path | None = None) -> None:
        self.unit_types, self.folder = unit_types, folder

    @property
    def title(self) -> str:
        """Where the types come from."""
        return f"Unit types of {self.folder}" if self.folder is not None else "Built-in unit types"

    @property
    def answer(self) -> str:
        """How many there are."""
        return f"{len(self.unit_types.types)} types"

    @property
    def data(self) -> list[dict[str, object]]:
        """As ``headstock fleet list --json``: masses in kg and t, lengths in m."""
        return [type_as_json(unit_type) for unit_type in self.unit_types.types.values()]

    def parts(self) -> Iterator[Part]:
        """A row a type, and what is invented."""
        rows = tuple((one.type, one.title, f"{one.mass_kg / 1000:g}", f"{one.length_m:g}", carries(one))
                     for one in self.unit_types.types.values())  # fmt: skip
        yield Table("", ("type", "title", "t", "m", "couplers, pipes, brake"), rows)
        invented = invented_words(one.invented for one in self.unit_types.types.values())
        if invented:
            yield Lines("", (invented,))

    def end_drawing(self, end: str) -> Picture:
        """An end as one stands in front of it, ``TYPE/1`` or ``TYPE/2``, all stowed. Raises InputError.

        Source: the unit type's own data; no scale is promised.
        """
        name, _, number = end.rpartition("/")
        if number not in ("1", "2"):
            raise InputError(Fault("not a unit end", found=end, expected="TYPE/1 or TYPE/2"), cure="Write the end after a slash.")
        drawn = end_figure(TypeEnd(end, self.unit_types.find(name), number), PRINT, has_names=True)
        return Picture(f"End {number} of a {name} as one stands in front of it", drawn)


def load_fleet(folder: Path | str | None = None) -> Fleet:
    """The unit types in a folder of ``*.yaml`` files; the built-in, invented ones by default.

    Raises InputError with every fault of every file, each with its line. Source: each type's own list of sources.
    """
    where = None if folder is None else Path(folder)
    return Fleet(load_unit_types(where), where)


@dataclass(frozen=True, repr=False)
class Job(Answer):
    """A job as its file says it, with the unit types that it is asked with."""

    path: Path
    papers: JobPapers
    fleet: Fleet
    assembled: AssembledJob = field(hash=False)

    @property
    def title(self) -> str:
        """The job's title."""
        return self.papers.job.title

    @property
    def answer(self) -> str:
        """What kind of work it is, and where."""
        return f"{self.papers.job.work} at {self.papers.place.name}"

    @property
    def reasons(self) -> tuple[str, ...]:
        """Why the job is refused or lies outside what is planned; empty where neither is so."""
        return self.assembled.refusals + self.assembled.outside

    @property
    def data(self) -> dict[str, Any]:
        """The file's content."""
        return self.papers.job.model_dump(mode="json")

    @property
    def drawing(self) -> Picture | None:
        """The train from the side as it is found, with the brakes that hold it; None for a job that is refused."""
        task = self.assembled.task
        if task is None:
            return None
        drawn = train_drawing(task)
        words = (drawn.left_label, drawn.middle_label, drawn.right_label, drawn.holds_note)
        return Picture("; ".join(word for word in words if word), train_svg(drawn))

    def parts(self) -> Iterator[Part]:
        """The train, and what the job rests on."""
        if self.drawing is not None:
            yield self.drawing
        job, rules, place = self.papers.job, self.papers.rules, self.papers.place
        yield Lines("", (
            f"Units: {', '.join(f'{unit.name} ({unit.type})' for unit in job.units)}",
            f"Moves: {', '.join(job.moving.units)}, driven from {job.moving.driven_from}; controls afterwards: "
            f"{job.controls_afterwards}; leaves from {job.leaves_from}",
            f"Place: {place.name}, {place.slope_words()}",
            f"Local rules: {rules.name}, edition {rules.edition}{' (invented)' if rules.invented else ''}",
            f"Brake test: {self.papers.method.name}",
            f"Crew: {', '.join(f'{role} {name}' for role, name in job.crew.items())}",
        ))  # fmt: skip


def load_job(job: Path | str, fleet: Fleet | Path | str | None = None) -> Job:
    """A job from its file, or a built-in one by its name (``"demo-attach"``).

    ``fleet``: one's own unit types, or the folder of their files. Raises InputError with every fault of the file and of the
    files that it names, each with its line. A job that the trade refuses is no error: ``reasons`` says why.
    Source: the job's file and the sources of the local rules and unit types that it names.
    """
    path = file_named("job", str(job), JOBS_FOLDER)
    types = fleet if isinstance(fleet, Fleet) else load_fleet(fleet)
    papers = load_papers(path)
    return Job(path, papers, types, assemble(papers, types.unit_types))


def job_of(job: Job | Path | str) -> Job:
    """A job that was read already, or read now with the built-in unit types. Raises InputError."""
    return job if isinstance(job, Job) else load_job(job)


def fleet_of(fleet: Fleet | Path | str | None) -> UnitTypes:
    """Unit types as the questions take them. Raises InputError."""
    return (fleet if isinstance(fleet, Fleet) else load_fleet(fleet)).unit_types
