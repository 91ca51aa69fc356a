"""Stages of a brake test that work by the through wires: what must be joined, what is commanded, where a cylinder is read."""

from __future__ import annotations

from collections.abc import Mapping

from headstock.devices.scene import ELECTRIC
from headstock.formation.train import UnitEnd
from headstock.local_rules.method_stage import Stage
from headstock.procedures.places import beside, cab
from headstock.procedures.task import AttachTask
from headstock.reasoning.variable import Fact, Variable

OFF: Fact = (ELECTRIC, "release")
GEAR_CAUTION = "Blocks and brake gear move: nobody at them, nobody in between."
DOOR_CAUTION = "The doors move: nobody in them, nobody leans on them."
"""Beside whatever puts brakes on or lets them off in a test, and beside doors that are tried (common practice, no source)."""


def electric_variables(task: AttachTask) -> tuple[Variable, ...]:
    """What the leading cab commands; none where the test commands nothing."""
    if not _commands(task):
        return ()
    phrases = (("release", "electric brake off"), ("apply", "electric brake applied"), ("hold", "electric brake held"))
    return (Variable(ELECTRIC, ("release", "apply", "hold"), "scene", "the electric brake", phrases=phrases),)


def electric_as_found(task: AttachTask) -> dict[str, str]:
    """Off, where there is such a command."""
    return dict((OFF,)) if _commands(task) else {}


def _commands(task: AttachTask) -> bool:
    return any(stage.electric is not None for stage in task.method.stages)


def joined_wires(task: AttachTask) -> tuple[Fact, ...]:
    """The joint's jumpers latched and heads mated; nothing after a parting, where the wires of the tested portion are its own."""
    if task.parts:
        return ()
    facts: list[Fact] = []
    for near, far in task.mated:
        if near[1].kind == "jumper":
            facts.append((far[0].key(), "latched"))
        elif near[1].kind == "electrical head":
            facts += [(at.key(), "mated") for at, _ in (near, far)]
    return tuple(facts)


def needs_of_wires(task: AttachTask, number: int) -> tuple[list[Fact], list[Fact], list[Fact]]:
    """What the stage of a number needs, does and asks to be known besides, by the wires that it works or reads."""
    stages = task.method.stages
    stage, needs, effects = stages[number], list[Fact](), list[Fact]()
    stands = "release"
    for before in stages[:number]:
        stands = before.electric or stands
    if _commands(task) and (number == 0 or stage.electric is not None or _reads_wires(task, number)):
        needs.append((ELECTRIC, stands))  # a test begins with it off, and what it reads is what was commanded
    if stage.electric is not None and stage.electric != stands:
        effects.append((ELECTRIC, stage.electric))
    if not stage.is_wired and not _reads_wires(task, number):
        return needs, effects, []
    joined = joined_wires(task)
    is_first = not any(before.is_wired for before in stages[:number])
    return [*needs, *joined], effects, list(joined) if is_first else []


def _reads_wires(task: AttachTask, number: int) -> bool:
    """Whether a stage reads what the one before it did by wires."""
    stages = task.method.stages
    return stages[number].reading is not None and number > 0 and stages[number - 1].is_wired


def wired_stages(task: AttachTask) -> frozenset[str]:
    """Stages from the first that works by wires to the last: meanwhile and afterwards no wire is parted."""
    keys = [stage.key for stage in task.method.stages]
    first = next((number for number, stage in enumerate(task.method.stages) if stage.is_wired), len(keys))
    return frozenset(keys[first:])


def place_of_cylinder(task: AttachTask, end: UnitEnd) -> str:
    """Where the brake cylinder of a cab's vehicle is read: on the cab's gauge, or at the vehicle, where the cab has none."""
    has_gauge = any(
        spec.kind == "gauge" and getattr(spec, "reads", "") == "brake cylinder" for _, spec in task.train.end_devices(end)
    )
    return cab(end) if has_gauge else beside(task.train.vehicle_at(end))


def caution_of(stage: Stage) -> str:
    """What stands beside a stage that moves something by wires."""
    if stage.electric is not None:
        return GEAR_CAUTION
    return DOOR_CAUTION if stage.wire in ("doors left", "doors right", "door interlock") else ""


def tries_bell_both_ways(task: AttachTask) -> bool:
    """Whether the test itself rings the bell from either end."""
    return {stage.acts_at for stage in task.method.stages if stage.wire == "bell"} == {"front", "rear"}


def shown_by_wires(task: AttachTask) -> Mapping[str, tuple[Fact, ...]]:
    """By stage what its reading shows that rests on wires: what was commanded, and that they are joined."""
    found: dict[str, tuple[Fact, ...]] = {}
    stands = OFF
    for stage in task.method.stages:
        stands = (ELECTRIC, stage.electric) if stage.electric is not None else stands
        if stage.reading is not None and stage.reading.reads in ("brake cylinder", "lamp", "bell"):
            commanded = (stands,) if stage.reading.reads == "brake cylinder" and _commands(task) else ()
            found[stage.key] = (*commanded, *joined_wires(task))
    return found
