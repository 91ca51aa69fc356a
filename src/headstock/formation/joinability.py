"""Can two unit ends be joined: every way, at which level, with what, and every reason where the answer is no.

Common practice, except: EN 15020 covers the rescue coupler only for hooks that move and take buffing loads; a like face
says nothing of like contacts (EN 16019 leaves the electrical connection out).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from headstock.devices.registry import kind_of
from headstock.equipment.unit_type import LooseGear, UnitType
from headstock.local_rules.rules import LocalRules

Answer = Literal["yes", "only if", "no"]
WayName = Literal["direct", "screw", "adapter"]
LEVELS = ("none", "rescue", "mechanical and automatic brake", "electro-pneumatic brake", "full multiple working")
HOOKS = ("drop-head knuckle", "hook and screw")


@dataclass(frozen=True, slots=True)
class TypeEnd:
    """An end of a unit type, with the name people used for it."""

    name: str
    unit_type: UnitType
    end: str

    @property
    def devices(self) -> dict[str, Any]:
        """Devices of this end."""
        return dict(self.unit_type.ends[self.end].devices)  # type: ignore[index]

    @property
    def coupler(self) -> Any:
        """Data of the coupler."""
        return self.devices["coupler"]


@dataclass(frozen=True, slots=True)
class Way:
    """One way to join two ends, or why it is none."""

    name: WayName
    answer: Answer
    level: str
    main_reservoir_through: bool
    changes: tuple[str, ...] = ()
    equipment: tuple[str, ...] = ()
    conditions: tuple[str, ...] = ()
    losses: tuple[str, ...] = ()
    restrictions: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class JoinResult:
    """The answer for two ends: the best way first, then the others, the impossible ones with all their reasons."""

    first: str
    second: str
    answer: Answer
    ways: tuple[Way, ...]

    @property
    def best(self) -> Way:
        """The way to use."""
        return self.ways[0]


def can_be_joined(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> JoinResult:
    """Every way to join these two ends, best first."""
    ways = [_direct(first, second, rules), _screw(first, second, rules), _adapter(first, second, rules)]
    rank = {"yes": 0, "only if": 1, "no": 2}
    ways.sort(key=lambda way: (rank[way.answer], -LEVELS.index(way.level)))
    return JoinResult(first.name, second.name, ways[0].answer, tuple(ways))


def pipe_joins(first: TypeEnd, second: TypeEnd, pipe: str) -> bool:
    """Whether a pipe goes through by hoses of one pattern or by ports of one face."""
    for spec in first.devices.values():
        for other in second.devices.values():
            if spec.kind != other.kind or not kind_of(spec).mates(spec, other):
                continue
            if spec.kind == "hose" and spec.pipe == pipe:
                return True
            if spec.kind == "automatic coupler" and pipe in spec.ports and pipe in other.ports:
                return True
    return False


def _direct(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> Way:
    one, other = first.coupler, second.coupler
    reasons = []
    if one.kind != other.kind:
        reasons.append(f"the couplers differ: {one.kind} on {first.name}, {other.kind} on {second.name}")
    elif one.kind == "hook and screw":
        reasons.append("a hook does not couple by itself: see the screw coupling")
    elif not kind_of(one).mates(one, other):
        reasons.append(f"the faces differ: {one.face} and {other.face}")
    else:
        least = min(one.gathers_vertically_mm, other.gathers_vertically_mm)
        apart = _height_apart_mm(one, other)
        if apart > least:
            reasons.append(f"heights can be {apart:.0f} mm apart over wear and load, the heads gather {least:.0f} mm")
    if reasons:
        return Way("direct", "no", "none", False, reasons=tuple(reasons))
    level = _direct_level(first, second, rules)
    changes = ("heads raised, pinned, keepers in; buffers in",) if one.kind == "drop-head knuckle" else ()
    return Way("direct", "yes", level, _main_through(first, second), changes=changes,
               losses=_losses(first, second, level), restrictions=_weakest(one.rated_pull_kn, other.rated_pull_kn),
               conditions=())  # fmt: skip


def _direct_level(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> str:
    """Declared level, or pins that match where the rules accept them; a like face alone gives the brake pipe only."""
    if not pipe_joins(first, second, "brake pipe"):
        return "rescue"
    declared = [d.level for d in first.unit_type.declared if d.with_type == second.unit_type.type]
    declared += [d.level for d in second.unit_type.declared if d.with_type == first.unit_type.type]
    if declared:
        return min(declared, key=LEVELS.index)
    if "same pins" in rules.levels_without_declaration.value and _pins_match(first, second):
        return "electro-pneumatic brake"
    return "mechanical and automatic brake"


def _pins_match(first: TypeEnd, second: TypeEnd) -> bool:
    return any(
        spec.kind == other.kind and spec.kind in ("jumper", "electrical head") and kind_of(spec).mates(spec, other)
        for spec in first.devices.values()
        for other in second.devices.values()
    )


def _main_through(first: TypeEnd, second: TypeEnd) -> bool:
    return pipe_joins(first, second, "main reservoir pipe")


def _losses(first: TypeEnd, second: TypeEnd, level: str) -> tuple[str, ...]:
    lost = []
    if not _main_through(first, second):
        without = [end.name for end in (first, second) if not _has_pipe(end, "main reservoir pipe")]
        why = f" ({' and '.join(without)} has none)" if without else ""
        lost.append(f"main reservoir pipe not through{why}: slower recharge, no air across for doors and suspension")
    rank = LEVELS.index(level)
    if rank < LEVELS.index("electro-pneumatic brake"):
        lost.append("no electro-pneumatic brake across the joint: the automatic brake alone works on both")
    if rank < LEVELS.index("full multiple working"):
        lost.append("no traction, door or bell control across the joint unless declared")
    if rank <= LEVELS.index("rescue"):
        lost.append("no control functions at all: rescue only")
    return tuple(lost)


def _has_pipe(end: TypeEnd, pipe: str) -> bool:
    return any(
        (spec.kind == "hose" and spec.pipe == pipe) or (spec.kind == "automatic coupler" and pipe in spec.ports)
        for spec in end.devices.values()
    )


def _screw(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> Way:
    ends = (first, second)
    reasons = [f"no hook for a screw coupling on {end.name}" for end in ends if end.coupler.kind not in HOOKS]
    if not reasons:
        apart = _height_apart_mm(first.coupler, second.coupler)
        most = rules.height_difference_at_most_mm.value
        if apart > most:
            reasons.append(f"hooks can be {apart:.0f} mm apart over wear and load, the local rules allow {most:.0f} mm")
        reasons += [f"no side buffers on {end.name}" for end in ends if "buffers" not in end.devices]
    if reasons:
        return Way("screw", "no", "none", False, reasons=tuple(reasons))
    screw, where, rated = _find_screw(ends)
    changes = [f"head of {end.name} dropped" for end in ends if end.coupler.kind == "drop-head knuckle"]
    changes += [f"buffers of {end.name} out" for end in ends if end.devices["buffers"].moves]
    level = "mechanical and automatic brake" if pipe_joins(first, second, "brake pipe") else "rescue"
    restrictions = (rules.restrictions.value.screw, *_weakest(*rated, first.coupler.rated_pull_kn))
    return Way("screw", "yes" if screw else "only if", level, _main_through(first, second), tuple(changes),
               equipment=(f"screw coupling: {where}",) if screw else (),
               conditions=() if screw else ("a screw coupling is brought: neither unit carries one",),
               losses=_losses(first, second, level), restrictions=restrictions)  # fmt: skip


def _find_screw(ends: tuple[TypeEnd, TypeEnd]) -> tuple[bool, str, tuple[float, ...]]:
    for end in ends:
        if end.coupler.kind == "hook and screw":
            return True, f"on the hook of {end.name}", (end.coupler.rated_pull_kn,)
    for end, gear in _gear(ends):
        if gear.kind == "screw coupling":
            return True, f"{end.unit_type.type}, {gear.stowed}", (gear.rated_pull_kn or 0.0,)
    return False, "", ()


def _gear(ends: tuple[TypeEnd, TypeEnd]) -> Iterator[tuple[TypeEnd, LooseGear]]:
    for end in ends:
        for gear in end.unit_type.loose_gear:
            yield end, gear


def _adapter(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> Way:
    one, other = first.coupler, second.coupler
    reasons = []
    if one.kind == other.kind and (one.kind in HOOKS or one.face == other.face):
        reasons.append("like couplers: no adapter is made for them")
    elif one.kind in HOOKS and other.kind in HOOKS:
        reasons.append("both have a hook: the screw coupling is the way")
    for hook, latch in ((first, second), (second, first)):
        kinds = (hook.coupler.kind, latch.coupler.kind)
        if kinds == ("hook and screw", "automatic coupler") and not hook.coupler.hook_moves_and_takes_buff:
            why = "the rescue coupler of EN 15020 is for hooks that move and take buffing loads"
            reasons.append(f"the hook of {hook.name} is fixed: {why}")
    if reasons:
        return Way("adapter", "no", "none", False, reasons=tuple(reasons))
    faces = {one.kind, other.kind}
    found = next(((e, g) for e, g in _gear((first, second)) if g.kind == "adapter" and set(g.faces or ()) == faces), None)
    words = " to ".join(sorted(faces))
    restrictions = (rules.restrictions.value.adapter, rules.restrictions.value.rescue)
    return Way("adapter", "yes" if found else "only if", "rescue", False,
               equipment=(f"adapter {words}: {found[0].unit_type.type}, {found[1].stowed}",) if found else (),
               conditions=() if found else (f"an adapter {words} is brought: neither unit carries one",),
               changes=_adapter_changes(first, second), losses=_losses(first, second, "rescue"),
               restrictions=(*restrictions, *_weakest(one.rated_pull_kn, other.rated_pull_kn)))  # fmt: skip


def _adapter_changes(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    changes = []
    for end in (first, second):
        if "electrical_head" in end.devices:
            changes.append(f"electrical head of {end.name} locked back and covered")
        if end.coupler.kind == "drop-head knuckle":
            changes.append(f"head of {end.name} as the adapter asks: raised and pinned, or dropped with the hook bare")
    return tuple(changes)


def _weakest(*rated_kn: float) -> tuple[str, ...]:
    return (f"weakest part of the couple: {min(rated_kn):.0f} kN rated pull",)


def _height_apart_mm(one: Any, other: Any) -> float:
    """Greatest difference of heights over wear and load [mm]."""
    return float(max(one.height_high_mm - other.height_low_mm, other.height_high_mm - one.height_low_mm))
