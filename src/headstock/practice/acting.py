"""A step as somebody really does it: what is noticed before, what is seen, what comes about, which rule it breaks."""

from __future__ import annotations

from dataclasses import replace

from headstock.devices.scene import AUTHORITY, ELECTRIC, TEST
from headstock.practice.sitting import Doing, Said, Sitting
from headstock.reasoning.run import Run
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Conditions
from headstock.reasoning.variable import Fact

DEVICE = "device"


def begin(sitting: Sitting, step: Step) -> Sitting:
    """Somebody sets about a step. It comes to nothing where what is in hand speaks against it."""
    why = _noticed(sitting, step)
    if why:
        return sitting.noted(step.role, "noticed", f"{step.key}: {why}")
    if unlike := _unlike(sitting, step):
        return _saw_otherwise(sitting, step, unlike)
    if takes_time(sitting, step):
        return _set_about(sitting, step)
    return carry_out(sitting, step)


def takes_time(sitting: Sitting, step: Step) -> bool:
    """Whether it is begun and ended apart: a wait, a watch, a pipe that must follow."""
    exercise = sitting.exercise
    if step.ident in exercise.stages:
        return True
    pipes = {exercise.domain.variables[key].kind for key, _ in _slow(sitting, step)}
    return bool(pipes) or any(value == "proved" for _, value in step.effects)


def least_s(sitting: Sitting, step: Step) -> float:
    """How long it must last by the rules [s]."""
    stage = next((one for one in sitting.exercise.task.method.stages if one.key == sitting.exercise.stages.get(step.ident)), None)
    if stage is not None:
        return sitting.exercise.task.rules.limit(stage.waits) if stage.waits is not None else 0.0
    return step.duration_s if any(value == "proved" for _, value in step.effects) else 0.0


def _slow(sitting: Sitting, step: Step) -> tuple[Fact, ...]:
    """Effects on a portion's pipe: the air brings them about, not the hand."""
    return tuple(fact for fact in step.effects if fact[0].endswith(".brake_pipe") and sitting.air is not None)


def _noticed(sitting: Sitting, step: Step) -> str:
    """What whoever sets about it notices of the thing in hand, in words."""
    run = sitting.run
    return "; ".join(run.say(key, run.state[key]) for key, _ in unmet_in_hand(sitting, step))


def unmet_in_hand(sitting: Sitting, step: Step) -> tuple[Fact, ...]:
    """Needs of a step that the thing in hand does not meet; nobody is held back by a call that was not given."""
    hand = sitting.exercise.around.at_hand.get(step.ident, frozenset(step.touched())) - {AUTHORITY}
    return tuple((key, value) for key, value in step.needs if key in hand and sitting.state[key] != value)


def _unlike(sitting: Sitting, step: Step) -> tuple[Fact, ...]:
    """What there is to see and is otherwise."""
    state = sitting.state
    return tuple((key, state[key]) for key, value in step.shows if state[key] != value and (key, value) not in step.effects)


def _saw_otherwise(sitting: Sitting, step: Step, unlike: tuple[Fact, ...]) -> Sitting:
    """A look that finds something else: it is known now, and the step is not done."""
    run = sitting.run.copy()
    complaints = _judged(run, sitting, replace(step, shows=()))
    for fact in unlike:
        run.learn(step.role, fact)
    said = "; ".join(run.say(*fact) for fact in unlike)
    return _with_complaints(replace(sitting, run=run), step, complaints).noted(step.role, "saw", f"{step.key}: {said}")


def _set_about(sitting: Sitting, step: Step) -> Sitting:
    """What the hand does at once; the rest when it is ended."""
    at_once = tuple(fact for fact in step.effects if _is_by_hand(sitting, fact))
    run = sitting.run.copy()
    complaints = _judged(run, sitting, step)
    run.carry_out(replace(step, effects=at_once, shows=(), tells=()))
    began = sitting.began_s
    if step.ident in sitting.exercise.stages:
        began = {**began, sitting.exercise.stages[step.ident]: (sitting.t_s, sitting.t_s)}
    found = replace(sitting, run=run, began_s=began, doing={**sitting.doing, step.role: Doing(step, sitting.t_s)})
    return settled(_with_complaints(found, step, complaints).noted(step.role, "began", step.key))


