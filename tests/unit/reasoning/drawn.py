"""Small domains drawn by chance: two roles, a closed place, things that go to and fro, knowledge that is told and lost."""

from __future__ import annotations

from random import Random

from headstock.reasoning.domain import Domain, Place
from headstock.reasoning.step import Step
from headstock.reasoning.telling import tellings
from headstock.reasoning.variable import Fact, Variable, index_by_key

ROLES = ("a", "b")
OPEN = ("west", "middle", "east")
PLACES = {
    **{key: Place(key, key, 10.0 * at, 2.0 * (at == 2)) for at, key in enumerate(OPEN)},
    "inside": Place("inside", "inside", 10.0, closed=True),
}


def drawn_domain(seed: int) -> Domain:
    """A domain of four things with two or three values; not every one can be solved."""
    draw = Random(seed)
    variables = index_by_key(
        tuple(
            Variable(f"v{number}", ("x", "y", "z")[: draw.choice((2, 2, 3))], "device", f"v{number}",
                     sign=draw.random() < 0.3, fresh=draw.random() < 0.3)
            for number in range(4)
        )
    )  # fmt: skip
    steps = [_act(draw, variables, number) for number in range(draw.randint(9, 14))]
    steps += [_look(draw, variables, number) for number in range(2)]
    steps += [
        Step("go in", "a", "middle", goes_to="inside", needs=_facts(draw, variables, 1), duration_s=draw.randint(1, 9)),
        Step("come out", "a", "inside", goes_to="middle", ages=draw.choice(("self", "nobody")), duration_s=draw.randint(1, 9)),
    ]
    start = {key: draw.choice(variable.domain) for key, variable in variables.items()}
    goal = tuple((key, draw.choice([value for value in variables[key].domain if value != start[key]]))
                 for key in draw.sample(sorted(variables), draw.randint(1, 2)))  # fmt: skip
    goal += tuple((key, start[key]) for key in variables if key not in dict(goal) and draw.random() < 0.4)
    goal_knows = tuple((draw.choice(ROLES), fact) for fact in draw.sample(goal, draw.randint(0, 1)))
    owners = {key: draw.choice(ROLES) for key in variables}
    try:
        said = tellings(tuple(steps), goal_knows, variables, 2.0, lambda fact: "", owners)
    except ValueError:
        said = ()
    return Domain(
        variables=variables,
        places=PLACES,
        people={"a": draw.choice(OPEN), "b": draw.choice(OPEN)},
        steps=(*steps, *said),
        constraints=(),
        start=start,
        goal=goal,
        goal_knows=goal_knows,
        walking_m_s=1.0,
        voids={"v0": ("v1", "x")} if draw.random() < 0.3 else {},
    )  # fmt: skip


def tidy_domain(seed: int) -> Domain:
    """A domain of six things that each go one way and a few that go back: most steps do not stand in one another's way."""
    draw = Random(seed)
    variables = index_by_key(tuple(Variable(f"v{n}", ("x", "y"), "device", f"v{n}", sign=draw.random() < 0.3) for n in range(6)))
    steps = []
    for number, key in enumerate(variables):
        role = draw.choice(ROLES)
        place = draw.choice((*OPEN, "inside", "inside", None) if role == "a" else (*OPEN, None))
        earlier = [(f"v{one}", draw.choice("xyy")) for one in draw.sample(range(number), min(number, draw.randint(0, 2)))]
        knows = tuple(earlier[:1]) if draw.random() < 0.4 else ()
        steps.append(Step(f"do {key}", role, place, needs=((key, "x"), *earlier), effects=((key, "y"),), knows=knows,
                          duration_s=draw.randint(1, 20)))  # fmt: skip
        if draw.random() < 0.25:
            steps.append(Step(f"undo {key}", draw.choice(ROLES), draw.choice(OPEN), needs=((key, "y"),), effects=((key, "x"),),
                              duration_s=draw.randint(1, 20)))  # fmt: skip
        if draw.random() < 0.4:
            steps.append(Step(f"look at {key}", draw.choice(ROLES), draw.choice(OPEN), needs=((key, "y"),), shows=((key, "y"),),
                              duration_s=draw.randint(1, 9)))  # fmt: skip
    steps += [Step("go in", "a", "middle", goes_to="inside", duration_s=draw.randint(1, 9)),
              Step("come out", "a", "inside", goes_to="middle", duration_s=draw.randint(1, 9))]  # fmt: skip
    goal = tuple((key, "x" if f"undo {key}" in {s.key for s in steps} and draw.random() < 0.3 else "y") for key in variables)
    goal_knows = tuple((draw.choice(ROLES), (f"v{n}", "y")) for n in draw.sample(range(6), 2) if (f"v{n}", "y") in goal)
    owners = {key: draw.choice(ROLES) for key in variables}
    said = tellings(tuple(steps), goal_knows, variables, 2.0, lambda fact: "", owners)
    people, start = {"a": "middle", "b": draw.choice(OPEN)}, dict.fromkeys(variables, "x")
    return Domain(variables, PLACES, people, (*steps, *said), (), start, goal, goal_knows, walking_m_s=1.0)


