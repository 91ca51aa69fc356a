"""The exercise file: a job, what is hidden in it, how colleagues go wrong, weather and light, how strictly it is played."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from headstock.base.documents import is_file, read_document
from headstock.base.errors import ContentError, Fault, InputError, OutsideModelError
from headstock.base.loading import load_as
from headstock.base.located import Document
from headstock.base.nearest import nearest_of
from headstock.brake_test.causes import Cause
from headstock.equipment.library import Fleet
from headstock.local_rules.drawn_tests import SEVERITY_OF
from headstock.physics.air_run import AirEngine
from headstock.practice.exercise import Exercise, Hidden, Lapse, LapseKind, OtherMovement
from headstock.practice.sitting import begun
from headstock.practice.slips import why_not
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Variable
from headstock.usecases.job_file import job_path
from headstock.usecases.plan_job import plan_job

READY = Path(__file__).parent / "exercises"


class LapseGiven(BaseModel):
    """A mistake of a colleague whom nobody plays: at which line of the order of work, by its words, of which sort."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    role: str = Field(description="whose mistake it is")
    step: str = Field(description="the line of the order of work, as `plan` prints it")
    kind: LapseKind = Field(
        description="`left out`: not done; `not said`: the same of a line that is said and nothing else; `not really looked`: "
        "what should be seen there is taken for seen, rested on and passed on"
    )


class MovementGiven(BaseModel):
    """Another movement that wants the road while the job goes on: yard control asks whoever is in charge for it."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    name: str = Field(min_length=3, max_length=60, description="what it is, in words: `light engine from the depot`")
    words: str = Field(min_length=10, max_length=200, description="what yard control says")
    role: str = Field(description="whose line it comes after")
    step: str = Field(description="the line of the order of work, as `plan` prints it")
    after_s: float = Field(default=5.0, ge=0, le=3600, description="how long after that line was done yard control calls [s]")
    lasts_s: float = Field(default=90.0, gt=0, le=3600, description="how long it is on the road where it is given [s]")


class AirFaultGiven(BaseModel):
    """A fault in the air that no device's state says: what, where, how bad."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    kind: Literal["cock part open", "pipe blocked", "pipe leaks", "cylinder leaks", "reservoir not fed"] = Field(
        description="what it is"
    )
    place: str = Field(description="a cock by its key, a joint, or a vehicle")
    severity: float = Field(default=0.0, ge=0, le=100, description="how bad, in the unit of the kind, as in drawn tests")


class ExerciseFile(BaseModel):
    """A whole exercise as written."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    title: str = Field(min_length=1, max_length=60, description="what it is called; it must not give away what is hidden")
    invented: bool = Field(description="true: made up for training")
    about: str = Field(min_length=1, max_length=300, description="what it is good for, for the trainer")
    job: str = Field(description="the job: a file beside the exercise, or a built-in one")
    hidden: dict[str, str] = Field(default={}, description="what stands otherwise than everybody was told: state by key")
    faults: tuple[AirFaultGiven, ...] = Field(default=(), description="what is hidden in the air")
    lapses: tuple[LapseGiven, ...] = Field(default=(), description="mistakes of colleagues played by the computer")
    movements: tuple[MovementGiven, ...] = Field(default=(), description="other movements that want the road meanwhile")
    weather: str = Field(default="dry", max_length=60, description="told to everybody, in words")
    light: str = Field(default="daylight", max_length=60, description="told to everybody, in words")
    holds_at_unsafe: bool = Field(default=False, description="true: an unsafe act holds the clock; false: it goes on")
    learning: bool = Field(default=False, description="true: phrases and the next line of the instruction are shown")
    seed: int = Field(default=0, ge=0, description="what is drawn is drawn from this")


def read_exercise(path: Path) -> ExerciseFile:
    """An exercise's own words, its job not planned. Raises InputError."""
    return load_as(read_document(path), ExerciseFile, "exercise")


