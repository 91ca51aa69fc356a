"""What stands one way or another around the train: words given, distances, pipes, holds, protection, the test."""

from __future__ import annotations

from headstock.devices.adapter import Adapter, adapter_as_found, adapter_variables
from headstock.devices.adapter_parting import adapter_in_place
from headstock.devices.scene import (
    AIR_THROUGH,
    AUTHORITY,
    COUPLE,
    GAP,
    PULLED,
    SLACK,
    TEST,
    pipe_key,
    proved_key,
    supply_key,
)
from headstock.devices.screw_coupling import screw_variable
from headstock.formation.train import UnitEnd
from headstock.procedures.couple_found import couple_as_found, couple_variables
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.procedures.wired_test import electric_as_found, electric_variables
from headstock.reasoning.variable import Variable

AGREED, ROAD, CLEAR, BELL, KEY, TESTED_HOLD = "agreed", "road", "joint_clear", "bell", "driver_key", "tested_hold"
RIDES = "rides_along"


def protection_key(role: str) -> str:
    """Whether a person who goes between is protected."""
    return f"protection/{role}"


def looked_key(end: UnitEnd) -> str:
    """Whether an outer end has had its last look."""
    return f"last look/{end}"


def stop_name(number: int) -> str:
    """Value of the gap at one of the stops."""
    return f"stop {number}"


def scene_variables(task: AttachTask) -> tuple[Variable, ...]:
    """All variables beyond the devices' own."""
    stops = tuple(stop_name(number) for number in range(1, len(task.stops_m) + 1))
    distances = tuple(zip(stops, map(task.length_words, task.stops_m), strict=True))
    joint = str(task.train.joint_to_make)
    stages = tuple(stage.key for stage in task.method.stages)
    found = [
        _scene(AGREED, ("no", "yes"), "the job", (("yes", "the job is agreed"),)),
        _scene(ROAD, ("not given", "given"), "the road", (("given", "the road is given"),)),
        _scene(GAP, ("apart", *stops, "touching"), f"the ends {joint}", (
            *((stop, f"the ends {joint} {said} apart") for stop, said in distances), ("touching", f"the ends {joint} touch"))),
        _calls(task, distances),
        Variable(COUPLE, ("apart", "locked"), "scene", f"couple of {joint}", sign=True),
        Variable(PULLED, ("not tried", "held"), "scene", f"pull at {joint}", sign=True,
                 phrases=(("held", "screw tight and secured" if task.screw else "pulled, no gap, the couple holds"),)),
        Variable(CLEAR, ("seen", "not seen"), "scene", "the joint", sign=True, fresh=True,
                 phrases=(("seen", f"the joint {joint} is clear, both sides"),)),
        _scene(AIR_THROUGH, ("no", "yes"), "the brake pipe through the joint",
               (("yes", "the brake pipe is through the joint"), ("no", "the brake pipe is not through the joint"))),
        _scene(KEY, ("with the driver", "with the person between"), "the driver's key"),
        _scene(TEST, ("none", *stages), "the brake test", tuple((key, f"test: {key}") for key in stages)),
        _scene(TESTED_HOLD, ("no", "yes"), "hold by the tested brake", (("yes", "the tested brake holds the train"),)),
        _scene(BELL, ("not tried", "good"), "the bell through the joint", (("good", "bell answered both ways"),)),
    ]  # fmt: skip
    found += [Variable(protection_key(role), ("none", "given"), "scene", f"protection of the {role}",
                       phrases=(("given", f"the {role} is protected"), ("none", f"the {role} is out and clear")))
              for role in people_between(task)]  # fmt: skip
    for portion in (task.moving, task.standing):
        phrases = (
            ("charged", f"brake pipe of {portion} charged, air brake off"),
            ("drawn", f"full application made on {portion}, exhaust ended"),
            ("empty", f"brake pipe of {portion} empty"),
        )
        # Who moves works the brake: what was read of it before a movement says nothing after it.
        found.append(Variable(pipe_key(portion), ("charged", "drawn", "empty"), "scene", f"brake pipe of {portion}",
                              fresh=portion == task.moving, phrases=phrases))  # fmt: skip
        proved = (("proved", f"{portion} stands on its own brakes, air brake off"),)
        found.append(Variable(proved_key(portion), ("unproved", "proved"), "scene", f"hold of {portion}", sign=True,
                              phrases=proved))  # fmt: skip
    found += [
        _scene(looked_key(end), ("no", "yes"), "last look", (("yes", f"outer end {end} looked at"),)) for end in task.test_ends
    ]
    for end in (task.near, task.far):
        said = (("off", f"electric supply of {end.unit} off"), ("on", f"electric supply of {end.unit} on"))
        found.append(Variable(supply_key(end.unit), ("on", "off"), "scene", "supply", phrases=said))
    if task.rescue is not None:
        rides = (("yes", f"somebody rides in {task.rear_cab} who can put the brake on again"),)
        found += [_scene(RIDES, ("no", "yes"), "somebody who rides along", rides), *task.rescue.variables(task.standing)]
    if task.rescued is not None:
        found += task.rescued.variables()
    if task.adapter is not None:
        found += adapter_variables(task.adapter)
    if task.parts:
        found.append(_scene(SLACK, ("stretched", "eased"), f"the couple of {joint}"))
    if task.screw is not None and task.screw.stowage:
        found.append(screw_variable(task.screw))
    return (*found, *couple_variables(task), *electric_variables(task))


