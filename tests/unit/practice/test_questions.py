"""Questions: each answer agrees with a fresh reckoning, none twice, exactly one right option."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache
from random import Random

import pytest

from headstock.brake_test.forecast import Forecast
from headstock.local_rules.test_limits import Limit
from headstock.physics.fast_run import answer_fast
from headstock.practice.question_makers import APART_BAR, MAKERS
from headstock.practice.questions import KINDS, OPTIONS, Draft, Question, Subject, paper_of, pool_of, question_of
from headstock.reasoning.checker import check
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.job_file import JOBS_FOLDER
from tests.cases.jobs import planned

JOBS = sorted(JOBS_FOLDER.glob("*.yaml"))


@cache
def subject(name: str) -> Subject:
    plan = planned(JOBS_FOLDER / f"{name}.yaml", by_air=True)
    assert plan.assembled.task is not None and plan.domain is not None and plan.order is not None
    return Subject(name, plan.assembled.task, plan.domain, plan.order.steps, fresh_forecast(name))


@cache
def fresh_forecast(name: str) -> Forecast | None:
    return forecast_of(planned(JOBS_FOLDER / f"{name}.yaml", by_air=True), lambda runs: tuple(map(answer_fast, runs)))


@cache
def pool() -> tuple[Question, ...]:
    return pool_of([subject(path.stem) for path in JOBS], MAKERS, 7)


def test_there_are_a_thousand_and_none_is_there_twice() -> None:
    assert len(pool()) >= 1000
    assert len({question.key for question in pool()}) == len({question.text for question in pool()}) == len(pool())
    assert set(Counter(question.kind for question in pool())) == set(KINDS)


def test_each_has_one_right_option_and_all_differ() -> None:
    for question in pool():
        assert len(set(question.options)) == OPTIONS and 0 <= question.right < OPTIONS


def test_the_place_of_the_right_option_gives_nothing_away() -> None:
    places = Counter(question.right for question in pool())
    assert max(places.values()) < 1.2 * len(pool()) / OPTIONS


def _figures(question: Question) -> list[float]:
    return [float(option.split()[0]) for option in question.options]


def test_gauge_answers_are_those_of_a_fresh_run_and_wrong_ones_lie_apart() -> None:
    asked = [question for question in pool() if question.kind == "gauge"]
    assert len(asked) > 30
    for question in asked:
        forecast = fresh_forecast(question.subject)
        assert forecast is not None
        rows = {f"{case.name}, {reading.name}": reading for case in forecast.cases for reading in case.readings}
        reading = rows[question.from_what]
        figures, right = _figures(question), _figures(question)[question.right]
        shown = reading.shows_bar if question.options[0].endswith("bar") else reading.shows_bar * 14.5038
        assert right == pytest.approx(shown, abs=0.06), question.text
        least = APART_BAR if question.options[0].endswith("bar") else APART_BAR * 14.5
        assert all(abs(figure - right) > least - 0.02 for number, figure in enumerate(figures) if number != question.right)


def test_what_comes_first_is_so_by_the_checker() -> None:
    asked = [question for question in pool() if question.kind == "before"]
    for question in Random(3).sample(asked, 60):
        made = subject(question.subject)
        line = int(question.from_what.removeprefix("line ")) - 1
        keys = [f"{step.role}: {step.key}" for step in made.order]
        before = keys.index(question.options[question.right])
        assert before < line
        swapped = [*made.order[:before], made.order[line], *made.order[before:line], *made.order[line + 1 :]]
        assert not check(swapped, made.domain).holds, question.text
        for number, option in enumerate(question.options):
            assert number == question.right or keys.index(option) > line, option


def test_what_comes_after_is_so_by_the_checker() -> None:
    asked = [question for question in pool() if question.kind == "after"]
    for question in Random(4).sample(asked, 60):
        made = subject(question.subject)
        line = int(question.from_what.removeprefix("line ")) - 1
        keys = [f"{step.role}: {step.key}" for step in made.order]
        later = keys.index(question.options[question.right])
        assert later > line
        swapped = [*made.order[:line], made.order[later], *made.order[line:later], *made.order[later + 1 :]]
        assert not check(swapped, made.domain).holds, question.text
        for number, option in enumerate(question.options):
            assert number == question.right or keys.index(option) < line, option


def test_what_an_omission_hurts_is_what_the_checker_finds() -> None:
    for question in (one for one in pool() if one.kind == "hurts"):
        made, line = subject(question.subject), int(question.from_what.removeprefix("line ")) - 1
        holes = check((*made.order[:line], *made.order[line + 1 :]), made.domain).holes
        assert {hole.hurts for hole in holes if hole.hurts} == {question.options[question.right]}


def test_places_are_those_of_the_order() -> None:
    for question in (one for one in pool() if one.kind == "place"):
        made, line = subject(question.subject), int(question.from_what.removeprefix("line ")) - 1
        place = made.order[line].place
        assert place is not None and made.domain.places[place].label == question.options[question.right]


def test_a_paper_is_balanced_and_comes_again_from_its_seed() -> None:
    paper = paper_of(pool(), 20, 5)
    assert paper == paper_of(pool(), 20, 5) != paper_of(pool(), 20, 6)
    kinds = Counter(question.kind for question in paper)
    assert max(kinds.values()) - min(kinds.values()) <= 1 and len({question.text for question in paper}) == 20
    with pytest.raises(ValueError, match="questions"):
        paper_of(pool(), len(pool()) + 1, 5)


def test_too_few_wrong_options_make_no_question() -> None:
    assert question_of("x", Draft("place", "Where?", "here", ("here", "there", "there", "yonder"), "", ""), 1) is None


@pytest.mark.parametrize(
    "limit", ["leak_at_most_bar_per_min", "below_set_at_most_bar", "step_at_least_bar", "rise_at_most_bar",
              "cylinder_applied_at_least_bar", "flow_at_most_l_per_min", "applied_share_at_least"],
)  # fmt: skip
def test_what_no_pipe_gauge_shows_is_neither_asked_nor_tempted_with(limit: Limit) -> None:
    """A change, a rate, a difference, a cylinder, a flow, a count: none of them is what the brake pipe gauge shows."""
    made = subject("demo-attach")
    assert made.forecast is not None
    odd = [replace(case, readings=(*case.readings[:-1], replace(case.readings[-1], limit=limit, shows_bar=9.75)))
           for case in made.forecast.cases]  # fmt: skip
    drafts = list(MAKERS["gauge"](replace(made, forecast=replace(made.forecast, cases=tuple(odd)))))
    assert drafts and all("9.75" not in option for draft in drafts for option in (draft.right, *draft.wrong))
    assert len(drafts) < len(list(MAKERS["gauge"](made)))


def test_every_line_that_an_answer_names_is_said_in_its_words() -> None:
    orders = {path.stem: subject(path.stem).order for path in JOBS}
    named = 0
    for question in pool():
        for number, words in re.findall(r"line (\d+)(?: of the order of work is|,) “([^”]+)”", question.because, re.IGNORECASE):
            step = orders[question.subject][int(number) - 1]
            assert words == f"{step.role}: {step.key}", question
            named += 1
        bare = re.sub(r"“[^”]*”", "", question.because)
        assert len(re.findall(r"line \d+", bare, re.IGNORECASE)) == question.because.count("“"), "no number stands alone"
    assert named > 300
