"""How all stands when a job begins, and how the driving valve does where the job does not say."""

from __future__ import annotations

from headstock.devices.scene import supply_key
from headstock.formation.train_state import TrainState, as_left, layout_of, state_of
from headstock.procedures.cab_work import pipes_as_found, valve_key
from headstock.procedures.couple_found import pipes_of_a_couple
from headstock.procedures.coupling import joined_facts
from headstock.procedures.scene_variables import scene_as_found, scene_variables
from headstock.procedures.task import AttachTask
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader


def state_as_found(reader: JobReader, task: AttachTask) -> TrainState:
    """How all stands at first: as left, joined where the job parts or goes on, and what the job says stands otherwise."""
    train, couple = task.train, task.couple
    joined = joined_facts(task) if task.parts or couple is not None else {}
    found = {**as_left(train), **joined, **scene_as_found(task)}
    found[valve_key(task, task.driven_from)] = driving_valve_as_found(reader.papers)
    layout = layout_of(train, scene_variables(task))
    # How things stand is the job's to say; what people have agreed, asked or tested is not.
    joint = train.joint_to_make
    supplies = tuple(v for v in layout.variables if v.key in (supply_key(joint.first.unit), supply_key(joint.second.unit)))
    found.update(reader.deviations((*layout_of(train).variables, *supplies)))
    found.update(pipes_as_found(task, found) if couple is None else pipes_of_a_couple(task, found))
    return state_of(layout, found)


def driving_valve_as_found(papers: JobPapers) -> str:
    """How the brake valve stands from which the moving portion is driven, where the job does not say."""
    job = papers.job
    failed = job.work == "detach" and job.couple_as_found is not None and job.joined_by_a_rescue is None
    return "locked" if failed else "full"
