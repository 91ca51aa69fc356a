"""What jobs of every kind share about start and end: who stands where, which brakes count, what goes back into its place."""

from __future__ import annotations

from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.devices.scene import pipe_key
from headstock.procedures.cab_work import valve_key
from headstock.procedures.hold_work import releasing_cab
from headstock.procedures.places import JOINT, cab
from headstock.procedures.task import AttachTask
from headstock.procedures.two_between import cable_owners
from headstock.reasoning.variable import Fact


def last_stage(task: AttachTask) -> str:
    """The last stage of the brake test."""
    return task.method.stages[-1].key


def all_brakes(task: AttachTask) -> tuple[At, ...]:
    """Every hand and parking brake of the train, whether a hold rests on it or not."""
    return tuple(at for at, spec in task.train.devices() if spec.kind in ("hand brake", "parking brake"))


def holding_brakes(task: AttachTask) -> frozenset[str]:
    """Those on which a hold rests."""
    return frozenset(key for facts in task.holds.values() for key in facts.brakes)


def named_owners(task: AttachTask) -> dict[str, str]:
    """Who says it where two could: the standing cab's worker for the standing pipe, the driver for the moving one."""
    owners: dict[str, str] = {}
    for unit in task.moving_units:
        owners |= {f"{unit.name}.{name}": releasing_cab(task, unit.name)[0] for name in unit.unit_type.devices}
    # After the devices: a unit's pipe may have the same key as a portion of that unit alone.
    owners |= {pipe_key(task.standing): task.role_for("drives" if task.parts else "works_standing_cab"),
               pipe_key(task.moving): task.role_for("drives")}  # fmt: skip
    owners[valve_key(task, task.standing_cab)] = task.role_for("works_standing_cab")
    if task.parts:
        ends = (task.near, task.far)
        owners |= {at.key(): task.role_for("goes_between") for end in ends for at, _ in task.train.end_devices(end)}
    return owners | cable_owners(task)


def where_people_start(task: AttachTask) -> dict[str, str]:
    """The driver in the cab, the others clear of the joint."""
    starts = {task.role_for("drives"): cab(task.driven_from)}
    return {role: starts.get(role, JOINT) for role in task.crew}


def as_stowed(task: AttachTask) -> tuple[Fact, ...]:
    """After a screw: heads raised and pinned again, buffers in, the screw where it belongs."""
    if task.screw is None:
        return ()
    facts: list[Fact] = [(task.screw.key, "stowed")]
    for end in (task.near, task.far):
        for at, spec in task.train.end_devices(end):
            if spec.kind in ("drop-head knuckle", "buffers"):
                facts += kind_of(spec).before_touching(at, spec)
    return tuple(facts)


def lamps_of_the_standing(task: AttachTask) -> tuple[Fact, ...]:
    """What the portion that stays shows at both its ends, by the local rules."""
    shows = task.rules.standing_shows.value
    facts: list[Fact] = []
    for end in dict.fromkeys((task.far, task.standing_outer)):
        for at, spec in task.train.end_devices(end):
            if spec.kind == "lamp":
                facts.append((at.key(), "lit" if spec.shows == shows else "off"))
    return tuple(facts)
