"""Which steps one may be taken for another: the same act on another pipe or lamp of the end, or at another end or vehicle.

Read from the keys of steps and variables. Somebody between has both ends of the joint before him, somebody in a cab may
have gone to the other cab of the unit, somebody at a vehicle to another vehicle of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from headstock.devices.scene import TEST
from headstock.procedures.places import BETWEEN
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Fellow, Ident
from headstock.reasoning.variable import Fact


def fellow_steps(domain: Domain, facing: tuple[str, str]) -> dict[Ident, tuple[Fellow, ...]]:
    """For each step of a job those that it may be mistaken for; ``facing`` are the two ends of the joint."""
    likeness = _Likeness(domain, facing)
    return {step.ident: found for step in domain.steps if (found := tuple(likeness.fellows(step)))}


class _Likeness:
    def __init__(self, domain: Domain, facing: tuple[str, str]) -> None:
        self.domain, self.facing = domain, facing
        self.where: dict[str, list[str]] = {}
        for key, variable in domain.variables.items():
            if variable.kind == "device":
                self.where.setdefault(key.partition(".")[0], []).append(key)

    def fellows(self, step: Step) -> Iterator[Fellow]:
        """Fellows of one step: other things first, then other ends."""
        keys = [key for key, _ in (*step.effects, *step.shows) if self._is_device(key)]
        if not keys or any(key == TEST for key in step.touched()):
            return
        for name in self._like_things(keys[0]):
            yield from self._made("wrong object", step, {self._name(keys[0]): name}, {})
        ends = {key.partition(".")[0] for key in keys}
        if len(ends) == 1:
            for there in self._like_places(step, end := ends.pop()):
                yield from self._made("wrong end" if "/" in end else "wrong object", step, {}, {end: there})

    def _is_device(self, key: str) -> bool:
        return self.domain.variables[key].kind == "device"

    @staticmethod
    def _name(key: str) -> str:
        return key.partition(".")[2]

    def _like_things(self, key: str) -> list[str]:
        """Names of things of the same sort at the same end: their last word and their values are the same."""
        here, name = key.partition(".")[0], self._name(key)
        values = self.domain.variables[key].domain
        last = name.rpartition("_")[2]
        return [
            self._name(other)
            for other in self.where[here]
            if other != key and self._name(other).rpartition("_")[2] == last and self.domain.variables[other].domain == values
        ]

    def _like_places(self, step: Step, here: str) -> list[str]:
        unit, slash, end = here.partition("/")
        if not slash:
            return [other for other in self.where if "/" not in other and other != here and other[:-1] == here[:-1] != ""]
        if step.place == BETWEEN:
            return [other for other in self.facing if other != here and here in self.facing]
        other = f"{unit}/{'2' if end == '1' else '1'}"
        return [other] if step.place == f"cab {here}" and f"cab {other}" in self.domain.places else []

    def _made(self, kind: str, step: Step, names: dict[str, str], ends: dict[str, str]) -> Iterator[Fellow]:
        """The step on the other thing, where everything that it touches is there too."""

        def other(fact: Fact) -> Fact:
            where, dot, name = fact[0].partition(".")
            if not dot or not self._is_device(fact[0]):
                return fact
            if names and "_" in name:
                ((old, new),) = names.items()
                name = name.replace(old.rpartition("_")[0], new.rpartition("_")[0])
            return f"{ends.get(where, where)}.{name}", fact[1]

        effects = tuple(other(fact) for fact in step.effects if self._stays(fact, bool(names)))
        needs, shows = tuple(map(other, step.needs)), tuple(map(other, step.shows))
        place = self._place(step, ends)
        known = all(self._holds(fact) for fact in (*effects, *needs, *shows))
        if known and (place is None or place in self.domain.places) and (effects, shows) != (step.effects, step.shows):
            said = self._said(step, (*step.effects, *step.shows), other, ends)
            yield Fellow(kind, replace(step, key=said, place=place, needs=needs, effects=effects, shows=shows))  # type: ignore[arg-type]

    def _stays(self, fact: Fact, is_other_thing: bool) -> bool:
        """What belongs to the thing that was meant does not come about on another one."""
        return not is_other_thing or self._is_device(fact[0])

    def _holds(self, fact: Fact) -> bool:
        if fact[0] not in self.domain.variables:
            return fact[0].startswith("at/")
        return fact[1] in self.domain.variables[fact[0]].domain

    def _place(self, step: Step, ends: dict[str, str]) -> str | None:
        for old, new in ends.items():
            if step.place in (f"cab {old}", f"beside {old}"):
                return step.place.replace(old, new)
        return step.place

    def _said(self, step: Step, facts: tuple[Fact, ...], other: object, ends: dict[str, str]) -> str:
        said = step.key
        for old, new in ends.items():
            said = said.replace(old, new)
        for fact in facts:
            if self._is_device(fact[0]):
                before = self.domain.variables[fact[0]].label
                after = self.domain.variables[other(fact)[0]].label  # type: ignore[operator]
                said = said.replace(before, after)
        if said == step.key:
            told = [self.domain.variables[other(fact)[0]].label for fact in facts if self._is_device(fact[0])]  # type: ignore[operator]
            said = f"{step.key}, but on: {', '.join(dict.fromkeys(told))}"
        return said
