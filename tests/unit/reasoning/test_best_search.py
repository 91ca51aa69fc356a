"""The exact search against an exhaustive one, on small domains drawn by chance: never dearer, never a false no."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from headstock.reasoning.best_search import ExactSearch, cheapest_way
from headstock.reasoning.bound import StillNeeded
from headstock.reasoning.domain import Domain, Place
from headstock.reasoning.encoding import Encoder, Task
from headstock.reasoning.forced_rest import ForcedRest, forced_rest
from headstock.reasoning.planner import plan
from headstock.reasoning.step import Step
from headstock.reasoning.trim import cost_of
from headstock.reasoning.variable import Fact, Variable, index_by_key
from tests.unit.reasoning.drawn import drawn_domain, holding_domain, tidy_domain, valve_domain
from tests.unit.reasoning.test_planner import cheapest_by_brute_force
from tests.unit.reasoning.toy import toy_domain

SEEDS = range(60)
DRAWN = [
    *(drawn_domain(seed) for seed in SEEDS),
    *(tidy_domain(seed) for seed in SEEDS),
    *(holding_domain(seed) for seed in SEEDS),
    *(valve_domain(seed) for seed in SEEDS),
]


def rest_of(task: Task, domain: Domain) -> ForcedRest | None:
    return forced_rest(task, domain, StillNeeded(task, domain).rest(task.start).prior)


def test_the_cheapest_order_is_found_and_no_is_said_only_where_there_is_none() -> None:
    lengths = []
    for seed, domain in enumerate(DRAWN):
        task = Encoder(domain).task()
        best = float("inf") if task.unreachable else cheapest_by_brute_force(task, task.start)
        found = plan(domain)
        assert found.answer == ("impossible" if best == float("inf") else "planned"), seed
        if found.answer == "planned":
            assert found.proved_best, seed
            assert found.cost_s == pytest.approx(best), seed
            lengths.append(len(found.steps))
    assert len(lengths) > 30
    assert max(lengths) >= 6


def test_the_second_pass_keeps_the_cost() -> None:
    for seed, domain in enumerate(DRAWN):
        found = plan(domain)
        if found.answer == "planned":
            task = Encoder(domain).task()
            number = {step.ident: index for index, step in enumerate(task.steps)}
            assert cost_of([number[step.ident] for step in found.steps], task, domain) == pytest.approx(found.cost_s), seed


def test_the_bound_never_overstates_along_ways_taken_at_random() -> None:
    looked_at = 0
    for seed, domain in enumerate(DRAWN):
        draw = Random(seed)
        task = Encoder(domain).task()
        rest = None if task.unreachable else rest_of(task, domain)
        if rest is None:
            continue
        known: dict[int, float] = {}
        for _ in range(4):
            state, left = task.start, rest.all
            for _ in range(10):
                if state not in known:
                    known[state] = cheapest_by_brute_force(task, state)
                assert rest.bound(left, state) <= known[state] + 1e-6, seed
                looked_at += 1
                open_moves = [move for move in task.moves if not move.need & ~state]
                if not open_moves:
                    break
                move = draw.choice(open_moves)
                assert not rest.never >> move.step & 1, seed
                left, state = rest.after(left, state, move.step), state & ~move.lose | move.gain
    assert looked_at > 500


def test_doing_it_now_changes_nothing_but_the_number_of_states_opened() -> None:
    opened_with = opened_without = 0
    for seed, domain in enumerate(DRAWN):
        task = Encoder(domain).task()
        rest = None if task.unreachable else rest_of(task, domain)
        if rest is None:
            continue
        with_it = cheapest_way(task, rest, 100_000)
        rest.do_now.first = rest.do_now.again = [False] * len(task.steps)
        rest.do_now.against = [None] * len(task.steps)
        without = cheapest_way(task, rest, 100_000)
        assert (with_it.way is None) == (without.way is None), seed
        if with_it.way is not None and without.way is not None:
            assert with_it.way.cost == pytest.approx(without.way.cost), seed
        opened_with += with_it.expanded
        opened_without += without.expanded
    assert opened_with < opened_without


def test_what_must_be_done_to_and_fro_is_counted_each_time() -> None:
    """The door is shut at the start and at the end, and open in between; the way in and out is counted as well."""
    domain = toy_domain()
    task = Encoder(domain).task()
    rest = rest_of(task, domain)
    assert rest is not None
    assert rest.bound(rest.all, task.start) == pytest.approx(cheapest_by_brute_force(task, task.start))


def test_a_middle_state_is_planned_from_as_well() -> None:
    domain = toy_domain()
    later = replace(domain, start={**domain.start, "lamp": "lit"})
    assert plan(later).cost_s == pytest.approx(plan(domain).cost_s - 3.0)
    assert plan(later).proved_best


def test_a_search_cut_short_says_what_it_has_proved() -> None:
    task = Encoder(toy_domain()).task()
    rest = rest_of(task, toy_domain())
    assert rest is not None
    cut = cheapest_way(task, rest, 2)
    assert cut.way is None
    assert cut.expanded == 2
    assert 0 < cut.at_least <= cheapest_by_brute_force(task, task.start)


def small(values: dict[str, str], steps: tuple[Step, ...], goal: tuple[Fact, ...]) -> Domain:
    """A domain of one person at one place; the first letter of each variable's values is how it starts."""
    variables = index_by_key(tuple(Variable(key, tuple(letters), "device", key) for key, letters in values.items()))
    start = {key: letters[0] for key, letters in values.items()}
    return Domain(variables, {"here": Place("here", "here", 0.0)}, {"a": "here"}, steps, (), start, goal)


