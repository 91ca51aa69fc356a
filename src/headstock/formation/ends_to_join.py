"""How an end stands before it is joined to another: as its unit is left, and then what the way of joining asks of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from headstock.devices.kind import At
from headstock.devices.registry import kind_of
from headstock.formation.brake_across import is_electric
from headstock.formation.join_way import TypeEnd, Way

SLOT_WORDS = {"jaw": "knuckle"}


def devices_of(end: TypeEnd) -> dict[At, Any]:
    """Devices of an end by where they sit."""
    unit = end.name.rpartition("/")[0] or end.name
    return {At(unit, name, end=end.end): spec for name, spec in end.devices.items()}


def stands_to_join(end: TypeEnd, way: Way, opens_knuckle: bool = False) -> Mapping[str, str]:
    """State by key; where there is no way, as the unit is left. ``opens_knuckle``: of two knuckles this one is opened."""
    state: dict[str, str] = {}
    for at, spec in devices_of(end).items():
        state |= kind_of(spec).as_left(at, spec)
        if way.answer != "no":
            state |= _asked(at, spec, way)
        if opens_knuckle and has_knuckle(end) and at.name == "coupler" and way.name == "direct":
            state |= {key: value for key, value in {at.key("jaw"): "open", at.key("lock"): "up"}.items() if key in state}
    return state


def stands_as_left(end: TypeEnd) -> Mapping[str, str]:
    """State by key as the unit is left."""
    return {key: value for at, spec in devices_of(end).items() for key, value in kind_of(spec).as_left(at, spec).items()}


def has_knuckle(end: TypeEnd) -> bool:
    """Whether its coupler closes by a knuckle, which somebody opens."""
    return end.coupler.kind in ("drop-head knuckle", "rigid knuckle")


def _asked(at: At, spec: Any, way: Way) -> dict[str, str]:
    if spec.kind == "electrical head" and not is_electric(way.level) and spec.can_be_locked_back:
        return {at.key(): "locked back"}
    if way.name == "direct":
        return dict(kind_of(spec).before_touching(at, spec))
    if way.name == "screw" and spec.kind == "drop-head knuckle":
        return {at.key("head"): "dropped", at.key("pin"): "out", at.key("keeper"): "out"}
    if way.name == "screw" and spec.kind == "buffers" and spec.moves:
        return {at.key(): "out"}
    if way.name == "adapter" and spec.kind == "automatic coupler":
        return {at.key("cover"): "removed"}
    return {}


def end_words(end: TypeEnd, state: Mapping[str, str]) -> str:
    """Couplers, buffers and electrical heads of an end, as they stand, in words."""
    said = []
    for at, spec in devices_of(end).items():
        if at.name == "coupler" or spec.kind in ("buffers", "electrical head", "jumper"):
            values = {key.removeprefix(at.key()).lstrip("."): value for key, value in state.items() if _is_of(at, key)}
            what = spec.kind if at.name == "coupler" else at.name.replace("_", " ")
            parts = [f"{SLOT_WORDS.get(slot, slot)} {value}".strip() for slot, value in values.items()]
            said.append(f"{what}{':' if len(parts) > 1 else ''} {', '.join(parts)}".strip())
    words = "; ".join(said)
    return f"{words[:1].upper()}{words[1:]}."


def _is_of(at: At, key: str) -> bool:
    return key == at.key() or key.startswith(f"{at.key()}.")
