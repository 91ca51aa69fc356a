"""How a half-done job stands, in words: for whoever leaves it and whoever takes it over."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from headstock.base.errors import Fault, InputError, OutsideModelError
from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, PULLED, TEST, pipe_key, proved_key, supply_key
from headstock.procedures.broken_off_state import STANDS
from headstock.procedures.cab_work import all_valves
from headstock.procedures.places import BETWEEN
from headstock.procedures.scene_variables import KEY, ROAD, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.procedures.work_goal import all_brakes
from headstock.reasoning.domain import Domain
from headstock.reasoning.point import Point, point_after
from headstock.usecases.found_cautions import found_cautions
from headstock.usecases.plan_job import JobPlan


@dataclass(frozen=True, slots=True)
class Standing:
    """One heading with what stands how under it."""

    about: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Done:
    """A phase that has begun: its first line, its last line that is done, and whether all of it is."""

    phase: str
    first: int
    last: int
    is_whole: bool


def parts_of(plan: JobPlan) -> tuple[AttachTask, Domain, tuple[Any, ...]]:
    """Task, domain and lines of a planned job. Raises ValueError for one without an order."""
    task, domain, order = plan.assembled.task, plan.domain, plan.order
    if task is None or domain is None or order is None or plan.answer != "yes":
        raise ValueError("there is no order of work")
    return task, domain, order.steps


def point_of(plan: JobPlan, line: int) -> Point:
    """Where the order has come to after a line.

    Raises InputError for a line that it has not, OutsideModelError where a second person is protected or between there.
    """
    task, domain, steps = parts_of(plan)
    if not 0 <= line <= len(steps):
        fault = Fault("the order of work has no such line", found=str(line), expected=f"0 (nothing done yet) to {len(steps)}")
        raise InputError(fault, cure="Take the number of the last line that is done.")
    point = point_after(steps, domain, line)
    for role in people_between(task)[1:]:
        if point.state[protection_key(role)] == "given" or point.people[role] == BETWEEN:
            raise OutsideModelError(f"after line {line} the {role} is protected as the second person between",
                                    why="A stop is worked out only once the second has come out and given it back.")  # fmt: skip
    return point


def lines_done(plan: JobPlan, line: int) -> tuple[Done, ...]:
    """What is done, by phases of the order, in the order in which they begin."""
    _, _, steps = parts_of(plan)
    numbers: dict[str, list[int]] = {}
    for number, step in enumerate(steps, start=1):
        numbers.setdefault(step.phase, []).append(number)
    begun = {phase: lines for phase, lines in numbers.items() if phase and lines[0] <= line}
    return tuple(Done(phase, lines[0], max(n for n in lines if n <= line), lines[-1] <= line) for phase, lines in begun.items())


def how_it_stands(task: AttachTask, domain: Domain, state: Mapping[str, str]) -> tuple[Standing, ...]:
    """Ends and couple, holds, pipes and valves, everything at the joint, supplies, boards, road, protection, test."""

    def say(*keys: str) -> tuple[str, ...]:
        return tuple(domain.variables[key].say(state[key]) for key in keys if key in domain.variables)

    portions = (task.moving, task.standing)
    brakes = tuple(at.key() for at in all_brakes(task))
    relied = {key for facts in task.holds.values() for key in facts.brakes}
    proved = tuple(f"{p}: {'proved to stand on them' if state[proved_key(p)] == 'proved' else 'not proved'}" for p in portions)
    on = tuple(words + (" (held by)" if key in relied else "") for key in brakes for words in say(key))
    if state.get(STANDS) == "seen":
        proved = say(STANDS)
    boards = tuple(at.key() for at, spec in task.train.devices() if spec.kind == "board")
    rows = (
        Standing("Ends and couple", say(GAP, COUPLE, *((PULLED,) if state[COUPLE] == "locked" else ()), AUTHORITY)),
        Standing("Hand and parking brakes", (*on, *proved)),
        Standing("Brake pipe and valves", (*say(*(pipe_key(p) for p in portions), AIR_THROUGH), *say(*all_valves(task)))),
        *(
            Standing(f"At {end}", tuple(words.replace(f" of {end}", "") for words in say(*_keys_at(task, domain, str(end)))))
            for end in (task.near, task.far)
        ),
        Standing("Electric supply", say(supply_key(task.near.unit), supply_key(task.far.unit))),
        Standing("Boards", say(*boards)),
        Standing(
            "Road, key, protection", (f"road {state[ROAD]}", *say(KEY, *(protection_key(role) for role in people_between(task))))
        ),
        Standing("Brake test", (_test_words(task, state),)),
        Standing("Isolations carried", found_cautions(task) or ("none found",)),
    )
    return tuple(row for row in rows if row.words)


def _test_words(task: AttachTask, state: Mapping[str, str]) -> str:
    stages = [stage.key for stage in task.method.stages]
    if state[TEST] == "none":
        return "none good: not begun, or void"
    if state[TEST] == stages[-1]:
        return "done; void as soon as anything in its path was touched since"
    return f"under way, {state[TEST]} done, {len(stages) - stages.index(state[TEST]) - 1} stages to come"


def _keys_at(task: AttachTask, domain: Domain, end: str) -> tuple[str, ...]:
    """Device variables at an end of the joint, its cab valve left to the pipes."""
    valves = set(all_valves(task))
    return tuple(key for key, variable in domain.variables.items()
                 if variable.kind == "device" and key.startswith(f"{end}.") and key not in valves)  # fmt: skip
