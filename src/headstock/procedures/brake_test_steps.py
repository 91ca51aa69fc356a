"""The brake test of a method as ordinary steps, each at its end, by its role, within the limit of the local rules."""

from __future__ import annotations

from headstock.devices.registry import kind_of
from headstock.devices.scene import TEST, pipe_key, proved_key
from headstock.formation.train import UnitEnd
from headstock.local_rules.limit_figures import limit_said
from headstock.local_rules.test_method import COUNTED, CockMove, Stage
from headstock.procedures.cab_work import all_valves, valve_key, valve_word
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import before as before_end
from headstock.procedures.places import beside, cab
from headstock.procedures.scene_variables import BELL, looked_key, protection_key
from headstock.procedures.task import AttachTask
from headstock.procedures.wired_test import GEAR_CAUTION, caution_of, needs_of_wires, place_of_cylinder, tries_bell_both_ways
from headstock.reasoning.step import Step, Utterance
from headstock.reasoning.variable import Fact

TAIL_CAUTION = "The hose is held in both hands, away from the body, before its cock is touched: it whips. Nobody else there."
"""Beside a tail that is opened (common practice, no source)."""
MOVES_BLOCKS = ("running", "full", "empty")
"""What a valve does as blocks come on or go off along the whole train, where nobody at the valve sees who stands at them."""


def cab_of(task: AttachTask, at: str) -> UnitEnd:
    """The cab at the front or the rear of the test."""
    return task.controls if at == "front" else task.rear_cab


def test_path(task: AttachTask) -> tuple[str, ...]:
    """Devices whose touch makes a passed test void: end cocks and hoses of the whole brake pipe."""
    keys = []
    for unit in task.moving_units if task.parts else task.train.units:
        for end in ("1", "2"):
            for at, spec in task.train.end_devices(UnitEnd(unit.name, end)):
                if spec.kind in ("end cock", "hose") and spec.pipe == "brake pipe":
                    keys.append(at.key())
    return tuple(keys)


def unlocked_rear_stages(task: AttachTask) -> frozenset[str]:
    """Stages after which the method leaves the rear valve unlocked."""
    open_now, found = False, set()
    for stage in task.method.stages:
        if stage.valve is not None and stage.valve.at == "rear":
            open_now = stage.valve.after != "locked"
        if open_now:
            found.add(stage.key)
    return frozenset(found)


def open_tail_stages(task: AttachTask) -> frozenset[str]:
    """Stages after which the method leaves the tail cock open, its hose hanging and held."""
    open_now, found = False, set()
    for stage in task.method.stages:
        if stage.cock is not None:
            open_now = stage.cock.after == "open"
        if open_now:
            found.add(stage.key)
    return frozenset(found)


def tail_keys(task: AttachTask) -> tuple[str, str] | None:
    """Variable keys of the brake pipe cock and its hose at the rear of the test; None where there is none."""
    pipe = [(at, spec) for at, spec in task.train.end_devices(task.rear_cab) if getattr(spec, "pipe", "") == "brake pipe"]
    found = {spec.kind: at.key() for at, spec in pipe}
    return (found["end cock"], found["hose"]) if {"end cock", "hose"} <= set(found) else None


def test_steps(task: AttachTask) -> tuple[Step, ...]:
    """One step a stage, in order."""
    steps, before = [], "none"
    for rank, stage in enumerate(task.method.stages):
        steps.append(_stage_step(task, stage, before, rank))
        before = stage.key
    return tuple(steps)


