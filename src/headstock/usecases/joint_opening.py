"""Asked before a joint cock is opened with anyone between: does the moving portion's brake stay on? No answer means no.

What the portions then stand on is said in words here: on the sheet, in the terminal and in JSON alike.
"""

from __future__ import annotations

from collections.abc import Mapping

from headstock.base.errors import OutsideModelError
from headstock.capability.equalising import PortionPipe, predict_equalising
from headstock.formation.train import Train, TrainUnit, UnitEnd
from headstock.physics.air_run import AirEngine
from headstock.physics.pipe_network import ATMOSPHERE_PA
from headstock.procedures.cab_work import pipe_bar
from headstock.procedures.task import AttachTask
from headstock.usecases.found_cautions import isolated_brakes

PIPES = ("empty", "drawn", "charged")


def opening_kept(
    train: Train,
    left: Mapping[str, str],
    moving_first: bool,
    driven_from: UnitEnd,
    engine: AirEngine | None,
    dead: frozenset[str] = frozenset(),
    outside_pa: float = ATMOSPHERE_PA,
) -> frozenset[tuple[str, str]] | None:
    """Pipes (moving, standing) that can be joined without easing the moving portion's brake; None when the air cannot say.

    ``left``: how devices were left. With a brake isolated anywhere it says nothing: it is reckoned with every brake in use.
    ``dead``: units to be rescued, without air in their main reservoirs. ``outside_pa``: the atmosphere there.
    """
    if engine is None or isolated_brakes(train, left):
        return None
    first, second = train.portions()
    moving, standing = (first, second) if moving_first else (second, first)
    outer = train.outer_ends[1 if moving_first else 0]
    try:
        both = (_portion(train, moving, driven_from), _portion(train, standing, outer))
        results = predict_equalising(train, *both, PIPES, engine, dead, outside_pa)
    except OutsideModelError:
        return None
    return frozenset((result.moving_pipe, result.standing_pipe) for result in results if result.keeps)


def opening_words(task: AttachTask) -> str:
    """On what both portions stand while the joint's cocks are opened."""
    if task.parts:
        return (
            f"Before a cock is shut the whole train's brake pipe is empty and {task.standing} is proved to hold the whole train "
            f"on hand or parking brakes: no trapped air is relied on."
        )
    return f"{_both_portions(task)}{_main_reservoirs(task)}"


def _main_reservoirs(task: AttachTask) -> str:
    """In a rescue: whether the main reservoirs are joined, and why."""
    if task.rescue is None:
        return ""
    joined = "joined" if task.rescue.main_joined else "not joined"
    return f" Main reservoirs {joined}: {task.rescue.main_words}."


def _both_portions(task: AttachTask) -> str:
    begin = "As the blow joins the pipes" if task.joins_air_by_the_blow else "While the joint's cocks are opened"
    if not task.opens_on_air:
        return f"{begin}, {task.moving} and {task.standing} each stand on proved hand or parking brakes."
    return (
        f"{begin}, {task.moving} stands on its full application with the driver at the brake: only air holds it. "
        f"{task.standing} stands on proved hand or parking brakes, its pipe empty. Reckoned: joining the pipes eases nothing."
    )


def _portion(train: Train, units: tuple[TrainUnit, ...], cab: UnitEnd) -> PortionPipe:
    return PortionPipe(units, {pipe: pipe_bar(train, cab, pipe) for pipe in PIPES})
