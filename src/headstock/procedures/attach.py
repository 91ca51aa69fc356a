"""Attaching one portion to another: the whole task for planner and checker, put together from devices and rules."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from headstock.devices.adapter import cock_acts
from headstock.devices.end_cock import Pipe
from headstock.devices.kind import Act, At
from headstock.devices.main_reservoir import filled_key
from headstock.devices.registry import kind_of
from headstock.devices.scene import (
    AIR_THROUGH,
    AUTHORITY,
    COUPLE,
    GAP,
    PULLED,
    TEST,
    pipe_key,
    proved_key,
    supply_key,
)
from headstock.formation.train import UnitEnd
from headstock.formation.train_state import layout_of
from headstock.procedures.attach_looks import cock_looks, dressed_looks, watch, watch_standing
from headstock.procedures.brake_test_steps import bell_step, outer_end_look, test_path, test_steps
from headstock.procedures.build import driving_step, joint_end_step, joint_step, outer_end_step, step_of
from headstock.procedures.cab_work import (
    all_valves,
    leading_cab_steps,
    left_locked,
    moving_cab_steps,
    other_cab_steps,
    standing_cab_steps,
    valve_key,
)
from headstock.procedures.constraints import AttachConstraints
from headstock.procedures.couple_found import known_at_start
from headstock.procedures.coupling import coupling_acts, undoes_dressing
from headstock.procedures.hold_work import hold_steps, seen_before_left
from headstock.procedures.movement import (
    agreement_steps,
    approach_steps,
    board_facts,
    board_steps,
    finish_couple,
    hold_facts,
    look_clear_steps,
    pull_steps,
)
from headstock.procedures.part_made_constraints import part_made_constraints
from headstock.procedures.part_made_joining import after_the_heads, heads_locked_back, part_made_steps, tried_again
from headstock.procedures.places import beside, cab, places_of
from headstock.procedures.protection import protection_steps, windows_of
from headstock.procedures.rescue_constraints import RescueConstraints
from headstock.procedures.rescue_work import others_off, rescue_steps, waits_for_air
from headstock.procedures.scene_variables import AGREED, BELL, KEY, RIDES, TESTED_HOLD, protection_key, scene_variables
from headstock.procedures.task import AttachTask
from headstock.procedures.two_between import nobody_between, second_is_out, with_second
from headstock.procedures.work_goal import all_brakes, holding_brakes, last_stage, named_owners, where_people_start
from headstock.reasoning.constraint import Constraint
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.telling import tellings
from headstock.reasoning.variable import Fact, index_by_key

PHASES = ("agree", "hold", "try again", "dress", "approach", "join", "make safe", "between", "come out", "ends", "test", "leave")


def attach_domain(task: AttachTask) -> Domain:
    """The planning task of an attaching job."""
    variables = index_by_key(layout_of(task.train, scene_variables(task)).variables)
    looks = [outer_end_look(task, end) for end in (task.leaves_from, task.trails)]
    goal_knows = tuple(known for _, facts in looks for known in facts) + _goal_knowledge(task)
    steps = (*_device_steps(task), *_scene_steps(task), *(look for look, _ in looks))
    steps = tuple(seen_before_left(task, after_the_heads(task, left_locked(task, step))) for step in steps)
    steps = with_second(task, steps)
    said = tellings(steps, goal_knows, variables, task.rules.allowance_s("tell"), _phase_of(task), named_owners(task))
    return Domain(
        variables=variables,
        places=places_of(task),
        people=where_people_start(task),
        steps=(*steps, *said),
        constraints=_constraints(task),
        start=task.as_found,
        goal=nobody_between(task, _goal(task)),
        goal_knows=goal_knows,
        walking_m_s=task.rules.walking_m_s.value,
        phases=PHASES,
        voids=_voids(task),
        windows=windows_of(task),
        start_knows=(*known_at_start(task), *second_is_out(task)),
    )


def _device_steps(task: AttachTask) -> Iterator[Step]:
    """Acts that devices offer, at the joint, at the outer ends, on the holds."""
    joint_ends = {str(task.near): task.near, str(task.far): task.far}
    outer = {str(end): end for end in task.train.outer_ends}
    held = (*hold_facts(task, task.moving), *hold_facts(task, task.standing))
    for at, spec in task.train.devices():
        for act in kind_of(spec).acts(at, spec):
            if at.key() in holding_brakes(task):
                if not _needs_its_own_air(task, at, act):
                    yield from hold_steps(task, act)
            elif at.where in joint_ends:
                if not _opens_the_other_knuckle(task, act) and not undoes_dressing(task, act):
                    yield joint_end_step(task, act)
            elif at.where in outer and spec.kind not in ("drop-head knuckle", "rigid knuckle", "buffers"):
                ready = (AIR_THROUGH, "yes") if spec.kind == "lamp" or task.is_alone else (AGREED, "yes")
                yield outer_end_step(task, act, outer[at.where], (*held, ready))
    for act in coupling_acts(task):
        yield _joint_act_step(task, act, task.couplers[0][1])
    if task.adapter is not None:
        live = task.adapter.hangs_on == str(task.near)
        for act, is_last in cock_acts(task.adapter, live):
            yield _opening_step(task, joint_end_step(task, act), "brake pipe", is_last)
    for near, far in task.mated:
        for act in kind_of(near[1]).joint_acts(near, far):
            yield _joint_act_step(task, act, near[1])


def _needs_its_own_air(task: AttachTask, at: At, act: Act) -> bool:
    """Springs let off by air, on a portion where that is done by hand."""
    return _is_by_hand(task, at.key()) and (at.key(), "off") in act.effects


def _opens_the_other_knuckle(task: AttachTask, act: Act) -> bool:
    """One open knuckle is enough; the local rules say whose."""
    end = task.far if task.rules.opens_knuckle_of.value == "moving portion" else task.near
    if task.adapter is not None:
        return act.key == f"open the knuckle of {task.adapter.hangs_on}"
    return act.key == f"open the knuckle of {end}"


def _joint_act_step(task: AttachTask, act: Act, spec: Any) -> Step:
    if act.spot == "driving cab":
        step = driving_step(task, act)
        return tried_again(task, finish_couple(task, step) if (GAP, "touching") in act.effects else step)
    if act.spot == "beside" and act.at is not None:
        return step_of(task, act, task.role_for("goes_between"), beside(act.at.unit), ((AGREED, "yes"),))
    if act.spot == "joint":
        return joint_step(task, act)
    step = joint_end_step(task, act)
    is_last = act.at is not None and act.at.where == str(task.near)
    return _opening_step(task, step, spec.pipe, is_last) if spec.kind == "end cock" else step


def _opening_step(task: AttachTask, step: Step, pipe: Pipe, is_last: bool) -> Step:
    """Opening a cock at the joint: nothing may weaken a hold while somebody is between."""
    moving, standing = task.moving, task.standing
    own = () if task.opens_on_air else (*hold_facts(task, moving), (proved_key(moving), "proved"))
    needs: list[Fact] = [*own, *hold_facts(task, standing), (proved_key(standing), "proved")]
    needs += [(key, "locked") for key in all_valves(task)]
    knows: tuple[Fact, ...] = own
    effects = step.effects
    if pipe == "brake pipe":
        needs += [(pipe_key(moving), "drawn"), (pipe_key(standing), "empty")]
        knows += ((pipe_key(standing), "empty"),)
        if task.rules.first_of_the_joint.value != "brake pipe":
            needs += _main_reservoir_cocks(task)
        if is_last:
            effects += ((AIR_THROUGH, "yes"), (pipe_key(standing), "drawn"))
    elif task.rules.first_of_the_joint.value == "brake pipe":
        needs.append((AIR_THROUGH, "yes"))
    return replace(step, needs=(*step.needs, *needs), knows=(*step.knows, *knows), effects=effects)


def _main_reservoir_cocks(task: AttachTask) -> list[Fact]:
    """The joint's main reservoir pipe cocks, open, where both ends have them."""
    cocks = [at for pair in task.mated for at, spec in pair if spec.kind == "end cock" and spec.pipe == "main reservoir pipe"]
    return [(at.key(), "open") for at in cocks]


