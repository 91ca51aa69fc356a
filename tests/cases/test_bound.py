"""Each job of the catalogue: planned, proved the cheapest, the bound at the start as tight as it was, and never too high."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import pytest

from headstock.reasoning.best_search import cheapest_way
from headstock.reasoning.bound import StillNeeded
from headstock.reasoning.domain import Domain
from headstock.reasoning.encoding import Encoder
from headstock.reasoning.forced_rest import forced_rest
from headstock.reasoning.planner import Search
from headstock.reasoning.trim import cost_of
from tests.cases.catalogue import JOBS, CatalogueJob
from tests.cases.jobs import DEMO, SECOND, order_of, planned

each_job = pytest.mark.parametrize("job", JOBS, ids=lambda job: f"{job.name}{'-air' if job.by_air else ''}")


@cache
def file_of(job: CatalogueJob, folder: Path) -> Path:
    return job.path(folder)


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("catalogue")


@each_job
def test_a_job_is_proved_and_its_bound_stays_tight(job: CatalogueJob, folder: Path) -> None:
    order = planned(file_of(job, folder), job.by_air).order
    assert order is not None
    assert order.proved_best
    assert order.cost_s == pytest.approx(job.best_s, abs=0.01)
    assert order.cost_s - order.bound_s <= job.gap_s + 0.01


@each_job
def test_the_order_as_settled_costs_what_was_proved(job: CatalogueJob, folder: Path) -> None:
    answer = planned(file_of(job, folder), job.by_air)
    assert answer.order is not None and answer.domain is not None
    task = Encoder(answer.domain).task()
    number = {step.ident: index for index, step in enumerate(task.steps)}
    assert cost_of([number[step.ident] for step in answer.order.steps], task, answer.domain) == pytest.approx(answer.order.cost_s)


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_along_other_orders_the_bound_never_exceeds_what_they_still_cost(job: Path) -> None:
    """Orders of another search, with steps taken to no purpose put in: from each state on the rest of that order is a way."""
    _, domain = order_of(job)
    task = Encoder(domain).task()
    search = Search(task, domain)
    rest = forced_rest(task, domain, StillNeeded(task, domain).rest(task.start).prior)
    node = search.run(2.0, 10_000)
    assert node is not None and rest is not None
    moves = []
    while node.parent is not None:
        assert node.move is not None
        moves.append(node.move)
        node = node.parent
    moves.reverse()
    draw, over = Random(1), []
    for _ in range(20):
        state, left, paid, bounds = task.start, rest.all, 0.0, []
        for move in moves:
            assert not move.need & ~state
            bounds.append((paid, rest.bound(left, state)))
            back = _there_and_back(domain, task.moves, state, draw)
            for taken in (*back, move):
                left, state = rest.after(left, state, taken.step), state & ~taken.lose | taken.gain
                paid += taken.cost
        over += [bound - (paid - so_far) for so_far, bound in bounds]
    assert max(over) <= 1e-6


def _there_and_back(domain: Domain, moves: list, state: int, draw: Random) -> tuple:  # type: ignore[type-arg]
    """A pair of open moves of which the second brings back what the first lost, or nothing."""
    first = draw.choice([move for move in moves if not move.need & ~state])
    then = state & ~first.lose | first.gain
    for second in moves:
        if not second.need & ~then and state & ~(then & ~second.lose | second.gain) == 0:
            return first, second
    return (first,) if state & ~then == 0 else ()


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_the_bound_of_a_single_state_never_exceeds_what_the_found_order_still_costs(job: Path) -> None:
    _, domain = order_of(job)
    search = Search(Encoder(domain).task(), domain)
    node = search.run(2.0, 10_000)
    assert node is not None
    total, over = node.cost, []
    while node is not None:
        over.append(search.rest(node.state).cost - (total - node.cost))
        node = node.parent
    assert max(over) <= 1e-6


@pytest.mark.parametrize("job", [DEMO, SECOND], ids=lambda path: path.stem)
def test_from_the_middle_of_the_best_order_the_rest_of_it_is_the_best(job: Path) -> None:
    """What is left of a cheapest way is a cheapest way, from any state on it, with all that is known there."""
    answer = planned(job)
    assert answer.order is not None and answer.domain is not None
    task, domain = Encoder(answer.domain).task(), answer.domain
    number = {step.ident: index for index, step in enumerate(task.steps)}
    state, paid = task.start, 0.0
    for line, step in enumerate(answer.order.steps):
        if line % 12 == 7:
            middle = replace(task, start=state)
            prior = StillNeeded(middle, domain).rest(state).prior
            rest = forced_rest(middle, domain, prior)
            assert rest is not None
            found = cheapest_way(middle, rest, 5000)
            assert found.way is not None
            assert found.way.cost == pytest.approx(answer.order.cost_s - paid)
        move = min((m for m in task.moves if m.step == number[step.ident] and not m.need & ~state), key=lambda m: m.cost)
        state, paid = state & ~move.lose | move.gain, paid + move.cost
