"""An order carried out over named facts, step by step: what stands how, what was touched, who knows what.

It shares variables, steps and constraints with the planner and nothing of the search: it counts touches, keeps a log of
what each role saw and was told, and derives knowledge from both. It goes on after a complaint, as people would.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

ComplaintKind = Literal["need", "knowledge", "place", "constraint", "end state", "unknown step"]
Verdicts = tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Complaint:
    """One hole: at which line (1 is the first; 0 the start; past the last: the end state), what, and how it hurts.

    ``fact`` is what was wanted, ``role`` who should have known it; neither for a constraint or an unknown step.
    """

    line: int
    step: str
    kind: ComplaintKind
    about: str
    text: str
    hurts: str = ""
    fact: Fact | None = None
    role: str = ""


class Memory(NamedTuple):
    """What one role learned of one variable: the value, the count of touches and of ageings at that time."""

    value: str
    touches: int
    ageings: int


Told = Mapping[str, Memory]
"""What words hand over, by the variable."""


@dataclass(slots=True)
class Run:
    """Where an order has come to, with every complaint so far. ``judged`` keeps verdicts of states seen before."""

    domain: Domain
    state: dict[str, str]
    judged: dict[tuple[str, ...], Verdicts]
    touches: dict[str, int] = field(default_factory=dict)
    ageings: dict[str, int] = field(default_factory=dict)
    memory: dict[tuple[str, str], Memory] = field(default_factory=dict)
    complaints: list[Complaint] = field(default_factory=list)
    standing: frozenset[str] = frozenset()

    @classmethod
    def begin(cls, domain: Domain, judged: dict[tuple[str, ...], Verdicts] | None = None) -> Run:
        """The start, judged as found. Raises ValueError for a start that leaves a variable out."""
        state = dict(domain.start)
        for role, place in domain.people.items():
            state[place_key(role)] = place
        missing = sorted(set(domain.variables) - set(state))
        if missing:
            raise ValueError(f"the start leaves out {', '.join(missing)}")
        run = cls(domain, state, {} if judged is None else judged)
        for role, fact in domain.start_knows:
            run.learn(role, fact)
        run.judge_state(0, "as found")
        return run

    def copy(self) -> Run:
        """The same point, to go on from in another way."""
        return Run(self.domain, dict(self.state), self.judged, dict(self.touches), dict(self.ageings), dict(self.memory),
                   list(self.complaints), self.standing)  # fmt: skip

    def knows(self, role: str, fact: Fact) -> bool:
        """Whether a role knows a fact: seen or told since the last touch, and not aged."""
        key, value = fact
        kept = self.memory.get((role, key))
        if kept is None or kept.value != value or kept.touches != self.touches.get(key, 0):
            return False
        return not self.domain.variables[key].fresh or kept.ageings == self.ageings.get(role, 0)

    def learn(self, role: str, fact: Fact) -> None:
        """A role sees or hears a fact now."""
        key, value = fact
        self.memory[(role, key)] = Memory(value, self.touches.get(key, 0), self.ageings.get(role, 0))

    def told_by(self, step: Step) -> Told:
        """What a step's words hand over now, of what whoever speaks knows: heard later, they hand over no more and no less."""
        heard = (fact for fact in step.tells if self.knows(step.role, fact))
        return {key: Memory(value, self.touches.get(key, 0), self.ageings.get(step.hearer, 0)) for key, value in heard}

    def hear(self, role: str, told: Told) -> None:
        """A role hears what was said before, and keeps what it has learned since."""
        for key, memory in told.items():
            kept = self.memory.get((role, key))
            if kept is None or (kept.touches, kept.ageings) <= (memory.touches, memory.ageings):
                self.memory[(role, key)] = memory

    def known(self) -> tuple[tuple[str, Fact], ...]:
        """All that anybody knows here, as (role, fact)."""
        pairs = ((role, (key, kept.value)) for (role, key), kept in self.memory.items())
        return tuple(pair for pair in pairs if self.knows(*pair))

    def say(self, key: str, value: str) -> str:
        """A fact in words."""
        variable = self.domain.variables.get(key)
        if variable is not None:
            return variable.say(value)
        place = self.domain.places.get(value)
        return f"{key.removeprefix('at/')} {place.label if place else value}"

    def follow(self, line: int, step: Step | str) -> None:
        """Judge one line and carry it out."""
        if isinstance(step, str):
            self.complaints.append(Complaint(line, step, "unknown step", step, "this line matches no known step"))
            return
        if not self.domain.owns(step):
            text = f"no step of this job for the {step.role}"
            self.complaints.append(Complaint(line, step.key, "unknown step", step.key, text))
        self.complaints += self.against(line, step)
        self.carry_out(step)
        self.judge_state(line, step.key)

    def against(self, line: int, step: Step) -> list[Complaint]:
        """What speaks against a step here: needs unmet, things not known, the wrong place."""
        found = []
        for key, value in step.needs:
            if self.state[key] != value:
                text = f"needs: {self.say(key, value)}; it stands: {self.say(key, self.state[key])}"
                found.append(Complaint(line, step.key, "need", f"{key}={value}", text, fact=(key, value)))
        for fact in dict.fromkeys((*step.knows, *step.tells)):
            if not self.knows(step.role, fact) and fact not in _own_sight(step):
                text = f"the {step.role} does not know: {self.say(*fact)}"
                about = f"{fact[0]}={fact[1]}"
                found.append(Complaint(line, step.key, "knowledge", about, text, fact=fact, role=step.role))
        for key, value in step.shows:
            if self.state[key] != value and (key, value) not in step.effects and (key, value) not in step.needs:
                text = f"would see: {self.say(key, self.state[key])}, not {value}"
                found.append(Complaint(line, step.key, "need", f"{key}={value}", text, fact=(key, value)))
        return found + self._away(line, step)

    def _away(self, line: int, step: Step) -> list[Complaint]:
        if step.place is None:
            return []
        places, at = self.domain.places, place_key(step.role)
        here = self.state[at]
        if here == step.place or self.domain.walk_s(here, step.place) is not None:
            return []
        text = f"the {step.role} is {places[here].label}, this is done {places[step.place].label}"
        return [Complaint(line, step.key, "place", step.place, text, fact=(at, step.place))]

    def carry_out(self, step: Step) -> None:
        """What the step changes, shows and tells."""
        state, domain = self.state, self.domain
        for key, value in step.effects:
            self.touches[key] = self.touches.get(key, 0) + 1
            void = domain.voids.get(key)
            if void is not None and all(void[0] != set_key for set_key, _ in step.effects):
                state[void[0]] = void[1]
                self.touches[void[0]] = self.touches.get(void[0], 0) + 1
            state[key] = value
        for role in [step.role] if step.ages == "self" else list(domain.people) if step.ages == "everybody" else []:
            self.ageings[role] = self.ageings.get(role, 0) + 1
        # Whoever cannot have walked there stays where he is, whatever the line says.
        if step.place is not None and domain.walk_s(state[place_key(step.role)], step.place) is not None:
            state[place_key(step.role)] = step.goes_to or step.place
        self._learn_from(step)

    def _learn_from(self, step: Step) -> None:
        for key, value in step.effects:
            if not self.domain.variables[key].sign:
                self.learn(step.role, (key, value))
        for fact in step.shows:
            if self.state[fact[0]] == fact[1]:
                self.learn(step.role, fact)
        if step.tells:
            self.hear(step.hearer, self.told_by(step))

    def judge_state(self, line: int, step: str) -> None:
        """A broken constraint is named when it breaks, not again while it stays broken."""
        broken_now = set()
        for constraint, why in zip(self.domain.constraints, self._verdicts(), strict=True):
            if why is None:
                continue
            broken_now.add(constraint.key)
            if constraint.key not in self.standing:
                text = f"{constraint.text}: {why}"
                self.complaints.append(Complaint(line, step, "constraint", constraint.key, text, constraint.hurts))
        self.standing = frozenset(broken_now)

    def _verdicts(self) -> Verdicts:
        here = tuple(self.state.values())
        found = self.judged.get(here)
        if found is None:
            found = self.judged[here] = tuple(constraint.broken(self.state) for constraint in self.domain.constraints)
        return found

    def judge_end(self, line: int) -> None:
        """What the end state asks for and does not find."""
        for key, value in self.domain.goal:
            if self.state[key] != value:
                text = f"at the end: {self.say(key, self.state[key])}; wanted: {self.say(key, value)}"
                self.complaints.append(Complaint(line, "end", "end state", f"{key}={value}", text, fact=(key, value)))
        for role, fact in self.domain.goal_knows:
            if not self.knows(role, fact):
                text = f"at the end the {role} does not know: {self.say(*fact)}"
                about = f"{role} knows {fact[0]}={fact[1]}"
                self.complaints.append(Complaint(line, "end", "end state", about, text, fact=fact, role=role))


def _own_sight(step: Step) -> tuple[Fact, ...]:
    return tuple(fact for fact in step.tells if fact in step.shows or fact in step.effects)
