"""Joining by a screw coupling between two draw hooks, buffers bearing."""

from __future__ import annotations

from headstock.equipment.loose_gear import LooseGear
from headstock.formation.brake_across import jumpers_kept_apart, losses_of, pipe_joins, unbraked_conditions
from headstock.formation.join_way import Across, TypeEnd, Way, height_apart_mm, loose_gear, no_way, weakest_part
from headstock.formation.joint_geometry import JointGeometry
from headstock.local_rules.rules import LocalRules

INSIDE = "nobody stands on the inside of the curve: buffers can lock there"


def screw_way(first: TypeEnd, second: TypeEnd, rules: LocalRules, geometry: JointGeometry) -> Way:
    """A screw coupling, or every reason why not."""
    ends = (first, second)
    reasons = _reasons(first, second, rules)
    if reasons:
        return no_way("screw", reasons)
    screw, rated_kn = _find_screw(ends)
    changes = [f"head of {end.name} dropped" for end in ends if end.coupler.kind == "drop-head knuckle"]
    changes += [f"buffers of {end.name} out" for end in ends if end.devices["buffers"].moves]
    across: Across = "automatic" if pipe_joins(first, second, "brake pipe") else "nothing"
    level = "mechanical and automatic brake" if across == "automatic" else "rescue"
    brought = () if screw else ("a screw coupling is brought: neither unit carries one",)
    conditions = (*brought, *unbraked_conditions(first, second, across))
    main_through = pipe_joins(first, second, "main reservoir pipe")
    changes += jumpers_kept_apart(first, second)
    inside = () if geometry.track == "straight track" else (INSIDE,)
    return Way("screw", "only if" if conditions else "yes", level, main_through, tuple(changes), across=across,
               equipment=(f"screw coupling: {screw}",) if screw else (), conditions=conditions,
               losses=losses_of(first, second, level, across, main_through),
               restrictions=(rules.restrictions.value.screw, *inside, weakest_part(*rated_kn, first.coupler.rated_pull_kn,
                                                                          second.coupler.rated_pull_kn)))  # fmt: skip


def _reasons(first: TypeEnd, second: TypeEnd, rules: LocalRules) -> list[str]:
    ends = (first, second)
    reasons = [f"no hook for a screw coupling on {end.name}" for end in ends if end.hook is None]
    if not reasons:
        apart, most = height_apart_mm(first.coupler, second.coupler), rules.height_difference_at_most_mm.value
        if apart > most:
            reasons.append(
                f"hooks can be {apart:.0f} mm apart over wear, load and suspension, the local rules allow {most:.0f} mm"
            )
    return reasons + [f"no side buffers on {end.name}" for end in ends if "buffers" not in end.devices]


def _find_screw(ends: tuple[TypeEnd, TypeEnd]) -> tuple[str, tuple[float, ...]]:
    """Where a screw is, and its rated pull [kN]: on a hook before stowed, the strongest first; "" where there is none."""
    found = screw_used(ends)
    if found is None:
        return "", ()
    end, gear = found
    if gear is None:
        return f"on the hook of {end.name}", (end.coupler.rated_pull_kn,)
    return f"{end.unit_type.type}, {gear.stowed}", (gear.rated_pull_kn or 0.0,)


def screw_used(ends: tuple[TypeEnd, TypeEnd]) -> tuple[TypeEnd, LooseGear | None] | None:
    """The end whose screw coupling is used, with the loose one or None for its hook's own; None where there is none."""
    hung = [(end, None) for end in ends if end.coupler.kind == "hook and screw"]
    if hung:
        return max(hung, key=lambda found: float(found[0].coupler.rated_pull_kn))
    stowed = list(loose_gear(ends, "screw coupling"))
    return max(stowed, key=lambda found: found[1].rated_pull_kn or 0.0) if stowed else None