def _stage_step(task: AttachTask, stage: Stage, before: str, rank: int) -> Step:
    end = cab_of(task, stage.at)
    role = task.role_for("drives" if stage.at == "front" else "reads_rear")
    place, goes_to = _where(task, stage)
    needs: list[Fact] = [(TEST, before), *task.made_up, *_standing_safe(task, before in open_tail_stages(task))]
    effects: list[Fact] = [(TEST, stage.key)]
    knows: list[Fact] = [(TEST, before)] if rank else _before_test(task)
    if task.parts and not rank:
        needs.append((pipe_key(task.standing), "empty"))  # what stays is left without bottled air before the other is tested
    if stage.valve is not None:
        needs.append((valve_key(task, end), stage.valve.before))
        effects.append((valve_key(task, end), stage.valve.after))
        if stage.valve.at == "rear" and stage.valve.after != "locked":
            needs.append((valve_key(task, task.controls), "lap"))
    if stage.cock is not None:
        moved = _tail_moved(task, stage.cock)
        needs += [*(fact for fact, _ in moved), (valve_key(task, task.controls), "lap")]
        effects += [fact for _, fact in moved]
    more_needs, more_effects, more_knows = needs_of_wires(task, rank)
    needs, effects, knows = [*needs, *more_needs], [*effects, *more_effects], [*knows, *more_knows]
    if stage.valve is not None or stage.cock is not None:
        effects += [(pipe_key(portion), stage.leaves_pipe) for portion in task.tested]
    return Step(
        key=f"test, {stage.key}: {stage.says}", role=role, place=place, goes_to=goes_to, needs=tuple(needs),
        effects=tuple(effects), knows=tuple(knows), duration_s=task.rules.stage_s(stage) + _counting_s(task, stage),
        phase="test", order=(rank,), brief=_stage_brief(task, stage, end),
        caution=caution_of_stage(stage),
    )  # fmt: skip


def caution_of_stage(stage: Stage) -> str:
    """What stands beside a stage: the tail's hose first, then what the wires or the air set moving along the whole train."""
    if stage.cock is not None:
        return TAIL_CAUTION
    if stage.valve is not None and stage.valve.after in MOVES_BLOCKS:
        return GEAR_CAUTION
    return caution_of(stage)


def _where(task: AttachTask, stage: Stage) -> tuple[str, str | None]:
    """Where a stage is done, and where whoever does it stands afterwards: whoever counts has walked to the other end."""
    if stage.cock is not None:
        return before_end(task.rear_cab), None
    if stage.reading is not None and stage.reading.reads == "brake cylinder":
        return place_of_cylinder(task, cab_of(task, stage.at)), None
    if stage.reading is None or stage.reading.reads not in COUNTED:
        return cab(cab_of(task, stage.at)), None
    last = beside(task.train.vehicle_at(task.rear_cab))
    return last, beside(task.train.vehicle_at(task.controls)) if stage.reading.counts == "all" else None


def _counting_s(task: AttachTask, stage: Stage) -> float:
    """What a count of all brakes takes besides: the walk along the train."""
    if stage.reading is None or stage.reading.reads not in COUNTED or stage.reading.counts != "all":
        return 0.0
    here, there = (task.train.end_position_m(end) for end in (task.rear_cab, task.controls))
    return abs(here - there) / task.rules.walking_m_s.value


def _tail_moved(task: AttachTask, move: CockMove) -> tuple[tuple[Fact, Fact], ...]:
    """Cock and hose of the rear, before and after: opened on a hose that hangs and is held, then put back."""
    keys = tail_keys(task)
    if keys is None:
        return ()
    hose = {"open": "hanging", "shut": "on its dummy"}
    return ((keys[0], move.before), (keys[0], move.after)), ((keys[1], hose[move.before]), (keys[1], hose[move.after]))


def _before_test(task: AttachTask) -> list[Fact]:
    """What whoever charges must know first: the joint is through and everybody out."""
    cocks = [(key, "open") for key in task.joint_cocks]
    if task.parts:  # what was shut between is looked at from outside, after the movement
        cocks = []
    return [*cocks, (protection_key(task.role_for("goes_between")), "none")]


