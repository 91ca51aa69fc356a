"""Cab work of a parting job: on the pipe of the whole train first, on the leaving portion's own pipe afterwards."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.scene import AIR_THROUGH, COUPLE, GAP, pipe_key, proved_key, supply_key
from headstock.formation.train import UnitEnd
from headstock.procedures.cab_work import CabWork, valve_key, valve_word
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import cab
from headstock.procedures.scene_variables import AGREED, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def whole_train_steps(task: AttachTask) -> tuple[Step, ...]:
    """Air brake off to prove the standing portion's hold, on again, then the pipe to nothing and the valve locked."""
    driver, end = task.role_for("drives"), task.driven_from
    valve, between = valve_key(task, end), protection_key(task.role_for("goes_between"))
    through = ((AIR_THROUGH, "yes"), (COUPLE, "locked"), (between, "none"), (AGREED, "yes"))
    standing = hold_facts(task, task.standing)
    names = f"{task.moving} and {task.standing}"
    proved = ((proved_key(task.standing), "proved"),)

    def step(key: str, before: str, after: str, pipe: str, brief: str, needs: tuple[Fact, ...], knows: tuple[Fact, ...],
             allowance: str, phase: str) -> Step:  # fmt: skip
        pipes = tuple((pipe_key(portion), pipe) for portion in (task.moving, task.standing))
        return Step(key=f"{key}, cab {end}", role=driver, place=cab(end), needs=((valve, before), *through, *needs),
                    effects=((valve, after), *pipes), knows=knows, duration_s=task.rules.allowance_s(allowance), phase=phase,
                    brief=brief)  # fmt: skip

    off = valve_word(task, end, "running")
    return (
        step("charge the whole train's pipe to let the air brake off", "full", "running", "charged",
             f"Valve of {end} to {off}: air brake of the whole train off.", standing, standing, "full_application", "hold"),
        step("make a full application on the whole train, wait until the exhaust has ended", "running", "full", "drawn",
             f"Valve of {end} to {valve_word(task, end, 'full')}, exhaust ended.", (), (), "full_application", "hold"),
        step(f"let the brake pipe of {names} down to nothing", "full", "empty", "empty",
             f"Pipe of the whole train to 0 ({valve_word(task, end, 'empty')}).", (*proved, *standing), proved, "empty_pipe",
             "make safe"),
        _lock_on_nothing(task),
    )  # fmt: skip


def _lock_on_nothing(task: AttachTask) -> Step:
    """The driver's valve locked over the empty pipe, while the ends are still together."""
    lock = CabWork(task, task.driven_from, task.role_for("drives"), task.moving, "make safe").lock("empty")
    return replace(lock, needs=(*lock.needs, (GAP, "touching")))


def see_standing_valve_locked(task: AttachTask) -> Step:
    """The standing portion's own valve, seen shut and locked: nothing may feed it once it stands alone."""
    fact, end = (valve_key(task, task.standing_cab), "locked"), task.standing_cab
    return Step(key=f"see that the brake valve is shut and locked, cab {end}", role=task.role_for("works_standing_cab"),
                place=cab(end), needs=(fact, (AGREED, "yes")), shows=(fact,), duration_s=task.rules.allowance_s("look"),
                phase="hold", brief=f"Valve of {end} seen shut and locked.")  # fmt: skip


def own_cab_steps(task: AttachTask) -> tuple[Step, ...]:
    """The leaving portion's own pipe charged, and drawn again, while the train still hangs together."""
    work = CabWork(task, task.driven_from, task.role_for("drives"), task.moving, "part")
    by_hand = task.couple is not None and task.couple.by_hand
    if (
        task.joins_air_by_the_blow or task.making == "screw" or by_hand
    ):  # only once the couple has parted: on its own brakes meanwhile
        held: tuple[Fact, ...] = hold_facts(task, task.moving)
    else:
        held = ((COUPLE, "locked"), (proved_key(task.standing), "proved"), *hold_facts(task, task.standing))
    charge = work.release(((GAP, "touching"), *held))
    key = valve_key(task, task.driven_from)
    # The valve stands at full over an empty pipe when it has been unlocked.
    apply = replace(work.apply(), knows=((proved_key(task.standing), "proved"),))
    # Locked to change ends, or while an adapter is taken off, the gauge read after drawing away.
    leaves = (work.lock("full"),) if task.driven_from != task.controls or task.adapter is not None else ()
    reads = (replace(work.see_applied(), phase="ends"),) if task.adapter is not None else ()
    return (work.unlock(), replace(charge, needs=tuple(dict.fromkeys((*charge.needs, (key, "full"))))), apply, *leaves, *reads)


def supply_steps(task: AttachTask) -> tuple[Step, ...]:
    """Both electric supplies off before a jumper is touched: all from the driver's cab in full multiple working."""
    if not any(near[1].kind in ("jumper", "electrical head") for near, _ in task.mated):
        return (*(_off(task, end, *_own(task, end)) for end in (task.far, task.near)), *_on(task))
    whole = task.way.level == "full multiple working" and task.wires_through
    driver = (task.role_for("drives"), task.driven_from)
    offs = tuple(_off(task, end, *(driver if whole else _own(task, end))) for end in (task.far, task.near))
    return (*offs, *_on(task))


def _own(task: AttachTask, end: UnitEnd) -> tuple[str, UnitEnd]:
    if end == task.near:
        return task.role_for("drives"), task.driven_from
    return task.role_for("works_standing_cab"), task.standing_cab


def _off(task: AttachTask, of: UnitEnd, role: str, at: UnitEnd) -> Step:
    key = supply_key(of.unit)
    return Step(key=f"switch the electric supply of {of.unit} off, cab {at}", role=role, place=cab(at),
                needs=((key, "on"), (AGREED, "yes")), effects=((key, "off"),), duration_s=task.rules.allowance_s("supply"),
                phase="make safe", brief=f"Supply of {of.unit} off.")  # fmt: skip


def _on(task: AttachTask) -> tuple[Step, ...]:
    if task.driven_from == task.controls and task.controls.unit == task.near.unit:
        # the leading cab's own step says it, and asks for more
        return ()
    key, between = supply_key(task.near.unit), protection_key(task.role_for("goes_between"))
    on = Step(key=f"switch the electric supply of {task.near.unit} on, cab {task.driven_from}", role=task.role_for("drives"),
              place=cab(task.driven_from), needs=((key, "off"), (between, "none"), *task.made_up), effects=((key, "on"),),
              duration_s=task.rules.allowance_s("supply"), phase="leave", brief=f"Supply of {task.near.unit} on.")  # fmt: skip
    return (on,)
