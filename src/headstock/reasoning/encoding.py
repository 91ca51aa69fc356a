"""The compact form that the search works on: a state is one integer of yes/no facts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step import Step
from headstock.reasoning.telling import learned
from headstock.reasoning.variable import Fact

Known = tuple[str, Fact]
"""(role, fact): this role knows this fact."""


@dataclass(frozen=True, slots=True)
class Move:
    """One way to take a step: from one place. Masks are over the facts of the task."""

    step: int
    need: int
    lose: int
    gain: int
    cost: float
    walks: bool


@dataclass(slots=True)
class Task:
    """A domain, cut to what the goal needs, in bits."""

    steps: list[Step]
    moves: list[Move]
    start: int
    goal: int
    bits: dict[Fact | Known, int]
    achievers: list[list[int]] = field(default_factory=list)
    step_need: list[int] = field(default_factory=list)
    step_gain: list[int] = field(default_factory=list)
    step_lose: list[int] = field(default_factory=list)
    step_cost: list[float] = field(default_factory=list)
    unreachable: tuple[Fact | Known, ...] = ()
    roots: tuple[Fact | Known, ...] = ()


def relevant_steps(domain: Domain) -> tuple[list[Step], set[Fact], set[Known]]:
    """Steps, facts and knowledge from which a way leads back from the goal."""
    givers: dict[Fact | Known, list[Step]] = {}
    for step in domain.steps:
        for fact in (*gains_of(step, domain), *(domain.voids[key] for key, _ in step.effects if key in domain.voids)):
            givers.setdefault(fact, []).append(step)
    open_facts: list[Fact | Known] = [*domain.goal, *domain.goal_knows, *_ways_out(domain)]
    seen: set[Fact | Known] = set(open_facts)
    kept: dict[tuple[str, str], Step] = {}
    while open_facts:
        for step in givers.get(open_facts.pop(), []):
            if step.ident in kept:
                continue
            kept[step.ident] = step
            for need in needs_of(step, domain):
                if need not in seen:
                    seen.add(need)
                    open_facts.append(need)
    facts = {(item[0], item[1]) for item in seen if isinstance(item[1], str)}
    known = {(item[0], item[1]) for item in seen if not isinstance(item[1], str)}
    return [step for step in domain.steps if step.ident in kept], facts, known


def _ways_out(domain: Domain) -> list[Fact]:
    """Whoever enters a closed place must be able to leave it, though no step asks for that."""
    return [
        (place_key(step.role), step.goes_to)
        for step in domain.steps
        if step.goes_to and step.place and domain.places[step.place].closed
    ]


def needs_of(step: Step, domain: Domain) -> tuple[Fact | Known, ...]:
    """Facts and knowledge that must hold before a step, and its place where one cannot just walk to it."""
    known = ((step.role, fact) for fact in step.knows)
    if step.place is not None and domain.places[step.place].closed:
        return (*step.needs, *known, (place_key(step.role), step.place))
    return (*step.needs, *known)


def gains_of(step: Step, domain: Domain) -> tuple[Fact | Known, ...]:
    """Facts and knowledge that a step gives."""
    own = tuple((step.role, fact) for fact in learned(step, domain.variables))
    passed_on = tuple((step.hearer, fact) for fact in step.tells)
    gone = ((place_key(step.role), step.goes_to),) if step.goes_to else ()
    return (*step.effects, *own, *passed_on, *gone)


class Encoder:
    """Builds a :class:`Task` from a domain."""

    def __init__(self, domain: Domain) -> None:
        self.domain = domain
        self.steps, facts, known = relevant_steps(domain)
        at = {(place_key(role), place) for role in domain.people for place in self._places_of(role)}
        names: list[Fact | Known] = sorted(facts | at)
        names += sorted(known)
        self.bits: dict[Fact | Known, int] = {name: number for number, name in enumerate(names)}
        self.by_variable: dict[str, list[Fact]] = {}
        for name in names:
            if isinstance(name[1], str):
                self.by_variable.setdefault(name[0], []).append((name[0], name[1]))
        self.known_of: dict[str, list[Known]] = {}
        self.fresh_of: dict[str, int] = {}
        for role, fact in sorted(known):
            self.known_of.setdefault(fact[0], []).append((role, fact))
            if domain.variables[fact[0]].fresh:
                self.fresh_of[role] = self.fresh_of.get(role, 0) | 1 << self.bits[(role, fact)]

    def _places_of(self, role: str) -> list[str]:
        places = {self.domain.people[role]}
        for step in self.steps:
            if step.role == role and step.place:
                places.add(step.place)
                if step.goes_to:
                    places.add(step.goes_to)
        return sorted(places)

    def mask(self, names: Iterable[Fact | Known]) -> int:
        """Bits of those names that the task knows."""
        total = 0
        for name in names:
            if name in self.bits:
                total |= 1 << self.bits[name]
        return total

    def _loss(self, step: Step, gain: int) -> int:
        lost: list[Fact | Known] = []
        touched = list(step.effects)
        for key, value in touched:
            lost += [fact for fact in self.by_variable.get(key, []) if fact[1] != value]
            lost += self.known_of.get(key, [])
            lost += self._voided(key)
        mask = self.mask(lost)
        if step.ages == "self":
            mask |= self.fresh_of.get(step.role, 0)
        elif step.ages == "everybody":
            for fresh in self.fresh_of.values():
                mask |= fresh
        return mask & ~gain

    def _voided(self, key: str) -> list[Fact | Known]:
        void = self.domain.voids.get(key)
        if void is None:
            return []
        others: list[Fact | Known] = [fact for fact in self.by_variable.get(void[0], []) if fact != void]
        return others + list(self.known_of.get(void[0], []))

    def _gain(self, step: Step) -> int:
        gain = self.mask(gains_of(step, self.domain))
        for key, _ in step.effects:
            void = self.domain.voids.get(key)
            if void is not None:
                gain |= self.mask([void])
        return gain

    def _moves(self, number: int, step: Step, need: int, lose: int, gain: int) -> list[Move]:
        cost = step.duration_s + step.extra_cost_s
        if step.place is None:
            return [Move(number, need, lose, gain, cost, False)]
        at = place_key(step.role)
        ends_at = step.goes_to or step.place
        moves = []
        for origin in self._places_of(step.role):
            walk = self.domain.walk_s(origin, step.place)
            if walk is None:
                continue
            here = 1 << self.bits[(at, origin)]
            there = 1 << self.bits[(at, ends_at)]
            left = 0 if here == there else here
            moves.append(Move(number, need | here, lose | left, gain | there, cost + walk, walk > 0))
        return moves

    def task(self) -> Task:
        """The finished task."""
        domain = self.domain
        start_names: list[Fact | Known] = [(key, value) for key, value in domain.start.items()]
        start_names += [(place_key(role), place) for role, place in domain.people.items()]
        start_names += domain.start_knows
        goal_names: list[Fact | Known] = [*domain.goal, *domain.goal_knows]
        task = Task(self.steps, [], self.mask(start_names), self.mask(goal_names), self.bits)
        task.achievers = [[] for _ in self.bits]
        for number, step in enumerate(self.steps):
            need, gain = self.mask(needs_of(step, domain)), self._gain(step)
            lose = self._loss(step, gain)
            task.step_need.append(need)
            task.step_gain.append(gain)
            task.step_lose.append(lose)
            task.step_cost.append(step.duration_s + step.extra_cost_s)
            task.moves += self._moves(number, step, need, lose, gain)
            for bit in bits_of(gain):
                task.achievers[bit].append(number)
            if step.place is not None and not step.goes_to and not domain.places[step.place].closed:
                task.achievers[self.bits[(place_key(step.role), step.place)]].append(number)
        reached = self._reachable(task)
        task.unreachable = tuple(name for name in goal_names if not self._is_in(name, reached))
        task.roots = self._roots(task, reached) if task.unreachable else ()
        return task

    def _is_in(self, name: Fact | Known, state: int) -> bool:
        return name in self.bits and bool(state >> self.bits[name] & 1)

    @staticmethod
    def _reachable(task: Task) -> int:
        """All facts that some order of steps gives when nothing is ever lost."""
        state, grown = task.start, True
        while grown:
            grown = False
            for move in task.moves:
                if move.need & ~state == 0 and move.gain & ~state:
                    state |= move.gain
                    grown = True
        return state

    def _roots(self, task: Task, reached: int) -> tuple[Fact | Known, ...]:
        """Facts out of reach on which others wait but which wait on nothing themselves: nobody gives them."""
        names = {bit: name for name, bit in self.bits.items()}
        wanted = [self.bits[name] for name in (*self.domain.goal, *self.domain.goal_knows) if name in self.bits]
        seen: set[int] = set()
        roots: list[Fact | Known] = []
        while wanted:
            bit = wanted.pop()
            if bit in seen or reached >> bit & 1:
                continue
            seen.add(bit)
            givers = task.achievers[bit]
            if not givers:
                roots.append(names[bit])
            # A way that fails on what nobody can give is not followed while another way is open.
            ways = [self._unmet(task, giver, reached) for giver in givers]
            hopeful = [way for way in ways if all(task.achievers[need] for need in way)]
            for way in hopeful or ways:
                wanted += way
        return tuple(sorted(roots, key=str))

    @staticmethod
    def _unmet(task: Task, step: int, reached: int) -> list[int]:
        mask = task.step_need[step] & ~reached
        return [need for need in range(mask.bit_length()) if mask >> need & 1]
