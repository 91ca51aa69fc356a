"""The parts that carry the pull at a joint, each with what it is rated for."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.capability.rescue import WeakPart
from headstock.formation.join_way import TypeEnd, Way
from headstock.formation.way_adapter import adapter_used
from headstock.formation.way_screw import screw_used


def parts_of_couple(ends: tuple[TypeEnd, TypeEnd], way: Way) -> tuple[WeakPart, ...]:
    """Both couplers, and what is put between: the screw that is used, or the adapter (one that must be brought is not known)."""
    return tuple(_parts(ends, way))


def _parts(ends: tuple[TypeEnd, TypeEnd], way: Way) -> Iterator[WeakPart]:
    for end in ends:
        yield WeakPart(f"the coupler of {end.name}", 1e3 * end.coupler.rated_pull_kn)
    if way.name == "screw":
        found = screw_used(ends)
        if found is not None and found[1] is not None and found[1].rated_pull_kn is not None:
            yield WeakPart(f"the loose screw of {found[0].name}", 1e3 * found[1].rated_pull_kn)
    if way.name == "adapter":
        used = adapter_used(ends)
        if used is not None and used[1].rated_pull_kn is not None:
            yield WeakPart(f"the adapter of {used[0].name}", 1e3 * used[1].rated_pull_kn)
