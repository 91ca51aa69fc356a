"""Work on a portion that has no air of its own: secured first, proved without its air brake, let off on the proved one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.air_inlet import inlet_acts
from headstock.devices.distributor import let_out_by_hand, seen_on_again
from headstock.devices.main_reservoir import filled_key
from headstock.devices.parking_brake import release_by_hand
from headstock.devices.scene import AIR_THROUGH, AUTHORITY, GAP, TEST, pipe_key, proved_key
from headstock.devices.scotch import scotch_acts
from headstock.local_rules.spoken import pressure_at_least
from headstock.procedures.build import joint_end_step, step_of
from headstock.procedures.cab_work import CabWork, all_valves, supply_seen_off, valve_key, valve_word
from headstock.procedures.hold_work import hold_steps, released
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import beside, cab
from headstock.procedures.rescue import Rescue
from headstock.procedures.scene_variables import AGREED, RIDES, TESTED_HOLD
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact


def others_off(task: AttachTask, rescue: Rescue) -> tuple[Fact, ...]:
    """Every hold of the dead portion off, scotches aside."""
    brakes = [key for key in task.holds[task.standing].brakes if key != rescue.scotches.key and not rescue.is_by_hand(key)]
    return (*((key, "off") for key in brakes), *rescue.springs_released)


def rescue_steps(task: AttachTask, rescue: Rescue) -> Iterator[Step]:
    """All that a rescue adds to joining."""
    for act in scotch_acts(rescue.scotches, others_off(task, rescue)):
        yield from hold_steps(task, act)
    for at in rescue.answering:
        yield released(task, seen_on_again(at), at, is_moving=False)
    secured = hold_facts(task, task.standing)
    role = task.role_for("looks_at_holds")  # who proves the hold has let the air out with his own hands
    for at in rescue.cylinders:
        needs = ((AGREED, "yes"), (GAP, "apart"), (AIR_THROUGH, "no"))
        yield step_of(task, let_out_by_hand(at, secured), role, beside(at.where), needs)
    yield from _dead_cab_steps(task, secured)
    for at in rescue.by_hand:
        spec = task.train.unit(at.unit).unit_type.devices[at.name]
        scotched = (rescue.scotches.key, "on")
        step = released(task, release_by_hand(at, spec), at, is_moving=False)  # type: ignore[arg-type]
        yield replace(step, needs=(*step.needs, scotched), knows=(*step.knows, scotched))
    if rescue.fed:
        yield _fill_main(task, rescue)
    if rescue.inlet is not None:
        ready = (task.adapter.proof,) if task.adapter is not None else ()
        join, opened = inlet_acts(rescue.inlet.at, rescue.inlet.hose, rescue.inlet.cock, ready)
        yield joint_end_step(task, join)
        step = joint_end_step(task, opened)
        locked = tuple((key, "locked") for key in all_valves(task))
        yield replace(step, needs=(*step.needs, (AIR_THROUGH, "yes"), *locked))
    if rescue.rides_along:
        yield _ride_along(task, rescue)


def _dead_cab_steps(task: AttachTask, secured: tuple[Fact, ...]) -> tuple[Step, ...]:
    """The dead portion's cab: its pipe down to nothing once it is secured, its valve locked, the gauge read."""
    work = CabWork(task, task.standing_cab, task.role_for("works_standing_cab"), task.standing, "hold")
    empty = (work.pipe, "empty")
    found, steps = task.as_found[work.valve], []
    if found == "locked" and task.as_found[work.pipe] != "empty":  # drawn by a valve of another cab
        unlock = work.unlock()
        held = tuple(dict.fromkeys((*unlock.needs, (AIR_THROUGH, "no"), *secured)))
        steps = [replace(unlock, needs=held), work.empty_from("full", secured)]
    elif found != "locked":
        steps = [work.empty_from(found, secured)]
    seen = (empty, (work.valve, "locked"))
    read = Step(
        key=f"read the brake pipe gauge: nothing in it, valve locked, cab {task.standing_cab}", role=work.role,
        place=cab(task.standing_cab), needs=(*seen, (AIR_THROUGH, "no")), shows=seen, phase="hold",
        duration_s=task.rules.allowance_s("read_gauge"),
        brief=f"Gauge of {task.standing_cab}: nothing in the brake pipe; valve seen locked.",
    )  # fmt: skip
    return (*steps, *((work.lock("empty"),) if steps else ()), read, *supply_seen_off(task))


