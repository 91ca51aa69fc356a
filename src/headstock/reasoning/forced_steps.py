"""How often steps are forced from a start, and in which order: landmarks, and what must be given again after it was lost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from headstock.reasoning.fact_pairs import FactPairs
from headstock.reasoning.landmarks import Landmarks
from headstock.reasoning.masks import bits_of
from headstock.reasoning.step_forms import StepForms

MOST_INTERVALS = 120
Demand = tuple[int, int, int]
"""(loser, user, fact): a fact lost by one taking (-1: not so at the start) and needed by a later one (their number: the end)."""


@dataclass(frozen=True, slots=True)
class Forced:
    """One taking that every way to the goal contains, of one of ``steps``.

    ``context``: the fact that holds when it is taken (None: not said). ``between``: the taking (-1: the start) after which it is
    the first to give a fact, the mask of those before which it does, and that fact. All counted takings are different ones;
    one that is not ``counted`` may be the same as another, and only says in which order things come.
    """

    steps: tuple[int, ...]
    context: int | None = None
    between: tuple[int, int, int] | None = None
    counted: bool = True


@dataclass(frozen=True, slots=True)
class Spoilt:
    """A forced taking that spoils a fact for others (a mask): taken before one of them, one more of ``givers`` is taken."""

    taking: int
    users: int
    fact: int
    givers: tuple[int, ...]


@dataclass(slots=True)
class ForcedSteps:
    """Forced takings; ``before[n]`` is the mask of those taken before the nth is."""

    forced: list[Forced] = field(default_factory=list)
    before: list[int] = field(default_factory=list)
    spoilt: list[Spoilt] = field(default_factory=list)


def forced_steps(forms: StepForms, pairs: FactPairs, marks: Landmarks) -> ForcedSteps | None:
    """Landmarks that are surely different takings, then what is needed again after a loss; None when they contradict."""
    return _Builder(forms, pairs, marks).built()


def largest_apart(contexts: list[int], pairs: FactPairs, worth: Mapping[int, int]) -> list[int]:
    """The largest set of contexts of which any two exclude one another; of those as large the one worth most."""
    best: list[int] = []
    most = (0, 0)
    stack: list[tuple[list[int], list[int]]] = [([], contexts)]
    while stack:
        chosen, left = stack.pop()
        found = len(chosen), sum(worth[one] for one in chosen)
        if found > most:
            best, most = chosen, found
        if len(chosen) + len(left) < len(best):
            continue
        for index, one in enumerate(left):
            stack.append(([*chosen, one], [other for other in left[index + 1 :] if pairs.excludes(one, other)]))
    return best


class _Builder:
    def __init__(self, forms: StepForms, pairs: FactPairs, marks: Landmarks) -> None:
        self.forms, self.pairs, self.marks = forms, pairs, marks
        self.result = ForcedSteps()
        self.of_step: dict[int, list[int]] = {}
        self.gone_after: list[int] = []
        self.counted: list[bool] = []
        self.looked_at = 0
        self.ever: list[int] = []
        self.asked_before: set[tuple[int, int, int]] = set()
        self.givers: list[list[int]] = [[] for _ in range(forms.facts)]
        for step, gain in enumerate(forms.gain):
            if not pairs.never >> step & 1:
                for fact in bits_of(gain & ~forms.need[step]):
                    self.givers[fact].append(step)

        at = [self._contexts_at(step) for step in range(len(forms.need))]
        self.before_step, self.after_step = [before for before, _ in at], [after for _, after in at]
        self.leads_to = self._leading()
        self.reached_from: dict[int, list[int]] = {}
        self.leading: dict[tuple[int, int], bool] = {}
        self.fitting: dict[tuple[int, int, int], list[int]] = {}

    def built(self) -> ForcedSteps | None:
        """All forced takings with their order."""
        named = []
        for step in range(len(self.forms.need)):
            found = self.marks.marks_of(step, self.marks.goal)
            if found:
                worth = {context - 1: before.bit_count() for context, before in self.marks.before[step].items()}
                apart = largest_apart([context - 1 for context in bits_of(found) if context], self.pairs, worth)
                named += [(step, context + 1) for context in apart or [-1]]
        for step, context in named:
            self._add((step,), 0, context)
        for number, (step, context) in enumerate(named):
            self.result.before[number] = self._named_in(self.marks.before[step][context]) & ~(1 << number)
        self.ever = [self._named_in(marks) for marks in self.marks.ever_before]
        is_sound = self._close()
        while is_sound and (self._never_after() or self._give_again()):
            is_sound = self._close()
        if is_sound:
            self.result.spoilt = self._spoilt()
        return self.result if is_sound else None

    def _add(self, steps: tuple[int, ...], before: int, context: int = 0, counted: bool = True) -> int:
        number = len(self.result.forced)
        ever = -1 if self.ever else 0
        for step in steps if self.ever else ():
            ever &= self.ever[step]
        before |= ever
        fact = self.pairs.contexts[context - 1] if context else None
        self.result.forced.append(Forced(steps, fact))
        self.result.before.append(before)
        gone = self._gone_after(steps[0])
        for step in steps[1:]:
            gone &= self._gone_after(step)
        self.gone_after.append(gone)
        self.counted.append(counted)
        if counted:
            for step in steps:
                self.of_step.setdefault(step, []).append(number)
        return number

    def _gone_after(self, step: int) -> int:
        """Facts that are not so after a step: lost by it, or shut out by what it needs."""
        together = self.before_step[step]
        shut_out = sum(1 << fact for index, fact in enumerate(self.pairs.contexts) if not together >> index & 1)
        for fact in bits_of(self.forms.need[step] & (1 << len(self.forms.others)) - 1):
            shut_out |= self.forms.others[fact]
        return (self.forms.lose[step] | shut_out) & ~self.forms.gain[step]

    def _is_once(self, step: int) -> bool:
        """Whether no way contains a step twice: it needs and loses what nothing gives."""
        return any(not self.givers[fact] for fact in bits_of(self.forms.need[step] & self.forms.lose[step]))

    def _named_in(self, marks: int) -> int:
        """Forced takings that a set of marks names."""
        mask = 0
        for step, numbers in self.of_step.items():
            found = self.marks.marks_of(step, marks)
            if not found:
                continue
            is_once = self._is_once(step)
            for number in numbers:
                fact = self.result.forced[number].context
                context = 0 if fact is None else self.pairs.contexts.index(fact) + 1
                if is_once or found >> context & 1:
                    mask |= 1 << number
        return mask

    def _close(self) -> bool:
        """The order closed over itself; false when something would come before itself."""
        before, grown = self.result.before, True
        while grown:
            grown = False
            for number, mask in enumerate(before):
                whole = mask
                for earlier in bits_of(mask):
                    whole |= before[earlier]
                if whole >> number & 1:
                    return False
                if whole != mask:
                    before[number] = whole
                    grown = True
        return True

    def _give_again(self) -> bool:
        """A fact needed by a taking and not so before: one in between gives it, and may be one not counted yet."""
        forced, before, total = self.result.forced, self.result.before, len(self.result.forced)
        after = _turned(before, total)
        gone = _turned(self.gone_after, self.forms.facts)
        demands: dict[int, list[Demand]] = {}
        counted_ones = sum(1 << n for n, is_counted in enumerate(self.counted) if is_counted)
        users = [(total, self.forms.goal)]
        users += [(n, self.forms.need[taking.steps[0]]) for n, taking in enumerate(forced) if len(taking.steps) == 1]
        for user, need in users:
            earlier = (1 << total) - 1 if user == total else before[user]
            not_between = 0 if user == total else after[user] | 1 << user
            for fact in bits_of(need):
                losers = sorted(bits_of(earlier & gone[fact] & counted_ones), key=lambda one: (-before[one].bit_count(), one))
                if not self.forms.start >> fact & 1:
                    losers.append(-1)
                for loser in losers:
                    givers = self._fitting(fact, loser, user, total)
                    if not givers:
                        continue
                    counted = self._counted(givers) & ~not_between
                    if not counted & ~(before[loser] if loser >= 0 else 0):
                        self._put(tuple(givers), loser, {user} - {total}, fact)
                        return True
                    if len(givers) == 1:
                        demands.setdefault(givers[0], []).append((loser, user, fact))
        repeated = [self._repeat(giver, asked, total) for giver, asked in sorted(demands.items())]
        return any(repeated)

    def _never_after(self) -> bool:
        """Takings that need a fact come before those that lose it for good, where nothing that gives it fits between."""
        forced, before = self.result.forced, self.result.before
        grown = False
        for loser in range(self.looked_at, len(forced)):
            grown = self._put_before(loser, range(len(forced))) or grown
        for loser in range(self.looked_at):
            grown = self._put_before(loser, range(self.looked_at, len(forced))) or grown
        self.looked_at = len(forced)
        return grown

    def _put_before(self, loser: int, users: range) -> bool:
        forced, before = self.result.forced, self.result.before
        gone, earlier = self.gone_after[loser], before[loser]
        for user in users:
            steps = forced[user].steps
            lost = self.forms.need[steps[0]] & gone if len(steps) == 1 and user != loser else 0
            if lost and not earlier >> user & 1 and steps != forced[loser].steps and self._is_lost_for(lost, loser, user):
                before[loser] |= 1 << user
        return before[loser] != earlier

    def _is_lost_for(self, facts: int, loser: int, user: int) -> bool:
        return any(not self._fitting(fact, loser, user, -1) for fact in bits_of(facts))

    def _spoilt(self) -> list[Spoilt]:
        """Takings whose order is free, of which one loses what another needs, where no counted taking can lie between."""
        forced, before, total = self.result.forced, self.result.before, len(self.result.forced)
        after = _turned(before, total)
        users = [n for n, taking in enumerate(forced) if len(taking.steps) == 1 and taking.counted]
        found = []
        for loser, taking in enumerate(forced):
            if not taking.counted:
                continue
            lost = -1
            for step in taking.steps:
                lost &= self.forms.lose[step]
            for fact in bits_of(lost):
                mask, givers = 0, set()
                for user in users:
                    if not self.forms.need[forced[user].steps[0]] >> fact & 1 or user == loser:
                        continue
                    if before[loser] >> user & 1 or after[loser] >> user & 1:
                        continue
                    fitting = self._fitting(fact, loser, user, total)
                    if fitting and not self._counted(fitting) & ~before[loser] & ~after[user] & ~(1 << user):
                        mask |= 1 << user
                        givers |= set(fitting)
                if mask:
                    found.append(Spoilt(loser, mask, fact, tuple(sorted(givers))))
        return found

    def _counted(self, steps: list[int]) -> int:
        """Counted takings of steps."""
        return sum({1 << number for step in steps for number in self.of_step.get(step, [])})

    def _fitting(self, fact: int, loser: int, user: int, total: int) -> list[int]:
        """Givers of a fact that can be taken after one taking and before another."""
        after = -1 if loser < 0 else self._meet(self.after_step, loser)
        until = -1 if user == total else self._meet(self.before_step, user)
        key = fact, after, until
        found = self.fitting.get(key)
        if found is None:
            found = self.fitting[key] = [
                step
                for step in self.givers[fact]
                if self._leads(after, self.before_step[step]) and self._leads(self.after_step[step], until)
            ]
        return found

    def _meet(self, by_step: list[int], number: int) -> int:
        """Contexts that can hold at a taking, whichever of its steps it is."""
        mask = 0
        for step in self.result.forced[number].steps:
            mask |= by_step[step]
        return mask

    def _leads(self, first: int, then: int) -> bool:
        """Whether every variable can come from one of its values in ``first`` to one in ``then`` (-1: any)."""
        if first < 0 or then < 0:
            return True
        key = first, then
        found = self.leading.get(key)
        if found is None:
            groups = self.reached_from.get(first)
            if groups is None:
                reached = 0
                for context in bits_of(first):
                    reached |= self.leads_to[context]
                groups = self.reached_from[first] = [reached & group for group in self.pairs.groups if group & ~reached]
            found = self.leading[key] = all(group & then for group in groups)
        return found

    def _leading(self) -> list[int]:
        """For each context the contexts of its variable that steps can lead to from it."""
        table = [1 << context for context in range(len(self.pairs.contexts))]
        for group in self.pairs.groups:
            edges = [(self.before_step[step] & group, self.after_step[step] & group)
                     for step in range(len(self.forms.need)) if not self.pairs.never >> step & 1]  # fmt: skip
            edges = [(first, then) for first, then in dict.fromkeys(edges) if first != then]
            grown = True
            while grown:
                grown = False
                for context in bits_of(group):
                    for first, then in edges:
                        if table[context] & first and then & ~table[context]:
                            table[context] |= then
                            grown = True
        return table

    def _contexts_at(self, step: int) -> tuple[int, int]:
        """Contexts that can hold when a step is taken, and after it."""
        can = (1 << len(self.pairs.contexts)) - 1
        for fact in bits_of(self.forms.need[step]):
            can &= self.pairs.with_context[fact]
        after = can
        for index, fact in enumerate(self.pairs.contexts):
            if self.forms.gain[step] >> fact & 1:
                after = after & ~next(group for group in self.pairs.groups if group >> index & 1) | 1 << index
            elif self.forms.lose[step] >> fact & 1:
                after &= ~(1 << index)
        return can, after

    def _repeat(self, giver: int, asked: list[Demand], total: int) -> bool:
        """One giver asked for in intervals that do not overlap, more often than it is counted: counted once more."""
        longest = self._longest_chain(asked, total)
        inside = self._counted([giver]) & ~self._surely_outside(longest, total)
        if len(longest) > inside.bit_count():
            first = longest[0][0]
            number = self._add((giver,), self.result.before[first] | 1 << first if first >= 0 else 0)
            for user in _with_all_users(longest[-1], asked, total)[1]:
                self.result.before[user] |= 1 << number
            return True
        grown = False
        for one in longest:
            if one[0] < 0 and len(longest) == 1:
                continue
            key = giver, one[0], -1 if one[1] == total else one[1]
            if key not in self.asked_before and len(self.asked_before) < MOST_INTERVALS:
                self.asked_before.add(key)
                self._put((giver,), *_with_all_users(one, asked, total), counted=False)
                grown = True
        return grown

    def _surely_outside(self, chain: list[Demand], total: int) -> int:
        """Takings that lie in none of the intervals."""
        before, outside = self.result.before, (1 << len(self.result.before)) - 1
        for loser, user, _ in chain:
            until = before[loser] if loser >= 0 else 0
            later = sum(1 << n for n, mask in enumerate(before) if user != total and (mask >> user & 1 or n == user))
            outside &= until | later
        return outside

    def _longest_chain(self, asked: list[Demand], total: int) -> list[Demand]:
        """Most intervals of which each ends before the next begins."""
        before = self.result.before
        by_loser: dict[int, list[Demand]] = {}
        for one in asked:
            by_loser.setdefault(one[0], []).append(one)
        ending: dict[int, list[Demand]] = {}
        for loser in sorted(by_loser, key=lambda one: (before[one].bit_count() if one >= 0 else -1, one)):
            done = before[loser] | 1 << loser if loser >= 0 else 0
            earlier = max((ending[user] for user in ending if user != total and done >> user & 1), key=len, default=[])
            for one in by_loser[loser]:
                if len(earlier) + 1 >= len(ending.get(one[1], [])):
                    ending[one[1]] = [*earlier, one]
        return max(ending.values(), key=lambda chain: (len(chain), before[chain[-1][0]].bit_count() if chain[-1][0] >= 0 else -1))

    def _put(self, steps: tuple[int, ...], loser: int, users: set[int], fact: int, counted: bool = True) -> None:
        """Add the first taking that gives a fact after ``loser``: it comes before all that need the fact after that."""
        number = self._add(steps, self.result.before[loser] | 1 << loser if loser >= 0 else 0, counted=counted)
        self.result.forced[number] = Forced(steps, None, (loser, sum(1 << user for user in users), fact), counted)
        for user in users:
            self.result.before[user] |= 1 << number


def _with_all_users(one: Demand, asked: list[Demand], total: int) -> tuple[int, set[int], int]:
    """The interval with every taking that needs the same fact after the same loss."""
    return one[0], {user for loser, user, fact in asked if (loser, fact) == (one[0], one[2])} - {total}, one[2]


def _turned(masks: list[int], width: int) -> list[int]:
    """For each bit the numbers of the masks that have it, as a mask."""
    table = [0] * width
    for number, mask in enumerate(masks):
        for bit in bits_of(mask):
            table[bit] |= 1 << number
    return table
