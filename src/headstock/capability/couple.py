"""The parts that carry the pull at a joint, each with what it is rated for."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.capability.rescue import WeakPart
from headstock.formation.join_way import TypeEnd, Way, loose_gear
from headstock.formation.way_screw import screw_used


def parts_of_couple(ends: tuple[TypeEnd, TypeEnd], way: Way) -> tuple[WeakPart, ...]:
    """Both couplers, and what is put between: the screw that is used, or the weakest adapter carried (the safe side)."""
    return tuple(_parts(ends, way))


def _parts(ends: tuple[TypeEnd, TypeEnd], way: Way) -> Iterator[WeakPart]:
    for end in ends:
        yield WeakPart(f"the coupler of {end.name}", 1e3 * end.coupler.rated_pull_kn)
    if way.name == "screw":
        found = screw_used(ends)
        if found is not None and found[1] is not None and found[1].rated_pull_kn is not None:
            yield WeakPart(f"the loose screw of {found[0].name}", 1e3 * found[1].rated_pull_kn)
    if way.name == "adapter":
        adapters = [(end, gear) for end, gear in loose_gear(ends, "adapter") if gear.rated_pull_kn is not None]
        if adapters:
            end, gear = min(adapters, key=lambda one: one[1].rated_pull_kn or 0.0)
            yield WeakPart(f"the adapter of {end.name}", 1e3 * (gear.rated_pull_kn or 0.0))
