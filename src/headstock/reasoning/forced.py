"""What is forced from a start: takings of steps that every way to the goal contains, and their order."""

from __future__ import annotations

from dataclasses import dataclass, field


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
