"""Going in once more: counted where it is sure, never above what the rest of a way costs."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from headstock.reasoning.bound import StillNeeded
from headstock.reasoning.domain import Domain, Window
from headstock.reasoning.encoding import Encoder
from headstock.reasoning.forced_rest import ForcedRest, forced_rest
from headstock.reasoning.step import Step
from tests.unit.reasoning.drawn import drawn_domain, tidy_domain
from tests.unit.reasoning.test_planner import cheapest_by_brute_force


def _with_window(domain: Domain) -> Domain:
    """The closed place of a drawn domain as a stay; shut by the opposite of what going in needs, where it needs anything."""
    entry = next((step for step in domain.steps if step.goes_to == "inside"), None)
    key, value = (entry.needs if entry is not None and entry.needs else domain.goal)[0]
    shut = next(other for other in domain.variables[key].domain if other != value)
    return replace(domain, windows=(Window("a", "inside", (("go in",),), (("come out",),), (key, shut)),))


def _with_work_inside(domain: Domain, seed: int) -> Domain:
    """Some of the first role's steps done in the closed place."""
    draw = Random(seed)

    def moved(step: Step) -> Step:
        here = step.role == "a" and step.place is not None and step.goes_to is None and draw.random() < 0.5
        return replace(step, place="inside") if here else step

    return replace(domain, steps=tuple(moved(step) for step in domain.steps))


def _rest(domain: Domain) -> ForcedRest | None:
    task = Encoder(domain).task()
    if task.unreachable:
        return None
    return forced_rest(task, _with_window(domain), StillNeeded(task, domain).rest(task.start).prior)


def test_a_stay_that_is_counted_once_more_never_overstates() -> None:
    counted = looked_at = 0
    drawn = [drawn_domain(seed) for seed in range(120)] + [tidy_domain(seed) for seed in range(40)]
    for seed, domain in enumerate(_with_work_inside(domain, seed) for seed, domain in enumerate(drawn)):
        rest = _rest(domain)
        if rest is None:
            continue
        draw, task, known = Random(seed), rest.task, dict[int, float]()
        for _ in range(6):
            state, left = task.start, rest.all
            for _ in range(12):
                again = sum(stay.cost(left, state) for stay in rest.stays)
                if again:
                    counted += 1
                    known.setdefault(state, cheapest_by_brute_force(task, state))
                    assert rest.bound(left, state) <= known[state] + 1e-6, seed
                looked_at += 1
                open_moves = [move for move in task.moves if not move.need & ~state]
                if not open_moves:
                    break
                move = draw.choice(open_moves)
                left, state = rest.after(left, state, move.step), state & ~move.lose | move.gain
    assert looked_at > 1000 and counted > 20, (looked_at, counted)