def _scene_steps(task: AttachTask) -> Iterator[Step]:
    moving, standing = hold_facts(task, task.moving), hold_facts(task, task.standing)
    yield from agreement_steps(task)
    yield from board_steps(task)
    if task.rescue is None:
        yield from standing_cab_steps(task, standing)
    else:
        yield from rescue_steps(task, task.rescue)
    yield from other_cab_steps(task)
    yield from moving_cab_steps(task, moving)
    yield watch_standing(task, cab(task.standing_cab) if task.is_alone else beside(task.far.unit))
    yield watch(task, task.moving, cab(task.driven_from) if task.is_alone else beside(task.near.unit))
    yield from look_clear_steps(task)
    yield from approach_steps(task)
    yield from (waits_for_air(task, step) for step in pull_steps(task))
    yield from protection_steps(task)
    yield from test_steps(task)
    yield from bell_step(task)
    yield from leading_cab_steps(task, last_stage(task), (*moving, *standing))
    yield from cock_looks(task)
    yield from dressed_looks(task)
    yield from part_made_steps(task)


def _constraints(task: AttachTask) -> tuple[Constraint, ...]:
    """Those of joining, or of a rescue, and those of a couple found part made."""
    own = AttachConstraints(task) if task.rescue is None else RescueConstraints(task, task.rescue)
    return (*own.all(), *part_made_constraints(task))


