"""Where an order of work may be left, a line each: by the safe state that breaking off aims at, without planning the way."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from headstock.devices.scene import AUTHORITY, TEST
from headstock.procedures.broken_off_state import SafeState
from headstock.procedures.cab_work import all_valves
from headstock.procedures.places import BETWEEN
from headstock.procedures.scene_variables import KEY, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.who_is_between import people_between
from headstock.reasoning.domain import Domain
from headstock.reasoning.point import point_after
from headstock.reasoning.step import Step

Leave = Literal["yes", "when watched", "no"]
HOW = "The way from any line: Stop, make safe on the job's page, or headstock plan JOB --stop-after LINE."


@dataclass(frozen=True, slots=True)
class StopLine:
    """After a line: may it be left (nobody in, each portion proved on its own brakes), why not, what is still to do."""

    line: int
    may: Leave
    why_not: tuple[str, ...]
    to_do: tuple[str, ...]

    def words(self) -> str:
        """The line as a sheet says it."""
        then = f": {', '.join(self.to_do)}"
        if self.may == "no":
            return f"Not to be left here: {'; '.join(self.why_not)}."
        if self.may == "when watched":
            return f"To be left here only once both have been watched as they stand, air brake off{then}."
        return f"Stop here and make safe{then}."


def stop_lines(task: AttachTask, domain: Domain, steps: Sequence[Step], lines: Sequence[int]) -> tuple[StopLine, ...]:
    """How each of these lines leaves things; an order done to its last line is not half done, and is left out."""
    return tuple(_stop_line(SafeState(task, point_after(steps, domain, line))) for line in lines if line < len(steps))


def _stop_line(safe: SafeState) -> StopLine:
    why_not = (*_in_the_way(safe), *_unheld(safe))
    watched = safe.is_so(tuple(fact for fact in safe.proofs if fact[0] in safe.point.state)) and all(
        key in safe.point.state for key, _ in safe.proofs
    )
    may: Leave = "no" if why_not else "yes" if watched else "when watched"
    return StopLine(safe.point.line, may, why_not, tuple(_to_do(safe)))


def _in_the_way(safe: SafeState) -> Iterator[str]:
    """A call that stands, anybody between or protected."""
    if safe.point.state[AUTHORITY] != "none":
        yield "a movement is called"
    for role in people_between(safe.task):
        if safe.point.people[role] == BETWEEN:
            yield f"the {role} is between"
        elif safe.point.state[protection_key(role)] == "given":
            yield f"the {role} is protected"


def _unheld(safe: SafeState) -> Iterator[str]:
    """Portions that do not stand on the hand and parking brakes that hold them; air alone counts as nothing."""
    for portion, brakes in safe.brakes.items():
        if not safe.is_so(brakes):
            yield f"{portion} does not stand on its own brakes"


def _to_do(safe: SafeState) -> Iterator[str]:
    """What is left of the safe state beside holds and proofs."""
    state, task = safe.point.state, safe.task
    open_cabs = [str(end) for key, end in all_valves(task).items() if state[key] != "locked"]
    if open_cabs:
        yield f"lock the valve of {' and '.join(open_cabs)}"
    if safe.left_at_joint:
        yield "put away what is carried"
    if state[KEY] != "with the driver":
        yield "key back to the driver"
    if not safe.is_so(tuple(safe.boards.values())):
        yield "boards"
    if not safe.is_so(safe.lamps):
        yield "lamps"
    yield "tell all, give the road back" if len(task.crew) > 1 else "give the road back"
    if state[TEST] not in ("none", task.method.stages[-1].key):
        yield "the test is begun anew"