def test_a_step_is_not_done_now_when_another_would_undo_it() -> None:
    """Opening the box blows the lamp out: it must come first, though the lamp could be lit at once."""
    light = Step("light the lamp", "a", "here", effects=(("lamp", "y"),), duration_s=5)
    blow = Step("open the box", "a", "here", effects=(("box", "y"), ("lamp", "x")), duration_s=5)
    found = plan(small({"lamp": "xy", "box": "xy"}, (light, blow), (("lamp", "y"), ("box", "y"))))
    assert [step.key for step in found.steps] == ["open the box", "light the lamp"]


def test_what_can_be_mended_later_and_elsewhere_is_not_counted_at_the_dear_price() -> None:
    """A thing knocked over at x is mended cheaply at z only, two steps on, or dearly anywhere."""
    steps = (
        Step("knock", "a", "here", needs=(("w", "x"),), effects=(("b", "y"), ("f", "y"))),
        Step("on to y", "a", "here", needs=(("w", "x"),), effects=(("w", "y"),)),
        Step("on to z", "a", "here", needs=(("w", "y"),), effects=(("w", "z"),)),
        Step("mend cheaply", "a", "here", needs=(("w", "z"),), effects=(("f", "x"),)),
        Step("mend dearly", "a", "here", effects=(("f", "x"),), duration_s=50),
    )
    domain = small({"w": "xyz", "f": "xy", "b": "xy"}, steps, (("f", "x"), ("b", "y"), ("w", "z")))
    task = Encoder(domain).task()
    rest = rest_of(task, domain)
    assert rest is not None
    assert rest.bound(rest.all, task.start) == plan(domain).cost_s == 4.0


def walked(step: str, place: str, needs: tuple[Fact, ...], effect: Fact, duration_s: float = 1) -> Step:
    return Step(step, "a", place, needs=needs, effects=(effect,), duration_s=duration_s)


