"""The job file: units and joints in order, what moves, the cab that controls afterwards, crew, place, rules, method."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import read_document
from headstock.base.errors import ContentError, Fault, InputError
from headstock.base.loading import load_as
from headstock.base.located import Document
from headstock.base.nearest import nearest_of
from headstock.formation.place import Place, load_place
from headstock.local_rules.rules import BUILT_IN as RULES_FOLDER
from headstock.local_rules.rules import LocalRules, load_local_rules
from headstock.local_rules.test_method import BUILT_IN as METHODS_FOLDER
from headstock.local_rules.test_method import BrakeTestMethod, load_test_method

PLACES_FOLDER = Path(__file__).parent.parent / "formation" / "places"
JOBS_FOLDER = Path(__file__).parent / "jobs"
CrewRole = Literal["driver", "shunter", "guard"]


class _Part(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class JobUnit(_Part):
    """One unit: its number or name, its type."""

    name: str = Field(min_length=1, max_length=12, pattern=r"^[A-Za-z0-9 -]+$")
    type: str


class JobJoint(_Part):
    """Two ends that face one another; the one joint to make says so."""

    ends: tuple[str, str]
    make: bool = False


class JobMoving(_Part):
    """The portion that moves, by its units, and the cab it is driven from."""

    units: tuple[str, ...] = Field(min_length=1)
    driven_from: str


class JobFile(_Part):
    """A whole job as written."""

    title: str = Field(min_length=1, max_length=60)
    invented: bool
    work: Literal["attach"]
    units: tuple[JobUnit, ...] = Field(min_length=1, max_length=12)
    joints: tuple[JobJoint, ...]
    moving: JobMoving
    controls_afterwards: str
    leaves_from: str
    crew: dict[CrewRole, str] = Field(min_length=1)
    place: str
    local_rules: str
    method: str
    boards_placed_by: dict[str, CrewRole] = {}
    as_left: dict[str, str] = {}


class JobPapers(_Part):
    """A job with the files it names, read."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)

    job: JobFile
    document: Document
    place: Place
    rules: LocalRules
    method: BrakeTestMethod


def load_job(path: Path) -> JobPapers:
    """A job and the place, local rules and method it names. Raises InputError with every fault of a file."""
    document = read_document(path)
    job = load_as(document, JobFile, "job")
    faults: list[Fault] = []
    files = {
        field: _find(getattr(job, field), folder, path.parent, field, document, faults)
        for field, folder in (("place", PLACES_FOLDER), ("local_rules", RULES_FOLDER), ("method", METHODS_FOLDER))
    }
    if faults:
        raise ContentError(faults)
    return JobPapers(job=job, document=document, place=load_place(files["place"]),
                     rules=load_local_rules(files["local_rules"]), method=load_test_method(files["method"]))  # fmt: skip


def _find(name: str, folder: Path, beside: Path, field: str, document: Document, faults: list[Fault]) -> Path:
    """A file beside the job by its path, or one of the built-in ones by its name."""
    for candidate in (beside / name, folder / f"{name}.yaml"):
        if candidate.is_file():
            return candidate
    known = sorted(path.stem for path in folder.glob("*.yaml"))
    faults.append(
        Fault(f"{field.replace('_', ' ')} not found", document.name, document.line_of((field,)), field, name,
              f"a file beside the job, or one of {', '.join(known)}", nearest_of(name, known))
    )  # fmt: skip
    return folder


def load_rules_named(name: str) -> LocalRules:
    """Local rules by their file's path or by the name of built-in ones."""
    for candidate in (Path(name), RULES_FOLDER / f"{name}.yaml"):
        if candidate.is_file():
            return load_local_rules(candidate)
    known = sorted(path.stem for path in RULES_FOLDER.glob("*.yaml"))
    raise InputError(Fault("local rules not found", found=name, expected=", ".join(known), nearest=nearest_of(name, known)))
