"""The facts of a train that a rescue joined, from the job that parts it; or every reason why it cannot be parted here."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from headstock.devices.distributor import vehicle_place
from headstock.devices.kind import At
from headstock.devices.parking_brake import ParkingBrakeSpec
from headstock.formation.train import TrainUnit
from headstock.procedures.couple_found import CoupleFound
from headstock.procedures.rescued import Rescued
from headstock.procedures.task import AttachTask
from headstock.usecases.job_file import JobPapers
from headstock.usecases.rescue_given import inlet_between, scotches_carried

NO_SCOTCHES = "no scotches are carried: the portion that was fetched cannot be secured before its springs are touched"
LET_GO_BY_HAND = CoupleFound(True, True, False, tries=0, tries_allowed=0, hold_proved=False, by_hand=True)
"""A couple that is whole and has no button that answers."""


def with_rescued(papers: JobPapers, task: AttachTask) -> tuple[AttachTask, tuple[str, ...]]:
    """The task as the rescue left its train, or the reasons against it; unchanged where no rescue joined it."""
    asked = papers.job.joined_by_a_rescue
    if asked is None:
        return task, ()
    released = frozenset(asked.springs_by_hand)
    by_hand = tuple(at for at, _ in _springs(task.standing_units) if at.where in released)
    holds_on = task.holds[task.standing].brakes
    set_again = tuple(at for at, spec in _springs(task.standing_units)
                      if at in by_hand and spec.set_again_by_hand is not None and f"{at.unit}.{at.name}" in holds_on)  # fmt: skip
    scotches = scotches_carried(papers.place, task.standing_units, task.moving_units) if by_hand else None
    inlet = inlet_between(task.train, task.moving_units) if asked.main_reservoirs == "by the air inlet" else None
    rescued = Rescued(by_hand, set_again, scotches, asked.main_reservoirs == "joined", inlet)
    laid = (scotches.key,) if scotches is not None else ()
    own = task.holds[task.standing]
    holds = {**task.holds, task.standing: replace(own, brakes=(*own.brakes, *laid))}
    made = _let_go(replace(task, rescued=rescued, holds=holds))
    return made, _refusals(made, rescued, asked.main_reservoirs)


def _springs(units: tuple[TrainUnit, ...]) -> list[tuple[At, ParkingBrakeSpec]]:
    """Every vehicle with springs, and their data."""
    return [(vehicle_place(At(unit.name, name), suffix), spec) for unit in units
            for name, spec in unit.unit_type.devices.items() if isinstance(spec, ParkingBrakeSpec)
            for suffix in spec.vehicles]  # fmt: skip


def _let_go(task: AttachTask) -> AttachTask:
    """An automatic coupler of the portion without air that met an adapter: by its handle, for its button has no air."""
    if task.adapter is None or task.adapter.meets != str(task.far) or task.couplers[1][1].kind != "automatic coupler":
        return task
    return replace(task, couple=replace(LET_GO_BY_HAND, handle_end=task.far))


def _refusals(task: AttachTask, rescued: Rescued, mains: str) -> tuple[str, ...]:
    found = []
    if rescued.by_hand and rescued.scotches is None:
        found.append(NO_SCOTCHES)
    if mains == "by the air inlet" and rescued.inlet is None:
        found.append(f"{task.near} has no main reservoir hose that fits an air inlet of {task.far}")
    if rescued.inlet is not None and not _device(task, rescued.inlet.cock).vents_hose_when_shut:
        found.append(f"the hose to the air inlet of {task.far} cannot be let out before it is parted: its cock does not vent")
    if task.couple is not None and task.couple.by_hand and task.couplers[1][1].hand_release is None:
        found.append(
            f"the coupler of {task.far} has no handle that turns its latch, and no air for its button: a fitter parts it"
        )
    return tuple(found)


def _device(task: AttachTask, at: At) -> Any:
    return dict(task.train.end_devices(task.near))[at]
