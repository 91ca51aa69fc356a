"""What "left safe" means, written by hand apart from the product's own goal, and jobs broken off for it."""

from __future__ import annotations

from collections.abc import Mapping

from headstock.procedures.task import AttachTask
from headstock.reasoning.run import Run
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.stop_job import JobStopped


def end_state(found: JobStopped) -> Run:
    """Carry out the lines done and the way to safety from the job's own start, by the checker's own run."""
    from headstock.procedures.broken_off import whole_of

    assert found.plan.domain is not None and found.plan.order is not None
    run = Run.begin(whole_of(found.plan.domain, found.domain))
    for number, step in enumerate((*found.plan.order.steps[: found.line], *found.steps), start=1):
        run.follow(number, step)
    return run


def what_is_not_safe(task: AttachTask, run: Run) -> list[str]:
    """Everything that is not as common practice (no source) leaves a train that nobody works on."""
    state, wrong = run.state, []
    wrong += [f"{role} is between" for role in task.crew if state[f"at/{role}"] == "between"]
    wrong += [key for key, value in state.items() if key.startswith("protection/") and value != "none"]
    wrong += [key for key, value in state.items() if key.endswith(".brake_valve") and value != "locked"]
    wrong += [key for key in ("authority",) if state[key] != "none"]
    wrong += ["the road is still kept"] if state["road"] != "not given" else []
    wrong += ["the job still counts as agreed"] if state["agreed"] != "no" else []
    wrong += ["the driver has not his key"] if state["driver_key"] != "with the driver" else []
    wrong += [f"unlatched: {key}" for key, value in state.items() if key.endswith(".jumper") and value == "entered"]
    wrong += _live(state) + _unheld(task, state) + _unseen(task, run)
    return wrong


def _live(state: Mapping[str, str]) -> list[str]:
    """Cocks open on a hose that is not joined."""
    cocks = [key for key, value in state.items() if key.endswith("_pipe_cock") and value == "open"]
    return [f"live: {key}" for key in cocks if state.get(key.replace("_cock", "_hose"), "joined") != "joined"]


def _hangs(task: AttachTask, state: Mapping[str, str]) -> bool:
    return task.parts and state["couple"] == "locked" and state[f"{task.standing}.hold"] == "proved"


def _unheld(task: AttachTask, state: Mapping[str, str]) -> list[str]:
    """Each portion on hand or parking brakes that suffice by reckoning; one may hang on a couple and a hold proved for both."""
    portions = (task.standing,) if _hangs(task, state) else (task.moving, task.standing)
    return [f"off: {key}" for portion in portions for key in task.holds[portion].brakes if state[key] != "on"]


def _unseen(task: AttachTask, run: Run) -> list[str]:
    """Brakes that hold are known to be on, by whoever is in charge, and somebody watched with the air brake off."""
    state, charge = run.state, task.role_for("in_charge")
    portions = (task.standing,) if _hangs(task, state) else (task.moving, task.standing)
    brakes = [(key, "on") for portion in portions for key in task.holds[portion].brakes]
    found = [f"the {charge} does not know: {key} on" for key, value in brakes if not run.knows(charge, (key, value))]
    watched = state["stands_as_left"] == "seen" or all(state[f"{portion}.hold"] == "proved" for portion in portions)
    return found if watched else [*found, "nobody has watched it stand"]


def line_after(plan: JobPlan, words: str) -> int:
    """The number of the first line whose sentence begins so."""
    assert plan.order is not None
    return next(number for number, step in enumerate(plan.order.steps, start=1) if step.key.startswith(words))
