"""The one state of a train: how everything stands, and how often each thing was touched."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from headstock.devices.registry import kind_of
from headstock.formation.train import Train
from headstock.reasoning.variable import Variable, index_by_key


@dataclass(frozen=True, slots=True)
class Layout:
    """The variables of a state, in order."""

    variables: tuple[Variable, ...]

    def index(self, key: str) -> int:
        """Place of a variable in the values."""
        for number, variable in enumerate(self.variables):
            if variable.key == key:
                return number
        raise KeyError(key)


@dataclass(frozen=True, slots=True)
class TrainState:
    """Values by number in each variable's domain, and touch counters, in the order of the layout."""

    layout: Layout
    values: tuple[int, ...]
    touches: tuple[int, ...]

    def named(self) -> dict[str, str]:
        """Values by name."""
        pairs = zip(self.layout.variables, self.values, strict=True)
        return {variable.key: variable.domain[value] for variable, value in pairs}

    def after(self, changes: Mapping[str, str]) -> TrainState:
        """The state after things are set; each one set counts as touched, changed or not."""
        values, touches = list(self.values), list(self.touches)
        for key, value in changes.items():
            number = self.layout.index(key)
            values[number] = self.layout.variables[number].domain.index(value)
            touches[number] += 1
        return TrainState(self.layout, tuple(values), tuple(touches))


def layout_of(train: Train, extra: tuple[Variable, ...] = ()) -> Layout:
    """The layout of a train's state: its devices' variables, then people, places and tokens given in ``extra``."""
    own = tuple(variable for at, spec in train.devices() for variable in kind_of(spec).variables(at, spec))
    index_by_key(own + extra)
    return Layout(own + extra)


def as_left(train: Train) -> dict[str, str]:
    """How the devices stand when each unit was left as its type says and joints already made are made."""
    named: dict[str, str] = {}
    for at, spec in train.devices():
        named.update(kind_of(spec).as_left(at, spec))
    for joint in train.joints:
        if joint.made:
            for (here, spec), (there, other) in train.mated(joint):
                kind = kind_of(spec)
                named.update(dict(kind.end_state(here, spec, "joint", True)))
                named.update(dict(kind.end_state(there, other, "joint", True)))
                if spec.kind == "jumper":
                    named[there.key()] = "latched"
    return named


def state_of(layout: Layout, named: Mapping[str, str]) -> TrainState:
    """A state from named values, nothing touched yet."""
    values = tuple(variable.domain.index(named[variable.key]) for variable in layout.variables)
    return TrainState(layout, values, (0,) * len(values))
