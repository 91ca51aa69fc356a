"""Marks: that the order of lines counts, and what people did apart from what the computer's colleagues did."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from headstock.base.errors import InputError
from headstock.practice.colleague import Colleagues
from headstock.practice.events import Did, Heard, Overlooked, Planted, Took, Walked
from headstock.practice.exercise import Exercise, Hidden, Lapse
from headstock.practice.marking import Mark, mark_of
from headstock.practice.playing import after
from headstock.practice.sitting import Sitting, begun
from headstock.practice.talk_through import talk_through_of
from headstock.usecases.file_sitting import outcome_words
from tests.unit.practice.crew import at_line, played

Make = Callable[..., Exercise]


def _line_of(exercise: Exercise, words: str) -> int:
    """The first line (0 is the first) whose words begin like this."""
    return next(line for line, step in enumerate(exercise.order) if step.key.startswith(words))


@pytest.mark.parametrize("words", ["ask for the road", "watch 226", "go between"])
def test_a_line_done_before_one_that_it_rests_on_is_named_with_both(exercise: Make, words: str) -> None:
    made = exercise()
    late = _line_of(made, words)
    assert late - 1 in made.earlier[late]
    order = (*made.order[: late - 1], made.order[late], made.order[late - 1])
    mark = mark_of(played(made, order, declare=False))
    first, second = made.order[late].key, made.order[late - 1].key
    assert mark.before_time == (f"line {late + 1}, {first}: before line {late}, {second}",)
    assert not mark.besides and not mark.colleagues.before_time


def test_lines_of_others_that_rest_on_nothing_of_one_another_may_change_places(exercise: Make) -> None:
    made = exercise()
    line = next(line for line in range(20) if line not in made.earlier[line + 1])
    order = (*made.order[:line], made.order[line + 1], made.order[line])
    assert not mark_of(played(made, order, declare=False)).before_time


def _with_a_guard(exercise: Exercise, most: int = 90) -> tuple[Sitting, Mark]:
    """The computer plays all but the guard; a person does the guard's lines as written and hears what is said."""
    colleagues, sitting = Colleagues(exercise), after(begun(exercise), Took(0.0, "guard", "M. Iden"))
    for _ in range(most):
        event = colleagues.next_event(sitting)
        if event is None and sitting.told:
            event = Heard(sitting.t_s + 1.0, "guard", sitting.told[0].step.role, sitting.told[0].step.key)
        event = event or colleagues.next_event(replace(sitting, people={}))
        if event is None:
            break
        sitting = after(sitting, event)
    return sitting, mark_of(sitting)


def test_what_the_computer_does_wrong_counts_against_no_person(exercise: Make) -> None:
    sitting = after(begun(exercise()), Took(0.0, "guard", "M. Iden"))
    sitting = after(sitting, Did(5.0, "shunter", "go between, ends apart"))
    mark = mark_of(sitting)
    assert mark.is_safe and not mark.unsafe and "is protected" in " ".join(note.text for note in mark.colleagues.unsafe)
    assert "whom the computer played" in outcome_words(mark)
    own = mark_of(after(after(begun(exercise()), Took(0.0, "shunter", "M. Iden")), Did(5.0, "shunter", "go between, ends apart")))
    assert not own.is_safe and own.unsafe and not own.colleagues.unsafe
    assert "whom the computer played" not in outcome_words(own)


def test_what_the_trainer_plants_counts_against_nobody(exercise: Make) -> None:
    made = exercise()
    sitting = at_line(made, 25, after(begun(made), Took(0.0, "shunter", "M. Iden")))
    before = mark_of(sitting)
    key = next(key for key, one in made.domain.variables.items() if key.startswith("226") and "parking_brake" in key)
    value = next(value for value in made.domain.variables[key].domain if value != sitting.state[key])
    then = mark_of(after(sitting, Planted(sitting.t_s + 1, key, value)))
    assert then.unsafe == before.unsafe


def test_whose_line_it_is_when_a_role_changes_hands_is_as_it_was_then(exercise: Make) -> None:
    made = exercise()
    besides = Did(5.0, "shunter", "ask for the road")
    sitting = after(after(begun(made), besides), Took(6.0, "shunter", "M. Iden"))
    sitting = after(sitting, Did(7.0, "driver", made.order[0].key)) if made.order[0].role == "driver" else sitting
    assert not mark_of(sitting).unsafe, "the computer asked for the road before the job was agreed"
    assert mark_of(sitting).colleagues.unsafe


