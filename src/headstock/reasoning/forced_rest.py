"""What is left of the forced takings on the way: a bound on the rest of a way that never has to be worked out anew."""

from __future__ import annotations

from collections.abc import Mapping

from headstock.reasoning.constraint import place_key
from headstock.reasoning.do_now import DoNow
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Task
from headstock.reasoning.fact_pairs import context_groups, fact_pairs
from headstock.reasoning.forced import ForcedSteps
from headstock.reasoning.forced_steps import forced_steps
from headstock.reasoning.landmarks import LandmarkFinder
from headstock.reasoning.masks import bits_of
from headstock.reasoning.stays import StayAgain
from headstock.reasoning.step_forms import add_absences, step_forms
from headstock.reasoning.to_and_fro import once_and_for_all, to_and_fro
from headstock.reasoning.tour import ShortestTour, Spoiling, entrances

MOST_WORDS = 6_000_000
"""Size of the table of landmark sets [words of 8 bytes]; in a longer train fewer variables tell landmarks apart."""


def forced_rest(task: Task, domain: Domain, prior: Mapping[int, int]) -> ForcedRest | None:
    """The bound for a task, or None where the pairs of facts show that no way leads to the goal."""
    groups = context_groups(task, domain, to_and_fro(task, domain, prior))
    while groups and _words(task, groups) > MOST_WORDS:
        groups = groups[1:]
    forms = step_forms(task, domain)
    pairs = fact_pairs(forms, groups, context_groups(task, domain, once_and_for_all(task, domain, groups)))
    marks = LandmarkFinder(forms, pairs).find()
    if marks is None:
        return None
    for others in add_absences(forms, context_groups(task, domain, list(domain.variables))):
        pairs.with_context.append(0)
        for other in others:
            pairs.with_context[-1] |= pairs.with_context[other]
    forced = forced_steps(forms, pairs, marks)
    return ForcedRest(task, domain, forced or ForcedSteps(), pairs.never, DoNow(task, domain, marks, pairs.never))


