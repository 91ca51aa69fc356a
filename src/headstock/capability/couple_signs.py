"""What explains the signs of a couple: which states of it could look so, and which look tells them apart at the least cost.

A sign that is bad is believed, one that is good is not: a lamp can be lit over a latch that is not over. A state therefore lists
for each sign the values it may show. Logic of the trade, no outside figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of

Seen = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Sign:
    """Something one looks at: its values, how one looks, what the look costs [s, made up] and what must be so for it."""

    name: str
    values: tuple[str, ...]
    how: str
    cost_s: float
    only_if: str = ""


@dataclass(frozen=True, slots=True)
class CoupleState:
    """One way in which a couple can stand.

    ``shows``: values that a sign may have in it, any where it is not named. ``false_signs``: signs that may look as if it were
    made. ``act`` is a key of what to do: states of one act need not be told apart. ``is_so``: facts by name.
    """

    key: str
    words: str
    shows: Mapping[str, tuple[str, ...]]
    false_signs: tuple[str, ...]
    act: str
    do: tuple[str, ...]
    never: tuple[str, ...]
    arises: str = ""
    is_so: Mapping[str, bool] | None = None

    def fits(self, seen: Seen) -> bool:
        """Whether what was seen could be seen in this state."""
        return all(value in self.shows.get(sign, (value,)) for sign, value in seen.items())


@dataclass(frozen=True, slots=True)
class CoupleFamily:
    """A kind of couple, hose or plug: its signs, its states."""

    name: str
    signs: tuple[Sign, ...]
    states: tuple[CoupleState, ...]

    def sign(self, name: str) -> Sign | None:
        """A sign by its name."""
        return next((sign for sign in self.signs if sign.name == name), None)


@dataclass(frozen=True, slots=True)
class CoupleAnswer:
    """States that explain what was seen; ``next_look`` tells them apart best (None: no need, or no look does).

    ``alike``: groups of states that no further look here tells apart. ``worst_cost_s``: looks until it is decided, at worst.
    """

    family: CoupleFamily
    seen: Seen
    states: tuple[CoupleState, ...]
    next_look: Sign | None
    worst_cost_s: float
    alike: tuple[tuple[str, ...], ...]

    @property
    def acts(self) -> tuple[str, ...]:
        """What there is to do, each once."""
        return tuple(dict.fromkeys(state.act for state in self.states))

    @property
    def decided(self) -> bool:
        """Whether all that is left asks for the same."""
        return len(self.acts) == 1

    @property
    def never(self) -> tuple[str, ...]:
        """What must not be done as long as any of these states may be so."""
        return tuple(dict.fromkeys(text for state in self.states for text in state.never))


def signs_from(texts: Sequence[str], family: CoupleFamily) -> dict[str, str]:
    """``NAME=VALUE`` each. Raises InputError naming what is wrong."""
    seen: dict[str, str] = {}
    faults = []
    for text in texts:
        name, equals, value = (part.strip() for part in text.partition("="))
        fault = sign_fault(name, value, family, text)
        if not equals or name in seen:
            fault = Fault("sign not understood", found=text, expected="NAME=VALUE, each sign once")
        if fault is not None:
            faults.append(fault)
        seen[name] = value
    if faults:
        raise InputError(faults, cure="headstock couple --list names all signs and their values.")
    return seen


def sign_fault(name: str, value: str, family: CoupleFamily, text: str) -> Fault | None:
    """What is wrong with a sign as written; None where it can be meant."""
    sign = family.sign(name)
    if sign is None:
        names = [known.name for known in family.signs]
        return Fault("no such sign", found=text, expected=", ".join(names), nearest=nearest_of(name, names))
    if value not in sign.values:
        return Fault(f"not a value of {name}", found=text, expected=" or ".join(sign.values),
                     nearest=nearest_of(value, sign.values))  # fmt: skip
    return None


def explain_couple(family: CoupleFamily, seen: Seen) -> CoupleAnswer:
    """What explains the signs seen; a sign left out was not looked at."""
    states = tuple(state for state in family.states if state.fits(seen))
    open_signs = tuple(sign for sign in family.signs if sign.name not in seen)
    search = _Looks(family.states, open_signs)
    cost_s, look = search.best(frozenset(number for number, state in enumerate(family.states) if state in states))
    return CoupleAnswer(family, seen, states, look, cost_s, _alike(states, open_signs))


class _Looks:
    """The series of looks that decides what to do at the least cost in the worst case, by trying all."""

    def __init__(self, states: Sequence[CoupleState], signs: Sequence[Sign]) -> None:
        self.states, self.signs = states, signs
        self.best = cache(self._best)

    def _best(self, open_states: frozenset[int]) -> tuple[float, Sign | None]:
        """Cost [s] at worst and the first look; no look where one act is left or none tells anything more."""
        if len({self.states[number].act for number in open_states}) <= 1:
            return 0.0, None
        found: tuple[tuple[float, float, int], float, Sign] | None = None
        for rank, sign in enumerate(self.signs):
            outcomes = [self._after(open_states, sign.name, value) for value in sign.values]
            if open_states in outcomes:
                continue  # one answer would leave everything open
            worst = sign.cost_s + max(self.best(outcome)[0] for outcome in outcomes if outcome)
            left = max(self._acts_left(outcome) for outcome in outcomes if outcome)
            order = (left, worst, rank)
            if found is None or order < found[0]:
                found = order, worst, sign
        return (found[1], found[2]) if found is not None else (0.0, None)

    def _after(self, open_states: frozenset[int], sign: str, value: str) -> frozenset[int]:
        return frozenset(number for number in open_states if value in self.states[number].shows.get(sign, (value,)))

    def _acts_left(self, open_states: frozenset[int]) -> int:
        """How many acts may still be meant when all looks that tell something have been made, at worst."""
        _, look = self.best(open_states)
        if look is None:
            return len({self.states[number].act for number in open_states})
        return max(self._acts_left(after) for value in look.values if (after := self._after(open_states, look.name, value)))


def _alike(states: Sequence[CoupleState], signs: Sequence[Sign]) -> tuple[tuple[str, ...], ...]:
    """Groups of states that could show the same in every look that is left, whatever it costs."""
    left, groups = list(states), []
    while left:
        first = left.pop(0)
        group = [first, *(other for other in left if not _told_apart(first, other, signs))]
        left = [state for state in left if state not in group]
        if len(group) > 1:
            groups.append(tuple(state.key for state in group))
    return tuple(groups)


def _told_apart(first: CoupleState, second: CoupleState, signs: Sequence[Sign]) -> bool:
    """Whether some look must show one of them otherwise than the other."""
    return any(not set(first.shows.get(sign.name, sign.values)) & set(second.shows.get(sign.name, sign.values)) for sign in signs)
