"""Who may be between in a job: one person, or two where the local rules and the crew have them."""

from __future__ import annotations

from headstock.procedures.task import AttachTask


def second_between(task: AttachTask) -> str | None:
    """The role that may be between beside the first one; None where the rules or the crew have only one."""
    rules = task.rules
    if rules.most_between.value < 2 or task.is_alone or task.couple is not None:
        return None
    first, duty = task.role_for("goes_between"), rules.duties.handles_jumpers
    may = [role for role in rules.may_go_between.value if role in task.crew]
    wanted = may if duty is None else [role for role in duty.value if role in may]
    if duty is not None:
        wanted = wanted[:1]  # the first one present has the duty, alone or not
    return next((role for role in wanted if role != first), None)


def people_between(task: AttachTask) -> tuple[str, ...]:
    """Everybody who may be between in this job."""
    second = second_between(task)
    return (task.role_for("goes_between"), *((second,) if second is not None else ()))


def names_between(task: AttachTask) -> str:
    """Their names, as said when the job is agreed."""
    return " and ".join(task.crew[role] for role in people_between(task))