def _calls(task: AttachTask, distances: tuple[tuple[str, str], ...]) -> Variable:
    """What the driver is called to."""
    away, on = ("ease up", "draw away"), ("couple", "pull")
    movements = away if task.parts else (*away, *on) if task.couple is not None else on
    said = (*distances, *((word, word) for word in movements), ("none", "nothing"))
    phrases = tuple((value, f"the driver is called to {words}") for value, words in said)
    domain = ("none", *(stop for stop, _ in distances), *movements)
    return _scene(AUTHORITY, domain, "the call to the driver", phrases)


def _scene(key: str, domain: tuple[str, ...], label: str, phrases: tuple[tuple[str, str], ...] = ()) -> Variable:
    return Variable(key, domain, "scene", label, phrases=phrases)


def scene_as_found(task: AttachTask) -> dict[str, str]:
    """How the scene stands when the crew starts, pipes aside: ends apart (or joined), nothing agreed or tested or proved."""
    joined = {GAP: "touching", COUPLE: "locked", PULLED: "held", AIR_THROUGH: "yes", SLACK: "stretched",
              supply_key(task.far.unit): "on"} if task.parts else {}  # fmt: skip
    return {
        AGREED: "no",
        ROAD: "not given",
        GAP: "apart",
        AUTHORITY: "none",
        COUPLE: "apart",
        PULLED: "not tried",
        CLEAR: "seen",
        AIR_THROUGH: "no",
        KEY: "with the driver",
        TEST: "none",
        TESTED_HOLD: "no",
        BELL: "not tried",
        **{looked_key(end): "no" for end in task.test_ends},
        **{protection_key(role): "none" for role in people_between(task)},
        proved_key(task.moving): "unproved",
        proved_key(task.standing): "unproved",
        supply_key(task.near.unit): "on",
        supply_key(task.far.unit): "off",
        **({RIDES: "no", **task.rescue.as_found(task.standing)} if task.rescue is not None else {}),
        **({task.screw.key: "tight" if task.parts else "stowed"} if task.screw is not None and task.screw.stowage else {}),
        **(_adapter(task, task.adapter) if task.adapter is not None else {}),
        **joined,
        **(task.rescued.as_found() | {supply_key(task.far.unit): "off"} if task.rescued is not None else {}),
        **couple_as_found(task),
        **electric_as_found(task),
    }


def _adapter(task: AttachTask, adapter: Adapter) -> dict[str, str]:
    """Stowed where the job joins, in its place where it parts."""
    return adapter_in_place(adapter) if task.parts else adapter_as_found(adapter)
