"""Work in the cabs: brake valves before the portions are one, supply, key."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from headstock.devices.cab_valve import Function
from headstock.devices.scene import AIR_THROUGH, COUPLE, GAP, PULLED, TEST, pipe_key, proved_key, supply_key
from headstock.formation.train import Train, UnitEnd
from headstock.procedures.places import cab
from headstock.procedures.scene_variables import AGREED, TESTED_HOLD, looked_key, protection_key
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact

PIPE_BY_VALVE = (("running", "charged"), ("empty", "empty"), ("full", "drawn"), ("lap", "drawn"))
"""What a valve found so makes of the pipe, the strongest first."""


def valve_key(task: AttachTask, end: UnitEnd) -> str:
    """Variable key of the brake valve in a cab."""
    return task.train.cab_valve(end)[0].key()


def all_valves(task: AttachTask) -> dict[str, UnitEnd]:
    """Every brake valve of the train by variable key."""
    ends = [UnitEnd(unit.name, end) for unit in task.train.units for end in ("1", "2")]
    return {valve_key(task, end): end for end in ends if task.train.unit(end.unit).end_spec(end.end).has_cab}


def valve_word(task: AttachTask, end: UnitEnd, does: Function) -> str:
    """The word on the plate for a function of that cab's valve."""
    return task.train.cab_valve(end)[1].word(does)


def pipes_as_found(task: AttachTask, found: Mapping[str, str]) -> dict[str, str]:
    """How far each portion's pipe is charged, by its valves as found; with all of them locked a standing one has leaked empty."""
    if task.parts:
        stands = found[valve_key(task, task.driven_from)]
        pipe = next((pipe for valve, pipe in PIPE_BY_VALVE if valve == stands), "drawn")
        return {pipe_key(task.moving): pipe, pipe_key(task.standing): pipe}
    names = {task.moving: task.moving_units, task.standing: task.standing_units}
    pipes = {}
    for portion, units in names.items():
        inside = {unit.name for unit in units}
        stand = {found[key] for key, end in all_valves(task).items() if end.unit in inside}
        locked = "drawn" if portion == task.moving else "empty"
        pipes[pipe_key(portion)] = next((pipe for valve, pipe in PIPE_BY_VALVE if valve in stand), locked)
    return pipes


def pipe_bar(train: Train, cab: UnitEnd, pipe: str) -> float:
    """What "charged", "drawn" or "empty" is on the gauge of a cab [bar]: its valve's own pressures."""
    _, valve = train.cab_valve(cab)
    if pipe == "charged":
        return valve.set_pressure_bar
    return valve.ends_at_bar("full" if pipe == "drawn" else "empty")


def left_locked(task: AttachTask, step: Step) -> Step:
    """For a driver alone: a cab is left with its valve locked, till the whole train's test; parted, on its own brakes too."""
    if not task.is_alone or step.place is None or step.phase in ("test", "leave", "ends"):
        return step
    behind = [(valve_key(task, end), "locked") for end in (task.driven_from, task.standing_cab) if step.place != cab(end)]
    if task.parts and task.couple is not None and not task.couple.locked and step.place != cab(task.driven_from):
        behind += [(key, "on") for key in task.holds[task.moving].brakes]
    return replace(step, needs=tuple(dict.fromkeys((*step.needs, *behind))))


SUPPLY_CAUTION = "Nobody at a jumper as it comes on."
"""Beside a supply that is switched on (common practice, no source)."""


