"""The way of joining that a job uses: the one that it asks for in front, and within what a rescue uses it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult, Way
from headstock.formation.train import Train, UnitEnd
from headstock.formation.way_rescue import as_rescue
from headstock.physics.air_run import AirEngine
from headstock.procedures.rescue import Rescue
from headstock.usecases.job_file import JobPapers
from headstock.usecases.rescue_given import RescueGiven, rescue_from
from headstock.usecases.unbraked_haul import unbraked_haul


def as_asked(papers: JobPapers, join: JoinResult) -> JoinResult:
    """The way that the job asks for in front, whatever is best otherwise."""
    asked = [way for way in join.ways if way.name == papers.job.way]
    if not asked:
        return join
    return replace(join, answer=asked[0].answer, ways=(*asked, *(way for way in join.ways if way is not asked[0])))


def in_a_rescue(papers: JobPapers, train: Train, join: JoinResult, main_joined: bool,
                conditions: tuple[str, ...] = ()) -> JoinResult:  # fmt: skip
    """The way that is used as a rescue uses it, with what it is done within."""
    joint = train.joint_to_make
    best = as_rescue(join.best, type_end(train, joint.first), type_end(train, joint.second), papers.rules, main_joined)
    best = replace(best, restrictions=(*best.restrictions, *conditions))
    return replace(join, answer=best.answer, ways=(best, *join.ways[1:]))


def rescue_of(papers: JobPapers, train: Train, ends: dict[str, UnitEnd], way: Way, moving_first: bool, left: Mapping[str, str],
            engine: AirEngine | None) -> Rescue | tuple[str, ...] | None:  # fmt: skip
    """The facts of a rescue, or why there is none; None where the local rules say nothing of one."""
    rules, joint = papers.rules.rescue, train.joint_to_make
    if rules is None:
        return None
    live, dead = train.portions() if moving_first else train.portions()[::-1]
    pair = (type_end(train, joint.first), type_end(train, joint.second))
    pushed = ends["leaves_from"] != ends["controls_afterwards"]
    lower = papers.place.slope > 0 and papers.place.falls_towards == papers.place.directions[1 if moving_first else 0]
    unbraked = unbraked_haul(papers, live, dead, left, lower, pushed)
    given = RescueGiven(train, papers.place, way, pair, live, dead, ends["moving.driven_from"], rules, left, pushed,
                        papers.rules.pressure_unit, unbraked)  # fmt: skip
    return rescue_from(given, engine)