def watch_dead(task: AttachTask, rescue: Rescue, place: str) -> Step:
    """The hold of the dead portion proved: its cylinders let out, its pipe empty, watched for the rules' time."""
    holds = hold_facts(task, task.standing)
    known = (*holds, (pipe_key(task.standing), "empty"), *rescue.cylinders_out)
    seconds = task.rules.holding.watch_s.value
    proved = (proved_key(task.standing), "proved")
    return Step(
        key=f"watch {task.standing} for {seconds:g} s, its cylinders let out: it stands", role=task.role_for("looks_at_holds"),
        place=place, needs=(*known, (GAP, "apart"), (AIR_THROUGH, "no")), effects=(proved,), shows=(proved,), knows=known,
        duration_s=seconds + task.rules.allowance_s("look"), phase="hold", order=(5,),
        brief=f"Watch {task.standing} {seconds:g} s without any air: it stands, clear of the scotches.",
        caution="Up against a scotch, it is not held by its brakes: stop, more brakes, once more.",
    )  # fmt: skip


def main_through(task: AttachTask) -> tuple[Fact, ...]:
    """The main reservoir pipes through the joint, cocks open or joined by the blow; or the cock before an inlet open."""
    if task.rescue is not None and task.rescue.inlet is not None:
        return ((task.rescue.inlet.cock.key(), "open"),)
    cocks = [(at.key(), "open") for pair in task.mated for at, spec in pair
             if spec.kind == "end cock" and spec.pipe == "main reservoir pipe"]  # fmt: skip
    return tuple(cocks) or ((GAP, "touching"), (AIR_THROUGH, "yes"))


def _fill_main(task: AttachTask, rescue: Rescue) -> Step:
    """Waiting until the main reservoir gauge shows enough for all springs: at the rear, or at once in the driver's cab."""
    filled = (filled_key(task.standing), "filled")
    enough = rescue.springs_off_above_bar
    said = "stands still" if enough is None else f"is above {pressure_at_least(enough, task.rules.pressure_unit)}"
    gauge = "gauge of the parking brake's air" if rescue.inlet is not None else "main reservoir gauge"
    end, duty, phase = (task.driven_from, "drives", "join") if rescue.main_waits else (task.rear_cab, "reads_rear", "test")
    return Step(
        key=f"wait until the {gauge} of {end} {said}", role=task.role_for(duty), place=cab(end),
        needs=(*main_through(task), (filled[0], "empty")), effects=(filled,), shows=(filled,),
        duration_s=task.rules.allowance_s("fill_main"), phase=phase, order=(8 if rescue.main_waits else 80,),
        brief=f"{gauge[0].upper()}{gauge[1:]} of {end} {said}.",
        caution="Low main reservoirs: springs come on by themselves, the brake pipe falls. Nothing moves." if rescue.main_waits
        else "",
    )  # fmt: skip


def waits_for_air(task: AttachTask, step: Step) -> Step:
    """The pull, where couplers joined the main reservoirs as they closed: only when they are full again."""
    if task.rescue is None or not task.rescue.main_waits or AUTHORITY not in dict(step.effects):
        return step
    return replace(step, needs=(*step.needs, (filled_key(task.standing), "filled")))


def _ride_along(task: AttachTask, rescue: Rescue) -> Step:
    """Somebody who can put a brake on again, in the dead portion's cab, once its holds are off."""
    rear, driver = task.role_for("reads_rear"), task.role_for("drives")
    own = "by its own brakes" if rescue.unbraked else "able to put the brake on again"
    valve = f"{valve_word(task, task.rear_cab, 'empty')} puts the brake on"
    held = "its hand or parking brakes hold it" if rescue.unbraked else valve
    tested = ((TEST, task.method.stages[-1].key), (TESTED_HOLD, "yes"), (valve_key(task, task.rear_cab), "locked"))
    return Step(
        key=f"ride along in cab {task.rear_cab}, {own}; try the radio", role=rear,
        place=cab(task.rear_cab), needs=(*tested, *others_off(task, rescue), (rescue.scotches.key, "off")),
        effects=((RIDES, "yes"),), tells=((RIDES, "yes"),), hearer=driver, duration_s=task.rules.allowance_s("ride_along"),
        phase="leave", order=(99,), brief=f"In {task.rear_cab} until relieved: {held} if the couple parts.",
        said=(Utterance(rear, driver, rescue.rides_along_says),), hears=(driver,),
    )  # fmt: skip