def _words(task: Task, groups: list[list[int]]) -> int:
    width = 1 + sum(len(group) for group in groups)
    return len(task.bits) * width * (len(task.steps) * width // 64 + 1)


class ForcedRest:
    """The bound: seconds of the forced takings that are left, and for each role the shortest walk through them.

    A way is a state and the mask of takings left. A taking is left while the way has not contained it, so whatever goes on
    from there to the goal contains it: the bound belongs to the way, and is never above what the rest of it costs.
    ``never``: steps that no way contains. ``only[step]``: takings of that step and no other.
    """

    def __init__(self, task: Task, domain: Domain, forced: ForcedSteps, never: int, do_now: DoNow) -> None:
        self.task, self.forced, self.never, self.do_now = task, forced, never, do_now
        self._by_step(task)
        self.between = self._between()
        self.takings = (1 << len(forced.forced)) - 1
        self.all = self.takings | sum(self.untaken)
        self.costs = [min(task.step_cost[s] for s in t.steps) if t.counted else 0.0 for t in forced.forced]
        self.several = sum(1 << n for n, t in enumerate(forced.forced) if len(t.steps) > 1)
        self.only = [
            sum(1 << n for n in (*(n for n, _ in self.in_context[step]), *self.more[step])) for step in range(len(task.steps))
        ]
        self.once_more = self._once_more(task)
        self._tours(task, domain)
        self.stays = [StayAgain(window, task, forced.forced) for window in domain.windows]
        self._known_cost: dict[int, float] = {}

    def _by_step(self, task: Task) -> None:
        """For each step its takings: told apart by context, then those that ask for one more, then alternatives."""
        self.in_context: list[list[tuple[int, int]]] = [[] for _ in task.steps]
        self.more: list[list[int]] = [[] for _ in task.steps]
        self.alternatives: list[list[int]] = [[] for _ in task.steps]
        self.untaken = [0] * len(task.steps)
        self.waits_for = [0] * len(self.forced.forced)
        for number, taking in enumerate(self.forced.forced):
            if taking.between is not None and taking.between[0] >= 0:
                losers = self.forced.forced[taking.between[0]].steps
                for step in losers:
                    self.untaken[step] = 1 << len(self.forced.forced) + step
                self.waits_for[number] = sum(self.untaken[step] for step in losers)
            for step in taking.steps:
                if not taking.counted:
                    continue
                if len(taking.steps) > 1:
                    self.alternatives[step].append(number)
                elif taking.between is None:
                    self.in_context[step].append((number, -1 if taking.context is None else taking.context))
                else:
                    self.more[step].append(number)

    def _between(self) -> list[tuple[int, int, int, int, int]]:
        """Takings between others, as masks: own, users, the fact (0: none, so it holds), the loser, what it waits for."""
        found = []
        for number, taking in enumerate(self.forced.forced):
            if taking.between is not None:
                loser, users, fact = taking.between
                held = 0 if fact >= len(self.task.bits) else 1 << fact
                found.append((1 << number, users, held, 0 if loser < 0 else 1 << loser, self.waits_for[number]))
        return found

    def _once_more(self, task: Task) -> list[tuple[int, int, int]]:
        """Steps of which one more taking may be due: the takings of it that are counted, and those that are not, as masks."""
        found = []
        for step in range(len(task.steps)):
            same = once_more = 0
            for number, taking in enumerate(self.forced.forced):
                if taking.counted and step in taking.steps:
                    same |= 1 << number
                elif taking.steps == (step,):
                    once_more |= 1 << number
            if once_more:
                found.append((step, same, once_more))
        return found

    def _tours(self, task: Task, domain: Domain) -> None:
        entrance = entrances(task, domain)
        self.tours: list[tuple[list[tuple[int, str]], ShortestTour]] = []
        used: set[int] = set()
        for role in domain.people:
            places = {}
            for number, taking in enumerate(self.forced.forced):
                where = {(task.steps[step].role, task.steps[step].place) for step in taking.steps}
                stands = next(iter(where))[1]
                if len(where) == 1 and next(iter(where))[0] == role and stands is not None:
                    places[number] = entrance[stands]
            at = [(1 << bit, entrance[name[1]]) for name, bit in task.bits.items()
                  if name[0] == place_key(role) and isinstance(name[1], str)]  # fmt: skip
            self._stood_by(task, at, places)
            self.tours.append((at, ShortestTour(places, self.forced.before, domain, self._spoiling(task, places, used))))

    def _stood_by(self, task: Task, at: list[tuple[int, str]], places: dict[int, str]) -> None:
        """Takings of others during which the role must stand somewhere are visits of its walk as well."""
        anywhere = sum(bit for bit, _ in at)
        for number, taking in enumerate(self.forced.forced):
            asked = anywhere
            for step in taking.steps:
                asked &= task.step_need[step]
            found = [place for bit, place in at if asked & bit]
            if number not in places and len(found) == 1:
                places[number] = found[0]

    def _spoiling(self, task: Task, places: dict[int, str], used: set[int]) -> list[Spoiling]:
        """Visits of one walk that spoil what others elsewhere need; a step that mends is paid for once, in one walk."""
        found: list[Spoiling] = []
        groups: dict[int, set[int]] = {}
        for one in self.forced.spoilt:
            others = sum(1 << user for user in bits_of(one.users) if user in places)
            elsewhere = any(places[user] != places.get(one.taking) for user in bits_of(others))
            taken = used.union(*(steps for fact, steps in groups.items() if fact != one.fact))
            if one.taking not in places or not elsewhere or taken & set(one.givers):
                continue
            groups.setdefault(one.fact, set()).update(one.givers)
            found.append(Spoiling(one.taking, others, one.fact, min(task.step_cost[step] for step in one.givers), one.givers))
        used.update(*groups.values())
        return found

    def after(self, left: int, state: int, step: int) -> int:
        """Takings left when a step is taken in a state: one taking of a step is at most one of the forced ones."""
        left &= ~self.untaken[step]
        for number, context in self.in_context[step]:
            if left >> number & 1 and (context < 0 or state >> context & 1):
                return left & ~(1 << number)
        for numbers in (self.more[step], self.alternatives[step]):
            for number in numbers:
                if left >> number & 1 and (not self.waits_for[number] or self.waits_for[number] & ~left):
                    return left & ~(1 << number)
        return left

    def bound(self, left: int, state: int) -> float:
        """Seconds that the rest of a way costs at least."""
        left, untaken = left & self.takings, left
        walked = self._in_order(left, untaken, state)
        paid = left & ~self.several | walked & self.several
        total = self._cost(paid)
        steps = [step for step, same, once_more in self.once_more if walked & once_more and not paid & same]
        total += sum(self.task.step_cost[step] for step in steps)
        for at, tour in self.tours:
            here = next((place for bit, place in at if state & bit), None)
            if here is not None:
                total += tour.rest(here, walked, steps)
        # A step that is due once more is paid for above: it is not also the one more entry.
        return total + sum(stay.cost(left, state) for stay in self.stays if stay.steps.isdisjoint(steps))

    def _cost(self, left: int) -> float:
        known = self._known_cost.get(left)
        if known is None:
            known = self._known_cost[left] = sum(self.costs[number] for number in bits_of(left))
        return known

    def _in_order(self, left: int, untaken: int, state: int) -> int:
        """Takings left whose place in the order still binds.

        One that must give a fact between others binds while all the later ones are left, and while the earlier is left and binds
        or the fact does not hold.
        """
        for own, users, fact, loser, waits_for in self.between:
            if not left & own:
                continue
            is_past = not loser or not (left & loser or (waits_for and not waits_for & ~untaken))
            if users & ~left or (is_past and not fact & ~state):
                left ^= own
        return left