def holding_domain(seed: int) -> Domain:
    """A thing that is put on, off for a movement and on again, work that needs it so or the movement made, walking for all."""
    draw = Random(seed)
    values = {"hold": ("off", "on"), "other": ("off", "on"), "moved": ("x", "y", "z"), **{f"w{n}": ("x", "y") for n in range(4)}}
    variables = index_by_key(tuple(Variable(key, ways, "device", key) for key, ways in values.items()))
    steps = []
    for key in ("hold", "other"):
        role, place = draw.choice(ROLES), draw.choice(OPEN)
        for one, then in (("off", "on"), ("on", "off")):
            steps.append(Step(f"{key} {then}", role, place, needs=((key, one),), effects=((key, then),),
                              duration_s=draw.randint(1, 30)))  # fmt: skip
    if draw.random() < 0.5:
        last = (("hold", "on"), ("moved", "z"))
        steps.append(Step("hold off at last", draw.choice(ROLES), draw.choice(OPEN), needs=last, effects=(("hold", "off"),),
                          duration_s=draw.randint(1, 30)))  # fmt: skip
    for one, then in (("x", "y"), ("y", "z")):
        free = (("moved", one), *((key, draw.choice(("off", "off", "on"))) for key in ("hold", "other") if draw.random() < 0.7))
        steps.append(Step(f"move to {then}", draw.choice(ROLES), draw.choice((*OPEN, None)), needs=free,
                          effects=(("moved", then),), duration_s=draw.randint(1, 9)))  # fmt: skip
    for number in range(4):
        asked = [("moved", draw.choice("xyz"))] if draw.random() < 0.6 else []
        asked += [(key, draw.choice(("on", "on", "off"))) for key in ("hold", "other") if draw.random() < 0.5]
        asked += [(f"w{number - 1}", "y")] if number and draw.random() < 0.3 else []
        steps.append(Step(f"work {number}", draw.choice(ROLES), draw.choice(OPEN), needs=((f"w{number}", "x"), *asked),
                          effects=((f"w{number}", "y"),), duration_s=draw.randint(1, 9)))  # fmt: skip
    goal = (*tuple((f"w{number}", "y") for number in range(4)), ("moved", "z"), ("hold", draw.choice(("off", "off", "on"))))
    start = {key: draw.choice(ways) if key in ("hold", "other") else "x" for key, ways in values.items()}
    people = {"a": draw.choice(OPEN), "b": draw.choice(OPEN)}
    return Domain(variables, PLACES, people, tuple(steps), (), start, goal, (), walking_m_s=1.0)