def _is_by_hand(sitting: Sitting, fact: Fact) -> bool:
    """What a hand moves, and which stage of the test it is: the rules allow a stage what they forbid otherwise."""
    return fact[0] in (TEST, ELECTRIC) or sitting.exercise.domain.variables[fact[0]].kind == DEVICE


def finish(sitting: Sitting, step: Step) -> Sitting:
    """What is left of a step that took its time; pipes are as the air has made them."""
    slow = {key for key, _ in _slow(sitting, step)}
    left = tuple(fact for fact in step.effects if not _is_by_hand(sitting, fact) and fact[0] not in slow)
    run = sitting.run.copy()
    made = _come_about(run, sitting, replace(step, effects=left))
    run.carry_out(replace(step, effects=made, tells=()))
    for key in slow:
        run.learn(step.role, (key, run.state[key]))
    return _said(_done(replace(sitting, run=run), step), step)


def carry_out(sitting: Sitting, step: Step) -> Sitting:
    """All of a step at once."""
    run = sitting.run.copy()
    complaints = _judged(run, sitting, step)
    made = _come_about(run, sitting, step)
    run.carry_out(replace(step, effects=made, tells=()))
    return _said(_done(_with_complaints(replace(sitting, run=run), step, complaints), step), step)


def _done(sitting: Sitting, step: Step) -> Sitting:
    by_people = (*sitting.done_by_people, sitting.is_played(step.role))
    done = replace(sitting, done=(*sitting.done, (sitting.t_s, step)), done_by_people=by_people)
    return settled(done.noted(step.role, "did", step.key))


def _said(sitting: Sitting, step: Step) -> Sitting:
    """What it tells: heard at once by the computer, by a person when that person says so."""
    if not step.tells:
        return sitting
    said = Said(step, sitting.run.told_by(step))
    if sitting.is_played(step.hearer):
        return replace(sitting, told=(*sitting.told, said))
    return hear(sitting, said)


def hear(sitting: Sitting, said: Said) -> Sitting:
    """The hearer has heard the words of a step."""
    run = sitting.run.copy()
    run.hear(said.step.hearer, said.told)
    return replace(sitting, run=run)


def settled(sitting: Sitting) -> Sitting:
    """What follows by itself, the air moved, and every rule looked at again."""
    run = sitting.run
    for rule in sitting.exercise.around.follows:
        key, value = rule.fact
        if sitting.air is not None and key.endswith(".brake_pipe"):
            continue
        wanted = value if _met(run, rule.when) else rule.otherwise
        if wanted is not None and run.state[key] != wanted:
            run = run.copy()
            run.state[key] = wanted
            run.touches[key] = run.touches.get(key, 0) + 1
    air = sitting.air.moved(run.state) if sitting.air is not None else None
    return judged_again(replace(sitting, run=run, air=air))


def judged_again(sitting: Sitting) -> Sitting:
    """Constraints that are broken now and were not before."""
    run = sitting.run.copy()
    count = len(run.complaints)
    run.judge_state(len(sitting.done), "")
    found = replace(sitting, run=run)
    for complaint in run.complaints[count:]:
        role = sitting.notes[-1].role if sitting.notes else ""
        found = found.noted(role, "unsafe", complaint.text, complaint.hurts, complaint.about)
    return found


def _judged(run: Run, sitting: Sitting, step: Step) -> list[tuple[str, str]]:
    """What speaks against it, noticed or not, as (what, about)."""
    return [(complaint.text, complaint.about) for complaint in run.against(len(sitting.done) + 1, step)]


def _with_complaints(sitting: Sitting, step: Step, complaints: list[tuple[str, str]]) -> Sitting:
    for text, about in complaints:
        sitting = sitting.noted(step.role, "unsafe", f"{step.key}: {text}", about=about)
    return sitting


def _come_about(run: Run, sitting: Sitting, step: Step) -> tuple[Fact, ...]:
    """The effects that come true here."""
    resting = {rest.fact: rest.on for rest in sitting.exercise.around.rests.get(step.ident, ())}
    slow = {fact[0] for fact in _slow(sitting, step)}
    return tuple(fact for fact in step.effects
                 if fact[0] not in slow and (fact not in resting or _met(run, resting[fact])))  # fmt: skip


def _met(run: Run, conditions: Conditions) -> bool:
    return all(any(run.state[key] == value for key, value in group) for group in conditions)
