"""Parting a train: the whole task for planner and checker. One portion stays and is held without air; the other draws away.

The brake pipe of the whole train is let down to nothing before a cock is shut: nothing is trapped, nothing can rebound.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

from headstock.devices.kind import Act, At
from headstock.devices.registry import kind_of
from headstock.devices.scene import (
    AIR_THROUGH,
    AUTHORITY,
    COUPLE,
    GAP,
    SLACK,
    TEST,
    pipe_key,
    proved_key,
    supply_key,
)
from headstock.devices.screw_coupling import parting_acts
from headstock.formation.train import UnitEnd
from headstock.formation.train_state import layout_of
from headstock.procedures.brake_test_steps import outer_end_look, test_path, test_steps
from headstock.procedures.build import driving_step, joint_end_step, joint_step, outer_end_step, step_of
from headstock.procedures.cab_work import all_valves, leading_cab_steps, left_locked, valve_key
from headstock.procedures.couple_found import known_at_start
from headstock.procedures.detach_constraints import DetachConstraints
from headstock.procedures.failed_release import (
    drawn_from_pressed_faces,
    failed_release_steps,
    latched_back,
    uncoupled_by_the_button,
)
from headstock.procedures.hold_work import hold_steps, seen_before_left
from headstock.procedures.movement import agreement_steps, board_facts, board_steps, hold_facts
from headstock.procedures.part_made_constraints import part_made_constraints
from headstock.procedures.parting_cab import own_cab_steps, see_standing_valve_locked, supply_steps, whole_train_steps
from headstock.procedures.parting_movement import (
    draw_away_steps,
    ease_up_steps,
    parting_looks,
    watch_whole_train,
)
from headstock.procedures.places import beside, places_of
from headstock.procedures.protection import protection_steps, windows_of
from headstock.procedures.rescued_constraints import RescuedConstraints
from headstock.procedures.rescued_work import (
    adapter_acts,
    adapter_off_first,
    cocks_beside_the_pairs,
    end_of_a_rescue,
    joined_beside_the_pairs,
    looked_at_bare,
    opened_with_nothing_joined,
    read_on_springs_set,
    securing_steps,
)
from headstock.procedures.scene_variables import KEY, TESTED_HOLD, protection_key, scene_variables
from headstock.procedures.task import AttachTask
from headstock.procedures.two_between import nobody_between, with_second
from headstock.procedures.who_is_between import people_between
from headstock.procedures.work_goal import (
    all_brakes,
    as_stowed,
    holding_brakes,
    lamps_of_the_standing,
    last_stage,
    named_owners,
    where_people_start,
)
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.telling import tellings
from headstock.reasoning.variable import Fact, index_by_key

PHASES = ("agree", "hold", "make safe", "between", "come out", "part", "ends", "test", "leave")


def detach_domain(task: AttachTask) -> Domain:
    """The planning task of a parting job."""
    variables = index_by_key(layout_of(task.train, scene_variables(task)).variables)
    looks = [(looked_at_bare(task, look, end), known) for end in task.test_ends for look, known in (outer_end_look(task, end),)]
    goal_knows = tuple(known for _, facts in looks for known in facts) + _goal_knowledge(task)
    steps = tuple(
        seen_before_left(task, adapter_off_first(task, left_locked(task, step)))
        for step in (*_device_steps(task), *_scene_steps(task), *(look for look, _ in looks))
    )
    steps = with_second(task, steps)
    said = tellings(steps, goal_knows, variables, task.rules.allowance_s("tell"), _phase_of(task), named_owners(task))
    nobody_in = tuple((task.role_for("drives"), (protection_key(role), "none")) for role in people_between(task))
    return Domain(
        variables=variables, places=places_of(task), people=where_people_start(task), steps=(*steps, *said),
        constraints=(*_constraints(task).all(), *part_made_constraints(task)), start=task.as_found,
        goal=nobody_between(task, _goal(task)), goal_knows=goal_knows,
        walking_m_s=task.rules.walking_m_s.value, phases=PHASES, voids=_voids(task), windows=windows_of(task),
        start_knows=tuple(dict.fromkeys((*nobody_in, *known_at_start(task)))),
    )  # fmt: skip


def _device_steps(task: AttachTask) -> Iterator[Step]:
    holding = holding_brakes(task)
    held = (*hold_facts(task, task.moving), *hold_facts(task, task.standing))
    ends = {str(end): end for end in (*task.test_ends, task.far, task.standing_outer)}
    joined = {at.key() for pair in task.mated for at, spec in pair if spec.kind == "end cock"} | cocks_beside_the_pairs(task)
    for at, spec in task.train.devices():
        for act in kind_of(spec).acts(at, spec):
            if at.key() in holding:
                yield from (read_on_springs_set(task, step) for step in hold_steps(task, act))
            elif at.where in ends and spec.kind in ("hose", "jumper") and ends[at.where] in (task.near, task.far):
                yield replace(joint_end_step(task, act), phase="between")
            elif at.where in ends and at.key() not in joined:
                yield outer_end_step(task, _when_parted(act), ends[at.where], (*held, *task.made_up))
    for act in _parting(task):
        yield _parting_step(task, act)
    for act, cuts in adapter_acts(task):
        step = _parting_step(task, act)
        yield replace(step, effects=tuple(dict.fromkeys((*step.effects, (AIR_THROUGH, "no"))))) if cuts else step


def _constraints(task: AttachTask) -> DetachConstraints:
    """Those of parting, or of parting what a rescue joined."""
    return DetachConstraints(task) if task.rescued is None else RescuedConstraints(task, task.rescued)


def _when_parted(act: Act) -> Act:
    """Lamps and couplers of the ends are seen to once the portions are apart."""
    return replace(act, needs=tuple(fact for fact in act.needs if fact not in ((COUPLE, "locked"), (GAP, "apart"))))


def _parting(task: AttachTask) -> Iterator[Act]:
    near, far = task.couplers
    if task.screw is not None:
        yield from parting_acts(task.screw)
    elif task.adapter is None and (task.couple is None or not task.couple.by_hand):
        yield from kind_of(near[1]).parting_acts(near, far)
    for one, other in task.mated:
        if task.couple is not None and task.couple.by_hand and one[1].kind == "electrical head":
            continue  # the button that draws them is the one that failed: wound back by hand
        for act in kind_of(one[1]).parting_acts(one, other):
            yield act if task.couple is None or task.couple.locked else _of_an_open_latch(act)


def _of_an_open_latch(act: Act) -> Act:
    """Electrical heads that stayed out over a latch that is back."""
    return replace(act, needs=tuple(fact for fact in act.needs if fact != (COUPLE, "locked")))


def _parting_step(task: AttachTask, act: Act) -> Step:
    if act.spot == "driving cab":
        return _by_the_driver(task, driving_step(task, act))
    if act.spot == "joint":
        step = joint_step(task, act)
        stands = ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing))
        applied = (pipe_key(task.moving), "drawn")  # what leaves is held when the lock lets go
        needs = (*step.needs, *_nothing_joined(task), *_still(task), *stands, applied)
        return replace(step, needs=needs) if act.effects else step
    if act.spot == "beside" and act.at is not None:
        return step_of(task, act, task.role_for("goes_between"), beside(act.at.unit), ((COUPLE, "apart"),))
    step = joint_end_step(task, act)
    held = ((proved_key(task.standing), "proved"), *hold_facts(task, task.standing))
    spec = _device(task, act)
    if (spec is not None and spec.kind in ("end cock", "hose")) or act.at == _own_cock(task):
        held += tuple((pipe_key(portion), "empty") for portion in (task.moving, task.standing))
        held += tuple((key, "locked") for key in all_valves(task))
    effects = step.effects
    if spec is not None and spec.kind == "end cock" and spec.pipe == "brake pipe" and _is_at(act, task.far):
        effects += ((AIR_THROUGH, "no"),)
    if (COUPLE, "apart") in effects:
        held += _nothing_joined(task)
    return replace(step, needs=(*step.needs, *held), effects=effects)


def _own_cock(task: AttachTask) -> At | None:
    """The adapter's own cock, where it has one."""
    return task.adapter.own_cock if task.adapter is not None and task.adapter.has_hose else None


