"""Handing a half-done job to a relief: what must be so before, what is told, what the relief looks at, the rest of the work.

Whoever goes off stays until the relief has taken over, and is a person of his own in the task: he knows, the relief does not.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.scene import COUPLE, PULLED, TEST
from headstock.formation.train import UnitEnd
from headstock.procedures.brake_test_steps import tail_keys
from headstock.procedures.broken_off import begun_at
from headstock.procedures.broken_off_state import SafeState
from headstock.procedures.broken_off_steps import CALLED, coming_out_steps, holding_steps
from headstock.procedures.cab_work import valve_key
from headstock.procedures.places import BETWEEN, beside
from headstock.procedures.task import AttachTask
from headstock.reasoning.domain import Domain
from headstock.reasoning.point import Point
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.telling import one_telling, wanted_knowledge
from headstock.reasoning.variable import Fact, Variable

HANDED, TAKEN_OVER = "handed_over", ("handed_over", "yes")
NOT_YET: Fact = (HANDED, "no")


def going_off(role: str) -> str:
    """The name of whoever is relieved, in the task."""
    return f"{role} going off"


def begins_test_anew(task: AttachTask, role: str, point: Point) -> bool:
    """Whether a brake test is under way that the role drives or reads, for one pair of eyes; or its tail is open."""
    under_way = point.state[TEST] not in ("none", task.method.stages[-1].key)
    tail = tail_keys(task)
    is_open = tail is not None and (point.state[tail[0]], point.state[tail[1]]) == ("open", "hanging")
    is_theirs = role in (task.role_for("drives"), task.role_for("reads_rear"))
    return under_way and (is_theirs or is_open) and bool(_valves_before_test(task))


def ready_domain(safe: SafeState, domain: Domain, role: str) -> Domain:
    """Before anybody hands over: all stand still, nobody is in, no protection and no call stands."""
    steps = list(coming_out_steps(safe, domain))
    goal = (*safe.nobody_in, *safe.left_at_joint, CALLED)
    if begins_test_anew(safe.task, role, safe.point):
        steps += [*holding_steps(safe), _test_void(safe)]
        goal += (*_valves_before_test(safe.task), (TEST, "none"))
    return begun_at(safe.point, domain, tuple(steps), goal, (), safe.task.rules.allowance_s("tell"))


def _valves_before_test(task: AttachTask) -> tuple[Fact, ...]:
    """How the two valves of the test stand before it begins; nothing where that is neither full nor locked."""
    facts: dict[str, str] = {}
    for stage in task.method.stages:
        if stage.valve is not None:
            end: UnitEnd = task.controls if stage.valve.at == "front" else task.rear_cab
            facts.setdefault(valve_key(task, end), stage.valve.before)
    return tuple(facts.items()) if set(facts.values()) <= {"full", "locked"} else ()


def _test_void(safe: SafeState) -> Step:
    charge = safe.task.role_for("in_charge")
    others = tuple(role for role in safe.task.crew if role != charge)
    words = "The test is void. It is begun anew."
    return Step(key="say that the test under way is void and begun anew", role=charge, place=None, needs=(CALLED,),
                effects=((TEST, "none"),), duration_s=safe.task.rules.allowance_s("tell"), phase="told", hears=others,
                said=tuple(Utterance(charge, other, words) for other in others), brief=words)  # fmt: skip


def relieved_domain(safe: SafeState, domain: Domain, role: str) -> Domain:
    """The rest of the job from a point at which a role is handed over; ``domain`` is the job with the relief's name in it."""
    point, leaver = safe.point, going_off(role)
    boards = _boards_of(safe, role)
    steps = tuple(_once_taken_over(step, role, boards) for step in (*domain.steps, *_looks_again(safe, domain)))
    looks, told = facts_looked_at(safe, domain, role), facts_told(safe, domain, role)
    handing = (*_hand_over(safe, domain, role, told), *_told_anew(safe, domain, role), *_board_steps(safe, role, boards),
               _take_over(safe, role, (*looks, *told)))  # fmt: skip
    knows = tuple((leaver if who == role else who, fact) for who, fact in point.knows)
    phrases = (("yes", f"the relief has taken over as {role}"),)
    extra = {HANDED: Variable(HANDED, ("no", "yes"), "scene", "handing over", phrases=phrases)}
    extra |= {
        key: Variable(key, ("going off", "relief"), "scene", f"hand of the board of {unit}") for unit, key in boards.items()
    }
    state = {key: point.state[key] for key in domain.variables}
    return replace(
        domain, variables={**domain.variables, **extra}, steps=(*handing, *steps),
        start={**state, HANDED: "no", **dict.fromkeys(boards.values(), "going off")},
        people={**point.people, leaver: point.people[role]}, start_knows=knows, phases=("handing over", *domain.phases),
    )  # fmt: skip


