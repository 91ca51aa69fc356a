"""Every single mistake of the toy's order, each once."""

from __future__ import annotations

from collections import Counter

from headstock.reasoning.mistakes import Mistake, script_of, single_mistakes, ties
from headstock.reasoning.step import Step
from headstock.reasoning.surroundings import Fellow, Surroundings
from tests.unit.reasoning.runs import LINES, toy_going
from tests.unit.reasoning.toy import WORKER


def _keys(*mistakes: Mistake) -> list[str]:
    script, _ = script_of(toy_going(), *mistakes)
    return [act.step.key for act in script]


def test_each_line_is_left_out_once() -> None:
    kinds = Counter(m.kind for m in single_mistakes(toy_going()))
    assert kinds["left out"] == len(LINES)


def test_steps_that_may_change_places_are_not_moved_past_one_another() -> None:
    """The two words of the toy have nothing to do with one another: neither is ever put right behind the other alone."""
    going = toy_going()
    first, second = LINES.index("tell the worker: door open"), LINES.index("tell the keeper: lamp lit")
    assert not ties(going)[first] >> second & 1
    moved = [(m.line, m.past) for m in single_mistakes(going) if m.past is not None]
    assert (first, second) not in moved
    assert (second, first) not in moved


def test_a_step_moved_behind_its_neighbour_is_the_neighbour_moved_before_it() -> None:
    moved = [m for m in single_mistakes(toy_going()) if m.past is not None]
    going = toy_going()
    orders = [(going.order[m.line].role, tuple(act.line for act in script_of(going, m)[0])) for m in moved]
    assert len(set(orders)) == len(orders)
    assert sum({m.line, m.past} == {3, 4} for m in moved) == 1


def test_the_same_order_is_another_mistake_when_another_person_goes_wrong() -> None:
    """The keeper says it too late: the worker waits. The worker goes in too early: nothing stops him."""
    word, going_in = LINES.index("tell the worker: door open"), LINES.index("go in")
    moved = {(m.kind, m.line, m.past) for m in single_mistakes(toy_going())}
    assert {("too late", word, going_in), ("too early", going_in, word)} <= moved


def test_moves_that_come_to_the_same_but_for_commuting_steps_are_one() -> None:
    """Telling the worker later than "go in" matters; behind light, look and telling the keeper it is no other mistake."""
    line = LINES.index("tell the worker: door open")
    past = [m.past for m in single_mistakes(toy_going()) if m.line == line and m.kind == "too late"]
    assert past == [LINES.index("go in"), LINES.index("shut the door")]


def test_a_move_puts_the_step_just_before_or_just_behind_the_other() -> None:
    going = toy_going()
    early = Mistake("too early", 6, past=4, act=going.acts[6])
    late = Mistake("too late", 3, past=4, act=going.acts[3])
    assert _keys(early)[4:7] == [LINES[6], LINES[4], LINES[5]]
    assert _keys(late)[3:5] == [LINES[4], LINES[3]]


def test_two_mistakes_are_both_in_the_script() -> None:
    going = toy_going()
    two = (Mistake("left out", 4), Mistake("too late", 3, past=5, act=going.acts[3]))
    assert _keys(*two) == [LINES[0], LINES[1], LINES[2], LINES[5], LINES[3], LINES[6], LINES[7]]


def test_half_done_is_a_look_not_made_and_a_sign_not_won() -> None:
    halves = [(LINES[m.line], m.how) for m in single_mistakes(toy_going()) if m.kind == "half done"]
    assert halves == [("light the lamp", "the sign not won"), ("look at the lamp", "not really looked")]


def test_a_fellow_step_may_be_done_instead() -> None:
    other = Step("paint the board by mistake", WORKER, "shed", effects=(("board", "on"),))
    around = Surroundings(fellows={(WORKER, "light the lamp"): (Fellow("wrong object", other),)})
    found = [m for m in single_mistakes(toy_going(around)) if m.kind == "wrong object"]
    assert [(LINES[m.line], m.how) for m in found] == [("light the lamp", "paint the board by mistake")]
