"""What people do when a job is broken off: stop, come out, put brakes on and watch, boards, lamps, words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.kind import Act
from headstock.devices.registry import kind_of
from headstock.devices.scene import AUTHORITY, ELECTRIC, TEST, pipe_key, proved_key
from headstock.devices.screw_coupling import put_back
from headstock.procedures.brake_test_steps import TAIL_CAUTION
from headstock.procedures.broken_off_cab import CabsLeft
from headstock.procedures.broken_off_state import BROKEN_OFF, STANDS, SafeState
from headstock.procedures.build import reached_from, step_of
from headstock.procedures.cab_work import all_valves
from headstock.procedures.hold_work import applying_cab, holder, releasing_cab
from headstock.procedures.places import BETWEEN, before, beside, cab
from headstock.procedures.protection import BACK, OUT, OWN_BACK
from headstock.procedures.scene_variables import AGREED, ROAD
from headstock.procedures.wired_test import GEAR_CAUTION
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact

STOP, STOP_ALONE = "stop the work: everybody stands still and answers", "stop the work: brake on, nothing moves"
LEFT, LEFT_ALONE = "say to all how it is left: both portions held, nobody in", "see once more that all is left so"
CALLED: Fact = (BROKEN_OFF, "called")


def coming_out_steps(safe: SafeState, domain: Domain) -> Iterator[Step]:
    """The call off, what is left in order between, out, protection and key back: by those who are in it."""
    yield stop_step(safe)
    if safe.point.state[AUTHORITY] != "none":
        yield _call_off(safe)
    if safe.tail_shut:
        yield _tail_step(safe)
    if safe.electric_off:
        yield _electric_step(safe)
    wanted = dict(safe.left_at_joint)
    plain = () if safe.is_so((safe.free,)) else (OUT, BACK, OWN_BACK)
    for step in domain.steps:
        is_key = step.key.startswith("bring the driver's key back")
        tidies = step.place == BETWEEN and any(wanted.get(key) == value for key, value in step.effects)
        if step.key in plain or is_key:
            yield replace(step, needs=(*_agreed_or_not(step), CALLED), phase="come out")
        elif tidies:
            yield replace(step, needs=(*_agreed_or_not(step), CALLED), phase="come out", order=(-1,))
    if safe.task.screw is not None and safe.task.screw.stowage:
        act = put_back(safe.task.screw)
        if act.at is not None:
            made = step_of(safe.task, act, safe.between, beside(act.at.unit), (CALLED, safe.free))
            yield replace(made, phase="hold")


def holding_steps(safe: SafeState) -> Iterator[Step]:
    """Brakes on, seen, watched; valves; boards and lamps; all told, the road given back."""
    yield from _brake_steps(safe)
    cabs = CabsLeft(safe)
    for step in cabs.all():  # nothing is charged into an open tail, and whoever charges has been told that it is shut
        yield replace(step, needs=(*step.needs, *safe.tail_shut), knows=(*step.knows, *safe.tail_shut[:1]))
    yield from _watches(safe, cabs)
    yield from _board_steps(safe)
    yield from _lamp_steps(safe)
    yield from _closing_steps(safe)


def _agreed_or_not(step: Step) -> tuple[Fact, ...]:
    """Needs without the agreement: a job is broken off before it, too."""
    return tuple(fact for fact in step.needs if fact[0] != AGREED)


def stop_step(safe: SafeState) -> Step:
    """The word that stops everybody; whoever sees a reason says it, the person in charge answers for it."""
    charge, rules = safe.task.role_for("in_charge"), safe.task.rules
    others = tuple(role for role in safe.task.crew if role != charge)
    return Step(
        key=STOP if others else STOP_ALONE, role=charge, place=None, needs=((BROKEN_OFF, "no"),), effects=(CALLED,),
        duration_s=rules.allowance_s("call"), phase="stop", order=(0,), hears=others,
        brief="Stop. Everybody answers." if others else "Stop.",
        said=tuple(Utterance(charge, other, safe.rules.stop.value) for other in others),
        shows=(safe.free,) if safe.is_so((safe.free,)) else (),
        caution="Anybody may call it. What moves stops at once." if others else "What moves stops at once.",
    )  # fmt: skip


def _tail_step(safe: SafeState) -> Step:
    """Whoever holds the tail's hose shuts the cock, and puts the hose back."""
    task, (cock, hose) = safe.task, safe.tail_shut
    return Step(
        key="shut the tail cock, put its hose back", role=task.role_for("reads_rear"), place=before(task.rear_cab),
        needs=((cock[0], "open"), CALLED), effects=(cock, hose), duration_s=task.rules.allowance_s("cock"), phase="stop",
        order=(1,), brief="Tail cock shut, hose put back.", caution=TAIL_CAUTION,
    )  # fmt: skip


