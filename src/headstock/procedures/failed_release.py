"""A release that failed: what the button still needs, or the latch turned by hand from the safe side, protected."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from headstock.devices.automatic_coupler import AutomaticCouplerSpec
from headstock.devices.electrical_head import ElectricalHeadSpec
from headstock.devices.kind import At
from headstock.devices.scene import AIR_THROUGH, COUPLE, GAP, SLACK, pipe_key, proved_key, supply_key
from headstock.formation.train import UnitEnd
from headstock.local_rules.spoken import pressure_at_least
from headstock.procedures.cab_work import CabWork, all_valves, valve_key, valve_word
from headstock.procedures.couple_found import ICE, RELEASE_AIR, SIDE, counted, handle_key, heads_of
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import BETWEEN, JOINT, before, cab
from headstock.procedures.scene_variables import AGREED, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def failed_release_steps(task: AttachTask) -> tuple[Step, ...]:
    """Every step beyond those of parting; none where the release did not fail."""
    couple = task.couple
    if couple is None:
        return ()
    steps: list[Step] = []
    if not couple.air:
        steps.append(_own_pipe_down(task))
    if not couple.locked and couple.air:
        steps += [*_through_pressed_faces(task), *_standing_pipe_down(task)]
    if couple.air_low and not couple.by_hand:
        steps.append(_wait_for_air(task))
    if couple.by_hand and couple.handle_end is not None:
        steps += _by_hand(task, couple.handle_end)
    return tuple(steps)


def uncoupled_by_the_button(task: AttachTask, step: Step) -> Step:
    """The button as one more try: air enough for it, no ice; with no air through, the own pipe need not be empty."""
    couple = task.couple
    if couple is None or (COUPLE, "apart") not in step.effects:
        return step
    needs, effects = counted(task)
    left = step.needs
    if not couple.air:
        own = {(pipe_key(task.moving), "empty"), (valve_key(task, task.driven_from), "locked")}
        left = tuple(fact for fact in left if fact not in own)
    return replace(step, needs=(*left, *needs, (RELEASE_AIR, "enough"), (ICE, "free")), effects=(*step.effects, *effects))


def drawn_from_pressed_faces(task: AttachTask, step: Step) -> Step:
    """With the latch back and the ports open until the faces part, the pipe is cut by drawing away."""
    couple = task.couple
    if couple is None or couple.locked or not couple.air:
        return step
    cut: tuple[Fact, ...] = ((AIR_THROUGH, "no"),) if (GAP, "apart") in step.effects else ()
    return replace(step, needs=tuple(fact for fact in step.needs if fact != (AIR_THROUGH, "no")), effects=(*step.effects, *cut))


def latched_back(task: AttachTask) -> tuple[Fact, ...]:
    """At the end both release handles are home."""
    return tuple((handle_key(end), "home") for end in (task.near, task.far)) if task.couple is not None else ()


def _wait_for_air(task: AttachTask) -> Step:
    spec: AutomaticCouplerSpec = task.couplers[0][1]
    needed = pressure_at_least(spec.release_needs_bar or 0.0, task.rules.pressure_unit)
    return Step(
        key=f"wait until the main reservoir gauge reads {needed}, cab {task.driven_from}",
        role=task.role_for("drives"), place=cab(task.driven_from), needs=((RELEASE_AIR, "too low"), (AGREED, "yes")),
        effects=((RELEASE_AIR, "enough"),), duration_s=task.rules.allowance_s("wait_for_air"), phase="hold",
        brief=f"Main reservoir to {needed}: the release needs it.",
    )  # fmt: skip


def _own_pipe_down(task: AttachTask) -> Step:
    """With the ports shut the leaving portion's own pipe goes down alone."""
    end = task.driven_from
    return Step(
        key=f"let the brake pipe of {task.moving} alone down to nothing, cab {end}", role=task.role_for("drives"),
        place=cab(end), needs=((valve_key(task, end), "full"), (AIR_THROUGH, "no"), (COUPLE, "locked"),
                               (proved_key(task.standing), "proved"), *hold_facts(task, task.standing)),
        effects=((valve_key(task, end), "empty"), (pipe_key(task.moving), "empty")),
        duration_s=task.rules.allowance_s("empty_pipe"), phase="make safe",
        brief=f"Pipe of {task.moving} to 0 ({valve_word(task, end, 'empty')}).",
    )  # fmt: skip


