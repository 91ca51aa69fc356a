"""Another movement that wants the road of the job: yard control asks for it, whoever is in charge gives it or keeps it.

Given with somebody between or a movement called, the rules of the road are broken at that moment (``procedures.constraints``).
Given when all are clear it is right: the other movement goes through, and the road must be asked for again before going on.
"""

from __future__ import annotations

from dataclasses import replace

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.local_rules.yard_calls import UNSAID, YardCalls
from headstock.practice.acting import settled
from headstock.practice.events import Event, MovementPassed, RoadAnswered, RoadAsked
from headstock.practice.exercise import OtherMovement
from headstock.practice.sitting import MovementStands, Sitting
from headstock.procedures.scene_variables import ROAD
from headstock.reasoning.step import Step

ANSWERS_AFTER_S = 5.0
"""A colleague played by the computer answers after this, and keeps the road until the job is done."""


def in_charge(sitting: Sitting) -> str:
    """The role that has the road."""
    return sitting.exercise.task.role_for("in_charge")


def yard_calls(sitting: Sitting) -> YardCalls:
    """How yard control calls when nobody answers, by the local rules, and then lets it be: silence gives no road."""
    return sitting.exercise.task.rules.yard_calls or UNSAID


def is_on_the_road(sitting: Sitting) -> bool:
    """Whether another movement is on the road now."""
    return any(one.stage == "given" for one in sitting.movements.values())


def is_kept_from(sitting: Sitting, step: Step) -> bool:
    """Whether it asks for a road on which another movement is."""
    return (ROAD, "given") in step.effects and is_on_the_road(sitting)


def asked(sitting: Sitting, event: RoadAsked) -> Sitting:
    """Yard control calls whoever is in charge."""
    other, before = _of(sitting, event.movement), sitting.movements.get(event.movement)
    calls = before.calls + 1 if before is not None else 1
    sitting = _with(sitting, event.movement, MovementStands("asked", sitting.t_s, calls))
    return sitting.noted(in_charge(sitting), "heard", f"yard control: {other.words}", about=event.movement)


def answered(sitting: Sitting, event: RoadAnswered) -> Sitting:
    """The road given or kept. Raises InputError for who does not have it, and where nobody asked."""
    stands = sitting.movements.get(event.movement)
    if event.role != in_charge(sitting):
        raise InputError(Fault("yard control asked somebody else", path="role", found=event.role, expected=in_charge(sitting)))
    if stands is None or stands.stage != "asked":
        raise InputError(Fault("yard control has not asked", path="movement", found=event.movement))
    if not event.gives:
        sitting = _with(sitting, event.movement, replace(stands, stage="kept", since_s=sitting.t_s))
        return sitting.noted(event.role, "did", "keeps the road", about=event.movement)
    run = sitting.run.copy()
    run.state[ROAD] = "not given"
    run.touches[ROAD] = run.touches.get(ROAD, 0) + 1
    sitting = _with(replace(sitting, run=run), event.movement, replace(stands, stage="given", since_s=sitting.t_s))
    return settled(sitting.noted(event.role, "did", f"gives the road for the {event.movement}", about=event.movement))


def passed(sitting: Sitting, event: MovementPassed) -> Sitting:
    """It has gone. Raises InputError for one that never came."""
    stands = sitting.movements.get(event.movement)
    if stands is None or stands.stage != "given":
        raise InputError(Fault("it is not on the road", path="movement", found=event.movement))
    sitting = _with(sitting, event.movement, replace(stands, stage="passed", since_s=sitting.t_s))
    return sitting.noted(in_charge(sitting), "heard", f"yard control: the {event.movement} has gone", about=event.movement)


def next_of_movements(sitting: Sitting) -> Event | None:
    """What yard control, or a colleague who has the road, does next, if nothing else happens before."""
    found = (event for other in sitting.exercise.movements if (event := _next_of(sitting, other)) is not None)
    return min(found, key=lambda event: event.t_s, default=None)


def _next_of(sitting: Sitting, other: OtherMovement) -> Event | None:
    stands = sitting.movements.get(other.name)
    if stands is None:
        step = sitting.exercise.order[other.line - 1]
        done_s = next((t_s for t_s, one in sitting.done if one.ident == step.ident), None)
        return RoadAsked(max(sitting.t_s, done_s + other.after_s), other.name) if done_s is not None else None
    if stands.stage == "given":
        return MovementPassed(max(sitting.t_s, stands.since_s + other.lasts_s), other.name)
    if stands.stage in ("kept", "passed"):
        return None
    if not sitting.is_played(in_charge(sitting)):
        return RoadAnswered(max(sitting.t_s, stands.since_s + ANSWERS_AFTER_S), in_charge(sitting), other.name, False)
    calls = yard_calls(sitting)
    again_s = max(sitting.t_s, stands.since_s + calls.again_after_s.value)
    return RoadAsked(again_s, other.name) if stands.calls < calls.most.value else None


def _of(sitting: Sitting, name: str) -> OtherMovement:
    known = {one.name: one for one in sitting.exercise.movements}
    if name not in known:
        raise InputError(Fault("no such movement", path="movement", found=name, nearest=nearest_of(name, known)))
    return known[name]


def _with(sitting: Sitting, name: str, stands: MovementStands) -> Sitting:
    return replace(sitting, movements={**sitting.movements, name: stands})
