"""Why a job cannot be planned as it is given: every reason of the trade, and what this edition does not plan."""

from __future__ import annotations

from headstock.capability.coupling_impact import closes_from_kmh
from headstock.capability.holding import HoldingResult
from headstock.formation.join_way import type_end
from headstock.formation.joinability import JoinResult
from headstock.formation.train import Train, UnitEnd
from headstock.local_rules.spoken import length_at_least, length_there
from headstock.usecases.holding_words import holding_words
from headstock.usecases.job_file import JobPapers
from headstock.usecases.other_method import has_electric_brakes

WAY_WORDS = {"direct": "the couplers themselves", "screw": "a screw coupling", "adapter": "an adapter"}


def refusals_of(papers: JobPapers, join: JoinResult, holding: tuple[HoldingResult, ...], train: Train) -> tuple[str, ...]:
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


def outside_words(join: JoinResult, train: Train, rescues: bool) -> tuple[str, ...]:
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


def rear_refusals(papers: JobPapers, train: Train, ends: dict[str, UnitEnd], moving_first: bool) -> tuple[str, ...]:
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
