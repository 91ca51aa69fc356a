"""Mistakes in the demo jobs: what reveals them, held against a table written by hand and against the checker."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from headstock.devices.scene import AIR_THROUGH
from headstock.formation.air_network import air_network_of, air_openings_of
from headstock.formation.air_reach import air_reach_of
from headstock.reasoning.checker import check
from headstock.reasoning.mistake_ranking import added_looks, look_weights
from headstock.reasoning.mistake_study import outcome_of
from headstock.reasoning.mistakes import Mistake, script_of
from tests.cases.jobs import DEMO, SECOND, planned
from tests.cases.runs import find_mistake, going_of, line_of, mistakes_of, outcomes_of
from tests.outside import NO_SOURCE

JOBS = (DEMO, SECOND)
# The mistake; who or what reveals it, at which step; why just there. No row comes from a run.
BY_HAND: tuple[tuple[tuple[str, ...], str, str, str], ...] = (
    (("left out", r"^agree the job"), "word", r"charge the pipe|put on the parking brake",
     "the first of the others who is to work has not been told of the job"),
    (("left out", r"^put the pin keeper"), "look", r"look at the end 226/1", "the last look at the head before it moves"),
    (("left out", r"^open the knuckle"), "look", r"look at the lock", "two shut knuckles bump; only the lock sign says so"),
    (("wrong end", r"^put the pin keeper"), "hand", r"put the pin keeper", "the other head's keeper is already in"),
    (("left out", r"^call to couple"), "word", r"^couple ", "the driver moves on a word only"),
    (("left out", r"^draw up, stop 2 m off"), "sight", r"both sides of the joint, 2 m off", "the ends have not come nearer"),
    (("half done", r"^couple ", "", "sign not won"), "look", r"look at the lock", "it looks coupled from the cab"),
    (("left out", r"^pull lightly"), "look", r"watch the pull", "whoever watches sees no pull"),
    (("left out", r"^join the brake pipe hoses"), "noise", r"open the brake pipe cock of 217/2",
     "the dead side gives no air; the live one blows"),
    (("left out", r"^join the main reservoir pipe hoses"), "noise", r"open the main reservoir pipe cock of 226/1",
     "both sides of this pipe are live"),
    (("left out", r"^latch the jumper"), "look", r"tug the jumper", "it works as long as nobody tugs"),
    (("left out", r"^open the brake pipe cock of 226/1"), "look", r"test, rear charged", "no gauge before the rear one sees it"),
    (("left out", r"^test, rear applied"), "look", r"test, front fallen", "the leading gauge does not fall"),
    (("left out", r"^light the red lamp of 226/2"), "look", r"look at the outer end 226/2", "the look from outside"),
    (("left out", r"^tell the guard: test: charged"), "word", r"test, rear charged", "the guard waits for the word"),
    (("left out", r"lock the brake valve from empty, cab 226/2"), "hand", r"test, rear applied",
     "the guard finds it unlocked when he comes to unlock it"),
    (("left out", r"^switch the electric supply of 217 off"), "hand", r"supply of 217 on", "it is on when it is to be put on"),
    (("left out", r"^open the main reservoir pipe cock of 217/2"), "", "", "no test reads that pipe"),
    (("left out", r"^put out the red lamp of 226/1"), "", "", "nobody looks at the joint again"),
    (("left out", r"^ask for the road"), "", "", "whoever gives the road is not on the ground"),
    (("left out", r"^watch 226"), "", "", "a hold that was not proved looks like one that was"),
    (("left out", r"^take off the parking brake of 226, cab 226/2"), "look", r"read the parking brake indicator of 226: off",
     "its indicator shows on"),
)  # fmt: skip


@pytest.mark.outside(source=NO_SOURCE, status="common practice")
@pytest.mark.parametrize("row", BY_HAND, ids=lambda row: " ".join(row[0][:2]))
def test_a_mistake_in_the_demo_job_is_revealed_where_it_was_written_by_hand(row: tuple[tuple[str, ...], str, str, str]) -> None:
    mistake, means, step, _ = row
    outcome = outcome_of(going_of(DEMO), find_mistake(DEMO, *mistake))
    if not means:
        assert outcome.noticing is None
        assert outcome.verdict in ("latent", "unseen")
        return
    assert outcome.noticing is not None
    assert outcome.noticing.means == means
    assert re.search(step, going_of(DEMO).order[outcome.noticing.line - 1].key)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_the_right_order_stops_nobody_and_ends_as_the_checker_says(job: Path) -> None:
    going = going_of(job)
    assert (going.right.seen, going.right.broken) == (None, ())
    assert not going.goal & ~going.right.state
    complaints = check(going.as_done(going.acts), going.domain).complaints
    assert {complaint.kind for complaint in complaints} == {"unknown step"}  # their effects are those that came about


def _agrees(job: Path, *mistakes: Mistake) -> None:
    going = going_of(job)
    script, first = script_of(going, *mistakes)
    course = going.run(script, first, to_the_end=True)
    ours = sorted((place + 1, going.judge.constraints[number].key) for place, number, _ in course.broken)
    complaints = check(going.as_done(script, first), going.domain).holes
    assert ours == sorted((c.line, c.about) for c in complaints if c.kind == "constraint")
    missing = {f"{key}={value}" for key, value in going.bits.facts(going.goal & ~course.state)}
    assert missing == {c.about for c in complaints if c.kind == "end state" and " knows " not in c.about}


@given(data=st.data())
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_the_checker_finds_the_same_rules_broken_and_the_same_end(job: Path, data: st.DataObject) -> None:
    _agrees(job, data.draw(st.sampled_from(mistakes_of(job))))


@given(data=st.data())
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_the_checker_agrees_on_two_mistakes_together(data: st.DataObject) -> None:
    one, other = (data.draw(st.sampled_from(mistakes_of(DEMO))) for _ in range(2))
    if set(one.lines).isdisjoint(other.lines):
        _agrees(DEMO, one, other)


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_no_answer_is_empty_and_silent_ones_are_said(job: Path) -> None:
    outcomes = outcomes_of(job)
    assert {outcome.verdict for outcome in outcomes} == {"noticed", "latent", "unseen", "harmless"}
    for outcome in outcomes:
        assert (outcome.noticing is not None and bool(outcome.noticing.text)) == (outcome.verdict == "noticed")
        assert bool(outcome.left) == (outcome.verdict == "latent")
    assert {outcome.mistake.kind for outcome in outcomes} == {
        "left out", "too early", "too late", "wrong object", "wrong end", "half done",
    }  # fmt: skip


@pytest.mark.parametrize("job", JOBS, ids=lambda path: path.stem)
def test_each_line_is_left_out_and_each_look_not_made(job: Path) -> None:
    left_out = {m.line for m in mistakes_of(job) if m.kind == "left out" and not m.also}
    assert left_out == set(range(len(going_of(job).order)))
    looks = {line for line, act in enumerate(going_of(job).acts) if act.looks}
    assert looks == {m.line for m in mistakes_of(job) if m.how == "not really looked"}


def test_steps_that_commute_are_not_counted_apart() -> None:
    """The two lamps at the joint may be put out in any order, and before or after the jumper."""
    white, red = line_of(DEMO, r"^put out the white lamp of 217/2"), line_of(DEMO, r"^put out the red lamp of 226/1")
    moves = [(m.line, m.past) for m in mistakes_of(DEMO)]
    assert (white, red) not in moves
    assert (red, white) not in moves
    assert (white, line_of(DEMO, r"^tug the jumper")) not in moves


@pytest.mark.outside(source=NO_SOURCE, status="common practice")
def test_much_rests_on_the_rear_gauge_and_on_the_tug() -> None:
    going = going_of(DEMO)
    weights = {w.line - 1: w for w in look_weights(going, mistakes_of(DEMO), outcomes_of(DEMO))}
    tug, rear = line_of(DEMO, r"^tug the jumper"), line_of(DEMO, r"^test, rear charged")
    assert weights[tug].latent >= 1
    assert weights[rear].reveals == max(weight.reveals for weight in weights.values())
    assert weights[rear].lines_longer > 0


@pytest.mark.outside(source=NO_SOURCE, status="common practice")
def test_a_look_at_the_main_reservoir_cocks_is_what_the_order_lacks() -> None:
    wanted = [o for o in outcomes_of(DEMO) if o.verdict == "latent" and o.mistake.kind == "left out" and not o.broken]
    looks, _ = added_looks(going_of(DEMO), wanted, lambda _: 1, most=20)
    assert {f"{end}.main_reservoir_pipe_cock" for end in ("217/2", "226/1")} <= {look.key for look in looks}


def test_both_brake_pipe_cocks_shut_are_seen_by_nothing_before_the_rear_gauge_and_by_the_front_one_without_it() -> None:
    going = going_of(DEMO)
    cocks = [find_mistake(DEMO, "left out", rf"^open the brake pipe cock of {end}") for end in ("217/2", "226/1")]
    both = outcome_of(going, *cocks)
    assert both.noticing is not None
    assert both.noticing.line - 1 == line_of(DEMO, r"^test, rear charged")
    blind = outcome_of(going, *cocks, find_mistake(DEMO, "half done", r"^test, rear charged", how="not really looked"))
    assert blind.noticing is not None
    assert blind.noticing.line - 1 == line_of(DEMO, r"^test, front fallen")


@pytest.mark.parametrize("stand", list(product(("open", "shut"), ("open", "shut"), ("joined", "hanging"))))
def test_the_pipe_is_through_by_the_same_settings_as_by_the_reach_of_air(stand: tuple[str, str, str]) -> None:
    """The leading valve at running: the rear unit is fed exactly when the pipe is through."""
    going = going_of(DEMO)
    task = planned(DEMO).assembled.task
    assert task is not None
    near, far, hoses = stand
    values = dict(going.domain.start) | {
        "217/2.brake_pipe_cock": near, "226/1.brake_pipe_cock": far, "217/1.brake_valve": "running",
        "217/2.brake_pipe_hose": hoses, "226/1.brake_pipe_hose": hoses, "217/2.brake_valve": "locked",
    }  # fmt: skip
    people = {key: going.bits.value(going.bits.start(going.domain), key) for key in going.bits.whole if key.startswith("at/")}
    state = going._followed(going.bits.mask({**values, **people}.items()))
    network = air_network_of(task.train, "brake pipe")
    reach = air_reach_of(network, air_openings_of(network, task.train, values))
    assert (going.bits.value(state, AIR_THROUGH) == "yes") == reach.of("226").fed