def _electric_step(safe: SafeState) -> Step:
    """The driver puts the brake worked by wires off; hand and parking brakes hold, as they did for the test."""
    task, commanded = safe.task, safe.point.state[ELECTRIC]
    return Step(
        key="electric brake off", role=task.role_for("drives"), place=cab(task.controls), needs=((ELECTRIC, commanded), CALLED),
        effects=safe.electric_off, duration_s=task.rules.allowance_s("valve"), phase="stop", order=(1,),
        brief="Electric brake off.", caution=GEAR_CAUTION,
    )  # fmt: skip


def _call_off(safe: SafeState) -> Step:
    """A call that was given is taken back, and said back."""
    task, value = safe.task, safe.point.state[AUTHORITY]
    charge, driver = task.role_for("in_charge"), task.role_for("drives")
    none = (AUTHORITY, "none")
    made = Step(key="take the call back: no movement", role=charge, place=None, needs=((AUTHORITY, value), CALLED),
                effects=(none,), duration_s=task.rules.allowance_s("call"), phase="stop", order=(1,),
                brief="The call is taken back: no movement.")  # fmt: skip
    if charge == driver:
        return made
    return replace(made, tells=(none,), hearer=driver, hears=(driver,),
                   said=(Utterance(charge, driver, "Call taken back. Do not move."),))  # fmt: skip


def _brake_steps(safe: SafeState) -> Iterator[Step]:
    relied = {key for key, _ in safe.all_brakes}
    for at, spec in safe.task.train.devices():
        if at.key() not in relied:
            continue
        for act in kind_of(spec).acts(at, spec):
            if any(value == "on" for _, value in (*act.effects, *act.shows)):
                yield _brake_step(safe, act)


def _brake_step(safe: SafeState, act: Act) -> Step:
    """On, or seen on: from the cab that works it as the train now stands, or at its vehicle."""
    task, at = safe.task, act.at
    if at is None:
        raise ValueError(f"{act.key} has no place")
    is_moving = at.unit in {unit.name for unit in task.moving_units}
    if act.spot == "cab":
        tested = safe.point.state[TEST] == task.method.stages[-1].key
        role, end = releasing_cab(task, at.unit) if tested else applying_cab(task, at.unit, is_moving)
        made = step_of(task, act, role, cab(end), (CALLED,))
        return _alone(safe, replace(made, key=f"{act.key}, cab {end}", phase="hold"))
    duty = "looks_at_holds" if act.duty == "looks at holds" else holder(is_moving)
    made = step_of(task, act, task.role_for(duty), beside(at.where), (CALLED, safe.free))
    return _alone(safe, replace(made, phase="hold", order=(1,) if act.shows else (0,)))


def _alone(safe: SafeState, step: Step) -> Step:
    """A driver alone leaves a cab only with its valve locked."""
    if not safe.task.is_alone or step.place is None:
        return step
    behind = tuple((key, "locked") for key, end in all_valves(safe.task).items() if step.place != cab(end))
    return replace(step, needs=tuple(dict.fromkeys((*step.needs, *behind))))


def _watches(safe: SafeState, cabs: CabsLeft) -> Iterator[Step]:
    task = safe.task
    if safe.hangs:
        return
    if safe.touching:
        emptied = task.parts and not cabs.joined
        charged = (task.moving,) if emptied else (task.moving, task.standing)
        names = f"{task.moving} and {task.standing} as they stand"
        yield _watch(safe, names, safe.all_brakes, charged, cabs, ((STANDS, "seen"),))
        return
    watched = {portion for end in cabs.charging_ends() for portion in cabs.portions_of(end)}
    for portion in sorted(watched):
        yield _watch(safe, portion, safe.brakes[portion], (portion,), cabs, ((proved_key(portion), "proved"),))


