"""From job papers to the task: units found, joints set in order, cabs and deviations checked, holds worked out."""

from __future__ import annotations

from dataclasses import dataclass, replace

from headstock.capability.holding import HoldingResult
from headstock.devices.kind import At
from headstock.devices.screw_coupling import Screw
from headstock.equipment.library import Fleet
from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult, Way, can_be_joined
from headstock.formation.train import Train, TrainUnit, UnitEnd
from headstock.formation.train_state import TrainState, as_left
from headstock.formation.way_screw import screw_used
from headstock.physics.air_run import AirEngine
from headstock.procedures.rescue import Rescue
from headstock.procedures.task import OPENED_WITH, AttachTask, HoldFacts
from headstock.usecases.adapter_given import adapter_in_job, needs_own_hose
from headstock.usecases.as_found import state_as_found
from headstock.usecases.couple_as_found import couple_found, without_wires
from headstock.usecases.found_cautions import isolated_words
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.job_refusals import outside_words, rear_refusals, refusals_of
from headstock.usecases.joint_opening import opening_kept
from headstock.usecases.portion_holds import brakes_used, holdings
from headstock.usecases.rescue_given import refused_outright, with_rescue
from headstock.usecases.rescued_given import with_rescued
from headstock.usecases.way_used import as_asked, in_a_rescue, rescue_of

PROOF_LOST = (
    "the local rules void the proof of a hold when its brakes are let off: "
    "the moving portion cannot be proved once it has come up"
)
BLOW = (
    "the couplers join the brake pipes as they close, and the air does not say that "
    "the moving portion's full application stays on"
)


@dataclass(frozen=True, slots=True)
class AssembledJob:
    """The task, when there is one, and what was found out on the way.

    ``refusals`` are reasons of the trade for a no; ``outside`` says what this edition does not plan.
    """

    join: JoinResult
    holding: tuple[HoldingResult, ...]
    task: AttachTask | None
    refusals: tuple[str, ...]
    outside: tuple[str, ...] = ()
    found: TrainState | None = None


def assemble(papers: JobPapers, fleet: Fleet, engine: AirEngine | None = None) -> AssembledJob:
    """Put a job together. Raises InputError for what cannot be meant; refusals of the trade are answers.

    With an air engine it is asked whether opening the joint's cocks eases the moving portion's brake; without one, no.
    """
    given = _given(papers, fleet)
    holding = holdings(papers, given.train, given.moving_first)
    outside = outside_words(given.join, given.train, given.rescues or papers.job.joined_by_a_rescue is not None)
    refusals = _refused_as_given(given, tuple(holding.values()), outside)
    asked = None if refusals or outside or given.parts else engine
    kept = _kept_while_opened(given, asked)
    by_air = kept is not None and OPENED_WITH in kept
    if (asked is not None or engine is None) and not given.parts and not by_air:
        refusals += _proof_lost(given)
    rescue = _rescue(given, asked) if given.rescues and not refusals and not outside else None
    no = AssembledJob(given.join, tuple(holding.values()), None, refusals, outside)
    if isinstance(rescue, tuple):
        return replace(no, refusals=refusals + rescue)
    if refusals or outside:
        return no
    holds = {name: HoldFacts(name, brakes_used(papers, result, given.left)) for name, result in holding.items()}
    return _with_task(given, no, holds, rescue, kept)


@dataclass(frozen=True, slots=True)
class _Given:
    """A job as its papers give it: the train, its ends by their part in the job, the way that is asked for."""

    reader: JobReader
    train: Train
    ends: dict[str, UnitEnd]
    moving_first: bool
    join: JoinResult

    @property
    def papers(self) -> JobPapers:
        return self.reader.papers

    @property
    def parts(self) -> bool:
        return self.papers.job.work == "detach"

    @property
    def rescues(self) -> bool:
        return self.papers.job.work == "rescue"

    @property
    def left(self) -> dict[str, str]:
        """As the units are left, and what the job says otherwise."""
        return {**as_left(self.train), **self.papers.job.as_left}

    @property
    def live_and_standing(self) -> tuple[tuple[TrainUnit, ...], tuple[TrainUnit, ...]]:
        first, second = self.train.portions()
        return (first, second) if self.moving_first else (second, first)


def _given(papers: JobPapers, fleet: Fleet) -> _Given:
    """Raises InputError for what cannot be meant."""
    reader = JobReader(papers, fleet)
    train, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(train)
    joint = train.joint_to_make
    # What is joined already is parted on a curve too.
    curve = papers.place.curve_at_joint if papers.job.work != "detach" else None
    join = as_asked(papers, can_be_joined(type_end(train, joint.first), type_end(train, joint.second), papers.rules, curve))
    join = without_wires(papers, join)
    reader.check_cabs(train, ends, moving_first)
    rescued = papers.job.joined_by_a_rescue
    if papers.job.work == "rescue" or rescued is not None:
        reader.check_dead(train, moving_first)
        join = in_a_rescue(papers, train, join, rescued is not None and rescued.main_reservoirs == "joined")
    if rescued is not None:
        reader.check_rescued(train, moving_first)
    return _Given(reader, train, ends, moving_first, join)


