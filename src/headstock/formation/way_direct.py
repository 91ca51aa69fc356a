"""Joining by the couplers themselves: like faces, heights within what they gather, and what then works across."""

from __future__ import annotations

from headstock.devices.coupler import Face
from headstock.devices.electrical_head import ElectricalHeadSpec
from headstock.formation.brake_across import (
    declared_level,
    is_electric,
    joined_level,
    jumpers_kept_apart,
    losses_of,
    pipe_joins,
    unbraked_conditions,
)
from headstock.formation.join_way import TypeEnd, Way, height_apart_mm, no_way, weakest_part
from headstock.formation.joint_geometry import JointGeometry, curve_reasons
from headstock.local_rules.rules import LocalRules


def direct_way(first: TypeEnd, second: TypeEnd, rules: LocalRules, geometry: JointGeometry) -> Way:
    """The couplers close on one another, or every reason why not."""
    reasons = _reasons(first, second, geometry)
    if reasons:
        return no_way("direct", reasons)
    level, across = joined_level(first, second, rules)
    electric = is_electric(level)
    fixed = () if electric else heads_that_stay(first, second)
    conditions = (*_permitted_pair(first, second), *unbraked_conditions(first, second, across), *fixed)
    main_through = pipe_joins(first, second, "main reservoir pipe")
    restrictions = (rules.restrictions.value.rescue,) if across == "nothing" else ()
    return Way("direct", "only if" if conditions else "yes", level, main_through,
               changes=(*_raised(first, second), *(() if electric else heads_locked_back(first, second)),
                        *jumpers_kept_apart(first, second)),
               conditions=conditions, across=across, losses=losses_of(first, second, level, across, main_through),
               restrictions=(*restrictions, weakest_part(first.coupler.rated_pull_kn, second.coupler.rated_pull_kn)))  # fmt: skip


def _reasons(first: TypeEnd, second: TypeEnd, geometry: JointGeometry) -> list[str]:
    one, other = first.coupler, second.coupler
    reasons = [end.workshop_reason for end in (first, second) if end.workshop_only]
    faces = (_closing_face(first), _closing_face(second))
    if faces[0] is None or faces[1] is None or faces[0].words != faces[1].words:
        reasons += _unlike(first, second)
    if faces[0] is not None and faces[1] is not None:
        apart, least = height_apart_mm(one, other), min(one.gathers_vertically_mm, other.gathers_vertically_mm)
        if apart > least:
            reasons.append(f"heights can be {apart:.0f} mm apart over wear, load and suspension, the heads gather {least:.0f} mm")
        reasons += curve_reasons(geometry)
    return reasons


def _closing_face(end: TypeEnd) -> Face | None:
    return next((face for face in end.faces if face.couples_by_itself), None)


def _unlike(first: TypeEnd, second: TypeEnd) -> list[str]:
    """Why two couplers do not close on one another."""
    one, other = first.coupler, second.coupler
    if one.kind != other.kind:
        return [f"the couplers differ: {one.kind} on {first.name}, {other.kind} on {second.name}"]
    if not first.faces:
        return []
    if _closing_face(first) is None:
        return ["a hook does not couple by itself: see the screw coupling"]
    return [f"the faces differ: {first.faces[0].words} and {second.faces[0].words}"]


def _permitted_pair(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    """Knuckles of two kinds close round one another, but their play and guides differ: somebody must have permitted it."""
    if first.coupler.kind == second.coupler.kind or declared_level(first, second) is not None:
        return ()
    pair = f"{first.coupler.kind} with {second.coupler.kind}"
    return (f"{first.unit_type.type} with {second.unit_type.type} is a permitted pair ({pair}): play and guides differ",)


def _raised(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    """What drop-heads and their buffers must be brought to."""
    drop = [end.name for end in (first, second) if end.coupler.kind == "drop-head knuckle"]
    if len(drop) == 2:
        return ("heads raised, pinned, keepers in; buffers in",)
    return tuple(f"head of {name} raised, pinned, keeper in; buffers in" for name in drop)


def electrical_heads(first: TypeEnd, second: TypeEnd) -> list[tuple[TypeEnd, ElectricalHeadSpec]]:
    """Electrical heads of two ends."""
    return [(end, spec) for end in (first, second) for spec in end.devices.values() if isinstance(spec, ElectricalHeadSpec)]


def heads_locked_back(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    """Electrical heads go back where no electric level is declared: a like face is not a like set of contacts."""
    found = electrical_heads(first, second)
    return tuple(f"electrical head of {end.name} locked back and covered" for end, spec in found if spec.can_be_locked_back)


def heads_that_stay(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    """Electrical heads that must be made safe another way first."""
    found = [end.name for end, spec in electrical_heads(first, second) if not spec.can_be_locked_back]
    return tuple(f"the electrical head of {name}, which cannot be locked back, is isolated first" for name in found)
