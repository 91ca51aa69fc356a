"""Rankings of the toy's mistakes."""

from __future__ import annotations

from headstock.reasoning.mistake_ranking import added_looks, latent_omissions, look_weights, silent, worst_first
from headstock.reasoning.mistake_study import study
from headstock.reasoning.mistakes import Mistake, single_mistakes
from tests.unit.reasoning.runs import LINES, toy_going

GOING = toy_going()
MISTAKES = single_mistakes(GOING)
OUTCOMES = study(GOING, MISTAKES)


def _alike(_: Mistake) -> int:
    return 2


def test_omissions_that_nobody_notices_stand_gravest_first() -> None:
    found = [LINES[outcome.mistake.line] for outcome in latent_omissions(OUTCOMES, _alike)]
    assert found == ["come out", "shut the door"]


def test_plausibility_puts_equally_grave_ones_in_order() -> None:
    later_first = sorted(silent(OUTCOMES), key=lambda o: o.mistake.line)[-1].mistake

    def rank(mistake: Mistake) -> int:
        return 3 if mistake == later_first else 1

    grave = [o for o in OUTCOMES if o.gravity == 2]
    assert min(grave, key=lambda o: worst_first(o, rank)).mistake == later_first


def test_the_only_look_carries_all_that_it_reveals() -> None:
    (weight,) = look_weights(GOING, MISTAKES, OUTCOMES)
    by_look = [o for o in OUTCOMES if o.noticing is not None and o.noticing.means == "look" and 4 not in o.mistake.lines]
    assert (weight.line, weight.reveals) == (5, len(by_look))
    # A lamp not lit, or its sign not won, is never seen otherwise. Whoever goes back to light it is in when the door is shut.
    assert (weight.latent, weight.unseen) == (2, 2)


def test_a_look_at_the_door_at_the_end_reveals_the_door_left_open() -> None:
    left = [o for o in OUTCOMES if o.mistake.kind == "left out"]
    (look,), blind = added_looks(GOING, left, _alike)
    assert (look.key, look.before_line) == ("door", len(LINES) + 1)
    assert [LINES[o.mistake.line] for o in look.reveals] == ["shut the door"]
    assert [LINES[o.mistake.line] for o in blind] == ["come out"]


def test_what_no_look_shows_is_given_back() -> None:
    looks, blind = added_looks(GOING, OUTCOMES, _alike, most=99)
    assert len(blind) + sum(len(look.reveals) for look in looks) == len(silent(OUTCOMES))