class CabWork:
    """Steps on the brake valve of one cab by one role, while the portion's pipe is its own."""

    def __init__(self, task: AttachTask, end: UnitEnd, role: str, portion: str, phase: str) -> None:
        self.task, self.end, self.role, self.phase = task, end, role, phase
        self.valve, self.pipe = valve_key(task, end), pipe_key(portion)
        self.portion = portion

    def _step(self, key: str, before: str, after: str, pipe: str, brief: str, needs: tuple[Fact, ...] = (),
              knows: tuple[Fact, ...] = (), allowance: str = "valve") -> Step:  # fmt: skip
        effects: tuple[Fact, ...] = ((self.valve, after),)
        apart = ((AIR_THROUGH, "no"),) if pipe else ()
        if pipe:
            effects += ((self.pipe, pipe),)
        return Step(
            key=f"{key}, cab {self.end}", role=self.role, place=cab(self.end),
            needs=((self.valve, before), *apart, *needs), effects=effects, knows=knows,
            duration_s=self.task.rules.allowance_s(allowance), phase=self.phase, brief=brief,
        )  # fmt: skip

    def unlock(self) -> Step:
        """Unlock with the handle at full: the brake stays on. Only when everybody is out and said so."""
        between = protection_key(self.task.role_for("goes_between"))
        told = self.role == self.task.role_for("drives") and not self.task.is_alone
        knows = ((between, "none"),) if told else ()
        needs = ((between, "none"), (AGREED, "yes"))
        word = valve_word(self.task, self.end, "full")
        return self._step("unlock the brake valve", "locked", "full", "", f"Valve of {self.end} unlocked at {word}.",
                          needs, knows)  # fmt: skip

    def release(self, holds: tuple[Fact, ...]) -> Step:
        """Let the air brake off to see whether the other brakes hold."""
        word = valve_word(self.task, self.end, "running")
        return self._step("charge the pipe to let the air brake off", "full", "running", "charged",
                          f"{self.portion}: valve {self.end} to {word}, air brake off.", (*holds, *self._ends_shut()),
                          allowance="full_application")  # fmt: skip

    def _ends_shut(self) -> tuple[Fact, ...]:
        """The portion's own brake pipe ends: with one open its pipe cannot be charged."""
        task = self.task
        moving = self.portion == task.moving
        first, last = task.train.outer_ends
        outer = (first if task.moving_first == moving else last, task.near if moving else task.far)
        return tuple(
            (at.key(), "shut")
            for end in outer
            for at, spec in task.train.end_devices(end)
            if spec.kind == "end cock" and spec.pipe == "brake pipe"
        )

    def apply(self) -> Step:
        """Full application, exhaust ended, once the hold is known to be proved."""
        word = valve_word(self.task, self.end, "full")
        return self._step("make a full application, wait until the exhaust has ended", "running", "full", "drawn",
                          f"Valve of {self.end} to {word}, exhaust ended.", knows=self._proved(),
                          allowance="full_application")  # fmt: skip

    def to_full_as_found(self, found: str) -> Step:
        """A valve found at running, lap or empty is brought to full first; what has gone out of the pipe stays out."""
        word = valve_word(self.task, self.end, "full")
        needs = ((AGREED, "yes"), (proved_key(self.portion), "unproved"))
        return self._step(f"bring the brake valve from {found} to full, wait until the exhaust has ended", found, "full",
                          "empty" if found == "empty" else "drawn", f"Valve of {self.end} to {word}, exhaust ended.", needs,
                          allowance="full_application")  # fmt: skip

    def _proved(self) -> tuple[Fact, ...]:
        return ((proved_key(self.portion), "proved"),)

    def empty(self) -> Step:
        """Let the pipe down to nothing, so that it cannot ease the other portion's brake when they are joined."""
        word = valve_word(self.task, self.end, "empty")
        return self._step("let the brake pipe down to nothing", "running", "empty", "empty",
                          f"Then pipe to 0 ({word}), valve locked.", knows=self._proved(),
                          allowance="empty_pipe")  # fmt: skip

    def empty_from(self, before: str, secured: tuple[Fact, ...]) -> Step:
        """The pipe of a portion without air let down to nothing, once it is secured without its air brake."""
        word = valve_word(self.task, self.end, "empty")
        return self._step(f"let the brake pipe down to nothing from {before}", before, "empty", "empty",
                          f"Pipe to 0 ({word}), valve locked.", (*secured, (AGREED, "yes")), secured,
                          allowance="empty_pipe")  # fmt: skip

    def see_applied(self) -> Step:
        """A full application seen on the cab's own gauge: as found, and anew after each movement."""
        drawn, full = (self.pipe, "drawn"), (self.valve, "full")
        by_couplers = self.task.couple is not None or self.task.joins_air_by_the_blow
        apart = ((AIR_THROUGH, "no"),) if not by_couplers else ()
        return Step(
            key=f"read the brake pipe gauge: full application, exhaust ended, cab {self.end}", role=self.role,
            place=cab(self.end), needs=(drawn, full, *apart), shows=(drawn,), phase=self.phase,
            duration_s=self.task.rules.allowance_s("read_gauge"), brief=f"Gauge of {self.end}: full application stands.",
        )  # fmt: skip

    def lock(self, before: str) -> Step:
        """Shut and lock, key out."""
        between = self.role == self.task.role_for("drives")
        drawn = ((self.pipe, "drawn"),) if between and before == "full" else ()
        return self._step(f"shut and lock the brake valve from {before}", before, "locked", "",
                          f"Valve of {self.end} shut and locked." if between else "", drawn)  # fmt: skip


def standing_cab_steps(task: AttachTask, holds: tuple[Fact, ...]) -> tuple[Step, ...]:
    """The standing portion's cab: air brake off to prove the hold, pipe to nothing, locked."""
    work = CabWork(task, task.standing_cab, task.role_for("works_standing_cab"), task.standing, "hold")
    steps = (_before_one_pipe(work.unlock()), work.release(holds), work.empty(), work.lock("empty"), *supply_seen_off(task))
    return (*steps, *_found_otherwise(task, work))


def supply_seen_off(task: AttachTask) -> tuple[Step, Step]:
    """The standing portion's supply, seen off from its cab, and switched off where it is not."""
    role, supply = task.role_for("works_standing_cab"), (supply_key(task.far.unit), "off")
    look = Step(
        key=f"see that the electric supply of {task.far.unit} is off", role=role, place=cab(task.standing_cab),
        needs=(supply,), shows=(supply,), duration_s=task.rules.allowance_s("look"), phase="hold",
        brief=f"Supply of {task.far.unit} seen off.",
    )  # fmt: skip
    return look, _supply(task, task.far, task.standing_cab, role, "off", "hold")


