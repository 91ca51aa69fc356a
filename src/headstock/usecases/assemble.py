"""From job papers to the task: units found, joints set in order, cabs and deviations checked, holds worked out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from headstock.capability.coupling_impact import closes_from_kmh
from headstock.capability.holding import HoldingResult
from headstock.devices.kind import At
from headstock.devices.scene import supply_key
from headstock.devices.screw_coupling import Screw
from headstock.equipment.library import Fleet
from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult, Way, can_be_joined
from headstock.formation.train import Train, UnitEnd
from headstock.formation.train_state import TrainState, as_left, layout_of, state_of
from headstock.formation.way_rescue import as_rescue
from headstock.formation.way_screw import screw_used
from headstock.local_rules.spoken import length_at_least, length_there
from headstock.physics.air_run import AirEngine
from headstock.procedures.cab_work import pipes_as_found, valve_key
from headstock.procedures.couple_found import pipes_of_a_couple
from headstock.procedures.coupling import joined_facts
from headstock.procedures.rescue import Rescue
from headstock.procedures.scene_variables import scene_as_found, scene_variables
from headstock.procedures.task import OPENED_WITH, AttachTask, HoldFacts
from headstock.usecases.adapter_given import adapter_in_job, needs_own_hose
from headstock.usecases.couple_as_found import couple_found, without_wires
from headstock.usecases.found_cautions import isolated_words
from headstock.usecases.holding_words import holding_words
from headstock.usecases.job_file import JobPapers
from headstock.usecases.job_reader import JobReader
from headstock.usecases.joint_opening import opening_kept
from headstock.usecases.other_method import has_electric_brakes
from headstock.usecases.portion_holds import brakes_used, holdings
from headstock.usecases.rescue_given import RescueGiven, refused_outright, rescue_from, with_rescue
from headstock.usecases.rescued_given import with_rescued
from headstock.usecases.unbraked_haul import unbraked_haul

PROOF_LOST = (
    "the local rules void the proof of a hold when its brakes are let off: "
    "the moving portion cannot be proved once it has come up"
)
BLOW = (
    "the couplers join the brake pipes as they close, and the air does not say that "
    "the moving portion's full application stays on"
)
WAY_WORDS = {"direct": "the couplers themselves", "screw": "a screw coupling", "adapter": "an adapter"}


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
    reader = JobReader(papers, fleet)
    train, ends = reader.train(), reader.ends()
    moving_first = reader.moving_first(train)
    joint = train.joint_to_make
    # What is joined already is parted on a curve too.
    curve = papers.place.curve_at_joint if papers.job.work != "detach" else None
    join = as_asked(papers, can_be_joined(type_end(train, joint.first), type_end(train, joint.second), papers.rules, curve))
    join = without_wires(papers, join)
    reader.check_cabs(train, ends, moving_first)
    rescues, rescued = papers.job.work == "rescue", papers.job.joined_by_a_rescue
    if rescues or rescued is not None:
        reader.check_dead(train, moving_first)
        join = in_a_rescue(papers, train, join, rescued is not None and rescued.main_reservoirs == "joined")
    if rescued is not None:
        reader.check_rescued(train, moving_first)
    holding = holdings(papers, train, moving_first)
    outside = _outside(join, train, rescues or rescued is not None)
    parts = papers.job.work == "detach"
    refusals = _refusals(papers, join, tuple(holding.values()), train) + (
        () if outside else _rear_refusals(papers, train, ends, moving_first)
    )
    live, standing = train.portions() if moving_first else train.portions()[::-1]
    if rescues:
        refusals += refused_outright(ends["controls_afterwards"], ends["leaves_from"], live, papers.rules.rescue)
    asked = engine is not None and not refusals and not outside and not parts
    left = {**as_left(train), **papers.job.as_left}
    dead = frozenset(unit.name for unit in standing) if rescues else frozenset()
    # The adapter's own hose is not among the pipes that are reckoned.
    by_engine = engine if asked and not needs_own_hose(train, join.best) else None
    outside_pa = papers.place.atmosphere_pa
    kept = opening_kept(train, left, moving_first, ends["moving.driven_from"], by_engine, dead, outside_pa)
    by_air = kept is not None and OPENED_WITH in kept
    if (asked or engine is None) and not parts and not by_air and not papers.rules.holding.proof_outlasts_release.value:
        refusals += (PROOF_LOST, *isolated_words(train, left))
    able = rescues and not refusals and not outside
    rescue = rescue_of(papers, train, ends, join.best, moving_first, left, engine if asked else None) if able else None
    if isinstance(rescue, tuple):
        refusals += rescue
    if refusals or outside or isinstance(rescue, tuple):
        return AssembledJob(join, tuple(holding.values()), None, refusals, outside)
    holds = {name: HoldFacts(name, brakes_used(papers, result, left)) for name, result in holding.items()}
    task = _task(papers, train, ends, moving_first, join, holds)
    couple, no_couple = couple_found(papers, replace(task, as_found=left), join)
    if no_couple:
        return AssembledJob(join, tuple(holding.values()), None, no_couple)
    task = replace(task, couple=couple)
    task, reasons = with_rescued(papers, task)
    if reasons:
        return AssembledJob(join, tuple(holding.values()), None, reasons)
    if rescue is not None:
        join = in_a_rescue(papers, train, join, rescue.main_joined, rescue.conditions)
        task = with_rescue(replace(task, way=join.best), rescue)
    if task.joins_air_by_the_blow and not parts and not by_air:
        return AssembledJob(join, tuple(holding.values()), None, (BLOW,))
    state = _as_found(reader, task)
    task = replace(task, as_found=state.named(), opening_kept=kept)
    return AssembledJob(join, tuple(holding.values()), task, (), found=state)


def _as_found(reader: JobReader, task: AttachTask) -> TrainState:
    """How all stands at first: as left, joined where the job parts or goes on, and what the job says stands otherwise."""
    train, couple = task.train, task.couple
    joined = joined_facts(task) if task.parts or couple is not None else {}
    found = {**as_left(train), **joined, **scene_as_found(task)}
    found[valve_key(task, task.driven_from)] = driving_valve_as_found(reader.papers)
    layout = layout_of(train, scene_variables(task))
    # How things stand is the job's to say; what people have agreed, asked or tested is not.
    joint = train.joint_to_make
    supplies = tuple(v for v in layout.variables if v.key in (supply_key(joint.first.unit), supply_key(joint.second.unit)))
    found.update(reader.deviations((*layout_of(train).variables, *supplies)))
    found.update(pipes_as_found(task, found) if couple is None else pipes_of_a_couple(task, found))
    return state_of(layout, found)


def driving_valve_as_found(papers: JobPapers) -> str:
    """How the brake valve stands from which the moving portion is driven, where the job does not say."""
    job = papers.job
    failed = job.work == "detach" and job.couple_as_found is not None and job.joined_by_a_rescue is None
    return "locked" if failed else "full"


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


def as_asked(papers: JobPapers, join: JoinResult) -> JoinResult:
    """The way that the job asks for in front, whatever is best otherwise."""
    asked = [way for way in join.ways if way.name == papers.job.way]
    if not asked:
        return join
    return replace(join, answer=asked[0].answer, ways=(*asked, *(way for way in join.ways if way is not asked[0])))


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


def in_a_rescue(papers: JobPapers, train: Train, join: JoinResult, main_joined: bool,
                conditions: tuple[str, ...] = ()) -> JoinResult:  # fmt: skip
    """The way that is used as a rescue uses it, with what it is done within."""
    joint = train.joint_to_make
    best = as_rescue(join.best, type_end(train, joint.first), type_end(train, joint.second), papers.rules, main_joined)
    best = replace(best, restrictions=(*best.restrictions, *conditions))
    return replace(join, answer=best.answer, ways=(best, *join.ways[1:]))


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


def _refusals(papers: JobPapers, join: JoinResult, holding: tuple[HoldingResult, ...], train: Train) -> tuple[str, ...]:
    """Every reason of the trade why this job cannot be planned as given."""
    found = []
    if join.answer == "no":
        found += [f"{way.name}: {reason}" for way in join.ways for reason in way.reasons]
    elif join.answer == "only if":
        found += [f"only if {condition}" for condition in join.best.conditions]
    for result in holding:
        if not result.holds:
            found += [f"{result.portion} cannot be held here: {holding_words(reason)}" for reason in result.reasons]
    parts = papers.job.work == "detach"
    if not parts and join.best.name == "direct":
        found += _never_closes(papers, train)
    rescued = papers.job.joined_by_a_rescue
    if parts:
        found += _hoses_that_stay_live(train) if rescued is None or rescued.main_reservoirs == "joined" else []
    elif not papers.place.joining_allowed:
        found.append(f"joining is not allowed at {papers.place.name}")
    length_m = sum(unit.unit_type.length_m for unit in train.units)
    waiting_m = length_m + papers.rules.approach.waits_m.value
    if waiting_m > papers.place.usable_length_m:
        unit = papers.rules.length_unit
        has, needs = length_there(papers.place.usable_length_m, unit), length_at_least(waiting_m, unit)
        found.append(f"{papers.place.name} has {has}, the job needs {needs}")
    return tuple(found)


def _never_closes(papers: JobPapers, train: Train) -> list[str]:
    """Couplers that close from a speed on that the local rules do not allow."""
    closes, most = closes_from_kmh(train, train.joint_to_make), papers.rules.approach.join_speed_kmh.value
    if closes is None or closes <= most:
        return []
    return [f"the couplers close from {closes:g} km/h on, the local rules allow {most:g} km/h"]


def _hoses_that_stay_live(train: Train) -> list[str]:
    """Main reservoir hoses between two cocks of which neither vents: nobody can let them out before they are parted."""
    pairs = [(one, other) for (one, spec), (other, fellow) in train.mated(train.joint_to_make)
             if spec.kind == "end cock" and spec.pipe == "main reservoir pipe"
             and not (spec.vents_hose_when_shut or fellow.vents_hose_when_shut)]  # fmt: skip
    return [f"the main reservoir pipe hoses of {one.where} and {other.where} cannot be let out before they are parted: "
            "neither cock vents" for one, other in pairs]  # fmt: skip


def _outside(join: JoinResult, train: Train, rescues: bool) -> tuple[str, ...]:
    """Ways of joining whose order of work is not planned here."""
    joint = train.joint_to_make
    families = list(dict.fromkeys(str(type_end(train, end).coupler.kind) for end in (joint.first, joint.second)))
    piped = all(unit.unit_type.air_pipe("brake pipe") for unit in train.units)
    planned = ("direct", "screw", "adapter") if rescues else ("direct", "screw")
    if join.answer != "yes" or (join.best.name in planned and piped):
        return ()
    if not piped:
        return (
            "a train with a unit that has no brake pipe: its brake is tested by its wires, which is not part of this edition",
        )
    said = " with ".join(families)
    return (f"the order of work for joining by {WAY_WORDS[join.best.name]} ({said}) is not part of this edition",)


def _wire_refusals(papers: JobPapers, train: Train) -> tuple[str, ...]:
    """Tests by wires on a train that has none through the joint to make, or no brake that answers to them."""
    method = papers.method
    found = []
    if any(stage.electric is not None for stage in method.stages) and not has_electric_brakes(train):
        found.append(f"not every brake of the train has an electro-pneumatic circuit: {method.name} commands one")
    wired = {spec.kind for pair in train.mated(train.joint_to_make) for _, spec in pair} & {"jumper", "electrical head"}
    if any(stage.is_wired for stage in method.stages) and not wired and papers.job.work != "detach":
        found.append(f"no wires go through the joint {train.joint_to_make}: {method.name} works by them")
    return tuple(found)


def _rear_refusals(papers: JobPapers, train: Train, ends: dict[str, UnitEnd], moving_first: bool) -> tuple[str, ...]:
    """No cab to work and test the rear from, or readings that the method asks for at an end without a brake pipe gauge."""
    front = ends["controls_afterwards"]
    joint, (first, last) = train.joint_to_make, train.outer_ends
    if papers.job.work == "detach":
        first, last = (first, joint.first) if moving_first else (joint.second, last)
    rear = last if front == first else first
    if not train.unit(rear.unit).end_spec(rear.end).has_cab:
        return (f"no cab at {rear}, the rear of the train that leaves: this order works and tests a brake valve there",)
    if papers.job.work == "detach":
        ends_of_it = (joint.second, train.outer_ends[1]) if moving_first else (joint.first, train.outer_ends[0])
        if not any(train.unit(end.unit).end_spec(end.end).has_cab for end in ends_of_it):
            return (f"no cab at either end of the portion that stays ({ends_of_it[0]}, {ends_of_it[1]}): nobody can see to it",)
    because = papers.method.not_planned_because
    if because is not None:
        return (f"the method {papers.method.name} is not worked into an order of work: {because}; it can be forecast and judged",)
    wires = _wire_refusals(papers, train)
    if wires:
        return wires
    cabs = {"front": front, "rear": rear}
    wanted = {
        cabs[stage.reading.at]
        for stage in papers.method.stages
        if stage.reading is not None and stage.reading.reads == "brake pipe"
    }
    lacking = [
        end
        for end in sorted(wanted, key=str)
        if not any(spec.kind == "gauge" and spec.reads == "brake pipe" for _, spec in train.end_devices(end))
    ]
    return tuple(f"no brake pipe gauge at {end}: this method cannot be used, test another way" for end in lacking)
