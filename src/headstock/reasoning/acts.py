"""One line of an order as somebody does it, right or wrong, made ready for running: masks over the bits of a state.

What a person notices before acting: an unmet need of a thing in hand (the step touches it, or the surroundings say it is
in sight), a word that was to be said to this person and was not, an own trial that does not answer. What nobody notices:
an own look that one forgot (one goes on as though one had looked, and says so to others), a need that lies elsewhere,
knowledge that has grown old. Whoever acts wrongly is not stopped by a missing word at that act, only by the thing itself.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.fact_bits import FactBits
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Conditions, Follows, Surroundings
from headstock.reasoning.telling import learned
from headstock.reasoning.variable import Fact

Tests = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Chance:
    """Effects that come true only if each test meets the state."""

    tests: Tests
    keep: int
    gain: int
    seen: bool


@dataclass(frozen=True, slots=True)
class Act:
    """One line made ready. Masks are over facts; ``words`` and ``believe`` ones over what people have been told."""

    line: int
    step: Step
    words: int
    unsaid: int
    noticed: int
    stay: int
    at_keep: int
    at_gain: int
    keep: int
    gain: int
    chances: tuple[Chance, ...]
    looks: int
    believe_keep: int
    believe_gain: int


class ActMaker:
    """Makes acts for the lines of one right order."""

    def __init__(self, order: tuple[Step, ...], domain: Domain, around: Surroundings) -> None:
        self.order, self.domain, self.around = order, domain, around
        self.bits = FactBits(domain)
        self.follows = [self._follow(rule) for rule in around.follows]
        self.following = {rule.fact[0] for rule in around.follows if rule.otherwise is not None}
        self._closed = {key for key, place in domain.places.items() if place.closed}
        self._by_word = [self._told(number) for number in range(len(order))]
        self.words = self._word_bits()
        self.awaited = self._words_mask((role, fact) for role, fact in domain.goal_knows if (role, fact) in self.words)

    def right(self, line: int) -> Act:
        """The line as it should be done."""
        return self._made(line, self.order[line], self.order[line], True, True)

    def wrong(self, line: int, done: Step, looked: bool = True, said: bool = True) -> Act:
        """Another step done in this line's place, by somebody who believes it to be the right one."""
        return self._made(line, done, self.order[line], looked, said, is_wrong=True)

    def _made(self, line: int, done: Step, meant: Step, looked: bool, said: bool, is_wrong: bool = False) -> Act:
        bits, role = self.bits, done.role
        unsaid = 0 if is_wrong else bits.mask(self._said_to(role, done.needs))
        hand = self.around.at_hand.get(done.ident, frozenset(done.touched()))
        free, chances = self._effects(done)
        # What one has just brought about oneself is no sight of its own; a reading of a gauge is.
        shows = [fact for fact in done.shows if fact not in (*done.effects, *meant.effects)]
        shows += self.around.looks.get(done.ident, ())
        stay, at_keep, at_gain = self._standing(done)
        keep, gain = self._believing(meant, said)
        return Act(
            line=line, step=done,
            words=0 if is_wrong else self._words_mask((role, fact) for fact in self._by_word[line]),
            unsaid=unsaid, noticed=unsaid | bits.mask(fact for fact in done.needs if fact[0] in hand),
            stay=stay, at_keep=at_keep, at_gain=at_gain,
            keep=~bits.any_of(key for key, _ in free), gain=bits.mask(free), chances=chances,
            looks=bits.mask(shows) if looked else 0,
            believe_keep=keep, believe_gain=gain,
        )  # fmt: skip

    def _effects(self, step: Step) -> tuple[tuple[Fact, ...], tuple[Chance, ...]]:
        """Effects that come true by themselves, with what their touch voids, and those that rest on something."""
        resting = {rest.fact: rest for rest in self.around.rests.get(step.ident, ())}
        effects = [fact for fact in step.effects if fact[0] not in self.following]
        free = [fact for fact in effects if fact not in resting]
        set_keys = set(step.touched())
        voids = dict.fromkeys(self.domain.voids[key] for key, _ in free if key in self.domain.voids)
        free += [fact for fact in voids if fact[0] not in set_keys and fact[0] not in self.following]
        chances = tuple(
            Chance(self._tests(resting[fact].on), ~self.bits.whole[fact[0]], self.bits.bit[fact], resting[fact].seen)
            for fact in effects
            if fact in resting
        )
        return tuple(free), chances

    def _tests(self, conditions: Conditions) -> Tests:
        return tuple(self.bits.mask(group) for group in conditions)

    def _follow(self, rule: Follows) -> tuple[Tests, int, int, int]:
        key, _ = rule.fact
        otherwise = 0 if rule.otherwise is None else self.bits.bit[(key, rule.otherwise)]
        return self._tests(rule.when), ~self.bits.whole[key], self.bits.bit[rule.fact], otherwise

    def _standing(self, step: Step) -> tuple[int, int, int]:
        """Where the role stands afterwards, and the places that it does not leave for this.

        Work in a closed place is done in it, whether one was let in or not. Whoever is in one leaves it for handwork
        elsewhere or by the step for it; anything else is done or said from where one is.
        """
        if step.place is None:
            return 0, -1, 0
        at = place_key(step.role)
        handwork = any(self.domain.variables[key].kind == "device" for key in step.touched())
        stays = () if handwork or step.place in self._closed else self._closed
        stay = self.bits.mask((at, place) for place in stays)
        return stay, ~self.bits.whole[at], self.bits.bit[(at, step.goes_to or step.place)]

    def _told(self, number: int) -> tuple[Fact, ...]:
        """Facts that the line's role must know and has, in the right order, from somebody else's word."""
        step = self.order[number]
        return tuple(fact for fact in step.knows if self._is_by_word(step.role, fact, number))

    def _is_by_word(self, role: str, fact: Fact, before: int) -> bool:
        for step in reversed(self.order[:before]):
            if step.role == role and fact in learned(step, self.domain.variables):
                return False
            if step.hearer == role and fact in step.tells:
                return True
        return False

    def _word_bits(self) -> dict[tuple[str, Fact], int]:
        pairs = [(step.role, fact) for step, told in zip(self.order, self._by_word, strict=True) for fact in told]
        pairs += [(role, fact) for role, fact in self.domain.goal_knows if self._is_by_word(role, fact, len(self.order))]
        return {pair: 1 << number for number, pair in enumerate(dict.fromkeys(pairs))}

    def _words_mask(self, pairs: Iterable[tuple[str, Fact]]) -> int:
        total = 0
        for pair in pairs:
            total |= self.words[pair]
        return total

    def _said_to(self, role: str, needs: tuple[Fact, ...]) -> tuple[Fact, ...]:
        """Needs of which this role hears when somebody else brings them about."""
        return tuple(
            fact
            for fact in needs
            if any(step.role != role and role in step.hears and fact in step.effects for step in self.order)
        )

    def _believing(self, meant: Step, said: bool) -> tuple[int, int]:
        """What is no longer believed, and what is, by whoever acts and whoever is told; what only comes along is not noticed."""
        along = self.around.with_former
        news = [(meant.role, fact) for fact in learned(meant, self.domain.variables) if fact[0] not in along]
        if said:
            news += [(meant.hearer, fact) for fact in meant.tells]
        heard = {(role, fact[0]) for role, fact in news} | {(meant.role, key) for key in meant.touched() if key not in along}
        lost = sum(one for (role, fact), one in self.words.items() if (role, fact[0]) in heard)
        return ~lost, sum(self.words[pair] for pair in dict.fromkeys(news) if pair in self.words)


def only_first(step: Step, around: Surroundings) -> Step:
    """The step with the first part of its effects alone; the step itself when it has no parts."""
    kept: list[Fact] = []
    parts = 0
    for fact in step.effects:
        is_part = fact[0] not in around.with_first and fact[0] not in around.with_former
        parts += is_part
        if parts <= 1 or fact[0] in around.with_first:
            kept.append(fact)
    return replace(step, effects=tuple(kept)) if parts > 1 else step
