"""Looks of an attaching job: cocks, what must be so before ends touch, whether a portion stands."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.devices.scene import AIR_THROUGH, GAP, pipe_key, proved_key
from headstock.procedures.coupling import dressed_facts
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import BETWEEN
from headstock.procedures.rescue_work import watch_dead
from headstock.procedures.task import AttachTask
from headstock.reasoning.step import Step
from headstock.reasoning.variable import Fact


def cock_looks(task: AttachTask) -> Iterator[Step]:
    """One look at all cocks of each joint end before hoses are handled; which way a handle lies is data of each cock."""
    for end in (task.near, task.far):
        cocks = [(at, spec) for at, spec in task.train.end_devices(end) if spec.kind == "end cock"]
        facts = tuple((at.key(), "shut") for at, _ in cocks)
        handles = " or ".join(dict.fromkeys(spec.handle_when_shut for _, spec in cocks))
        yield Step(
            key=f"look at the cocks of {end}: shut, handles {handles}",
            role=task.role_for("goes_between"),
            place=BETWEEN,
            needs=facts,
            shows=facts,
            duration_s=task.rules.allowance_s("look"),
            phase="between",
            order=(0,),
            brief=f"Look: all cocks at the joint shut, handles {handles}.",
        )


def dressed_looks(task: AttachTask) -> Iterator[Step]:
    """One look at everything that must be so at an end before it touches another."""
    for end in (task.near, task.far):
        facts = tuple(fact for fact in dressed_facts(task) if fact[0].startswith(f"{end}."))
        if not facts:
            continue
        kinds = {at.key(): spec.kind for at, spec in task.train.end_devices(end)}
        said = ", ".join(dict.fromkeys(_plainly(fact, kinds) for fact in facts))
        yield Step(
            key=f"look at the end {end}: {said}", role=task.role_for("goes_between"), place=BETWEEN,
            needs=((GAP, "apart"), *facts), shows=facts, duration_s=task.rules.allowance_s("look_both_sides"), phase="dress",
            order=(8,), brief=f"Look at {end}: {said}.",
        )  # fmt: skip


def _plainly(fact: Fact, kinds: dict[str, str]) -> str:
    """What it is, with its state: "pin home", "buffers in"."""
    return f"{kinds.get(fact[0], fact[0].rpartition('.')[2])} {fact[1]}"


def watch_standing(task: AttachTask, place: str) -> Step:
    """By its own air off, or where it has none by its cylinders let out."""
    return watch(task, task.standing, place) if task.rescue is None else watch_dead(task, task.rescue, place)


def watch(task: AttachTask, portion: str, place: str) -> Step:
    """The hold of a portion proved: air brake off, watched for the rules' time."""
    holds = hold_facts(task, portion)
    charged = (pipe_key(portion), "charged")
    needs = (*holds, charged, (GAP, "apart"), (AIR_THROUGH, "no"))
    seconds = task.rules.holding.watch_s.value
    return Step(
        key=f"watch {portion} for {seconds:g} s: it stands", role=task.role_for("looks_at_holds"), place=place,
        needs=needs, effects=((proved_key(portion), "proved"),), shows=((proved_key(portion), "proved"),),
        knows=(*holds, charged), duration_s=seconds + task.rules.allowance_s("look"), phase="hold", order=(5,),
        brief=f"Watch {portion} {seconds:g} s with the air brake off: it stands.",
        caution="Prove the hold before any other hold comes off.",
    )  # fmt: skip
