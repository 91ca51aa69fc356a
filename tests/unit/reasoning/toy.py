"""A toy world for planner and checker: a lamp in a closed shed, a door, a key, one who works and one who must know."""

from __future__ import annotations

from dataclasses import replace

from headstock.reasoning.constraint import Constraint, State, place_key
from headstock.reasoning.domain import Domain, Place, Window
from headstock.reasoning.step import Step
from headstock.reasoning.telling import tellings
from headstock.reasoning.variable import Variable, index_by_key

WORKER, KEEPER = "worker", "keeper"


def _nobody_in_the_dark(state: State) -> str | None:
    if state[place_key(WORKER)] == "shed" and state["door"] == "shut":
        return "the worker is shut in"
    return None


def toy_domain(fresh: bool = False) -> Domain:
    """The keeper opens the door; the worker goes in, lights the lamp, looks, comes out; the keeper must know it is lit."""
    variables = index_by_key(
        (
            Variable("door", ("shut", "open"), "device", "door"),
            Variable("lamp", ("off", "lit"), "device", "lamp", sign=True, fresh=fresh),
            Variable("board", ("off", "on"), "device", "board"),
        )
    )
    steps = (
        Step("open the door", KEEPER, "gate", needs=(("door", "shut"),), effects=(("door", "open"),), duration_s=5),
        Step("shut the door", KEEPER, "gate", needs=(("door", "open"), (place_key(WORKER), "yard")),
             effects=(("door", "shut"),), knows=(("lamp", "lit"),), duration_s=5),
        Step("go in", WORKER, "yard", goes_to="shed", needs=(("door", "open"),), knows=(("door", "open"),), duration_s=2),
        Step("light the lamp", WORKER, "shed", needs=(("lamp", "off"),), effects=(("lamp", "lit"),), duration_s=3),
        Step("look at the lamp", WORKER, "shed", needs=(("lamp", "lit"),), shows=(("lamp", "lit"),), duration_s=1),
        Step("come out", WORKER, "shed", goes_to="yard", ages="self", duration_s=2),
        Step("paint the board", KEEPER, "gate", needs=(("board", "off"),), effects=(("board", "on"),), duration_s=9),
    )  # fmt: skip
    goal_knows = ((KEEPER, ("lamp", "lit")),)
    said = tellings(steps, goal_knows, variables, 1.0, lambda fact: "", {})
    return Domain(
        variables=variables,
        places={
            "yard": Place("yard", "in the yard", 0.0),
            "gate": Place("gate", "at the gate", 12.0),
            "shed": Place("shed", "in the shed", 0.0, closed=True),
        },
        people={WORKER: "yard", KEEPER: "yard"},
        steps=(*steps, *said),
        constraints=(Constraint("dark", "nobody is shut in", "harm", _nobody_in_the_dark),),
        start={"door": "shut", "lamp": "off", "board": "off"},
        goal=(("door", "shut"), ("lamp", "lit")),
        goal_knows=goal_knows,
        windows=(Window(WORKER, "shed", (("go in",),), (("come out",),), (place_key(WORKER), "yard")),),
    )


def without_step(domain: Domain, key: str) -> Domain:
    """The toy with one step taken away."""
    return replace(domain, steps=tuple(step for step in domain.steps if step.key != key))