def _is_at(act: Act, end: UnitEnd) -> bool:
    return act.at is not None and act.at.where == str(end)


def _device(task: AttachTask, act: Act) -> Any:
    """Data of the device at the joint that an act is about; None for loose gear."""
    at_joint = {at: spec for end in (task.near, task.far) for at, spec in task.train.end_devices(end)}
    return at_joint.get(act.at) if act.at is not None else None


def _by_the_driver(task: AttachTask, step: Step) -> Step:
    """A button in the cab: nobody between, the standing portion proved, nothing else joined; the ports shut with the latch."""
    needs: tuple[Fact, ...] = (*_still(task), (proved_key(task.standing), "proved"), *hold_facts(task, task.standing))
    effects = step.effects
    if (COUPLE, "apart") in effects:
        needs += _nothing_joined(task)
        if task.joins_air_by_the_blow:
            needs += tuple((pipe_key(portion), "empty") for portion in (task.moving, task.standing))
            needs += tuple((key, "locked") for key in all_valves(task))
            effects += ((AIR_THROUGH, "no"),)
        elif task.adapter is not None:
            needs += ((pipe_key(task.moving), "drawn"),)
        heads = tuple(fact for fact in _nothing_joined(task) if fact[1] == "covered")
        step = replace(step, knows=(*step.knows, *heads))  # seen back before the faces part
    step = replace(step, needs=(*step.needs, *needs) if step.effects else step.needs, effects=effects)
    return uncoupled_by_the_button(task, step)


