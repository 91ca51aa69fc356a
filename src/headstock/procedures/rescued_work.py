"""Parting a train that was joined by a rescue: what stays scotched and its springs set again first, the adapter off last."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.adapter import Adapter
from headstock.devices.adapter_parting import hose_off_acts, taking_off_acts
from headstock.devices.air_inlet import inlet_parting_acts
from headstock.devices.kind import Act, At
from headstock.devices.parking_brake import ParkingBrakeSpec, set_again
from headstock.devices.registry import kind_of
from headstock.devices.scene import AIR_THROUGH, COUPLE, TEST, pipe_key
from headstock.devices.scotch import scotch_acts
from headstock.formation.train import UnitEnd
from headstock.procedures.build import step_of
from headstock.procedures.cab_work import valve_key
from headstock.procedures.hold_work import hold_steps, holder
from headstock.procedures.places import beside, cab
from headstock.procedures.rescued import Rescued
from headstock.procedures.scene_variables import AGREED, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.constraint import place_key
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def securing_steps(task: AttachTask) -> Iterator[Step]:
    """Scotches laid, then springs set again, the whole train on the driver's application meanwhile."""
    rescued = task.rescued
    if rescued is None:
        return
    if rescued.scotches is not None:
        for act in scotch_acts(rescued.scotches, ()):
            yield from hold_steps(task, act)
    for at in rescued.set_again:
        yield _set_again(task, rescued, at)


def _set_again(task: AttachTask, rescued: Rescued, at: At) -> Step:
    spec = task.train.unit(at.unit).unit_type.devices[at.name]
    assert isinstance(spec, ParkingBrakeSpec)
    scotched = ((rescued.scotches.key, "on"),) if rescued.scotches is not None else ()
    in_hand: tuple[Fact, ...] = (
        (AGREED, "yes"), (AIR_THROUGH, "yes"), (COUPLE, "locked"), (valve_key(task, task.driven_from), "full"),
        (pipe_key(task.standing), "drawn"), (place_key(task.role_for("drives")), cab(task.driven_from)),
    )  # fmt: skip
    made = step_of(task, set_again(at, spec), task.role_for(holder(False)), beside(at.where), (*in_hand, *scotched))
    return replace(made, knows=(*made.knows, *scotched))


def read_on_springs_set(task: AttachTask, step: Step) -> Step:
    """A parking brake whose springs were released by hand is on only when each of them has been set again."""
    if task.rescued is None:
        return step
    act = tuple(fact for key, value in step.shows if value == "on" for fact in task.rescued.springs_of(key))
    return replace(step, needs=(*step.needs, *act), knows=(*step.knows, *act)) if act else step


def joined_beside_the_pairs(task: AttachTask) -> tuple[Fact, ...]:
    """What else hangs where it belongs before the ends part: the adapter's hose, that of an air inlet."""
    facts: list[Fact] = []
    if task.adapter is not None and task.adapter.hose is not None:
        facts.append((task.adapter.hose.key(), "on its dummy"))
    inlet = task.rescued.inlet if task.rescued is not None else None
    if inlet is not None:
        facts += [(inlet.hose.key(), "on its dummy"), (inlet.at.key(), "capped")]
    return tuple(facts)


def cocks_beside_the_pairs(task: AttachTask) -> frozenset[str]:
    """Cocks at the joint that are open and no pair: an adapter's and its end's, that before an air inlet."""
    inlet = task.rescued.inlet if task.rescued is not None else None
    return frozenset(task.joint_cocks) | ({inlet.cock.key()} if inlet is not None else frozenset())


def adapter_acts(task: AttachTask) -> Iterator[tuple[Act, bool]]:
    """What is done to the adapter and to the emergency hose; with whether it cuts the brake pipe."""
    adapter, rescued = task.adapter, task.rescued
    if adapter is not None:
        yield from hose_off_acts(adapter, adapter.hangs_on == str(task.near))
        if task.couple is None:
            yield from ((act, False) for act in _letting_go(task, adapter))
        yield from ((act, False) for act in taking_off_acts(adapter))
    if rescued is not None and rescued.inlet is not None:
        inlet = rescued.inlet
        yield from ((act, False) for act in inlet_parting_acts(inlet.at, inlet.hose, inlet.cock))


def _letting_go(task: AttachTask, adapter: Adapter) -> Iterator[Act]:
    """The end that met it lets go as it would of its like; the coupler on which it hangs does nothing."""
    first, second = task.couplers
    meets, hangs = (first, second) if first[0].where == adapter.meets else (second, first)
    for act in kind_of(meets[1]).parting_acts(meets, hangs):
        yield replace(act, effects=tuple(fact for fact in act.effects if not fact[0].startswith(f"{hangs[0].key()}.")))


def opened_with_nothing_joined(task: AttachTask, step: Step) -> Step:
    """The handle of the coupler that met the adapter, pulled only when every hose is off."""
    if task.rescued is None or (COUPLE, "apart") not in step.effects:
        return step
    return replace(step, needs=tuple(dict.fromkeys((*step.needs, *joined_beside_the_pairs(task)))))


def looked_at_bare(task: AttachTask, step: Step, end: UnitEnd) -> Step:
    """The last look at the end that carried the adapter: only when it is off and stowed."""
    if task.rescued is None or task.adapter is None or task.adapter.hangs_on != str(end):
        return step
    return replace(step, needs=(*step.needs, (task.adapter.key, "stowed")))


def adapter_off_first(task: AttachTask, step: Step) -> Step:
    """No test before the adapter is stowed; while it comes off only air holds what leaves: the driver stays at the brake."""
    if task.rescued is None or task.adapter is None:
        return step
    if (TEST, task.method.stages[0].key) in step.effects:
        return replace(step, needs=(*step.needs, (task.adapter.key, "stowed")))
    if step.role != task.role_for("drives") or step.place in (None, cab(task.driven_from)):
        return step
    free = (protection_key(task.role_for("goes_between")), "none")
    return replace(step, needs=tuple(dict.fromkeys((*step.needs, free))), knows=tuple(dict.fromkeys((*step.knows, free))))


def end_of_a_rescue(task: AttachTask) -> tuple[Fact, ...]:
    """How the gear of a rescue must be when the train has been parted."""
    stowed = ((task.adapter.key, "stowed"),) if task.adapter is not None else ()
    return (*stowed, *joined_beside_the_pairs(task)) if task.rescued is not None else ()
