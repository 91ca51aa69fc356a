"""How the two ends of a job are joined: by the couplers themselves, or a screw coupling over hooks; what must be so first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from headstock.devices.adapter import hanging_acts, hose_act, meeting_acts
from headstock.devices.kind import Act, Making
from headstock.devices.registry import kind_of
from headstock.devices.scene import GAP, PULLED
from headstock.devices.screw_coupling import joining_acts
from headstock.procedures.task import AttachTask
from headstock.reasoning.variable import Fact


def dressed_facts(task: AttachTask) -> tuple[Fact, ...]:
    """What must be so at both ends before they touch."""
    mated = {at.key() for pair in task.mated for at, _ in pair}
    facts: list[Fact] = []
    for end in (task.near, task.far):
        for at, spec in task.train.end_devices(end):
            facts += kind_of(spec).before_touching(at, spec, _making_at(task, str(end)))
            if spec.kind == "electrical head" and at.key() not in mated and spec.can_be_locked_back:
                facts.append((at.key(), "locked back"))
    return (*facts, *(task.adapter.pinned if task.adapter is not None else ()))


def _making_at(task: AttachTask, end: str) -> Making:
    """How an end is made ready: under an adapter by its bare hook, where it has one; the end that meets it as for its like."""
    if task.adapter is None:
        return task.making
    return "screw" if end == task.adapter.hangs_on and task.adapter.on_a_hook else "direct"


def lasting_facts(task: AttachTask) -> tuple[Fact, ...]:
    """Of these what stays so when the couple is made: a latch turns, a screw leaves its stowage.

    Of a couple found part made the heads that are to be locked back may still be free.
    """
    changed = {key for act in coupling_acts(task) for key, _ in act.effects}
    if task.couple is not None:
        changed |= {key for key, value in dressed_facts(task) if value == "locked back"}
    return tuple(fact for fact in dressed_facts(task) if fact[0] not in changed)


def undoes_dressing(task: AttachTask, act: Act) -> bool:
    """Whether an act at the joint sets something otherwise than it must be before the ends touch."""
    wanted = dict(dressed_facts(task))
    return any(wanted.get(key, value) != value for key, value in act.effects)


def coupling_acts(task: AttachTask) -> Iterator[Act]:
    """All acts of joining: coming together, making the couple, seeing that it is made."""
    if task.screw is not None:
        yield _close_up(task)
        yield from (_sees_the_other_stowed(task, act) for act in joining_acts(task.screw))
        return
    if task.adapter is not None:
        yield from hanging_acts(task.adapter)
        yield from meeting_acts(task.adapter, (*dressed_facts(task), *opened_knuckle(task)))
        yield from hose_act(task.adapter)
        return
    near, far = task.couplers
    yield from kind_of(near[1]).joint_acts(near, far)


def _sees_the_other_stowed(task: AttachTask, act: Act) -> Act:
    """The last look at the couple takes in the other hook's own screw, where it has one."""
    if (PULLED, "held") not in act.effects or task.screw is None:
        return act
    others = tuple((at.key(), "stowed") for at, spec in task.couplers
                   if spec.kind == "hook and screw" and at.key() != task.screw.key)  # fmt: skip
    return replace(act, shows=(*act.shows, *others))


def _close_up(task: AttachTask) -> Act:
    joint = f"{task.near} and {task.far}"
    return Act(f"close up {joint} until the buffers are lightly pressed", "drives", "driving cab", "couple", "join",
               needs=dressed_facts(task), effects=((GAP, "touching"),), at=task.couplers[0][0],
               brief="Come on until the buffers are lightly pressed, brake on contact.")  # fmt: skip


def joined_facts(task: AttachTask) -> dict[str, str]:
    """How the devices at the joint stand when it is made."""
    facts = dict(dressed_facts(task))
    for near, far in (task.couplers, *task.mated):
        for at, spec in (near, far):
            if not ((task.screw is not None or task.adapter is not None) and at.name == "coupler"):
                facts |= dict(kind_of(spec).end_state(at, spec, "joint", True))
        if near[1].kind == "jumper":
            facts[far[0].key()] = "latched"
    if task.screw is not None:
        facts[task.screw.key] = "tight"
        facts |= {f"{end}.coupler.{slot}": "out" for end in (task.near, task.far) for slot in ("pin", "keeper")
                  if dict(facts).get(f"{end}.coupler.head") == "dropped"}  # fmt: skip
    return facts


def opened_knuckle(task: AttachTask) -> tuple[Any, ...]:
    """The fact that the knuckle stands open which the local rules name, or meets an adapter; none where no knuckle is used."""
    if task.adapter is not None:
        kinds = {at.where: spec.kind for at, spec in task.couplers}
        meets = task.adapter.meets
        return ((f"{meets}.coupler.jaw", "open"),) if kinds[meets].endswith("knuckle") else ()
    if task.making != "direct" or not task.couplers[0][1].kind.endswith("knuckle"):
        return ()
    end = task.near if task.rules.opens_knuckle_of.value == "moving portion" else task.far
    return ((f"{end}.coupler.jaw", "open"),)