def _through_pressed_faces(task: AttachTask) -> Iterator[Step]:
    """The driver's charging and application reach what stays as long as the faces are pressed together."""
    end, names = task.driven_from, f"{task.moving} and {task.standing}"
    valve, pipes = valve_key(task, end), (pipe_key(task.moving), pipe_key(task.standing))
    held = ((AIR_THROUGH, "yes"), (COUPLE, "apart"), (GAP, "touching"), (proved_key(task.standing), "proved"),
            *hold_facts(task, task.standing))  # fmt: skip
    own, seconds = hold_facts(task, task.moving), task.rules.allowance_s("full_application")
    yield Step(
        key=f"charge the pipe of {names}, faces still pressed, cab {end}", role=task.role_for("drives"), place=cab(end),
        needs=((valve, "full"), *held, *own), effects=((valve, "running"), *((key, "charged") for key in pipes)),
        duration_s=seconds, phase="part", brief=f"Valve of {end} to {valve_word(task, end, 'running')}.",
    )  # fmt: skip
    yield Step(
        key=f"make a full application on {names}, faces still pressed, exhaust ended, cab {end}", role=task.role_for("drives"),
        place=cab(end), needs=((valve, "running"), *held), effects=((valve, "full"), *((key, "drawn") for key in pipes)),
        duration_s=seconds, phase="part", brief=f"Valve of {end} to {valve_word(task, end, 'full')}.",
    )  # fmt: skip


def _standing_pipe_down(task: AttachTask) -> list[Step]:
    """Ports open until the faces part leave air in what stays: let out from its own cab, the valve locked again."""
    work = CabWork(task, task.standing_cab, task.role_for("works_standing_cab"), task.standing, "part")
    held = ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing), (GAP, "apart"))
    unlock, empty = work.unlock(), work.empty()
    down = replace(empty, needs=tuple(fact if fact != (work.valve, "running") else (work.valve, "full") for fact in empty.needs),
                   knows=(), brief=f"Pipe of {task.standing} to 0, valve locked.")  # fmt: skip
    own = CabWork(task, task.driven_from, task.role_for("drives"), task.moving, "part")
    left = [own.lock("full")] if task.driven_from == task.controls else []  # else he has it already, to change ends
    return [replace(unlock, needs=(*unlock.needs, (AIR_THROUGH, "no"), *held)), replace(down, needs=(*down.needs, *held)),
            work.lock("empty"), *left]  # fmt: skip


def _by_hand(task: AttachTask, end: UnitEnd) -> Iterator[Step]:
    couple = task.couple
    assert couple is not None
    yield _take_the_side(task)
    if couple.frozen:
        yield _thaw(task)
    if couple.wires:
        yield from (_wind_back(task, at, spec) for at, spec in heads_of(task))
    yield _pull(task, end)
    yield _look_uncoupled(task)
    yield _handle_back(task, end)


def _held(task: AttachTask) -> tuple[Fact, ...]:
    return ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing),
            *((pipe_key(portion), "empty") for portion in (task.moving, task.standing)),
            *((key, "locked") for key in all_valves(task)))  # fmt: skip


def _take_the_side(task: AttachTask) -> Step:
    side = task.place.working_side
    risk = " and ".join((*(("the live rail",) if task.place.power_supply == "third rail" else ()),
                         *(("the next road",) if task.place.next_road_open else ()))) or "the other side"  # fmt: skip
    return Step(
        key=f"stand at the coupler on the {side} side, away from {risk}", role=task.role_for("goes_between"), place=BETWEEN,
        needs=((SIDE, "not there"), (protection_key(task.role_for("goes_between")), "given")), effects=((SIDE, side),),
        duration_s=task.rules.allowance_s("look"), phase="between", order=(1,), brief=f"At the coupler from the {side} side.",
        caution="Never over or under the couple to the other side.",
    )  # fmt: skip