def valve_domain(seed: int) -> Domain:
    """A valve of three values that goes to and fro, a brake, movements that never come back, work that waits for them."""
    draw = Random(seed)
    values = {"valve": ("locked", "full", "running"), "brake": ("on", "off"), "moved": ("x", "y", "z"),
              **{f"w{n}": ("x", "y") for n in range(3)}}  # fmt: skip
    variables = index_by_key(tuple(Variable(key, ways, "device", key) for key, ways in values.items()))
    steps = []
    for one, then in (("locked", "full"), ("full", "running"), ("running", "full"), ("full", "locked"), ("running", "locked")):
        asked = [("moved", draw.choice("xyz"))] if draw.random() < 0.2 else []
        asked += [("brake", "on")] if draw.random() < 0.2 else []
        if draw.random() < 0.9:
            steps.append(
                walked(draw, f"valve from {one} to {then}", draw.choice(("middle", "east")), asked, ("valve", one, then))
            )
    for one, then in (("on", "off"), ("off", "on")):
        asked = [("valve", draw.choice(values["valve"]))] if draw.random() < 0.4 else []
        steps.append(walked(draw, f"brake {then}", "middle", asked, ("brake", one, then)))
    for one, then in (("x", "y"), ("y", "z")):
        asked = [("valve", draw.choice(("full", "running"))), ("brake", "off")][: draw.randint(0, 2)]
        steps.append(walked(draw, f"move to {then}", "middle", asked, ("moved", one, then)))
    for number in range(3):
        asked = [("moved", draw.choice("xyz"))] if draw.random() < 0.6 else []
        asked += [("valve", draw.choice(values["valve"]))] if draw.random() < 0.7 else []
        asked += [("brake", draw.choice(("on", "off")))] if draw.random() < 0.4 else []
        steps.append(walked(draw, f"work {number}", draw.choice(OPEN), asked, (f"w{number}", "x", "y")))
    goal = (*((f"w{number}", "y") for number in range(3)), ("moved", "z"), ("valve", draw.choice(values["valve"])))
    start = {key: ways[0] for key, ways in values.items()}
    people = {"a": draw.choice(OPEN), "b": draw.choice(OPEN)}
    return Domain(variables, PLACES, people, tuple(steps), (), start, goal, (), walking_m_s=1.0)


def walked(draw: Random, key: str, place: str, asked: list[Fact], change: tuple[str, str, str]) -> Step:
    """A step at a place that changes one thing; by the first person three times out of four."""
    thing, one, then = change
    return Step(key, draw.choice("aaab"), place, needs=((thing, one), *asked), effects=((thing, then),),
                duration_s=draw.randint(1, 30))  # fmt: skip


def _facts(draw: Random, variables: dict[str, Variable], most: int) -> tuple[Fact, ...]:
    keys = draw.sample(sorted(variables), draw.randint(0, most)) if most else []
    return tuple((key, draw.choice(variables[key].domain)) for key in keys)


def _act(draw: Random, variables: dict[str, Variable], number: int) -> Step:
    role = draw.choice(ROLES)
    key = draw.choice(sorted(variables))
    before, after = draw.sample(variables[key].domain, 2)
    place = draw.choice((*OPEN, "inside", None) if role == "a" else (*OPEN, None))
    needs = tuple(fact for fact in _facts(draw, variables, 1) if fact[0] != key)
    if draw.random() < 0.2:
        needs += (("at/b" if role == "a" else "at/a", draw.choice(OPEN)),)
    if draw.random() < 0.7:
        needs += ((key, before),)
    effects = ((key, after), *(fact for fact in _facts(draw, variables, 1) if fact[0] != key and draw.random() < 0.3))
    knows = _facts(draw, variables, 1) if draw.random() < 0.5 else ()
    return Step(f"act {number}", role, place, needs=needs, effects=effects, knows=knows,
                ages=draw.choice(("nobody", "nobody", "everybody")), duration_s=draw.randint(1, 20))  # fmt: skip


def _look(draw: Random, variables: dict[str, Variable], number: int) -> Step:
    facts = _facts(draw, variables, 2)
    return Step(f"look {number}", draw.choice(ROLES), draw.choice(OPEN), needs=facts, shows=facts, duration_s=draw.randint(1, 9))
