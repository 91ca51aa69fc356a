"""What a job's page shows at once: its header, the train, its pipes, both ends; as found, or as it stands before a block."""

from __future__ import annotations

from typing import Any

from headstock.devices.scene import GAP
from headstock.formation.joinability import JoinResult
from headstock.formation.train import UnitEnd
from headstock.sheets.blocks import runs_of
from headstock.usecases.job_stands import JobStands, PartStands, PipeStands, pipes_of
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.standing_caution import invented_words
from headstock.usecases.way_used import as_asked
from headstock.web.drawings.end_front import end_front
from headstock.web.drawings.ink import part_id
from headstock.web.drawings.joint_side import joint_side
from headstock.web.drawings.ribbon import pipe_ribbon
from headstock.web.drawings.strip import Beside, train_strip
from headstock.web.job_answers import JobAnswers


def header_content(of_job: JobAnswers) -> dict[str, Any]:
    """Title, place, rules, what is made up."""
    papers, read, plan = of_job.papers(), of_job.read(), of_job.kept_plan()
    types = [unit.unit_type.invented for unit in read.train.units]
    made_up = invented_words([papers.job.invented, papers.rules.invented, papers.place.invented, *types])
    return {
        "job": of_job.job,
        "papers": papers,
        "invented": made_up,
        "can_join": join_now(of_job).answer,
        "is_refused": plan is not None and plan.answer != "yes",
    }


def join_now(of_job: JobAnswers) -> JoinResult:
    """Whether the ends can be joined: as the order of work takes it, or before there is one as the job asks."""
    plan, read = of_job.kept_plan(), of_job.read()
    return plan.assembled.join if plan is not None else as_asked(read.papers, read.join)


def lines_before(plan: JobPlan | None, block: int) -> int:
    """How many lines of the order are done when a block begins; none where there is no order."""
    if plan is None or plan.order is None or plan.answer != "yes":
        return 0
    runs = runs_of(plan.order.steps)
    return runs[min(block, len(runs)) - 1][1][0]


def train_content(of_job: JobAnswers, block: int) -> dict[str, Any]:
    """The train from the side, wide and narrow, with its pipes where the order of work is there."""
    plan = of_job.kept_plan()
    line = lines_before(plan, block)

    def drawn() -> dict[str, Any]:
        stands, read = of_job.stands(line), of_job.read()
        beside = Beside(read.papers.place, read.ends["leaves_from"], _is_apart(of_job, stands))
        pipes = pipes_of(plan, stands) if plan is not None and plan.answer == "yes" else ()
        unit = read.papers.rules.pressure_unit
        return {"strip": train_strip(stands, beside), "narrow": train_strip(stands, beside, narrow=True),
                "pipes": [_ribbons(group) for group in pipes], "unit": unit, "as_it_stands": _when(line)}  # fmt: skip

    planned = "planned" if plan is not None else "not planned"
    return of_job.answers.kept(("train drawn", of_job.job.digest, planned, str(line)), drawn)


def _is_apart(of_job: JobAnswers, stands: JobStands) -> bool:
    """Whether the two ends are apart; before there is an order, by the kind of work."""
    job = of_job.papers().job
    joined = job.work == "detach" or job.couple_as_found is not None
    return stands.values.get(GAP, "touching" if joined else "apart") != "touching"


def _ribbons(group: tuple[PipeStands, ...]) -> list[tuple[PipeStands, str]]:
    return [(pipe, pipe_ribbon(pipe.pipe, pipe.figure_bar)) for pipe in group]


def ends_content(of_job: JobAnswers, block: int) -> dict[str, Any]:
    """Both ends from in front, and the same in words."""
    plan = of_job.kept_plan()
    line = lines_before(plan, block)

    def drawn() -> dict[str, Any]:
        stands = of_job.stands(line)
        joint = stands.train.joint_to_make
        ends = [_end(stands, end) for end in (joint.first, joint.second)]
        side = joint_side(stands, _is_apart(of_job, stands))
        first = of_job.papers().place.directions[0]
        return {
            "side": side,
            "first": first,
            "ends": ends,
            "others": _others(stands),
            "as_it_stands": _when(line),
            "part_id": part_id,
        }

    planned = "planned" if plan is not None else "not planned"
    return of_job.answers.kept(("ends drawn", of_job.job.digest, planned, str(line)), drawn)


def _when(line: int) -> str:
    if line == 0:
        return "as found"
    return (
        f"after line {line} of the order, once it is done"
        if line == 1
        else f"after lines 1 to {line} of the order, once they are done"
    )


def _end(stands: JobStands, end: UnitEnd) -> dict[str, Any]:
    return {"name": f"{stands.train.vehicle_at(end)}, end {end.end} of {end.unit}", "drawing": end_front(stands, end),
            "parts": stands.parts(end)}  # fmt: skip


def _others(stands: JobStands) -> list[tuple[str, list[PartStands]]]:
    """Everything else of each unit, in words."""
    joint, groups = stands.train.joint_to_make, []
    at_joint = (joint.first, joint.second)
    for unit in stands.train.units:
        parts = [stands.part(at, spec) for at, spec in stands.train.devices()
                 if at.unit == unit.name and (not at.end or UnitEnd(unit.name, at.end) not in at_joint)]  # fmt: skip
        groups.append((unit.name, [part for part in parts if part.says]))
    return groups