def test_who_does_not_really_look_takes_it_for_seen_and_passes_it_on(exercise: Make) -> None:
    made = exercise()
    line = _line_of(made, "look at the end 217/2")
    hidden = (Hidden("217/2.coupler.head", "dropped"),)
    looked, mark = _with_a_guard(exercise(hidden=hidden))
    assert not looked.run.knows("shunter", ("217/2.coupler.head", "raised")) and not mark.colleagues.slips
    slipped, mark = _with_a_guard(exercise(hidden=hidden, lapses=(Lapse(line + 1, "not really looked"),)))
    assert slipped.run.knows("shunter", ("217/2.coupler.head", "raised")), "taken for seen"
    assert mark.colleagues.slips == (f"{made.order[line].key}: not really looked",)
    assert not mark.hidden[0][1] and mark.is_safe
    assert any(made.order[line].key in text for text in talk_through_of(slipped).never_looked_at)


def test_what_a_colleague_finds_is_not_a_persons_find(exercise: Make) -> None:
    _, mark = _with_a_guard(exercise(hidden=(Hidden("217/2.coupler.head", "dropped"),)))
    assert mark.hidden == ((mark.hidden[0][0], False),) and mark.colleagues.found == (mark.hidden[0][0],)


def test_words_that_are_not_said_are_named_and_their_colleague_goes_on(exercise: Make) -> None:
    made = exercise()
    line = _line_of(made, "tell the guard: 226 stands")
    sitting, mark = _with_a_guard(exercise(lapses=(Lapse(line + 1, "not said"),)))
    assert all(step.ident != made.order[line].ident for _, step in sitting.done)
    assert mark.colleagues.slips == (f"{made.order[line].key}: not said",)
    assert not sitting.run.knows("guard", made.order[line].tells[0])


def test_only_the_computer_overlooks_and_only_where_there_is_something_to_see(exercise: Make) -> None:
    made = exercise()
    step = made.order[_line_of(made, "look at the end 217/2")]
    start = begun(made)
    with pytest.raises(InputError, match="a person has this role"):
        after(after(start, Took(0.0, step.role, "M. Iden")), Overlooked(1.0, step.role, step.key))
    with pytest.raises(InputError, match="nothing to overlook"):
        after(start, Overlooked(1.0, made.order[0].role, made.order[0].key))


def test_the_word_of_one_who_did_not_look_is_a_word_like_any_other(exercise: Make) -> None:
    made = exercise()
    look, word, fact = next((look, word, fact) for look in range(len(made.order)) for word in range(look + 1, len(made.order))
                            for fact in made.order[look].shows if fact in made.order[word].tells
                            and made.order[look].role == made.order[word].role and made.order[word].place is None
                            and not fact[0].endswith(".brake_pipe"))  # fmt: skip
    step, words = made.order[look], made.order[word]
    before = at_line(made, look)
    other = next(one for one in made.domain.variables[fact[0]].domain if one != fact[1])
    planted = after(before, Planted(before.t_s, fact[0], other))
    assert step.place is not None
    there = after(planted, Walked(before.t_s + 60.0, step.role, step.place))
    said = after(after(there, Overlooked(there.t_s + 1, step.role, step.key)), Did(there.t_s + 90.0, words.role, words.key))
    assert said.run.knows(words.hearer, fact) and said.state[fact[0]] == other


def test_gauges_of_the_talk_through_fit_under_its_top(exercise: Make) -> None:
    talk = talk_through_of(played(exercise(), exercise().order[:12], declare=False))
    heights = [float(point.split(",")[1]) for trace in talk.traces for point in trace.path.split()]
    assert talk.top_bar == 6 and heights and min(heights) > 0.0 and max(heights) <= 220.0
    shown = max((220.0 - min(float(point.split(",")[1]) for point in trace.path.split())) / 220.0 * talk.top_bar
                for trace in talk.traces)  # fmt: skip
    assert shown == pytest.approx(5.0, abs=0.1), "what the valve charges to"
