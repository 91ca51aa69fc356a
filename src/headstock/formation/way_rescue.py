"""A way of joining as it is used in a rescue: no wires whatever the types declare, and what that leaves."""

from __future__ import annotations

from dataclasses import replace

from headstock.formation.brake_across import losses_of, pipe_joins, unbraked_conditions
from headstock.formation.join_way import Across, TypeEnd, Way
from headstock.formation.way_direct import heads_locked_back, heads_that_stay
from headstock.local_rules.rules import LocalRules


def as_rescue(way: Way, first: TypeEnd, second: TypeEnd, rules: LocalRules, main_joined: bool) -> Way:
    """The way with its electrical heads back, its jumpers in their dummies, the brake pipe alone answering; "no" stays "no"."""
    if way.answer == "no":
        return way
    # A brake that answers to wires alone does not answer in a rescue.
    across: Across = "automatic" if way.across == "automatic" else "nothing"
    conditions = dict.fromkeys((*way.conditions, *unbraked_conditions(first, second, across), *heads_that_stay(first, second)))
    restrictions = dict.fromkeys((rules.restrictions.value.rescue, *way.restrictions))
    return replace(
        way, answer="only if" if conditions else "yes", level="rescue", across=across, conditions=tuple(conditions),
        main_reservoir_through=main_joined,
        changes=tuple(dict.fromkeys((*way.changes, *heads_locked_back(first, second), *_jumpers(first, second)))),
        losses=losses_of(first, second, "rescue", across, main_joined), restrictions=tuple(restrictions),
    )  # fmt: skip


def main_can_join(way: Way, first: TypeEnd, second: TypeEnd) -> bool:
    """Whether the main reservoir pipes could be joined this way: by hoses, or by ports of couplers that close on one another."""
    ports = [end.coupler.kind == "automatic coupler" for end in (first, second)]
    return (way.name == "direct" or not any(ports)) and pipe_joins(first, second, "main reservoir pipe")


def _jumpers(first: TypeEnd, second: TypeEnd) -> tuple[str, ...]:
    ends = [end.name for end in (first, second) if any(spec.kind == "jumper" for spec in end.devices.values())]
    return tuple(f"jumpers of {name} stay in their dummies" for name in ends)
