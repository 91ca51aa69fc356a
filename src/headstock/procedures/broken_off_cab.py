"""Cab work when a job is broken off: every valve locked; the air brake let off only to see that the other brakes hold."""

from __future__ import annotations

from headstock.devices.scene import AIR_THROUGH, TEST, pipe_key
from headstock.formation.train import UnitEnd
from headstock.procedures.broken_off_state import BROKEN_OFF, SafeState
from headstock.procedures.cab_work import all_valves, valve_key, valve_word
from headstock.procedures.places import cab
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


class CabsLeft:
    """Steps on the brake valves from a point on."""

    def __init__(self, safe: SafeState) -> None:
        self.safe, self.task, self.state = safe, safe.task, safe.point.state
        self.joined = self.state[AIR_THROUGH] == "yes"
        self.valves = all_valves(self.task)
        self.moving = {unit.name for unit in self.task.moving_units}

    def charging_ends(self) -> tuple[UnitEnd, ...]:
        """The cabs from which a pipe is charged for a proof: one where the pipe is one."""
        task = self.task
        if self.joined:
            return (task.driven_from if task.parts else task.controls,)
        lead = task.controls if task.controls.unit in self.moving else task.driven_from
        driven = lead if self.state[valve_key(task, lead)] != "locked" else task.driven_from
        # Parting, the pipe of what stays is empty: air in it would be trapped.
        return (driven,) if task.parts else (driven, task.standing_cab)

    def portions_of(self, end: UnitEnd) -> tuple[str, ...]:
        """The portions whose pipe a cab works."""
        task = self.task
        if self.joined:
            return task.moving, task.standing
        return (task.moving,) if end.unit in self.moving else (task.standing,)

    def worker(self, end: UnitEnd) -> str:
        """Who works the valve of a cab."""
        task = self.task
        if self.joined and end == task.rear_cab and self.state[TEST] not in ("none", task.method.stages[-1].key):
            return task.role_for("reads_rear")
        if end == task.driven_from or (end == task.controls and (self.joined or end.unit in self.moving)):
            return task.role_for("drives")
        return task.role_for("works_standing_cab")

    def all(self) -> list[Step]:
        """Every step: to full, locked, and in the cabs that charge unlocked, air brake off."""
        steps = []
        charging = self.charging_ends()
        for key, end in self.valves.items():
            found = self.state[key]
            if found in ("running", "lap") or end in charging:
                befores = {found, "running"} if end in charging else {found}
                steps += [self._to_full(key, end, before) for before in sorted(befores & {"running", "lap"})]
            if found != "locked" or end in charging:
                steps.append(self._lock(key, end, "full"))
            if found == "empty":
                steps.append(self._lock(key, end, "empty"))
            if end in charging:
                steps += [self._unlock(key, end), self._release(key, end)]
        return steps

    def _step(self, key: str, end: UnitEnd, needs: tuple[Fact, ...], effects: tuple[Fact, ...], knows: tuple[Fact, ...],
              allowance: str, phase: str, brief: str) -> Step:  # fmt: skip
        ready = ((BROKEN_OFF, "called"), self.safe.free)
        return Step(key=f"{key}, cab {end}", role=self.worker(end), place=cab(end), needs=(*needs, *ready), effects=effects,
                    knows=knows, duration_s=self.task.rules.allowance_s(allowance), phase=phase, brief=brief)  # fmt: skip

    def _brakes(self, end: UnitEnd) -> tuple[Fact, ...]:
        """The brakes that hold what this cab's pipe holds."""
        return tuple(fact for portion in self.portions_of(end) for fact in self.safe.brakes.get(portion, ()))

    def _to_full(self, key: str, end: UnitEnd, before: str) -> Step:
        pipes = [pipe_key(portion) for portion in self.portions_of(end)]
        after = tuple((p, "empty" if before != "running" and self.state[p] == "empty" else "drawn") for p in pipes)
        word = valve_word(self.task, end, "full")
        return self._step(f"bring the brake valve from {before} to full, wait until the exhaust has ended", end, ((key, before),),
                          ((key, "full"), *after), (), "full_application", "lock",
                          f"Valve of {end} to {word}, exhaust ended.")  # fmt: skip

    def _lock(self, key: str, end: UnitEnd, before: str) -> Step:
        """Shut and locked once the brakes that then hold are known to be on; alone one locks first, and sees to them after."""
        held = self._brakes(end)
        needs, knows = ((key, before), *held), () if self.task.is_alone else held
        return self._step(f"shut and lock the brake valve from {before}, key out", end, needs, ((key, "locked"),), knows, "valve",
                          "lock", f"Valve of {end} shut and locked, key out.")  # fmt: skip

    def _unlock(self, key: str, end: UnitEnd) -> Step:
        others = self._others_locked(key, end)
        return self._step("unlock the brake valve", end, ((key, "locked"), *self._brakes(end), *others), ((key, "full"),),
                          (self.safe.free,) if self.worker(end) != self.safe.between else (), "valve", "prove",
                          f"Valve of {end} unlocked at {valve_word(self.task, end, 'full')}.")  # fmt: skip

    def _release(self, key: str, end: UnitEnd) -> Step:
        held = self._brakes(end)
        pipes = tuple((pipe_key(portion), "charged") for portion in self.portions_of(end))
        names = " and ".join(self.portions_of(end))
        needs = ((key, "full"), *held, *self._others_locked(key, end))
        return self._step("charge the pipe to let the air brake off", end, needs, ((key, "running"), *pipes), held,
                          "full_application", "prove",
                          f"{names}: valve {end} to {valve_word(self.task, end, 'running')}, air brake off.")  # fmt: skip

    def _others_locked(self, key: str, end: UnitEnd) -> tuple[Fact, ...]:
        """Every other valve on the same pipe."""
        shared = set(self.portions_of(end))
        return tuple(
            (other, "locked") for other, at in self.valves.items() if other != key and shared & set(self.portions_of(at))
        )
