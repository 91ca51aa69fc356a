"""Kinds of devices: one module each, states that draw differently, acts that only use their own states."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from headstock.devices.kind import At
from headstock.devices.registry import KINDS, kind_of
from headstock.equipment.library import load_fleet
from headstock.formation.end_drawing import HALF_BODY_MM, end_marks
from headstock.formation.joinability import TypeEnd
from headstock.sheets.svg import end_svg

FLEET = load_fleet()
DEVICES = [
    (unit_type.type, end, name, spec)
    for unit_type in FLEET.types.values()
    for end, data in unit_type.ends.items()
    for name, spec in data.devices.items()
]


def test_every_kind_is_found_by_looking_and_named_as_its_data_say() -> None:
    assert len(KINDS) == 23
    for name, kind in KINDS.items():
        assert kind.Spec.model_fields["kind"].annotation.__args__ == (name,)  # type: ignore[union-attr]


@pytest.mark.parametrize(("unit", "end", "name", "spec"), DEVICES, ids=lambda value: str(value)[:24])
def test_what_a_device_is_left_as_fills_its_states(unit: str, end: str, name: str, spec: Any) -> None:
    at, kind = At("70", name, end=end), kind_of(spec)
    variables = {variable.key: variable for variable in kind.variables(at, spec)}
    left = dict(kind.as_left(at, spec))
    assert set(left) == set(variables)
    assert all(value in variables[key].domain for key, value in left.items())


@pytest.mark.parametrize(("unit", "end", "name", "spec"), DEVICES, ids=lambda value: str(value)[:24])
def test_acts_set_only_states_that_exist(unit: str, end: str, name: str, spec: Any) -> None:
    at, kind = At("70", name, end=end), kind_of(spec)
    variables = {variable.key: variable for variable in kind.variables(at, spec)}
    for act in kind.acts(at, spec):
        for key, value in (*act.effects, *act.shows):
            assert value in variables[key].domain, act.key


DRAWN = ("drop-head knuckle", "rigid knuckle", "semi-permanent bar", "buffers",
         "end cock", "hose", "lamp", "gangway", "hook and screw", "automatic coupler",
         "electrical head", "jumper")  # fmt: skip


@pytest.mark.parametrize("kind_name", DRAWN)
def test_each_state_that_one_can_see_is_drawn_differently(kind_name: str) -> None:
    spec = next(spec for _, _, _, spec in DEVICES if spec.kind == kind_name)
    kind, at = KINDS[kind_name], At("70", "thing", end="1")
    slots = {variable.key.removeprefix(at.key()).lstrip("."): variable.domain for variable in kind.variables(at, spec)}
    for slot, domain in slots.items():
        if (kind_name, slot) == ("automatic coupler", "latch"):
            continue  # the latch is told by a mark too small to draw
        others = {other: values[0] for other, values in slots.items() if other != slot}
        if kind_name == "automatic coupler":
            others = {"latch": "ready"}
        pictures = {kind.marks(spec, {**others, slot: value}) for value in domain}
        alike = {"hook and screw": 2, "jumper": len(domain), "electrical head": 3}.get(kind_name, len(domain))
        assert len(pictures) == alike, (kind_name, slot)


@pytest.mark.parametrize("which", ["1", "2"])
@pytest.mark.parametrize("unit", sorted(FLEET.types))
def test_an_end_is_drawn_within_the_vehicle_and_says_nothing_by_colour_alone(unit: str, which: str) -> None:
    end = TypeEnd(f"{unit}/{which}", FLEET.types[unit], which)
    devices = {At("70", name, end=which): spec for name, spec in end.devices.items()}
    state = {key: value for at, spec in devices.items() for key, value in kind_of(spec).as_left(at, spec).items()}
    marks = end_marks(devices, state)
    xs = [x for mark in marks for x, _ in getattr(mark, "points_mm", ())]
    assert max(abs(x) for x in xs) <= HALF_BODY_MM + 150
    assert end_svg(marks).count("<") > 20


def test_mating_is_mutual() -> None:
    for (_, _, _, one), (_, _, _, other) in product(DEVICES, repeat=2):
        if one.kind == other.kind:  # type: ignore[attr-defined]
            assert kind_of(one).mates(one, other) == kind_of(other).mates(other, one)
