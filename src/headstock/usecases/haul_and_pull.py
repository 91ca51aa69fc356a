"""From a job to the questions of pulling: the proof of the joint, hauling a portion, the hold as its brakes come off."""

from __future__ import annotations

from dataclasses import replace

from headstock.capability.couple import parts_of_couple
from headstock.capability.holding import HoldingResult, predict_holding
from headstock.capability.pull_away import (
    PullQuestion,
    PullResult,
    PullSeen,
    breakaway_n,
    lacking_to_pull,
    notches_of,
    predict_pull,
    turning_share,
)
from headstock.capability.rescue import HaulQuestion, HaulResult, ReleaseOrder, hold_while_releasing, predict_haul
from headstock.formation.join_way import TypeEnd
from headstock.formation.joinability import JoinResult
from headstock.formation.not_stated import lacking_of_units
from headstock.formation.train import TrainUnit
from headstock.physics.adhesion import adhesion_limit_n
from headstock.physics.gradient import normal_force_n
from headstock.usecases.job_file import JobPapers
from headstock.usecases.portion_holds import portion_here

Portions = tuple[tuple[TrainUnit, ...], tuple[TrainUnit, ...]]
"""Units of the moving and of the standing portion."""


def _mass_kg(units: tuple[TrainUnit, ...]) -> float:
    return sum(unit.unit_type.mass_kg for unit in units)


def _couple_ends(join: JoinResult, portions: Portions) -> tuple[TypeEnd, TypeEnd]:
    """The two ends that meet, by the names in the answer."""
    units = {unit.name: unit for portion in portions for unit in portion}
    found = []
    for name in (join.first, join.second):
        unit, _, end = name.rpartition("/")
        found.append(TypeEnd(name, units[unit].unit_type, end))
    return found[0], found[1]


def pull_of(
    papers: JobPapers, join: JoinResult, portions: Portions, driven: str, held: HoldingResult, moving_first: bool
) -> PullResult | tuple[str, ...]:  # fmt: skip
    """How the new joint is proved here; reasons where it cannot be told."""
    moving, standing = portions
    figures = papers.rules.pull_proof
    lacking = lacking_to_pull(moving)
    if figures is None:
        lacking = ("the local rules do not say when a pull proves a joint (pull_proof)", *lacking)
    if join.answer == "no":
        lacking = (*lacking, "the two ends cannot be joined")
    if lacking or figures is None:
        return lacking
    away = papers.place.directions[0 if moving_first else 1]
    gradient = papers.place.slope if papers.place.falls_towards == away else -papers.place.slope
    ends = _couple_ends(join, portions)
    return predict_pull(PullQuestion(
        "+".join(unit.name for unit in moving), _mass_kg(moving), turning_share(moving), breakaway_n(moving), _mass_kg(standing),
        gradient, held.set_on.force_n if held.set_on is not None else 0.0, held.all_on.force_n, papers.rules.holding.margin.value,
        min(part.rated_n for part in parts_of_couple(ends, join.best)), notches_of(moving, driven),
        PullSeen(figures.seen_m.value, figures.least_net_n_per_kg.value, figures.longest_s.value),
    ))  # fmt: skip


def haul_of(
    papers: JobPapers, join: JoinResult, portions: Portions, driven: str, stops_alone: bool | None, refused: tuple[str, ...]
) -> HaulResult | tuple[str, ...]:  # fmt: skip
    """Whether the moving portion can haul the other up this place's gradient; reasons where it cannot be told.

    ``refused``: why a rescue is refused, found before.
    """
    figures = papers.rules.hauling
    moving, standing = portions
    unit = next(unit for unit in moving if unit.name == driven)
    lacking = lacking_of_units((unit,), "traction") + lacking_of_units((*moving, *standing), "resistance")
    if figures is None:
        lacking = ("the local rules state nothing of hauling (hauling)", *lacking)
    if join.answer == "no":
        lacking = (*lacking, "the two ends cannot be joined")
    if lacking or figures is None:
        return lacking
    traction = unit.unit_type.traction
    assert traction is not None
    on_driven_n = normal_force_n(unit.unit_type.mass_kg * traction.share_of_weight, papers.place.slope)
    return predict_haul(HaulQuestion(
        _mass_kg(moving), _mass_kg(standing), turning_share((*moving, *standing)), 1e3 * traction.notches[-1].pull_kn,
        adhesion_limit_n(on_driven_n, figures.adhesion.value), breakaway_n((*moving, *standing)), breakaway_n(standing),
        papers.place.slope, parts_of_couple(_couple_ends(join, portions), join.best), join.best.across != "nothing",
        predict_holding(portion_here(papers, moving, (*moving, *standing))).holds, stops_alone, figures.start_m_s2.value, refused,
    ))  # fmt: skip


def releases_of(papers: JobPapers, units: tuple[TrainUnit, ...], holding: tuple[HoldingResult, HoldingResult]) -> ReleaseOrder:
    """The whole train on the brakes of both portions' sets; those of the standing portion come off one by one, then the rest."""
    moving, standing = holding
    sets = [*standing.smallest_set, *moving.smallest_set]
    whole = portion_here(papers, units, units)
    on = replace(whole, brakes=tuple(brake for brake in whole.brakes if brake.key in sets))
    return hold_while_releasing(on, sets)
