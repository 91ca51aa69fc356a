"""All states that steps can reach, cut down to the variables of one rule and of what guards it.

A slice keeps some variables and some knowledge; what is known is so, hence knowledge that is not kept is asked of the fact
itself. Steps lose the needs that lie outside, so more can be reached in it than on
the railway: a rule that no state of the slice breaks is broken by no order whose needs are met. The slice grows by itself:
where it breaks a rule on a way that the whole model refuses, what refuses it is taken in.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from headstock.reasoning.constraint import Constraint, place_key
from headstock.reasoning.grounding import Action, Atom, Grounding
from headstock.reasoning.variable import Fact

Kept = str | Atom
"""A variable with all its values, or one piece of knowledge."""
Guard = tuple[tuple[str, str], Fact]
"""A step (role and words), and a fact that it needs or that its role must know."""


def kept_of(atom: Atom) -> Kept:
    """What must be kept for an atom to be seen."""
    return atom[0] if isinstance(atom[1], str) else atom


ELSEWHERE = "elsewhere"
"""All places that no step and no rule asks anybody to be at, and from each of which one walks to all others: they are one."""


def _told_apart(grounding: Grounding) -> frozenset[str]:
    """Closed places, and those where somebody must be while another acts; in rules no others are named (`cab` of these)."""
    asked = {atom[1] for action in grounding.actions for atom in action.step.needs if atom[0].startswith("at/")}
    return frozenset(asked | {key for key, place in grounding.domain.places.items() if place.closed or key.startswith("cab ")})


def fact_of(atom: Atom) -> Fact:
    """The fact, or what is known."""
    return (atom[0], atom[1]) if isinstance(atom[1], str) else atom[1]


class _NotKept(LookupError):
    pass


class _View(Mapping[str, str]):
    def __init__(self, values: Mapping[str, str]) -> None:
        self.values_of = values
        self.read: set[str] = set()

    def __getitem__(self, key: str) -> str:
        if key not in self.values_of:
            raise _NotKept(key)
        self.read.add(key)
        return self.values_of[key]

    def __iter__(self) -> Iterator[str]:
        self.read |= set(self.values_of)
        return iter(self.values_of)

    def __len__(self) -> int:
        return len(self.values_of)


@dataclass
class Move:
    """Actions that are one in the slice."""

    need: int
    lose: int
    gain: int
    actions: list[Action] = field(default_factory=list)


@dataclass
class Explored:
    """How many states were seen, and the way to the first that breaks the rule."""

    states: int
    way: tuple[Move, ...] | None


class Slice:
    """A domain cut down to what is kept."""

    def __init__(self, grounding: Grounding, kept: frozenset[Kept]) -> None:
        domain = grounding.domain
        self.grounding, self.kept = grounding, kept
        values = {key: variable.domain for key, variable in domain.variables.items()}
        self.places = _told_apart(grounding)
        values |= {place_key(role): (*self.places, ELSEWHERE) for role in domain.people}
        atoms: list[Atom] = [(key, value) for key in sorted(k for k in kept if isinstance(k, str)) for value in values[key]]
        atoms += sorted(one for one in kept if not isinstance(one, str))  # type: ignore[type-var]
        self.bit = {atom: 1 << number for number, atom in enumerate(atoms)}
        self.facts = {one: atom for atom, one in self.bit.items() if isinstance(atom[1], str)}
        self.start = self.mask(grounding.start())

    def mask(self, atoms: Iterable[Atom]) -> int:
        total = 0
        for atom in atoms:
            total |= self.bit.get(self._merged(atom), 0)
        return total

    def _merged(self, atom: Atom) -> Atom:
        if atom[0].startswith("at/") and isinstance(atom[1], str) and atom[1] not in self.places:
            return atom[0], ELSEWHERE
        return atom

    def moves(self, without: frozenset[Guard] = frozenset()) -> list[Move]:
        """The steps as seen here, some guards left off."""
        made: dict[tuple[int, int, int], Move] = {}
        for action in self.grounding.actions:
            lose, gain = self.mask(action.losses), self.mask(action.gains)
            needs = [atom for atom in action.needs if (action.step.ident, fact_of(atom)) not in without]
            need = self.mask((*needs, *map(fact_of, needs)))
            lose, gain = lose & ~gain, gain & ~need
            if lose | gain:
                made.setdefault((need, lose, gain), Move(need, lose, gain)).actions.append(action)
        return list(made.values())

    def guards(self) -> list[Guard]:
        """Needs that this slice sees, places to walk from aside."""
        found = {
            (action.step.ident, fact_of(atom)): None
            for action in self.grounding.actions
            if self.mask(action.losses) | self.mask(action.gains)
            for atom in action.needs
            if (atom in self.bit or fact_of(atom) in self.bit) and atom[0] != place_key(action.step.role)
        }
        return list(found)

    def values(self, state: int) -> dict[str, str]:
        named: dict[str, str] = {}
        while state:
            one = state & -state
            state ^= one
            if one in self.facts:
                key, value = self.facts[one]
                named[key] = value  # type: ignore[assignment]
        return named


class Hazard:
    """A rule, judged once for each set of values of what it has been seen to read: ``seen`` are their bits."""

    def __init__(self, constraint: Constraint, cut: Slice) -> None:
        self.constraint, self.cut = constraint, cut
        self.judged: dict[int, bool] = {}
        self.seen = 0

    def broken(self, state: int) -> bool:
        """Whether the rule is broken. Raises _NotKept for a variable outside the slice."""
        if (known := self.judged.get(state & self.seen)) is not None:
            return known
        view = _View(self.cut.values(state))
        broken = self.constraint.broken(view) is not None
        self.seen |= sum(bit for atom, bit in self.cut.bit.items() if atom[0] in view.read and isinstance(atom[1], str))
        self.judged[state & self.seen] = broken
        return broken


def explore(cut: Slice, constraint: Constraint, without: frozenset[Guard] = frozenset(), limit: int = 400_000) -> Explored:
    """Breadth-first over all states of the slice, until one breaks the rule. Raises OverflowError past the limit."""
    hazard, moves = Hazard(constraint, cut), cut.moves(without)
    came: dict[int, tuple[int, Move] | None] = {cut.start: None}
    wave = [cut.start]
    if hazard.broken(cut.start):
        return Explored(1, ())
    while wave:
        following = []
        for state in wave:
            for move in moves:
                if move.need & ~state:
                    continue
                after = state & ~move.lose | move.gain
                if after in came:
                    continue
                came[after] = state, move
                if hazard.broken(after):
                    return Explored(len(came), _way(came, after))
                following.append(after)
        if len(came) > limit:
            raise OverflowError(f"more than {limit} states")
        wave = following
    return Explored(len(came), None)


def _way(came: dict[int, tuple[int, Move] | None], state: int) -> tuple[Move, ...]:
    way: list[Move] = []
    step = came[state]
    while step is not None:
        before, move = step
        way.append(move)
        step = came[before]
    return tuple(reversed(way))


def refused_by(way: tuple[Move, ...], grounding: Grounding) -> tuple[Atom, ...]:
    """The needs unmet at the last step of a way that the whole model refuses; () when it can be taken."""
    state, unmet = set(grounding.start()), ()
    for move in way:
        action = min(move.actions, key=lambda action: sum(atom not in state for atom in action.needs))
        unmet = tuple(atom for atom in action.needs if atom not in state) or unmet
        state = state - set(action.losses) | set(action.gains)
    return unmet


def slice_for(grounding: Grounding, constraint: Constraint) -> tuple[Slice, Explored]:
    """The slice in which a rule is kept, or in which it is broken on a way that the whole model allows."""
    kept: frozenset[Kept] = frozenset()
    while True:
        cut = Slice(grounding, kept)
        try:
            found = explore(cut, constraint)
        except _NotKept as missing:
            kept |= {missing.args[0]}
            continue
        if found.way is None:
            return cut, found
        unmet = refused_by(found.way, grounding)
        if not unmet:
            return cut, found
        nearest = min((_to_keep(atom, kept) for atom in unmet), key=lambda one: _width(one, grounding))
        assert nearest not in kept
        kept |= {nearest}


def _to_keep(atom: Atom, kept: frozenset[Kept]) -> Kept:
    """The variable; for knowledge first the variable of what is known."""
    return (
        atom if not isinstance(atom[1], str) and atom[1][0] in kept else atom[1][0] if not isinstance(atom[1], str) else atom[0]
    )


def _width(one: Kept, grounding: Grounding) -> tuple[bool, int]:
    variable = grounding.domain.variables.get(one) if isinstance(one, str) else None
    return not isinstance(one, str), len(variable.domain) if variable is not None else 3


@dataclass(frozen=True)
class Guarded:
    """What each guard of a rule is worth: ``sole`` alone keep it; of the ``others`` each has a second that keeps it too.

    ``said_again``: those of the others with which off nothing more can be reached: their steps' other needs say as much.
    ``needed``: of those left when no more can go, each one off breaks it. ``wide``: left on since without them the states,
    many others off as well, are more than the limit; nothing is said of them.
    """

    states: int
    sole: tuple[Guard, ...]
    others: tuple[Guard, ...]
    said_again: int
    needed: tuple[Guard, ...]
    wide: tuple[Guard, ...]


WIDE = 20_000
"""States with many guards off that are still looked at."""


def guarded(grounding: Grounding, constraint: Constraint, together: bool = True) -> Guarded:
    """Each guard off alone; ``together``: then as many as can be for good while the rule is kept; what is left is tried again."""
    cut, found = slice_for(grounding, constraint)
    assert found.way is None
    alone = {guard: explore(cut, constraint, frozenset({guard})) for guard in cut.guards()}
    others = [guard for guard, seen in alone.items() if seen.way is None]
    off = _spared(cut, constraint, frozenset(), others) if together else frozenset[Guard]()
    left = [guard for guard in alone if guard not in off] if together else []
    verdicts = {guard: _kept(cut, constraint, off | {guard}) for guard in left}
    return Guarded(
        found.states, tuple(guard for guard in alone if guard not in others), tuple(others),
        sum(alone[guard].states == found.states for guard in others),
        tuple(guard for guard, kept in verdicts.items() if kept is False),
        tuple(guard for guard, kept in verdicts.items() if kept is None),
    )  # fmt: skip


def _spared(cut: Slice, constraint: Constraint, off: frozenset[Guard], more: Sequence[Guard]) -> frozenset[Guard]:
    """Those off, and of some more all that can go: together if they can, else the halves one after the other."""
    if not more or _kept(cut, constraint, off | set(more)):
        return off | set(more)
    if len(more) == 1:
        return off
    half = len(more) // 2
    return _spared(cut, constraint, _spared(cut, constraint, off, more[:half]), more[half:])


def _kept(cut: Slice, constraint: Constraint, off: frozenset[Guard]) -> bool | None:
    """Whether the rule is kept with these off; None where there are too many states to say."""
    try:
        return explore(cut, constraint, off, WIDE).way is None
    except OverflowError:
        return None
