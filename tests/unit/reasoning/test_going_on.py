"""Going on after a mistake: what happens by itself, what people notice, where they stand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from headstock.reasoning.checker import check
from headstock.reasoning.constraint import Constraint, State
from headstock.reasoning.mistakes import Mistake, script_of, single_mistakes
from headstock.reasoning.surroundings import Follows, RestsOn, Surroundings
from tests.unit.reasoning.runs import LINES, toy_going
from tests.unit.reasoning.toy import KEEPER, WORKER, toy_domain


def _left_out(line: str) -> Mistake:
    return Mistake("left out", LINES.index(line))


def test_the_right_order_is_noticed_by_nobody_and_breaks_nothing() -> None:
    going = toy_going()
    assert (going.right.seen, going.right.broken) == (None, ())
    assert not going.goal & ~going.right.state


@pytest.mark.parametrize("mistake", single_mistakes(toy_going()), ids=lambda m: f"{m.kind} {m.line} {m.past} {m.how}")
def test_the_checker_finds_the_same_constraints_broken_at_the_same_lines(mistake: Mistake) -> None:
    going = toy_going()
    script, first = script_of(going, mistake)
    course = going.run(script, first, to_the_end=True)
    checked = check(going.as_done(script, first), going.domain)
    ours = sorted((place + 1, going.judge.constraints[number].key) for place, number, _ in course.broken)
    assert ours == sorted((c.line, c.about) for c in checked.complaints if c.kind == "constraint")


def test_a_word_that_is_missing_stops_whoever_waits_for_it() -> None:
    going = toy_going()
    seen = going.run(*script_of(going, _left_out("tell the worker: door open"))).seen
    assert seen is not None
    assert (going.order[seen.line].key, seen.means) == ("go in", "word")


def test_an_own_look_left_out_stops_nobody_and_is_told_on_as_made() -> None:
    going = toy_going()
    course = going.run(*script_of(going, _left_out("look at the lamp")))
    assert course.seen is None
    assert not going.goal & ~course.state


def test_whoever_does_not_come_out_stays_in_until_handwork_elsewhere() -> None:
    going = toy_going()
    script, first = script_of(going, _left_out("come out"))
    course = going.run(script, first)
    assert going.bits.value(course.state, "at/worker") == "shed"
    assert [going.judge.constraints[number].key for _, number, _ in course.broken] == ["dark"]


def test_whoever_works_in_a_closed_place_is_in_it_though_nobody_let_him_in() -> None:
    going = toy_going()
    script, first = script_of(going, _left_out("go in"))
    inside = going.run(script[: LINES.index("light the lamp")], first, to_the_end=True)
    assert going.bits.value(inside.state, "at/worker") == "shed"


def test_what_follows_by_itself_overrules_what_a_step_claims() -> None:
    """The lamp is lit only behind an open door: a claim of the step alone does not light it."""
    follows = (Follows(("lamp", "lit"), ((("board", "on"),),), "off"),)
    domain = toy_domain()
    going = toy_going(Surroundings(follows=follows), domain)
    assert going.bits.value(going.right.state, "lamp") == "off"
    assert going.right.seen is not None
    assert going.right.seen.means == "look"


def test_an_effect_that_rests_on_something_fails_without_it_and_who_tries_may_see_it() -> None:
    rest = RestsOn(("lamp", "lit"), ((("door", "open"),),), seen=True)
    going = toy_going(Surroundings(rests={(WORKER, "light the lamp"): (rest,)}))
    assert going.right.seen is None
    seen = going.run(*script_of(going, _left_out("open the door"))).seen
    assert seen is not None
    assert (going.order[seen.line].key, seen.means) == ("light the lamp", "trial")


def _dark_bell(state: State) -> str | None:
    return "somebody knocks" if state["at/worker"] == "shed" and state["door"] == "shut" else None


def test_what_tells_of_itself_is_noticed_by_anybody_at_once() -> None:
    going = toy_going(Surroundings(heard=(Constraint("knock", "knocking", "", _dark_bell),)))
    seen = going.run(*script_of(going, _left_out("come out"))).seen
    assert seen is not None
    assert (going.order[seen.line].key, seen.means) == ("shut the door", "noise")


def test_what_told_of_itself_before_the_job_tells_nothing_new() -> None:
    domain = toy_domain()
    open_at_first = replace(domain, constraints=())
    heard = (Constraint("board", "board is off", "", lambda state: "off" if state["board"] == "off" else None),)
    assert toy_going(Surroundings(heard=heard), open_at_first).right.seen is None


def test_a_thing_in_sight_is_noticed_and_one_that_is_not_is_not() -> None:
    in_sight = Surroundings(at_hand={(WORKER, "go in"): frozenset({"door"})})
    mistake = _left_out("open the door")
    for around, expected in ((Surroundings(), "shut the door"), (in_sight, "go in")):
        going = toy_going(around)
        seen = going.run(*script_of(going, mistake)).seen
        assert seen is not None
        assert going.order[seen.line].key == expected


def test_what_is_done_wrongly_stops_nobody_at_that_act_by_a_missing_word() -> None:
    """Going in before the word is the mistake itself: it is not the word that stops it."""
    going = toy_going()
    mistake = next(m for m in single_mistakes(going) if (m.kind, m.line, m.past) == ("too early", 2, 0))
    course = going.run(*script_of(going, mistake))
    assert course.seen is None
    assert going.order[2].role == WORKER != KEEPER