def _thaw(task: AttachTask) -> Step:
    return Step(
        key=f"clear the latch of ice, {task.near} and {task.far}", role=task.role_for("goes_between"), place=BETWEEN,
        needs=((ICE, "frozen"), (SIDE, task.place.working_side), *_held(task)), effects=((ICE, "free"),),
        duration_s=task.rules.allowance_s("clear_ports"), phase="between", order=(2,), brief="Latch cleared of ice.",
        caution="It may turn by itself as it comes free: fingers out.",
    )  # fmt: skip


def _wind_back(task: AttachTask, at: At, spec: Any) -> Step:
    head: ElectricalHeadSpec = spec
    dead = tuple((supply_key(end.unit), "off") for end in (task.near, task.far))
    return Step(
        key=f"wind the electrical head of {at.where} back by hand: {head.wound_back_by}", role=task.role_for("goes_between"),
        place=BETWEEN, needs=((at.key(), "mated"), (SIDE, task.place.working_side), *dead, *_held(task)),
        effects=((at.key(), "covered"),), shows=((at.key(), "covered"),), knows=dead,
        duration_s=task.rules.allowance_s("wind_head"), phase="between", order=(3,),
        brief=f"Electrical head of {at.where} wound back, covered.", caution="Both supplies off before a head is touched.",
    )  # fmt: skip


def _pull(task: AttachTask, end: UnitEnd) -> Step:
    near, far = task.couplers
    spec: AutomaticCouplerSpec = near[1] if end == task.near else far[1]
    ready = tuple((at.key("latch"), "ready") for at, spec in (near, far) if spec.kind == "automatic coupler")
    covered = tuple((at.key(), "covered") for at, _ in heads_of(task)) if task.rescued is None else ()
    return Step(
        key=f"pull the release handle of {end} until the latch is over: {spec.hand_release}", role=task.role_for("goes_between"),
        place=BETWEEN,
        needs=((COUPLE, "locked"), (SLACK, "eased"), (GAP, "touching"), (SIDE, task.place.working_side), (ICE, "free"),
               (handle_key(end), "home"), *covered, *_held(task)),
        knows=((SLACK, "eased"),),
        effects=((COUPLE, "apart"), (AIR_THROUGH, "no"), (handle_key(end), "pulled"), *ready),
        duration_s=task.rules.allowance_s("hand_release"), phase="between", order=(6,),
        brief=f"Handle of {end} pulled, latch over.", caution="Stretched: no hand on it. It does not give: out, say so.",
    )  # fmt: skip


def _look_uncoupled(task: AttachTask) -> Step:
    """Clear of the joint, by whoever is in charge: after a release by hand the cab's lamp proves nothing."""
    return Step(
        key=f"look that {task.near} and {task.far} are uncoupled: marks on both heads, not the cab's lamp",
        role=task.role_for("in_charge"), place=JOINT, needs=((COUPLE, "apart"), (GAP, "touching")),
        shows=((COUPLE, "apart"),), duration_s=task.rules.allowance_s("look_both_sides"), phase="part",
        brief="Look: marks of both heads show the latch back.",
    )  # fmt: skip


def _handle_back(task: AttachTask, end: UnitEnd) -> Step:
    duty = "dresses_front" if end == task.leaves_from else "dresses_rear"
    return Step(
        key=f"put the release handle of {end} back, see the latch ready", role=task.role_for(duty), place=before(end),
        needs=((handle_key(end), "pulled"), (GAP, "apart"), *hold_facts(task, task.moving), *hold_facts(task, task.standing)),
        effects=((handle_key(end), "home"),), duration_s=task.rules.allowance_s("hand_release"), phase="ends", order=(0,),
        brief=f"Release handle of {end} back, latch ready.",
    )  # fmt: skip
