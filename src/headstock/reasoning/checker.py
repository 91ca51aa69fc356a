"""The independent checker: executes an order over named facts and judges every state.

It shares variables, steps and constraints with the planner and nothing of the search: it counts touches, keeps a log of
what each role saw and was told, and derives knowledge from both. It goes on after a complaint, as people would.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

ComplaintKind = Literal["need", "knowledge", "place", "constraint", "end state", "unknown step"]


@dataclass(frozen=True, slots=True)
class Complaint:
    """One hole: at which line (1 is the first; 0 the start; past the last: the end state), what, and how it hurts."""

    line: int
    step: str
    kind: ComplaintKind
    about: str
    text: str
    hurts: str = ""


@dataclass(frozen=True, slots=True)
class CheckResult:
    """All complaints in the order in which they occur.

    ``as_found`` are those of the state before the first line: to be mended first, but no hole of the order.
    """

    complaints: tuple[Complaint, ...]
    lines: int

    @property
    def as_found(self) -> tuple[Complaint, ...]:
        """What is wrong before anybody has done anything."""
        return tuple(complaint for complaint in self.complaints if complaint.line == 0)

    @property
    def holes(self) -> tuple[Complaint, ...]:
        """What is wrong with the order itself."""
        return tuple(complaint for complaint in self.complaints if complaint.line > 0)

    @property
    def holds(self) -> bool:
        """Whether the order has no hole."""
        return not self.holes


@dataclass(slots=True)
class _Memory:
    """What one role learned of one variable: the value, the count of touches and of ageings at that time."""

    value: str
    touches: int
    ageings: int


@dataclass(slots=True)
class _Run:
    domain: Domain
    state: dict[str, str]
    touches: dict[str, int] = field(default_factory=dict)
    ageings: dict[str, int] = field(default_factory=dict)
    memory: dict[tuple[str, str], _Memory] = field(default_factory=dict)
    complaints: list[Complaint] = field(default_factory=list)
    standing: set[str] = field(default_factory=set)

    def knows(self, role: str, fact: Fact) -> bool:
        key, value = fact
        kept = self.memory.get((role, key))
        if kept is None or kept.value != value or kept.touches != self.touches.get(key, 0):
            return False
        return not self.domain.variables[key].fresh or kept.ageings == self.ageings.get(role, 0)

    def learn(self, role: str, fact: Fact) -> None:
        key, value = fact
        self.memory[(role, key)] = _Memory(value, self.touches.get(key, 0), self.ageings.get(role, 0))

    def complain(self, line: int, step: str, kind: ComplaintKind, about: str, text: str, hurts: str = "") -> None:
        self.complaints.append(Complaint(line, step, kind, about, text, hurts))


def check(order: Sequence[Step | str], domain: Domain) -> CheckResult:
    """Execute an order of steps (or unknown lines, given as text) from the start and judge it."""
    run = _Run(domain, dict(domain.start))
    for role, place in domain.people.items():
        run.state[place_key(role)] = place
    missing = sorted(set(domain.variables) - set(run.state))
    if missing:
        raise ValueError(f"the start leaves out {', '.join(missing)}")
    _judge_state(run, 0, "as found")
    own = set(domain.steps)
    for line, step in enumerate(order, start=1):
        if isinstance(step, str):
            run.complain(line, step, "unknown step", step, "this line matches no known step")
            continue
        if step not in own:
            run.complain(line, step.key, "unknown step", step.key, f"no step of this job for the {step.role}")
        _judge_step(run, line, step)
        _take(run, step)
        _judge_state(run, line, step.key)
    _judge_end(run, len(order) + 1)
    return CheckResult(tuple(run.complaints), len(order))


def _judge_step(run: _Run, line: int, step: Step) -> None:
    for key, value in step.needs:
        if run.state[key] != value:
            said = _variable_says(run, key, value)
            now = _variable_says(run, key, run.state[key])
            run.complain(line, step.key, "need", f"{key}={value}", f"needs: {said}; it stands: {now}")
    for fact in dict.fromkeys((*step.knows, *step.tells)):
        if not run.knows(step.role, fact) and fact not in _own_sight(step):
            text = f"the {step.role} does not know: {_variable_says(run, *fact)}"
            run.complain(line, step.key, "knowledge", f"{fact[0]}={fact[1]}", text)
    for key, value in step.shows:
        if run.state[key] != value and (key, value) not in step.effects and (key, value) not in step.needs:
            text = f"would see: {_variable_says(run, key, run.state[key])}, not {value}"
            run.complain(line, step.key, "need", f"{key}={value}", text)
    _judge_place(run, line, step)


def _own_sight(step: Step) -> tuple[Fact, ...]:
    return tuple(fact for fact in step.tells if fact in step.shows or fact in step.effects)


def _judge_place(run: _Run, line: int, step: Step) -> None:
    if step.place is None:
        return
    places, here = run.domain.places, run.state[place_key(step.role)]
    if here != step.place and run.domain.walk_s(here, step.place) is None:
        text = f"the {step.role} is {places[here].label}, this is done {places[step.place].label}"
        run.complain(line, step.key, "place", step.place, text)


def _take(run: _Run, step: Step) -> None:
    state, domain = run.state, run.domain
    for key, value in step.effects:
        run.touches[key] = run.touches.get(key, 0) + 1
        void = domain.voids.get(key)
        if void is not None and all(void[0] != set_key for set_key, _ in step.effects):
            state[void[0]] = void[1]
            run.touches[void[0]] = run.touches.get(void[0], 0) + 1
        state[key] = value
    for role in [step.role] if step.ages == "self" else list(domain.people) if step.ages == "everybody" else []:
        run.ageings[role] = run.ageings.get(role, 0) + 1
    # Whoever cannot have walked there stays where he is, whatever the line says.
    if step.place is not None and domain.walk_s(state[place_key(step.role)], step.place) is not None:
        state[place_key(step.role)] = step.goes_to or step.place
    for key, value in step.effects:
        if not domain.variables[key].sign:
            run.learn(step.role, (key, value))
    for fact in step.shows:
        if state[fact[0]] == fact[1]:
            run.learn(step.role, fact)
    for fact in step.tells:
        if run.knows(step.role, fact):
            run.learn(step.hearer, fact)


def _judge_state(run: _Run, line: int, step: str) -> None:
    """A broken constraint is named when it breaks, not again while it stays broken."""
    broken_now: set[str] = set()
    for constraint in run.domain.constraints:
        why = constraint.broken(run.state)
        if why is None:
            continue
        broken_now.add(constraint.key)
        if constraint.key not in run.standing:
            run.complain(line, step, "constraint", constraint.key, f"{constraint.text}: {why}", constraint.hurts)
    run.standing = broken_now


def _judge_end(run: _Run, line: int) -> None:
    for key, value in run.domain.goal:
        if run.state[key] != value:
            text = f"at the end: {_variable_says(run, key, run.state[key])}; wanted: {_variable_says(run, key, value)}"
            run.complain(line, "end", "end state", f"{key}={value}", text)
    for role, fact in run.domain.goal_knows:
        if not run.knows(role, fact):
            text = f"at the end the {role} does not know: {_variable_says(run, *fact)}"
            run.complain(line, "end", "end state", f"{role} knows {fact[0]}={fact[1]}", text)


def _variable_says(run: _Run, key: str, value: str) -> str:
    variable = run.domain.variables.get(key)
    if variable is not None:
        return variable.say(value)
    place = run.domain.places.get(value)
    return f"{key.removeprefix('at/')} {place.label if place else value}"