def facts_looked_at(safe: SafeState, domain: Domain, role: str) -> tuple[Fact, ...]:
    """What the relief must see himself before he takes over, by the local rules and as far as his role has the look."""
    wanted: list[Fact] = []
    if "hand and parking brakes" in safe.rules.relief_looks_at.value:
        wanted += [(key, "on") for facts in safe.task.holds.values() for key in facts.brakes]
    if "couple" in safe.rules.relief_looks_at.value:
        wanted += [(COUPLE, "locked"), (PULLED, "held")]
    seen = {fact for step in domain.steps if _is_look_now(step, role, safe) for fact in step.shows}
    return tuple(fact for fact in wanted if fact in seen and safe.is_so((fact,)))


def _is_look(step: Step, role: str) -> bool:
    return step.role == role and bool(step.shows) and not step.effects and step.goes_to is None


def _is_look_now(step: Step, role: str, safe: SafeState) -> bool:
    """A look that can be taken as things stand: nobody goes between for it, and no brake in hand is left."""
    task = safe.task
    held = all(safe.is_so(((key, "on"),)) for facts in task.holds.values() for key in facts.brakes)
    if role == task.role_for("drives") and not held and step.place != safe.point.people[role]:
        return False
    needs = tuple(fact for fact in step.needs if fact[0] in safe.point.state)
    return _is_look(step, role) and step.place != BETWEEN and not step.knows and safe.is_so(needs)


def _once_taken_over(step: Step, role: str, boards: dict[str, str]) -> Step:
    """Nothing is done before the relief has taken over; he may look, and be told."""
    if not step.effects and step.goes_to is None and (_is_look(step, role) or step.role != role):
        return step
    own = tuple((key, "relief") for unit, key in boards.items() if step.key.startswith(f"take off the board of {unit} "))
    return replace(step, needs=(*step.needs, TAKEN_OVER, *own))


def facts_told(safe: SafeState, domain: Domain, role: str) -> tuple[Fact, ...]:
    """What the one going off knows and the rest of the work needs of the role; what is looked at is not told.

    What he only heard is told anew by who has it at first hand; he hands it on where nobody has any more.
    """
    point = safe.point
    others = {fact for who, fact in point.first_hand if who != role}
    own = {fact for who, fact in point.knows if who == role and (fact not in others or (who, fact) in point.first_hand)}
    looks = facts_looked_at(safe, domain, role)
    wanted = (fact for who, fact in wanted_knowledge(_ahead(safe, domain), domain.goal_knows) if who == role)
    return tuple(fact for fact in wanted if fact in own and fact not in looks)


def _ahead(safe: SafeState, domain: Domain) -> tuple[Step, ...]:
    """Steps that can still come: all that they need is so, or some step that can still come makes it so."""
    facts, left = set(safe.point.state.items()), list(domain.steps)
    found: list[Step] = []
    while True:
        ready = [step for step in left if all(fact in facts or fact[0] not in domain.variables for fact in step.needs)]
        if not ready:
            return tuple(step for step in domain.steps if step in found)
        found += ready
        left = [step for step in left if step not in ready]
        facts |= {fact for step in ready for fact in step.effects}
        facts |= {domain.voids[key] for step in ready for key in step.touched() if key in domain.voids}