def on_and_off(again_s: float) -> Domain:
    """A brake put on and taken off in the middle; lamps in the west and in the east want it on."""
    steps = [walked("brake on", "middle", (("brake", "x"),), ("brake", "y"), again_s),
             walked("brake off", "middle", (("brake", "y"),), ("brake", "x"))]  # fmt: skip
    steps += [walked(f"light {end}", end, (("brake", "y"), (end, "x")), (end, "y")) for end in ("west", "east")]
    domain = small({"brake": "xy", "west": "xy", "east": "xy"}, tuple(steps), (("brake", "x"), ("west", "y"), ("east", "y")))
    places = {key: Place(key, key, at) for key, at in (("west", 0.0), ("middle", 10.0), ("east", 20.0))}
    return replace(domain, places=places, people={"a": "middle"}, walking_m_s=1.0)


@pytest.mark.parametrize("again_s", [1.0, 30.0])
def test_what_spoils_another_is_walked_to_after_it_or_paid_for(again_s: float) -> None:
    """Taken off between the lamps it saves 10 m, and must be put on once more."""
    domain = on_and_off(again_s)
    task = Encoder(domain).task()
    rest = rest_of(task, domain)
    assert rest is not None
    assert plan(domain).cost_s == cheapest_by_brute_force(task, task.start) == again_s + 3.0 + 40.0
    assert rest.bound(rest.all, task.start) == again_s + 3.0 + 30.0 + min(10.0, again_s)


def test_a_search_goes_on_where_it_stopped_and_only_below_what_is_known() -> None:
    task = Encoder(toy_domain()).task()
    rest = rest_of(task, toy_domain())
    assert rest is not None
    whole, best = cheapest_way(task, rest, 1000), cheapest_by_brute_force(task, task.start)
    search = ExactSearch(task, rest)
    assert search.run(2).way is None
    again = search.run(1000)
    assert again.way is not None and again.way.cost == best and again.expanded == whole.expanded
    assert ExactSearch(task, rest).run(1000, best).at_least == best
    dearer = ExactSearch(task, rest).run(1000, best + 1)
    assert dearer.way is not None and dearer.way.cost == best


def test_what_is_given_too_early_is_still_to_be_given() -> None:
    """Taken off and put on again before the movement that wants it off, the brake must go on once more after it."""
    steps = (walked("brake off", "here", (("brake", "x"),), ("brake", "y")),
             walked("brake on", "here", (("brake", "y"),), ("brake", "x")),
             walked("move", "here", (("brake", "y"),), ("moved", "y")))  # fmt: skip
    domain = small({"brake": "xy", "moved": "xy"}, steps, (("brake", "x"), ("moved", "y")))
    task = Encoder(domain).task()
    rest = rest_of(task, domain)
    assert rest is not None
    left, state = rest.all, task.start
    for key in ("brake off", "brake on"):
        assert rest.bound(left, state) == cheapest_by_brute_force(task, state)
        step = next(number for number, one in enumerate(task.steps) if one.key == key)
        left, state = rest.after(left, state, step), state & ~task.step_lose[step] | task.step_gain[step]
    assert rest.bound(left, state) == 2.0 <= cheapest_by_brute_force(task, state) == 3.0


def test_what_needs_a_thing_comes_before_it_is_lost_for_good() -> None:
    """The look in the east wants the gap shut; the draw in the west opens it for ever; the lamp in the east wants it open."""
    steps = (walked("look", "east", (("gap", "x"),), ("seen", "y")), walked("draw", "west", (("gap", "x"),), ("gap", "y")),
             walked("lamp", "east", (("gap", "y"),), ("lamp", "y")))  # fmt: skip
    domain = small({"gap": "xy", "seen": "xy", "lamp": "xy"}, steps, (("seen", "y"), ("lamp", "y")))
    places = {key: Place(key, key, at) for key, at in (("west", 0.0), ("east", 20.0))}
    domain = replace(domain, places=places, people={"a": "west"}, walking_m_s=1.0)
    task = Encoder(domain).task()
    rest = rest_of(task, domain)
    assert rest is not None
    assert rest.bound(rest.all, task.start) == cheapest_by_brute_force(task, task.start) == 63.0
