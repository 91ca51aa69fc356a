"""Named values of a domain as bits: every fact has a bit of its own, a whole state is one integer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from headstock.reasoning.constraint import place_key
from headstock.reasoning.domain import Domain
from headstock.reasoning.variable import Fact


class FactBits:
    """Bits for all variables of a domain and for where people stand. Every value of a variable has a bit; one of them is set."""

    def __init__(self, domain: Domain) -> None:
        values = {key: variable.domain for key, variable in domain.variables.items()}
        values |= {place_key(role): tuple(domain.places) for role in domain.people}
        self.bit: dict[Fact, int] = {}
        self.whole: dict[str, int] = {}
        self.fact_of: dict[int, Fact] = {}
        for key, domain_values in values.items():
            self.whole[key] = 0
            for value in domain_values:
                one = 1 << len(self.bit)
                self.bit[(key, value)] = one
                self.whole[key] |= one
                self.fact_of[one] = (key, value)

    def mask(self, facts: Iterable[Fact]) -> int:
        """Bits of some facts."""
        total = 0
        for fact in facts:
            total |= self.bit[fact]
        return total

    def any_of(self, keys: Iterable[str]) -> int:
        """All bits of some variables."""
        total = 0
        for key in keys:
            total |= self.whole[key]
        return total

    def value(self, state: int, key: str) -> str:
        """Value of one variable in a state."""
        return self.fact_of[state & self.whole[key]][1]

    def facts(self, mask: int) -> tuple[Fact, ...]:
        """The facts of a mask, in the order of the variables."""
        return tuple(self.fact_of[one] for one in ones_of(mask))

    def start(self, domain: Domain) -> int:
        """The state before the first line."""
        people = ((place_key(role), place) for role, place in domain.people.items())
        return self.mask((*domain.start.items(), *people))


def ones_of(mask: int) -> Iterator[int]:
    """The set bits of a mask, each as a mask of its own."""
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


class NamedState(Mapping[str, str]):
    """A state of bits seen as named values; it keeps which variables were read."""

    __slots__ = ("bits", "read", "state")

    def __init__(self, bits: FactBits, state: int) -> None:
        self.bits, self.state, self.read = bits, state, 0

    def __getitem__(self, key: str) -> str:
        whole = self.bits.whole[key]
        self.read |= whole
        return self.bits.fact_of[self.state & whole][1]

    def __iter__(self) -> Iterator[str]:
        self.read |= self.bits.any_of(self.bits.whole)
        return iter(self.bits.whole)

    def __len__(self) -> int:
        return len(self.bits.whole)
