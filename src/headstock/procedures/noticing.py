"""How the work of a job answers to mistakes: what air does by itself, what a test can show, what people have before them.

Common practice, no source: what a person notices unasked is a judgement, and it is made narrow. A handle in hand, the gap
between the ends, one's own valve; a movement that a brake holds back; air that escapes. Not a cock one does not touch, not
a gauge one does not read, not what somebody else has done.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from headstock.devices.end_cock import hose_key
from headstock.devices.scene import AIR_THROUGH, AUTHORITY, COUPLE, GAP, PULLED, SLACK, TEST, pipe_key, proved_key
from headstock.formation.train import UnitEnd
from headstock.procedures.brake_test_steps import cab_of
from headstock.procedures.cab_work import all_valves, valve_key
from headstock.procedures.couple_found import ICE, RELEASE_AIR, ports_key
from headstock.procedures.likeness import fellow_steps
from headstock.procedures.movement import hold_facts
from headstock.procedures.places import BETWEEN, JOINT, cab
from headstock.procedures.scene_variables import BELL, CLEAR, TESTED_HOLD, looked_key
from headstock.procedures.task import AttachTask
from headstock.procedures.wired_test import shown_by_wires
from headstock.reasoning.constraint import Constraint, State
from headstock.reasoning.domain import Domain
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Conditions, Follows, Ident, RestsOn, Surroundings
from headstock.reasoning.variable import Fact


def surroundings_of(task: AttachTask, domain: Domain) -> Surroundings:
    """What mistakes in a job of work meet."""
    answers = _Answers(task, domain)
    idents = {step.ident: step for step in domain.steps}
    return Surroundings(
        follows=answers.follows(),
        rests={ident: found for ident, step in idents.items() if (found := tuple(answers.rests(step)))},
        at_hand={ident: answers.at_hand(step) for ident, step in idents.items()},
        looks=answers.readings(),
        heard=(Constraint("escaping air", "air escapes from a hose, and is heard", "", EscapingAir(task)),),
        fellows=fellow_steps(domain, (str(task.near), str(task.far))),
        with_first=frozenset({AUTHORITY}),
        with_former=frozenset({*answers.pipes, TESTED_HOLD}),
    )


class EscapingAir:
    """Air that comes out of a hose: its cock open, the hose not joined, air behind it."""

    def __init__(self, task: AttachTask) -> None:
        portions = ((task.moving, task.moving_units), (task.standing, task.standing_units))
        pipe_of = {unit.name: pipe_key(portion) for portion, units in portions for unit in units}
        self.cocks = [
            (at.key(), hose_key(at), pipe_of[at.unit] if spec.pipe == "brake pipe" else "", f"{spec.pipe} hose of {at.where}")
            for at, spec in task.train.devices()
            if spec.kind == "end cock"
        ]

    def __call__(self, state: State) -> str | None:
        for cock, hose, pipe, said in self.cocks:
            if state[cock] == "open" and state[hose] != "joined" and (not pipe or state[pipe] != "empty"):
                return f"air escapes from the {said}"
        return None


class _Answers:
    def __init__(self, task: AttachTask, domain: Domain) -> None:
        self.task, self.domain = task, domain
        self.records = {TEST, TESTED_HOLD, CLEAR, BELL, PULLED, COUPLE, AIR_THROUGH}
        self.records |= {proved_key(task.moving), proved_key(task.standing)}
        self.records |= {looked_key(end) for end in task.train.outer_ends}
        self.pipes = (pipe_key(task.moving), pipe_key(task.standing))
        self.cab_of_place = {cab(end): end for end in all_valves(task).values()}

    def _pipe_of(self, end: UnitEnd) -> str:
        return self.pipes[0 if end.unit in {unit.name for unit in self.task.moving_units} else 1]

    def follows(self) -> tuple[Follows, ...]:
        """The brake pipe is through when its cocks are open and its hoses joined; an empty one then takes air from the other."""
        wanted: list[tuple[Fact, ...]] = []
        for pair in self.task.mated:
            for at, spec in pair:
                if spec.kind in ("end cock", "hose") and spec.pipe == "brake pipe":
                    wanted.append(((at.key(), "open" if spec.kind == "end cock" else "joined"),))
        if not wanted:
            return ()
        moving, standing = self.pipes
        through: Conditions = (((AIR_THROUGH, "yes"),), ((moving, "drawn"),), ((standing, "empty"),))
        return (
            Follows((AIR_THROUGH, "yes"), tuple(wanted), "no"),
            Follows((standing, "drawn"), through),
        )

    def rests(self, step: Step) -> Iterator[RestsOn]:
        """Effects of a step that do not come about by doing it alone."""
        here = self.cab_of_place.get(step.place or "")
        yield from self._of_letting_go(step)
        yield from self._of_a_part_made_couple(step)
        for fact in step.effects:
            if fact[0] in self.pipes and here is not None and fact[0] != self._pipe_of(here):
                yield RestsOn(fact, (((AIR_THROUGH, "yes"),),))
            elif fact == (COUPLE, "locked"):
                yield from self._coupled(fact)
            elif fact[0] == PULLED:
                yield RestsOn(fact, (((COUPLE, "locked"),),))
            elif fact[1] == "proved":
                yield RestsOn(fact, tuple((need,) for need in step.needs if need[0] != GAP))
            elif fact[0] == BELL:
                yield RestsOn(fact, self._bell_rings(step), seen=True)

    def _of_letting_go(self, step: Step) -> Iterator[RestsOn]:
        """A lock, latch or screw gives only when the couple is eased; a latch free of ice and with air for it."""
        eased = tuple((need,) for need in step.needs if need[0] in (ICE, SLACK, RELEASE_AIR))
        if (COUPLE, "apart") in step.effects and eased:
            turned = {self.task.screw.key} if self.task.screw is not None else set()
            yield from (RestsOn(fact, eased) for fact in step.effects if fact[0] in {COUPLE, *turned})

    def _of_a_part_made_couple(self, step: Step) -> Iterator[RestsOn]:
        """A latch takes only when ready; air passes clear ports alone."""
        if self.task.couple is None:
            return
        ends = (self.task.near, self.task.far)
        if (COUPLE, "locked") in step.effects:
            yield RestsOn((COUPLE, "locked"), tuple(((at.key("latch"), "ready"),) for at, _ in self.task.couplers))
            if (AIR_THROUGH, "yes") in step.effects:
                yield RestsOn((AIR_THROUGH, "yes"), tuple(((ports_key(end), "clear"),) for end in ends))

    def _coupled(self, fact: Fact) -> Iterator[RestsOn]:
        """Two knuckles close round one another only when one of them stands open; a screw is turned over a hook."""
        if self.task.screw is not None:
            yield RestsOn(fact, (((self.task.screw.key, "over the hook"),),))
            return
        jaws = [f"{end}.coupler.jaw" for end in (self.task.near, self.task.far)]
        found = tuple((jaw, "open") for jaw in jaws if jaw in self.domain.variables)
        if found:
            yield RestsOn(fact, (found,))

    @staticmethod
    def _bell_rings(step: Step) -> Conditions:
        return tuple(
            ((key, "entered"), (key, "latched")) if value == "latched" else ((key, value),)
            for key, value in step.needs
            if value == "latched"
        )

    def at_hand(self, step: Step) -> frozenset[str]:
        """Variables whose unmet needs the role of a step notices before acting."""
        task = self.task
        if step.ages == "everybody":
            own = {key for key, _ in hold_facts(task, task.moving)}
            called = set() if task.is_alone else {AUTHORITY}  # a driver alone forgets his own horn and look unseen
            return frozenset({valve_key(task, task.driven_from), pipe_key(task.moving), GAP, *called, *own})
        found = set(step.touched()) - self.records
        if step.place in (JOINT, BETWEEN, cab(task.driven_from)):
            found.add(GAP)
        if (end := self.cab_of_place.get(step.place or "")) is not None:
            found.add(valve_key(task, end))
        return frozenset(found)

    def readings(self) -> Mapping[Ident, tuple[Fact, ...]]:
        """What the gauge of each stage of the test shows: the pipe at that end, or what wires make of it."""
        task, found, by_wires = self.task, {}, shown_by_wires(self.task)
        for stage in task.method.stages:
            if stage.reading is None:
                continue
            facts = by_wires.get(stage.key, ((self._pipe_of(cab_of(task, stage.reading.at)), stage.leaves_pipe),))
            for step in self.domain.steps:
                if (TEST, stage.key) in step.effects:
                    found[step.ident] = facts
        return found
