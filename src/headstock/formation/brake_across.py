"""What goes through a joint for the brake: pipes by hoses or ports, commands by wires; and what is lost where they do not.

Common practice: a portion whose brake does not work from the leading cab moves only by a written method for hauling it unbraked.
"""

from __future__ import annotations

from headstock.devices.distributor import DistributorSpec
from headstock.devices.registry import kind_of
from headstock.devices.wired_brake import WiredBrakeSpec
from headstock.equipment.end_faults import has_pipe as comes_out
from headstock.formation.join_way import LEVELS, Across, TypeEnd
from headstock.formation.wires import crossed_words, wire_matches, wires_alike, wires_meet
from headstock.local_rules.rules import LocalRules


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


def has_pipe(end: TypeEnd, pipe: str) -> bool:
    """Whether a pipe comes out at an end, by a cock with its hose or by a port."""
    return comes_out(end.devices, pipe)


def is_wired(end: TypeEnd) -> bool:
    """Whether the unit's brake answers to wires alone."""
    return any(isinstance(spec, WiredBrakeSpec) for spec in end.unit_type.devices.values())


def brakes_by_wire(end: TypeEnd) -> bool:
    """Whether the unit's brake answers to wires at all: electro-pneumatic, or wired alone."""
    brakes = [spec for spec in end.unit_type.devices.values() if isinstance(spec, DistributorSpec)]
    return is_wired(end) or any(spec.electro_pneumatic != "none" for spec in brakes)


def declared_level(first: TypeEnd, second: TypeEnd) -> str | None:
    """The lowest level that either type declares with the other, if any."""
    found = [d.level for d in first.unit_type.declared if d.with_type == second.unit_type.type]
    found += [d.level for d in second.unit_type.declared if d.with_type == first.unit_type.type]
    return min(found, key=LEVELS.index) if found else None


def joined_level(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> tuple[str, Across]:
    """Level of two ends whose couplers close on one another, and what carries the brake across.

    Declared, or pins that match where the rules accept them; a like face alone gives the brake pipe, and a wired brake nothing.
    A declared electric level counts only where wires meet that give no function for another.
    """
    matches = wire_matches(first, second)
    accepted = "same pins" in rules.levels_without_declaration.value and brakes_by_wire(first) and brakes_by_wire(second)
    without = "electro-pneumatic brake" if accepted and wires_alike(matches) else "mechanical and automatic brake"
    level = declared_level(first, second) or without
    if is_electric(level) and not wires_meet(matches):
        level = "mechanical and automatic brake"
    if pipe_joins(first, second, "brake pipe"):
        return level, "automatic"
    if is_electric(level) and is_wired(first) and is_wired(second) and wires_alike(matches):
        return level, "wires"
    return "rescue", "nothing"


def is_electric(level: str) -> bool:
    """Whether wires are joined at this level."""
    return LEVELS.index(level) >= LEVELS.index("electro-pneumatic brake")


def jumpers_kept_apart(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    """Jumpers whose plugs would fit, and give one function for another."""
    return tuple(
        f"jumpers {match.patterns[0]} stay in their dummies: {crossed_words(match, first.name, second.name)}"
        for match in wire_matches(first, second)
        if match.device == "jumper" and match.verdict == "crossed"
    )


def unbraked_conditions(first: TypeEnd, second: TypeEnd, across: Across) -> tuple[str, ...]:
    """What must be there before anything moves where the brake does not go through."""
    if across != "nothing":
        return ()
    method = "a written method for hauling unbraked is there: "
    without = [end for end in (first, second) if not has_pipe(end, "brake pipe")]
    if len(without) == 2:
        return (
            f"{method}no brake pipe on {first.name} or {second.name}, and their brake wires are not declared to work together",
        )
    if without:
        return (f"{method}{without[0].name} has no brake pipe, its brake answers to wires alone",)
    return (f"{method}the brake pipes of {first.name} and {second.name} do not join",)


def losses_of(first: TypeEnd, second: TypeEnd, level: str, across: Across, main_through: bool) -> tuple[str, ...]:
    """What a joint does without, in words."""
    lost = []
    if not main_through:
        without = dict.fromkeys(end.name for end in (first, second) if not has_pipe(end, "main reservoir pipe"))
        why = f" ({' and '.join(without)} {'have' if len(without) > 1 else 'has'} none)" if without else ""
        lost.append(f"main reservoir pipe not through{why}: slower recharge, no air across for doors and suspension")
    rank = LEVELS.index(level)
    if across == "nothing":
        lost.append("no brake across the joint: what is hauled has none that the leading cab can put on")
    elif rank < LEVELS.index("electro-pneumatic brake"):
        lost.append("no electro-pneumatic brake across the joint: the automatic brake alone works on both")
    if rank < LEVELS.index("full multiple working"):
        lost.append("no traction, door or bell control across the joint unless declared")
    if rank <= LEVELS.index("rescue"):
        lost.append("no control functions at all: rescue only")
    return tuple(lost)
