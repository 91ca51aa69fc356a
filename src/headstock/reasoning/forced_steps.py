"""How often steps are forced from a start, and in which order: landmarks, and what must be given again after it was lost."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.reasoning.fact_pairs import FactPairs
from headstock.reasoning.forced import ForcedSteps, Spoilt
from headstock.reasoning.forced_order import ForcedOrder
from headstock.reasoning.landmarks import Landmarks
from headstock.reasoning.masks import bits_of, turned
from headstock.reasoning.step_forms import StepForms

MOST_INTERVALS = 120
MORE_TAKINGS = 60
"""With twice the landmarks: where more would be added, the search for them ends; what there is holds all the same."""
Demand = tuple[int, int, int]
"""(loser, user, fact): a fact lost by one taking (-1: not so at the start) and needed by a later one (their number: the end)."""


def forced_steps(forms: StepForms, pairs: FactPairs, marks: Landmarks) -> ForcedSteps | None:
    """Landmarks that are surely different takings, then what is needed again after a loss; None when they contradict."""
    return _Builder(forms, pairs, marks).built()


class _Builder:
    def __init__(self, forms: StepForms, pairs: FactPairs, marks: Landmarks) -> None:
        self.forms = forms
        self.order = ForcedOrder(forms, pairs, marks)
        self.result = self.order.result
        self.facts = -1
        self.asked_before: set[tuple[int, int, int]] = set()

    def built(self) -> ForcedSteps | None:
        """All forced takings with their order; what stated facts ask for comes first, since it says more."""
        most = 2 * len(self.result.forced) + MORE_TAKINGS
        for facts in ((1 << self.forms.stated) - 1, -1):
            self.facts = facts
            is_sound = self.order.close()
            while is_sound and len(self.result.forced) < most and (self.order.never_after() or self._give_again()):
                is_sound = self.order.close()
            if not is_sound:
                return None
        self.result.spoilt = self._spoilt()
        return self.result

    def _give_again(self) -> bool:
        """A fact needed by a taking and not so before: one in between gives it, and may be one not counted yet."""
        before, total = self.result.before, len(self.result.forced)
        demands: dict[int, list[Demand]] = {}
        for demand, givers, not_between in self._gaps():
            loser, user, fact = demand
            counted = self.order.counted_of(givers) & ~not_between
            if not counted & ~(before[loser] if loser >= 0 else 0):
                self.order.put(tuple(givers), loser, {user} - {total}, fact)
                return True
            if len(givers) == 1:
                demands.setdefault(givers[0], []).append(demand)
        repeated = [self._repeat(giver, asked, total) for giver, asked in sorted(demands.items())]
        return any(repeated)

    def _gaps(self) -> Iterator[tuple[Demand, list[int], int]]:
        """What is needed and not so before, the steps that can give it between, and takings that surely are not between."""
        forced, before, total = self.result.forced, self.result.before, len(self.result.forced)
        after = turned(before, total)
        gone = turned(self.order.gone_after, self.forms.facts)
        counted_ones = sum(1 << n for n, is_counted in enumerate(self.order.counted) if is_counted)
        latest = {n: (-earlier.bit_count(), n) for n, earlier in enumerate(before)}
        fits, contexts_after = self.order.fits, dict(enumerate(self.order.after_taking)) | {-1: -1}
        users = [(total, self.forms.goal)]
        users += [(n, self.forms.need[taking.steps[0]]) for n, taking in enumerate(forced) if len(taking.steps) == 1]
        for user, need in users:
            earlier = (1 << total) - 1 if user == total else before[user]
            not_between = 0 if user == total else after[user] | 1 << user
            until = -1 if user == total else self.order.before_taking[user]
            for fact in bits_of(need & self.facts):
                losers = sorted(bits_of(earlier & gone[fact] & counted_ones), key=latest.__getitem__)
                if not self.forms.start >> fact & 1:
                    losers.append(-1)
                known = fits.known_before(fact, until)
                for loser in losers:
                    givers = known.get(contexts_after[loser])
                    if givers is None:
                        givers = fits.look_up(known, fact, contexts_after[loser], until)
                    if givers:
                        yield (loser, user, fact), givers, not_between

    def _spoilt(self) -> list[Spoilt]:
        """Takings whose order is free, of which one loses what another needs, where no counted taking can lie between."""
        forced, before, total = self.result.forced, self.result.before, len(self.result.forced)
        after = turned(before, total)
        users = [n for n, taking in enumerate(forced) if len(taking.steps) == 1 and taking.counted]
        found = []
        for loser, taking in enumerate(forced):
            if not taking.counted:
                continue
            lost = -1
            for step in taking.steps:
                lost &= self.forms.lose[step]
            for fact in bits_of(lost & (1 << self.forms.stated) - 1):
                mask, givers = 0, set()
                for user in users:
                    if not self.forms.need[forced[user].steps[0]] >> fact & 1 or user == loser:
                        continue
                    if before[loser] >> user & 1 or after[loser] >> user & 1:
                        continue
                    fitting = self.order.fitting(fact, loser, user)
                    if fitting and not self.order.counted_of(fitting) & ~before[loser] & ~after[user] & ~(1 << user):
                        mask |= 1 << user
                        givers |= set(fitting)
                if mask:
                    found.append(Spoilt(loser, mask, fact, tuple(sorted(givers))))
        return found

    def _repeat(self, giver: int, asked: list[Demand], total: int) -> bool:
        """One giver asked for in intervals that do not overlap, more often than it is counted: counted once more."""
        longest = self._longest_chain(asked, total)
        inside = self.order.counted_of([giver]) & ~self._surely_outside(longest, total)
        if len(longest) > inside.bit_count():
            first = longest[0][0]
            number = self.order.add((giver,), self.result.before[first] | 1 << first if first >= 0 else 0)
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
                self.order.put((giver,), *_with_all_users(one, asked, total), counted=False)
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


def _with_all_users(one: Demand, asked: list[Demand], total: int) -> tuple[int, set[int], int]:
    """The interval with every taking that needs the same fact after the same loss."""
    return one[0], {user for loser, user, fact in asked if (loser, fact) == (one[0], one[2])} - {total}, one[2]
