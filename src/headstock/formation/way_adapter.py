"""Joining unlike couplers by an adapter, for a rescue: which faces one could be between, and who carries it.

Common practice, except: EN 15020 covers the rescue coupler for the standard latch face (EN 16019) only on hooks that move and
take buffing loads.
"""

from __future__ import annotations

from itertools import product

from headstock.devices.coupler import Face
from headstock.equipment.loose_gear import LooseGear
from headstock.formation.brake_across import has_pipe, losses_of, unbraked_conditions
from headstock.formation.join_way import Across, TypeEnd, Way, height_apart_mm, loose_gear, no_way, weakest_part
from headstock.formation.joint_geometry import JointGeometry, curve_reasons
from headstock.formation.way_direct import heads_locked_back, heads_that_stay
from headstock.local_rules.rules import LocalRules

Pair = tuple[Face, Face]


def adapter_way(first: TypeEnd, second: TypeEnd, rules: LocalRules, geometry: JointGeometry) -> Way:
    """An adapter that one of the units carries or somebody brings, or every reason why there is none."""
    pairs = [pair for pair in product(first.faces, second.faces) if _is_made(*pair)]
    reasons = _reasons(first, second, bool(pairs)) or curve_reasons(geometry)
    if reasons:
        return no_way("adapter", reasons)
    ends = (first, second)
    apart_mm = height_apart_mm(first.coupler, second.coupler)
    carried = _find(ends, pairs, apart_mm)
    both_piped = all(has_pipe(end, "brake pipe") for end in ends)
    across: Across = "automatic" if both_piped else "nothing"
    conditions = (*(() if carried else (_to_bring(pairs, apart_mm),)), *unbraked_conditions(first, second, across))
    conditions += heads_that_stay(first, second)
    used = [pair for pair in pairs if carried is None or {face.words for face in pair} == set(carried[1].faces or ())]
    restrictions = (rules.restrictions.value.adapter, rules.restrictions.value.rescue, *_pulled_only(ends, used))
    rated_kn = [end.coupler.rated_pull_kn for end in ends] + ([carried[1].rated_pull_kn or 0.0] if carried else [])
    return Way("adapter", "only if" if conditions else "yes", "rescue", False,
               equipment=(_carried_words(*carried),) if carried else (), conditions=conditions, across=across,
               changes=(*heads_locked_back(first, second), *_heads_as_asked(ends), *_hose(both_piped)),
               losses=losses_of(first, second, "rescue", across, main_through=False),
               restrictions=(*restrictions, weakest_part(*rated_kn)))  # fmt: skip


def adapter_used(ends: tuple[TypeEnd, TypeEnd]) -> tuple[TypeEnd, LooseGear] | None:
    """The adapter on board that is used, with the end that carries it; None where one must be brought."""
    pairs = [pair for pair in product(ends[0].faces, ends[1].faces) if _is_made(*pair)]
    return _find(ends, pairs, height_apart_mm(ends[0].coupler, ends[1].coupler))


def _is_made(one: Face, other: Face) -> bool:
    """Whether there can be an adapter between two faces: unlike ones, and no fixed hook under the standard latch face."""
    return one.words != other.words and not _is_outside_en_15020(one, other)


def _is_outside_en_15020(one: Face, other: Face) -> bool:
    return any(hook.is_hook and not hook.takes_buff and latch.is_en_16019 for hook, latch in ((one, other), (other, one)))


def _reasons(first: TypeEnd, second: TypeEnd, can_be_made: bool) -> list[str]:
    ends = (first, second)
    reasons = [end.workshop_reason for end in ends if end.workshop_only]
    if reasons:
        return reasons
    shared = [one for one, other in product(first.faces, second.faces) if one.words == other.words]
    if any(face.couples_by_itself for face in shared) or (shared and first.coupler.kind == second.coupler.kind):
        return ["like couplers: no adapter is made for them"]
    if shared:
        return ["both have a hook: the screw coupling is the way"]
    if can_be_made:
        return []
    why = "the rescue coupler of EN 15020 is for hooks that move and take buffing loads"
    return [f"the hook of {end.name} is fixed: {why}" for end in ends if end.hook is not None and not end.hook.takes_buff]


def _find(ends: tuple[TypeEnd, TypeEnd], pairs: list[Pair], apart_mm: float) -> tuple[TypeEnd, LooseGear] | None:
    """An adapter on board that fits two of the faces and bridges the height."""
    wanted = [{face.words for face in pair} for pair in pairs]
    fitting = (found for found in loose_gear(ends, "adapter") if set(found[1].faces or ()) in wanted)
    return next((found for found in fitting if (found[1].bridges_mm or 0.0) >= apart_mm), None)


def _carried_words(end: TypeEnd, gear: LooseGear) -> str:
    return f"adapter {' to '.join(sorted(gear.faces or ()))}: {end.unit_type.type}, {gear.stowed}"


def _to_bring(pairs: list[Pair], apart_mm: float) -> str:
    made = " or ".join(" to ".join(sorted(face.words for face in pair)) for pair in pairs)
    return f"an adapter {made}, for heights up to {apart_mm:.0f} mm apart, is brought: neither unit carries one"


def _heads_as_asked(ends: tuple[TypeEnd, TypeEnd]) -> tuple[str, ...]:
    return tuple(
        f"head of {end.name} as the adapter asks: raised and pinned, or dropped with the hook bare"
        for end in ends
        if end.coupler.kind == "drop-head knuckle"
    )


def _hose(both_piped: bool) -> tuple[str, ...]:
    return ("brake pipe joined by the adapter's hose, and read at the rear",) if both_piped else ()


def _pulled_only(ends: tuple[TypeEnd, TypeEnd], used: list[Pair]) -> tuple[str, ...]:
    """A fixed hook under an adapter takes a pull and no push."""
    fixed = [end.name for number, end in enumerate(ends) if used and all(
        pair[number].is_hook and not pair[number].takes_buff for pair in used)]  # fmt: skip
    return tuple(f"pulled only, never pushed: the hook of {name} is fixed" for name in fixed)