def _refused_as_given(given: _Given, holding: tuple[HoldingResult, ...], outside: tuple[str, ...]) -> tuple[str, ...]:
    """Every reason that needs no reckoning of air."""
    papers, ends = given.papers, given.ends
    refusals = refusals_of(papers, given.join, holding, given.train)
    if not outside:
        refusals += rear_refusals(papers, given.train, ends, given.moving_first)
    if given.rescues:
        live, _ = given.live_and_standing
        refusals += refused_outright(ends["controls_afterwards"], ends["leaves_from"], live, papers.rules.rescue)
    return refusals


def _kept_while_opened(given: _Given, engine: AirEngine | None) -> frozenset[tuple[str, str]] | None:
    """What the air says of the moving portion's application while the joint's cocks are opened."""
    # The adapter's own hose is not among the pipes that are reckoned.
    by_engine = None if needs_own_hose(given.train, given.join.best) else engine
    _, standing = given.live_and_standing
    dead = frozenset(unit.name for unit in standing) if given.rescues else frozenset()
    driven_from, outside_pa = given.ends["moving.driven_from"], given.papers.place.atmosphere_pa
    return opening_kept(given.train, given.left, given.moving_first, driven_from, by_engine, dead, outside_pa)


def _proof_lost(given: _Given) -> tuple[str, ...]:
    if given.papers.rules.holding.proof_outlasts_release.value:
        return ()
    return (PROOF_LOST, *isolated_words(given.train, given.left))


def _rescue(given: _Given, engine: AirEngine | None) -> Rescue | tuple[str, ...] | None:
    return rescue_of(given.papers, given.train, given.ends, given.join.best, given.moving_first, given.left, engine)


def _with_task(given: _Given, no: AssembledJob, holds: dict[str, HoldFacts], rescue: Rescue | None,
               kept: frozenset[tuple[str, str]] | None) -> AssembledJob:  # fmt: skip
    """The job with its task, or the reasons that only the task shows; ``no`` is the answer that they go into."""
    papers, join = given.papers, given.join
    task = _task(papers, given.train, given.ends, given.moving_first, join, holds)
    couple, no_couple = couple_found(papers, replace(task, as_found=given.left), join)
    if no_couple:
        return replace(no, refusals=no_couple)
    task, reasons = with_rescued(papers, replace(task, couple=couple))
    if reasons:
        return replace(no, refusals=reasons)
    if rescue is not None:
        join = in_a_rescue(papers, given.train, join, rescue.main_joined, rescue.conditions)
        task = with_rescue(replace(task, way=join.best), rescue)
    if task.joins_air_by_the_blow and not given.parts and not (kept is not None and OPENED_WITH in kept):
        return replace(no, join=join, refusals=(BLOW,))
    state = state_as_found(given.reader, task)
    return replace(no, join=join, task=replace(task, as_found=state.named(), opening_kept=kept), found=state)


def _task(papers: JobPapers, train: Train, ends: dict[str, UnitEnd], moving_first: bool, join: JoinResult,
          holds: dict[str, HoldFacts]) -> AttachTask:  # fmt: skip
    crew: dict[str, str] = {str(role): name for role, name in papers.job.crew.items()}
    return AttachTask(
        train=train, place=papers.place, rules=papers.rules, method=papers.method, crew=crew,
        moving_first=moving_first, driven_from=ends["moving.driven_from"], controls=ends["controls_afterwards"],
        leaves_from=ends["leaves_from"], way=join.best, screw=_screw(train, join.best),
        adapter=adapter_in_job(train, join.best), family=_family(train, join.best), holds=holds,
        boards_placed_by=dict(papers.job.boards_placed_by), as_found={}, work=papers.job.work,
    )  # fmt: skip


def _family(train: Train, way: Way) -> str:
    """The kind of coupler whose stops and habits count: of the first end, hook and screw where a screw joins them."""
    joint = train.joint_to_make
    kinds = [str(type_end(train, end).coupler.kind) for end in (joint.first, joint.second)]
    if way.name == "adapter":
        return next((kind for kind in kinds if kind != "hook and screw"), kinds[0])
    return "hook and screw" if way.name == "screw" else kinds[0]


def _screw(train: Train, way: Way) -> Screw | None:
    """The screw coupling that is used: a hook's own before a loose one."""
    if way.name != "screw":
        return None
    joint = train.joint_to_make
    ends = (type_end(train, joint.first), type_end(train, joint.second))
    found = screw_used(ends)
    if found is None:
        return None
    end, other = (joint.first, joint.second) if found[0] is ends[0] else (joint.second, joint.first)
    if found[1] is None:
        return Screw(At(end.unit, "coupler", end.end), str(end), str(other))
    return Screw(At(end.unit, "screw_coupling"), str(end), str(other), found[1].stowed)
