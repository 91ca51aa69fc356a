"""Anybody asks: how does everything on this job's train stand, and how do we know? From the job's words, never from an eye.

Whatever a job or a unit type says is told, not seen; what nobody has said is not known. Nothing here is ever given as seen.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from headstock.devices.cab_valve import CabValveSpec
from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.devices.scene import AIR_THROUGH, pipe_key
from headstock.equipment.library import Fleet
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_state import as_left, layout_of
from headstock.local_rules.limit_figures import DECIMALS, in_unit
from headstock.procedures.cab_work import pipe_bar
from headstock.procedures.task import AttachTask
from headstock.reasoning.variable import Variable
from headstock.usecases.as_found import driving_valve_as_found
from headstock.usecases.can_as_read import JobAsRead, read_job
from headstock.usecases.half_done import parts_of
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.plan_job import JobPlan

BY_JOB = "told by the job"
BY_TYPE = "told by the unit type"
BY_JOINT = "told by the kind of work"


@dataclass(frozen=True, slots=True)
class JobStands:
    """A train, how each variable of its devices stands (by key), and where that comes from."""

    train: Train
    values: Mapping[str, str]
    whence: Mapping[str, str]
    variables: Mapping[str, Variable]

    def part(self, at: At, spec: Any) -> PartStands:
        """How a device stands, in words."""
        own = kind_of(spec).variables(at, spec)
        says = ", ".join(state_words(variable, self.values[variable.key], at, len(own) > 1) for variable in own)
        whence = next((self.whence[one.key] for one in own if self.whence[one.key] != BY_TYPE), BY_TYPE)
        return PartStands(at, part_name(at, own), says, whence)

    def parts(self, end: UnitEnd) -> tuple[PartStands, ...]:
        """Every device of an end that can stand one way or another."""
        return tuple(self.part(at, spec) for at, spec in self.train.end_devices(end) if kind_of(spec).variables(at, spec))


@dataclass(frozen=True, slots=True)
class PartStands:
    """A device, its name without its place, how it stands, where that comes from."""

    at: At
    name: str
    says: str
    whence: str


@dataclass(frozen=True, slots=True)
class PipeStands:
    """A pipe of a portion: gauge pressure [bar] (None: not known), the same as people read it, where that comes from."""

    portion: str
    pipe: str
    figure_bar: float | None
    shows: str
    whence: str


def checked_job(papers: JobPapers, fleet: Fleet) -> JobAsRead:
    """A job whose parts fit together. Raises InputError with every fault of them."""
    read = read_job(papers, fleet)
    reader = JobReader(papers, fleet)
    if papers.job.work == "rescue":
        reader.check_dead(read.train, read.moving_first)
    supplies = tuple(Variable(f"{unit.name}.supply", ("on", "off"), "scene", f"electric supply of {unit.name}")
                     for unit in read.train.units)  # fmt: skip
    reader.deviations((*layout_of(read.train).variables, *supplies))
    return read


def stands_as_found(papers: JobPapers, fleet: Fleet) -> JobStands:
    """How all stands when the work begins, as far as job and unit types tell. Raises InputError."""
    read = checked_job(papers, fleet)
    train, told = read.train, papers.job.as_left
    joined = papers.job.work == "detach" or papers.job.couple_as_found is not None
    as_it_hangs = replace(train, joints=tuple(replace(joint, made=joint.made or joined) for joint in train.joints))
    alone, left = as_left(replace(train, joints=())), as_left(as_it_hangs)
    driven_from = train.end_devices(read.ends["moving.driven_from"])
    left |= {at.key(): driving_valve_as_found(papers) for at, spec in driven_from if isinstance(spec, CabValveSpec)}
    variables = {variable.key: variable for variable in layout_of(train).variables}
    whence = {key: BY_JOB if key in told else BY_TYPE if left[key] == alone[key] else BY_JOINT for key in variables}
    return JobStands(train, {**left, **{key: value for key, value in told.items() if key in variables}}, whence, variables)


def stands_after(plan: JobPlan, fleet: Fleet, line: int) -> JobStands:
    """How all stands once so many lines of the order are done, if they were. Raises ValueError where there is no order."""
    task, domain, steps = parts_of(plan)
    found = stands_as_found(plan.papers, fleet)
    values, whence = dict(task.as_found), dict(found.whence)
    for number, step in enumerate(steps[:line], start=1):
        for key, value in step.effects:
            values[key], whence[key] = value, f"told: by line {number}, once it is done"
    variables = {key: variable for key, variable in domain.variables.items() if variable.kind != "person"}
    return JobStands(task.train, values, {key: whence.get(key, BY_TYPE) for key in variables}, {**found.variables, **variables})


def pipes_of(plan: JobPlan, stands: JobStands) -> tuple[tuple[PipeStands, ...], ...]:
    """Brake pipe and main reservoir pipe of both portions, in the train's order. Raises ValueError where there is no order."""
    task, _, _ = parts_of(plan)
    first, second = (task.moving, task.standing) if task.moving_first else (task.standing, task.moving)
    return _pipes(task, first, stands), _pipes(task, second, stands)


def _pipes(task: AttachTask, portion: str, stands: JobStands) -> tuple[PipeStands, ...]:
    units, cab = (task.moving_units, task.driven_from) if portion == task.moving else (task.standing_units, task.standing_cab)
    state, unit = stands.values[pipe_key(portion)], task.rules.pressure_unit
    figure_bar = pipe_bar(task.train, cab, state)
    shows = in_unit(figure_bar, unit)
    joined = stands.values.get(AIR_THROUGH) == "yes" and not task.parts
    said = {"charged": "charged", "drawn": "full application", "empty": "empty"}[state]
    why = stands.whence.get(pipe_key(portion), BY_TYPE)
    whence = f"{said}, {'as its brake valves are told to stand' if why == BY_TYPE else why.removeprefix('told: ')}"
    lines = [PipeStands(portion, "brake pipe", None if joined else figure_bar,
                        "not known" if joined else f"{shows:.{DECIMALS[unit] - 1}f}",
                        "not known: the pipes are one, nobody has read a gauge" if joined else f"told: {whence}")]  # fmt: skip
    if any(one.unit_type.air_pipe("main reservoir pipe") for one in units):
        lines.append(PipeStands(portion, "main reservoir pipe", None, "not known", "not known: nobody has read a gauge"))
    return tuple(lines)


def part_name(at: At, own: tuple[Variable, ...]) -> str:
    """What a device is called at its own place: "brake pipe cock"."""
    if len(own) == 1:
        return own[0].label.replace(f" of {at.where}", "")
    return at.name.replace("_", " ")


def state_words(variable: Variable, value: str, at: At, is_one_of_many: bool) -> str:
    name = variable.label.replace(f" of {at.where}", "")
    said = variable.say(value).replace(f" of {at.where}", "")
    return said if is_one_of_many else said.removeprefix(name).strip()