def _goal(task: AttachTask) -> tuple[Fact, ...]:
    facts: list[Fact] = [(COUPLE, "locked"), (PULLED, "held"), (AUTHORITY, "none"), (AIR_THROUGH, "yes")]
    facts += [(TEST, last_stage(task)), (protection_key(task.role_for("goes_between")), "none")]
    facts += [(KEY, "with the driver"), (TESTED_HOLD, "yes"), *heads_locked_back(task)]
    for end in (task.near, task.far):
        facts += _joint_end_goal(task, end)
    for end, position in ((task.leaves_from, "front"), (task.trails, "rear")):
        for at, spec in task.train.end_devices(end):
            facts += kind_of(spec).end_state(at, spec, position, False)  # type: ignore[arg-type]
    facts += [(far[0].key(), "latched") for near, far in task.mated if near[1].kind == "jumper"]
    facts += board_facts(task)
    facts += [(at.key(), "off") for at in all_brakes(task) if not _is_by_hand(task, at.key())]
    if task.rescue is not None:
        facts += [*others_off(task, task.rescue), (task.rescue.scotches.key, "off"), *task.rescue.brakes_seen_on]
        facts += [(RIDES, "yes")] if task.rescue.rides_along else []
        # Empty, it has its springs on, however their handle stands.
        facts += [(filled_key(task.standing), "filled")] if task.rescue.fed else []
    lead = valve_key(task, task.controls)
    facts += [(key, "full" if key == lead else "locked") for key in all_valves(task)]
    facts += [task.adapter.proof] if task.adapter is not None else []
    if bell_step(task):
        facts.append((BELL, "good"))
    if task.controls.unit == task.near.unit:
        facts.append((supply_key(task.near.unit), "on"))
    return tuple(dict.fromkeys(facts))


def _is_by_hand(task: AttachTask, key: str) -> bool:
    """A parking brake whose springs are released by hand: its own handle stays at on."""
    return task.rescue is not None and task.rescue.is_by_hand(key)


def _joint_end_goal(task: AttachTask, end: UnitEnd) -> list[Fact]:
    mated = {at.key() for pair in task.mated for at, _ in pair}
    mated |= {at.key() for at, _ in task.couplers} if task.screw is None else {task.screw.key}
    mated |= set(task.joint_cocks) | ({task.adapter.hose.key()} if task.adapter is not None and task.adapter.hose else set())
    inlet = task.rescue.inlet if task.rescue is not None else None
    mated |= {inlet.hose.key(), inlet.cock.key()} if inlet is not None else set()
    cables = {far[0].key() for near, far in task.mated if near[1].kind == "jumper"}
    facts: list[Fact] = []
    for at, spec in task.train.end_devices(end):
        if at.key() not in cables:
            facts += kind_of(spec).end_state(at, spec, "joint", at.key() in mated)
    return facts


def _goal_knowledge(task: AttachTask) -> tuple[tuple[str, Fact], ...]:
    """Who must know what at the end: the driver that the test is good and each hold off; the one in charge likewise."""
    driver, charge = task.role_for("drives"), task.role_for("in_charge")
    known: list[tuple[str, Fact]] = [(driver, (TEST, last_stage(task))), (charge, (TEST, last_stage(task)))]
    known += [(charge, (COUPLE, "locked")), (charge, (PULLED, "held"))] if task.making != "screw" else []
    known += [(driver, (at.key(), "mated")) for pair in task.mated for at, spec in pair if spec.kind == "electrical head"]
    known += [(driver, (key, "off")) for key in task.holds[task.standing].brakes if not _is_by_hand(task, key)]
    if task.rescue is not None:
        known += [(driver, fact) for fact in task.rescue.springs_released]
        known += [(driver, (RIDES, "yes"))] if task.rescue.rides_along else []
    known += [(driver, (key, "off")) for key in task.holds[task.moving].brakes]
    return tuple(known)


def _voids(task: AttachTask) -> dict[str, Fact]:
    voids = dict.fromkeys(test_path(task), (TEST, "none"))
    voids |= {far[0].key(): (BELL, "not tried") for near, far in task.mated if near[1].kind == "jumper"}
    if not task.rules.holding.proof_outlasts_release.value:
        for portion in (task.moving, task.standing):
            voids |= {key: (proved_key(portion), "unproved") for key in task.holds[portion].brakes}
    return voids


def _phase_of(task: AttachTask) -> Callable[[Fact], str]:
    phases = {TEST: "test", PULLED: "join", COUPLE: "join", BELL: "test", AIR_THROUGH: "come out"}
    holds = holding_brakes(task)
    opened = {(key, "open") for key in task.joint_cocks}

    def phase(fact: Fact) -> str:
        if fact[0] in holds:
            return "leave" if fact[1] == "off" else ""
        if fact in opened:
            return "come out"
        return phases.get(fact[0], "hold")

    return phase