def moving_cab_steps(task: AttachTask, holds: tuple[Fact, ...]) -> tuple[Step, ...]:
    """The cab from which the moving portion is driven."""
    work = CabWork(task, task.driven_from, task.role_for("drives"), task.moving, "")
    unlock = work.unlock() if task.driven_from == task.controls else _before_one_pipe(work.unlock())
    # Its air brake is let off only to prove its hold, which is done before the approach.
    proof = (replace(step, needs=(*step.needs, (GAP, "apart"))) for step in (work.release(holds), work.apply()))
    steps = [unlock, *proof, work.see_applied(), work.lock("full")]
    steps.append(_supply(task, task.near, task.driven_from, work.role, "off", ""))
    return (*steps, *_found_otherwise(task, work))


def _found_otherwise(task: AttachTask, work: CabWork) -> tuple[Step, ...]:
    found = task.as_found[work.valve]
    return (work.to_full_as_found(found),) if found not in ("locked", "full") else ()


def _before_one_pipe(unlock: Step) -> Step:
    """Once the portions share one pipe, only the controlling cab's valve and the test's own stages are unlocked."""
    return replace(unlock, needs=(*unlock.needs, (AIR_THROUGH, "no")))


def other_cab_steps(task: AttachTask) -> tuple[Step, ...]:
    """Valves found unlocked in cabs that nobody works from are shut."""
    steps = []
    worked = {task.driven_from, task.standing_cab}
    for key, end in all_valves(task).items():
        if end in worked or task.as_found[key] == "locked":
            continue
        role = task.role_for("works_standing_cab")
        steps.append(
            Step(key=f"shut and lock the brake valve, cab {end}", role=role, place=cab(end),
                 needs=((AGREED, "yes"), (key, task.as_found[key])), effects=((key, "locked"),),
                 duration_s=task.rules.allowance_s("valve"), phase="hold", brief=f"Valve of {end} locked.")
        )  # fmt: skip
    return tuple(steps)


def leading_cab_steps(task: AttachTask, last_stage: str, holds: tuple[Fact, ...]) -> tuple[Step, ...]:
    """The cab that controls afterwards: unlock it, and after the test hold the train on its brake."""
    role = task.role_for("drives")
    portion = task.moving if task.controls.unit in {u.name for u in task.moving_units} else task.standing
    work = CabWork(task, task.controls, role, portion, "test")
    valve = valve_key(task, task.controls)
    pipes = tuple((pipe_key(portion), "drawn") for portion in task.tested)
    looked = tuple((looked_key(end), "yes") for end in task.test_ends)
    word = valve_word(task, task.controls, "full")
    hold = Step(
        key=f"hold the train on a full application, cab {task.controls}", role=role, place=cab(task.controls),
        needs=((TEST, last_stage), (valve, "running"), *task.made_up, *looked, *holds),
        effects=((valve, "full"), (TESTED_HOLD, "yes"), *pipes), knows=((TEST, last_stage),),
        duration_s=task.rules.allowance_s("full_application"), phase="leave",
        brief=f"Valve of {task.controls} to {word}: the tested brake holds the train.",
    )  # fmt: skip
    steps = [hold]
    if task.controls != task.driven_from:
        unlock = work.unlock()
        steps.append(replace(unlock, needs=(*unlock.needs, *holds, *task.made_up)))
    if task.controls.unit == task.near.unit:
        steps.append(_supply(task, task.near, task.controls, role, "on", "leave"))
    return tuple(steps)


def _jumpers_latched(task: AttachTask) -> tuple[Fact, ...]:
    """No supply comes on over a jumper that somebody has yet to handle."""
    cables = () if task.parts else (far[0].key() for near, far in task.mated if near[1].kind == "jumper")
    return tuple((key, "latched") for key in cables)


def _supply(task: AttachTask, of: UnitEnd, at: UnitEnd, role: str, value: str, phase: str) -> Step:
    other = "on" if value == "off" else "off"
    between = protection_key(task.role_for("goes_between"))
    needs: tuple[Fact, ...] = ((supply_key(of.unit), other), (between, "none"))
    if value == "on":
        needs += ((COUPLE, "apart") if task.parts else (PULLED, "held"), *task.made_up, *_jumpers_latched(task))
    else:
        # Off before the pipes are one; where they were found one already, when it comes to that.
        needs += () if task.couple is not None else ((AIR_THROUGH, "yes" if task.parts else "no"),)
    return Step(
        key=f"switch the electric supply of {of.unit} {value}, cab {at}", role=role, place=cab(at), needs=needs,
        effects=((supply_key(of.unit), value),), knows=((between, "none"),) if value == "on" and not task.is_alone else (),
        duration_s=task.rules.allowance_s("supply"), phase=phase, brief=f"Supply of {of.unit} {value}.",
        caution=SUPPLY_CAUTION if value == "on" else "",
    )  # fmt: skip