def _still(task: AttachTask) -> tuple[Fact, ...]:
    return ((AUTHORITY, "none"), (protection_key(task.role_for("goes_between")), "none"))


def _nothing_joined(task: AttachTask) -> tuple[Fact, ...]:
    """Hoses, jumpers and heads that hands joined, back where they hang when nothing is joined."""
    facts: list[Fact] = []
    for near, far in task.mated:
        for at, spec in (near, far):
            if spec.kind == "hose":
                facts.append((at.key(), "on its dummy"))
            elif spec.kind == "electrical head":
                facts.append((at.key(), "covered"))
        if near[1].kind == "jumper":
            facts.append((far[0].key(), "in its dummy"))
    return (*facts, *joined_beside_the_pairs(task))


def _lifted(task: AttachTask) -> tuple[Fact, ...]:
    """A hook's own screw off the other hook; a loose one may be carried or stowed, which the constraint watches."""
    return ((task.screw.key, "stowed"),) if task.screw is not None and not task.screw.stowage else ()


def _scene_steps(task: AttachTask) -> Iterator[Step]:
    moving, standing = hold_facts(task, task.moving), hold_facts(task, task.standing)
    yield from agreement_steps(task)
    yield from board_steps(task)
    yield from whole_train_steps(task)
    yield see_standing_valve_locked(task)
    yield from own_cab_steps(task)
    yield from supply_steps(task)
    yield watch_whole_train(task)
    yield from parting_looks(task)
    yield from ease_up_steps(task)
    yield from (drawn_from_pressed_faces(task, step) for step in draw_away_steps(task, (*_nothing_joined(task), *_lifted(task))))
    yield from protection_steps(task)
    yield from (opened_with_nothing_joined(task, step) for step in failed_release_steps(task))
    yield from securing_steps(task)
    yield from test_steps(task)
    yield from leading_cab_steps(task, last_stage(task), (*moving, *standing))


def _goal(task: AttachTask) -> tuple[Fact, ...]:
    facts: list[Fact] = [(COUPLE, "apart"), (GAP, "apart"), (AUTHORITY, "none"), (AIR_THROUGH, "no"), (TEST, last_stage(task))]
    facts += [(protection_key(task.role_for("goes_between")), "none"), (KEY, "with the driver"), (TESTED_HOLD, "yes")]
    for end, position in ((task.leaves_from, "front"), (task.trails, "rear")):
        for at, spec in task.train.end_devices(end):
            facts += kind_of(spec).end_state(at, spec, position, False)  # type: ignore[arg-type]
    for at, spec in task.train.end_devices(task.far):
        if spec.kind != "lamp":
            facts += kind_of(spec).end_state(at, spec, "rear", False)
    facts += [*as_stowed(task), *board_facts(task), *latched_back(task), *end_of_a_rescue(task)]
    facts += lamps_of_the_standing(task)
    standing = hold_facts(task, task.standing)
    facts += [*standing, (proved_key(task.standing), "proved"), (pipe_key(task.standing), "empty")]
    kept = {key for key, _ in standing}
    moving = {unit.name for unit in task.moving_units}
    facts += [(at.key(), "off") for at in all_brakes(task) if at.unit in moving and at.key() not in kept]
    lead = valve_key(task, task.controls)
    facts += [(key, "full" if key == lead else "locked") for key in all_valves(task)]
    facts += [(supply_key(task.near.unit), "on"), (supply_key(task.far.unit), "off")]
    return tuple(dict.fromkeys(facts))


def _goal_knowledge(task: AttachTask) -> tuple[tuple[str, Fact], ...]:
    """The driver knows the test and each hold off; whoever is in charge that the standing portion stands, held, and the test."""
    driver, charge = task.role_for("drives"), task.role_for("in_charge")
    known: list[tuple[str, Fact]] = [(driver, (TEST, last_stage(task))), (charge, (TEST, last_stage(task)))]
    known += [(driver, (key, "off")) for key in task.holds[task.moving].brakes]
    known += [(charge, fact) for fact in (*hold_facts(task, task.standing), (proved_key(task.standing), "proved"))]
    return tuple(known)


def _voids(task: AttachTask) -> dict[str, Fact]:
    voids = dict.fromkeys(test_path(task), (TEST, "none"))
    if not task.rules.holding.proof_outlasts_release.value:
        voids |= {key: (proved_key(task.standing), "unproved") for key in task.holds[task.standing].brakes}
    return voids


def _phase_of(task: AttachTask) -> Callable[[Fact], str]:
    phases = {TEST: "test", COUPLE: "part", SLACK: "part", AIR_THROUGH: "come out", GAP: "part"}
    moving = set(task.holds[task.moving].brakes)

    def phase(fact: Fact) -> str:
        if fact[0] in moving:
            return "leave" if fact[1] == "off" else ""
        return phases.get(fact[0], "hold")

    return phase