def load_exercise(path: Path, fleet: Fleet, engine: AirEngine | None = None) -> tuple[ExerciseFile, Exercise]:
    """An exercise with its job planned. Raises InputError; OutsideModelError for a job without an order of work."""
    document = read_document(path)
    given = load_as(document, ExerciseFile, "exercise")
    plan = plan_job(job_path(given.job, path.parent, document), fleet, engine)
    task, domain, order = plan.assembled.task, plan.domain, plan.order
    if plan.answer != "yes" or task is None or domain is None or order is None:
        raise OutsideModelError("the job has no order of work, so it cannot be practised", where=given.job,
                                why="; ".join(plan.reasons))  # fmt: skip
    keys = {step.ident: line for line, step in reversed(list(enumerate(order.steps, start=1)))}
    faults = [*_no_such_lines(given, document, keys)]
    faults += _impossible_lapses(given, document, keys, order.steps)
    for key, value in given.hidden.items():
        variable = domain.variables.get(key)
        where = (document.name, document.line_of(("hidden", key)), f"hidden.{key}")
        if variable is None:
            faults.append(Fault("nothing of that name in this train", *where, key, "a device of one of the units",
                                nearest_of(key, domain.variables)))  # fmt: skip
        elif value not in variable.domain:
            faults.append(Fault("not a state of this", *where, value, " or ".join(variable.domain)))
    faults += _air_faults(given, document, domain.variables, task)
    if faults:
        raise ContentError(faults)
    hidden = tuple(Hidden(key, value) for key, value in given.hidden.items())
    causes = tuple(Cause(fault.kind, fault.place, fault.severity) for fault in given.faults)
    lapses = tuple(Lapse(keys[lapse.role, lapse.step], lapse.kind) for lapse in given.lapses)
    movements = tuple(OtherMovement(one.name, one.words, keys[one.role, one.step], one.after_s, one.lasts_s)
                      for one in given.movements)  # fmt: skip
    exercise = Exercise(given.title, task, domain, order.steps, hidden, causes, lapses, movements, given.weather, given.light,
                        given.holds_at_unsafe, given.learning, given.seed)  # fmt: skip
    begun(exercise)
    return given, exercise


def _no_such_lines(given: ExerciseFile, document: Document, keys: Mapping[tuple[str, str], int]) -> Iterator[Fault]:
    """Lines that are named and are not in the order of work."""
    named = [("lapses", number, one.role, one.step) for number, one in enumerate(given.lapses)]
    named += [("movements", number, one.role, one.step) for number, one in enumerate(given.movements)]
    for part, number, role, step in named:
        if (role, step) not in keys:
            where = (document.name, document.line_of((part, number, "step")), f"{part}[{number}].step")
            near = nearest_of(step, [key for who, key in keys if who == role])
            yield Fault("no such line of the order of work", *where, step, f"a line of the {role}", near)


def _impossible_lapses(
    given: ExerciseFile, document: Document, keys: Mapping[tuple[str, str], int], order: Sequence[Step]
) -> Iterator[Fault]:  # fmt: skip
    """Mistakes that their line has no room for."""
    for number, lapse in enumerate(given.lapses):
        line = keys.get((lapse.role, lapse.step))
        why = why_not(order[line - 1], lapse.kind) if line is not None else ""
        if why:
            where = (document.name, document.line_of(("lapses", number, "kind")), f"lapses[{number}].kind")
            yield Fault("not a mistake of this line", *where, lapse.kind, why)


def _air_faults(
    given: ExerciseFile, document: Document, variables: Mapping[str, Variable], task: AttachTask
) -> Iterator[Fault]:  # fmt: skip
    """Faults in the air at places that there are, as bad as their kind can be."""
    vehicles = [unit.vehicle_name(suffix) for unit in task.train.units for suffix in unit.vehicle_suffixes]
    cocks = [key for key in variables if key.endswith("brake_pipe_cock")]
    joints = [str(joint) for joint in task.train.joints]
    for number, fault in enumerate(given.faults):
        places = cocks if fault.kind == "cock part open" else joints if fault.kind == "pipe blocked" else vehicles
        where = (document.name, document.line_of(("faults", number, "place")), f"faults[{number}]")
        if fault.place not in places:
            yield Fault(
                "no such place for it", *where, fault.place, f"one of {', '.join(places)}", nearest_of(fault.place, places)
            )
        wrong = fault.severity >= 1 if fault.kind in ("cock part open", "pipe blocked") else (
            fault.severity <= 0 and fault.kind in SEVERITY_OF)  # fmt: skip
        if wrong:
            yield Fault("not how bad it can be", *where, f"{fault.severity:g}", SEVERITY_OF.get(fault.kind, "nothing"))


def ready_exercises() -> dict[str, Path]:
    """The exercises that come with Headstock, by name."""
    return {path.stem: path for path in sorted(READY.glob("*.yaml"))}


def exercise_path(name: str) -> Path:
    """A ready exercise by its name, or a file. Raises InputError."""
    ready = ready_exercises()
    if name in ready:
        return ready[name]
    if is_file(Path(name)):
        return Path(name)
    fault = Fault("no such exercise", found=name, expected=", ".join(ready) or "a file", nearest=nearest_of(name, ready))
    raise InputError(fault, cure="headstock exercise list shows them.")