def _standing_safe(task: AttachTask, tail_open: bool) -> list[Fact]:
    """Held without air, nobody between, every other valve locked, outer ends shut but for a tail that the method has opened."""
    facts: list[Fact] = [(protection_key(task.role_for("goes_between")), "none")]
    facts += [*hold_facts(task, task.moving), *hold_facts(task, task.standing)]
    facts.append((proved_key(task.standing), "proved"))
    worked = (task.controls, task.rear_cab)
    facts += [(key, "locked") for key, end in all_valves(task).items() if end not in worked]
    tail = tail_keys(task)
    opened = {tail[0]} if tail_open and tail is not None else set()
    for end in task.test_ends:
        cocks = (at.key() for at, spec in task.train.end_devices(end) if spec.kind == "end cock")
        facts += [(key, "shut") for key in cocks if key not in opened]
    return facts


def _wait_s(task: AttachTask, stage: Stage) -> float:
    """Seconds that the local rules ask a stage to last."""
    return task.rules.limit(stage.waits) if stage.waits is not None else 0.0


def _stage_brief(task: AttachTask, stage: Stage, end: UnitEnd) -> str:
    parts = [stage.says[0].upper() + stage.says[1:]]
    if stage.valve is not None and stage.valve.after != "locked":
        parts.append(f" (handle: {valve_word(task, end, stage.valve.after)})")
    if stage.waits is not None:
        parts.append(f", {_wait_s(task, stage):g} s or more")
    if stage.reading is not None and stage.reading.limit is not None:
        limit = stage.reading.limit
        figure, tail = limit_said(task.rules.limit_read(limit), limit, task.rules.pressure_unit)
        parts.append(f"; limit {figure} {tail}")
    return "".join(parts) + "."


def bell_step(task: AttachTask) -> tuple[Step, ...]:
    """Bell both ways, when a jumper that carries it was joined and the test itself does not ring it so."""
    if task.parts or tries_bell_both_ways(task):
        return ()
    cables = [far[0] for near, far in task.mated if near[1].kind == "jumper" and "bell" in near[1].pins.values()]
    if not cables:
        return ()
    rear, driver = task.role_for("reads_rear"), task.role_for("drives")
    last = task.method.stages[-1].key
    words = task.rules.words.bell.value.format()
    return (
        Step(
            key="try the bell both ways", role=rear, place=cab(task.rear_cab),
            needs=((cables[0].key(), "latched"), (BELL, "not tried"), (TEST, last)), effects=((BELL, "good"),),
            knows=((cables[0].key(), "latched"),), tells=((BELL, "good"),), hearer=driver,
            duration_s=task.rules.allowance_s("bell"), phase="test", order=(90,), brief="Bell both ways.",
            said=(Utterance(rear, driver, words),), hears=(driver,),
        ),
    )  # fmt: skip


def outer_end_look(task: AttachTask, end: UnitEnd) -> tuple[Step, tuple[tuple[str, Fact], ...]]:
    """The last look at an outer end, from outside, and what is known by it."""
    position = "front" if end == task.leaves_from else "rear"
    role = task.role_for(f"dresses_{position}")
    facts: list[Fact] = []
    for at, spec in task.train.end_devices(end):
        facts += kind_of(spec).end_state(at, spec, position, False)  # type: ignore[arg-type]
    holds = (*hold_facts(task, task.moving), *hold_facts(task, task.standing))
    step = Step(
        key=f"look at the outer end {end} from outside", role=role, place=f"before {end}",
        needs=(*facts, *task.made_up, *holds), effects=((looked_key(end), "yes"),), shows=tuple(facts),
        duration_s=task.rules.allowance_s("look_end"), phase="ends", order=(5,),
        brief=f"Outer end {end}: {_seen_at(task, end)}.",
    )  # fmt: skip
    return step, tuple((role, fact) for fact in facts)


def _seen_at(task: AttachTask, end: UnitEnd) -> str:
    """What there is to see at an outer end."""
    kinds = {spec.kind for _, spec in task.train.end_devices(end)}
    said = {"lamp": "lamps", "hose": "hoses on dummies", "end cock": "cocks shut", "automatic coupler": "cover on"}
    return ", ".join(words for kind, words in said.items() if kind in kinds)