def _hand_over(safe: SafeState, domain: Domain, role: str, told: tuple[Fact, ...]) -> Iterator[Step]:
    """All of it in one go, said back item by item."""
    if not told:
        return
    words = [domain.variables[key].say(value) for key, value in told]
    said = tuple(Utterance(going_off(role), role, one[0].upper() + one[1:] + ".") for one in words)
    yield Step(
        key=f"hand over by word, each thing said back: {'; '.join(words)}", role=going_off(role), place=None, needs=(NOT_YET,),
        knows=told, tells=told, hearer=role, duration_s=len(told) * safe.task.rules.allowance_s("tell"), phase="handing over",
        hears=(role,), said=said, brief="; ".join(words)[0].upper() + "; ".join(words)[1:] + ".",
    )  # fmt: skip


def _told_anew(safe: SafeState, domain: Domain, role: str) -> Iterator[Step]:
    """What others have at first hand and the role was told once, where no step of the job tells it by itself."""
    point, seconds = safe.point, safe.task.rules.allowance_s("tell")
    first = {fact: who for who, fact in sorted(point.first_hand) if who != role}
    done = {(step.hearer, fact) for step in domain.steps if not step.effects for fact in step.tells}
    for who, fact in wanted_knowledge(_ahead(safe, domain), domain.goal_knows):
        if who == role and fact in first and (role, fact) not in done and (role, fact) not in point.first_hand:
            yield one_telling(first[fact], role, fact, domain.variables, seconds, "handing over")


def _looks_again(safe: SafeState, domain: Domain) -> Iterator[Step]:
    """The joint's cocks as they stand, seen by who goes between: what he knew of them ends with his coming out."""
    there = {(step.role, step.shows) for step in domain.steps}
    for end in (safe.task.near, safe.task.far):
        cocks = [(at, spec) for at, spec in safe.task.train.end_devices(end) if spec.kind == "end cock"]
        facts = tuple((at.key(), safe.point.state[at.key()]) for at, _ in cocks)
        said = ", ".join(f"{spec.pipe} {safe.point.state[at.key()]}" for at, spec in cocks)
        if facts and (safe.between, facts) not in there:
            yield Step(key=f"look at the cocks of {end} again: {said}", role=safe.between, place=BETWEEN, needs=facts,
                       shows=facts, duration_s=safe.task.rules.allowance_s("look"), phase="between", order=(3, 9),
                       brief=f"Look: {said}.")  # fmt: skip


def _boards_of(safe: SafeState, role: str) -> dict[str, str]:
    """Boards that stand by the hand of whoever goes off: variable by unit."""
    task = safe.task
    placed = [at.unit for at, spec in task.train.devices() if spec.kind == "board" and safe.point.state[at.key()] == "placed"]
    return {unit: f"board_hand/{unit}" for unit in placed if task.boards_placed_by.get(unit) == role}


def _board_steps(safe: SafeState, role: str, boards: dict[str, str]) -> Iterator[Step]:
    for unit, key in boards.items():
        yield Step(
            key=f"change the board of {unit}: the relief puts on his own, the one going off takes off his", hears=(role,),
            role=going_off(role), place=beside(unit), needs=(NOT_YET, (key, "going off")), effects=((key, "relief"),),
            duration_s=safe.task.rules.allowance_s("board"), phase="handing over", brief=f"Board of {unit} changed over.",
        )  # fmt: skip


def _take_over(safe: SafeState, role: str, knows: tuple[Fact, ...]) -> Step:
    task = safe.task
    words = safe.rules.taken_over.value.format(name=task.crew[role], role=role)
    others = (going_off(role), *(other for other in task.crew if other != role))
    asked = Utterance(role, going_off(role), "Anything touched since you last looked?")
    return Step(
        key=f"take over as {role}: say so to all, ask what was touched since", role=role, place=None, needs=(NOT_YET,),
        effects=(TAKEN_OVER,), knows=knows, duration_s=task.rules.allowance_s("agree"), phase="handing over", order=(99,),
        hears=others, said=(asked, *(Utterance(role, other, words) for other in others)),
        brief="All hear who it is now. What was touched since is looked at again.",
        caution="No protection is taken over: it has been given back, and is taken anew.",
    )  # fmt: skip
