"""Going on from a couple that was tried and is not made: drawn clear and tried again, or used without its wires."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.registry import kind_of
from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, PULLED, TEST, pipe_key, proved_key
from headstock.formation.train import UnitEnd
from headstock.procedures.build import driving_step, joint_step
from headstock.procedures.couple_found import TRIES, counted, heads_of, loops_key, ports_key
from headstock.procedures.movement import hold_facts
from headstock.procedures.parting_cab import see_standing_valve_locked
from headstock.procedures.parting_movement import draw_away_steps, ease_up_steps, parting_looks
from headstock.procedures.places import BETWEEN, cab
from headstock.procedures.scene_variables import AGREED, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

PHASE = "try again"


def part_made_steps(task: AttachTask) -> tuple[Step, ...]:
    """Every step beyond those of joining from the beginning; none where the couple was not found part made."""
    couple = task.couple
    if couple is None:
        return ()
    steps = list(_drawn_clear(task)) if couple.draws_clear else []
    if couple.wires and (couple.draws_clear or couple.without_wires):
        steps += _heads_back(task)
    if couple.without_wires:
        steps += [_end_the_loops(task, end) for end in (task.near, task.far)]
    return (see_standing_valve_locked(task), *steps)


def tried_again(task: AttachTask, step: Step) -> Step:
    """The step of coming together as one more try: counted, the ports of both faces clear, the pull to be made anew."""
    couple = task.couple
    if couple is None or not step.effects:
        return step
    needs, effects = counted(task)
    if (GAP, "touching") not in step.effects:  # the button of the electrical heads is a try where the ends stay together
        return step if couple.draws_clear else replace(step, needs=(*step.needs, *needs), effects=(*step.effects, *effects))
    clear = tuple((ports_key(end), "clear") for end in (task.near, task.far))
    return replace(step, needs=(*step.needs, *needs, *clear), effects=(*step.effects, *effects, (PULLED, "not tried")))


def heads_locked_back(task: AttachTask) -> tuple[Fact, ...]:
    """Without wires: both heads locked back, the loops of each portion ended."""
    if task.couple is None or not task.couple.without_wires:
        return ()
    return (*((at.key(), "locked back") for at, _ in heads_of(task)),
            *((loops_key(end), "ended") for end in (task.near, task.far)))  # fmt: skip


def after_the_heads(task: AttachTask, step: Step) -> Step:
    """No test begins before heads that are not used are locked back and the loops ended; till then the driver stays."""
    unused = heads_locked_back(task)
    if not unused:
        return step
    if task.couple is not None and not task.couple.draws_clear and step.phase == "dress":
        step = replace(step, phase="between")  # the ends stay together
    if (TEST, task.method.stages[0].key) in step.effects:
        return replace(step, needs=(*step.needs, *unused))
    driver, between = task.role_for("drives"), protection_key(task.role_for("goes_between"))
    leaves = step.role == driver and step.place not in (None, cab(task.driven_from))
    return replace(step, needs=tuple(dict.fromkeys((*step.needs, (between, "none"))))) if leaves else step


def _still(task: AttachTask) -> tuple[Fact, ...]:
    return ((AUTHORITY, "none"), (protection_key(task.role_for("goes_between")), "none"), (AGREED, "yes"),
            (proved_key(task.standing), "proved"), *hold_facts(task, task.standing))  # fmt: skip


def _drawn_clear(task: AttachTask) -> Iterator[Step]:
    couple = task.couple
    assert couple is not None
    covered = tuple((at.key(), "covered") for at, _ in heads_of(task))
    if couple.locked:
        yield from (replace(step, phase=PHASE) for step in ease_up_steps(task))
        yield from _uncoupled(task, covered)
    (look,) = parting_looks(task)
    yield replace(look, needs=(*look.needs, (TRIES, str(couple.tries))), phase=PHASE)
    call, drive = draw_away_steps(task, covered)
    left: tuple[Fact, ...] = ((PULLED, "not tried"), (AIR_THROUGH, "no"))
    if couple.air:  # both pipes are one until the faces part: the driver's charging reaches what stays
        left += ((pipe_key(task.standing), "charged"),)
    yield replace(call, needs=_less_air(call), phase=PHASE)
    yield replace(drive, needs=_less_air(drive), effects=(*drive.effects, *left), phase=PHASE,
                  brief=f"{drive.brief} The faces part: look at them before the next try.")  # fmt: skip
    if couple.locked:
        yield from (_clear_the_ports(task, end) for end in (task.near, task.far))


def _less_air(step: Step) -> tuple[Fact, ...]:
    return tuple(fact for fact in step.needs if fact != (AIR_THROUGH, "no"))


def _heads_back(task: AttachTask) -> Iterator[Step]:
    heads = heads_of(task)
    near, far = heads[0], heads[-1]
    for act in kind_of(near[1]).parting_acts(near, far):
        step = driving_step(task, act)
        needs = tuple(fact for fact in step.needs if fact != (COUPLE, "locked"))
        yield replace(step, needs=(*needs, (GAP, "touching"), *(_still(task) if step.effects else ())), phase=PHASE)


def _uncoupled(task: AttachTask, covered: tuple[Fact, ...]) -> Iterator[Step]:
    """By the button: the pipe is not through, so that nothing is cut off."""
    near, far = task.couplers
    for act in kind_of(near[1]).parting_acts(near, far):
        step = driving_step(task, act) if act.spot == "driving cab" else joint_step(task, act)
        own: tuple[Fact, ...] = (*covered, (AIR_THROUGH, "no"), (pipe_key(task.standing), "empty")) if step.effects else ()
        yield replace(step, needs=(*step.needs, *own, *_still(task)) if step.effects else step.needs, phase=PHASE)


def _clear_the_ports(task: AttachTask, end: UnitEnd) -> Step:
    return Step(
        key=f"clear the ports of {end}: no ice, no dirt, the valves spring back", role=task.role_for("goes_between"),
        place=BETWEEN, needs=((GAP, "apart"), (ports_key(end), "not looked at")), effects=((ports_key(end), "clear"),),
        duration_s=task.rules.allowance_s("clear_ports"), phase="dress", order=(4,), brief=f"Ports of {end} cleared.",
        caution="A port that is pressed open blows: pipe of that portion empty or drawn, face aside.",
    )  # fmt: skip


def _end_the_loops(task: AttachTask, end: UnitEnd) -> Step:
    head = next(at for at, _ in heads_of(task) if at.where == str(end))
    return Step(
        key=f"end the loops of {end} in its own portion", role=task.role_for("goes_between"), place=BETWEEN,
        needs=((head.key(), "locked back"), (loops_key(end), "through")),
        effects=((loops_key(end), "ended"),), duration_s=task.rules.allowance_s("jumper"), phase="between", order=(6,),
        brief=f"Loops of {end} ended.",
    )  # fmt: skip