def _watch(safe: SafeState, names: str, brakes: tuple[Fact, ...], charged: tuple[str, ...], cabs: CabsLeft,
           shows: tuple[Fact, ...]) -> Step:  # fmt: skip
    task, seconds = safe.task, safe.task.rules.holding.watch_s.value
    pipes = tuple((pipe_key(portion), "charged") for portion in charged)
    cab_end = next(end for end in cabs.charging_ends() if charged[0] in cabs.portions_of(end))
    unit = task.near.unit if charged == (task.moving,) else task.far.unit
    return Step(
        key=f"watch {names} for {seconds:g} s, air brake off", role=task.role_for("looks_at_holds"),
        place=cab(cab_end) if task.is_alone else beside(unit), needs=(*brakes, *pipes, CALLED, safe.free), effects=shows,
        shows=shows, knows=(*brakes, *pipes), duration_s=seconds + task.rules.allowance_s("look"), phase="prove", order=(5,),
        brief=f"Watch {names} {seconds:g} s with the air brake off.",
        caution="It moves: air brake on again, more brakes, look for what slipped.",
    )  # fmt: skip


def _board_steps(safe: SafeState) -> Iterator[Step]:
    charge = safe.task.role_for("in_charge")
    for portion, (key, value) in safe.boards.items():
        unit = key.partition(".")[0]
        yield _alone(safe, Step(
            key=f"put a board on {unit}, with one's own initials", role=charge, place=beside(unit),
            needs=((key, "off"), *safe.brakes.get(portion, ()), *safe.proofs, CALLED, safe.free), effects=((key, value),),
            duration_s=safe.task.rules.allowance_s("board"), phase="board", brief=f"Board on {unit}, own initials.",
            caution="Taken off by the same hand, or not at all.",
        ))  # fmt: skip


def _lamp_steps(safe: SafeState) -> Iterator[Step]:
    """Where each is reached from, with everything held and every valve locked; what is carried goes where it belongs."""
    task, wanted = safe.task, dict(safe.lamps)
    held = (*safe.all_brakes, *safe.proofs, *((key, "locked") for key in all_valves(task)))
    for end in safe.lamp_ends:
        for at, spec in task.train.end_devices(end):
            for act in kind_of(spec).acts(at, spec) if at.key() in wanted else ():
                if act.effects[0][1] in (wanted[at.key()], "carried") and (end in safe.seen_ends or act.spot == "beside"):
                    plain = replace(act, needs=(act.needs[0],))
                    made = step_of(task, plain, safe.lamp_role(end), reached_from(act, end), (*held, CALLED, safe.free))
                    yield replace(made, phase="board")


def _closing_steps(safe: SafeState) -> Iterator[Step]:
    task, rules = safe.task, safe.task.rules
    charge = task.role_for("in_charge")
    others = tuple(role for role in task.crew if role != charge)
    yield Step(
        key=LEFT if others else LEFT_ALONE, role=charge, place=None,
        needs=(*safe.held, CALLED), effects=((BROKEN_OFF, "told"), (AGREED, "no")),
        knows=tuple(fact for _, fact in safe.known), duration_s=rules.allowance_s("agree"), phase="told", order=(0,),
        hears=others, said=tuple(Utterance(charge, other, safe.rules.left.value) for other in others),
        brief=f"{'All hear how it is left. ' if others else ''}Nothing is moved before it is agreed anew.",
    )  # fmt: skip
    words = safe.rules.road_back.value.format(joint=task.train.joint_to_make)
    yield Step(
        key="tell yard control how the train stands, give the road back", role=charge, place=None,
        needs=((BROKEN_OFF, "told"), (ROAD, "given")), effects=((ROAD, "not given"),),
        duration_s=rules.allowance_s("road"), phase="told", order=(1,), brief="Yard control told, road given back.",
        said=(Utterance(charge, "yard control", words),),
    )  # fmt: skip
