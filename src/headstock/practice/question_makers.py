"""Where questions come from: the forecast's gauges, the order's ties, what omissions lead to, where things are done."""

from __future__ import annotations

from collections.abc import Iterator

from headstock.brake_test.forecast import ForecastCase, ForecastReading
from headstock.brake_test.stage_readings import DIFFERENCES
from headstock.local_rules.limit_figures import is_pressure, reading_figure
from headstock.local_rules.method_stage import READS_OF
from headstock.practice.instruction_ties import earlier_lines
from headstock.practice.questions import Draft, Maker, QuestionKind, Subject
from headstock.reasoning.checker import check
from headstock.reasoning.step import Step

APART_BAR = 0.3
"""Options of a gauge lie further apart than twice what the fast and the fine engine differ by, and a gauge's own error."""


def about_gauges(subject: Subject) -> Iterator[Draft]:
    """What does this gauge show at the end of a stage? Wrong: the healthy reading, the other gauge, the valve's own pressures."""
    forecast = subject.forecast
    if forecast is None:
        return
    unit = subject.task.rules.pressure_unit
    for case in forecast.cases:
        for reading in case.readings:
            if not _is_what_a_pipe_gauge_shows(reading):
                continue
            values = _apart(reading.shows_bar, _tempting(subject, case, reading))
            words = [f"{reading_figure(value, reading.limit_bar, reading.limit, unit)} {unit}" for value in values]
            what = "nothing is wrong" if case is forecast.cases[0] else case.name
            yield Draft(
                "gauge", f"Train {_train(subject)}, brake test: {subject.task.method.name}. {what.capitalize()}. "
                f"What does the {reading.at} gauge show at the end of the stage “{reading.stage}”?",
                words[0], tuple(words[1:]),
                f"The air was reckoned for this train with that fault: {words[0]}.", f"{case.name}, {reading.name}",
            )  # fmt: skip


def _is_what_a_pipe_gauge_shows(reading: ForecastReading) -> bool:
    """Not a change or a rate, nor how far it is below something, nor what is read elsewhere than on the brake pipe."""
    return (
        is_pressure(reading.limit)
        and reading.limit not in DIFFERENCES
        and READS_OF.get(reading.limit, "brake pipe") == "brake pipe"
    )


def _tempting(subject: Subject, case: ForecastCase, reading: ForecastReading) -> list[float]:
    """Readings that somebody might believe in, the likeliest first."""
    assert subject.forecast is not None
    healthy = subject.forecast.cases[0]
    valve = subject.task.train.cab_valve(subject.task.controls)[1]
    same = [other.shows_bar for other in healthy.readings if other.name == reading.name]
    others = [other.shows_bar for other in case.readings if other.at != reading.at and _is_what_a_pipe_gauge_shows(other)]
    fixed = [valve.set_pressure_bar, valve.ends_at_bar("full"), 0.0, valve.set_pressure_bar / 2]
    return [value for value in (*same, *others, *fixed) if value >= 0.0]


def _apart(right: float, wrong: list[float]) -> list[float]:
    """The right figure, then wrong ones, all of them well apart."""
    found = [right]
    for value in wrong:
        if all(abs(value - other) >= APART_BAR for other in found):
            found.append(value)
    return found


def about_what_is_seen(subject: Subject) -> Iterator[Draft]:
    """Which reading of the test is the first outside its limit, if any?"""
    forecast = subject.forecast
    if forecast is None:
        return
    names = list(dict.fromkeys(reading.name for reading in forecast.cases[0].readings))
    none = "none of them: the test does not see it"
    for case in forecast.cases[1:]:
        outside = [reading.name for reading in case.readings if not reading.within]
        right = outside[0] if outside else none
        wrong = [option for option in (none, *names) if option != right]
        text = f"Train {_train(subject)}, {subject.task.method.name}. {case.name.capitalize()}."
        seen = f"{', '.join(outside)} not within limits" if outside else "every reading within limits"
        yield Draft("first seen", f"{text} Which reading is the first that is not within its limit?", right, tuple(wrong),
                    f"Reckoned for this train: {seen}.", case.name)  # fmt: skip


def about_what_comes_first(subject: Subject) -> Iterator[Draft]:
    """Which of these must be done before that? Wrong: lines that themselves rest on it."""
    steps, near = subject.order, earlier_lines(subject.order)
    far, once = _all_earlier(subject.order), _said_once(subject.order)
    for line in sorted(once):
        step = steps[line]
        later = [one for one in once if line in far[one]]
        for before in sorted(one for one in near[line] & once if _gives(steps[one], step) and _is_said_apart(steps[one], step))[
            -2:
        ]:
            wrong = [_line(steps[one]) for one in sorted(later)]
            yield Draft("before", f"Joint {subject.task.train.joint_to_make}. Which of these must be done before the {step.role} "
                        f"may “{step.key}”?", _line(steps[before]), tuple(wrong),
                        _rests(steps, line, before), f"line {line + 1}")  # fmt: skip


def about_what_comes_after(subject: Subject) -> Iterator[Draft]:
    """Which of these may be done only after that? Wrong: lines on which it rests itself."""
    steps, near = subject.order, earlier_lines(subject.order)
    far, once = _all_earlier(subject.order), _said_once(subject.order)
    for line in sorted(once):
        step = steps[line]
        after = [one for one in once if line in near[one] and _gives(step, steps[one]) and _is_said_apart(step, steps[one])]
        if after:
            first = min(after)
            wrong = [_line(steps[one]) for one in sorted(far[line] & once, reverse=True)]
            text = f"Which of these may only be done after the {step.role} has done “{step.key}”?"
            yield Draft("after", f"Joint {subject.task.train.joint_to_make}. {text}", _line(steps[first]), tuple(wrong),
                        _rests(steps, first, line), f"line {line + 1}")  # fmt: skip


def _said_once(order: tuple[Step, ...]) -> set[int]:
    """Lines that cannot be mistaken for another of the same words."""
    words = [step.key for step in order]
    return {line for line, key in enumerate(words) if words.count(key) == 1}


def _train(subject: Subject) -> str:
    return "+".join(unit.name for unit in subject.task.train.units)


def _line(step: Step) -> str:
    return f"{step.role}: {step.key}"


def _cited(order: tuple[Step, ...], line: int) -> str:
    """A line by its number and its words: whoever sits a paper has no order of work before him."""
    return f"Line {line + 1} of the order of work is “{_line(order[line])}”"


def _rests(order: tuple[Step, ...], line: int, before: int) -> str:
    return f"{_cited(order, line)}. It rests on line {before + 1}, “{_line(order[before])}”."


def _all_earlier(order: tuple[Step, ...]) -> list[set[int]]:
    """For each line all that must come before it, near or far."""
    found: list[set[int]] = []
    for before in earlier_lines(order):
        found.append(set(before).union(*(found[one] for one in before)) if before else set())
    return found


def _gives(one: Step, other: Step) -> bool:
    """Whether one brings about, or lets the other's role know, something that the other needs."""
    if set(one.effects) & set(other.needs):
        return True
    seen = {*one.shows, *one.effects} if one.role == other.role else set()
    heard = set(one.tells) if one.hearer == other.role else set()
    return bool((seen | heard) & set(other.knows))


def _is_said_apart(one: Step, other: Step) -> bool:
    """Telling the same thing, or looking at it, gives the answer away."""
    return not ({key for key, _ in one.tells} & {key for key, _ in other.tells}) and one.key != other.key


def about_what_it_hurts(subject: Subject) -> Iterator[Draft]:
    """A line is left out: which danger comes of it first?"""
    dangers = sorted({constraint.hurts for constraint in subject.domain.constraints if constraint.hurts})
    for line, step in enumerate(subject.order):
        left = (*subject.order[:line], *subject.order[line + 1 :])
        hurts = [complaint.hurts for complaint in check(left, subject.domain).holes if complaint.hurts]
        if not hurts or len(set(hurts)) > 1:
            continue
        yield Draft("hurts", f"The {step.role} leaves out: “{step.key}”, and all go on as if it had been done. What can come of "
                    f"it?", hurts[0], tuple(danger for danger in dangers if danger != hurts[0]),
                    f"Everything else done as written, the first rule that breaks: {hurts[0]}", f"line {line + 1}")  # fmt: skip


def about_places(subject: Subject) -> Iterator[Draft]:
    """Where does one stand for it?"""
    places = subject.domain.places
    used = list(dict.fromkeys(step.place for step in subject.order if step.place is not None))
    steps = subject.order
    for line, step in enumerate(steps):
        if step.place is None or step.place in step.key or places[step.place].label in step.key:
            continue
        possible = {one.place for one in subject.domain.steps if one.ident == step.ident}
        wrong = tuple(places[place].label for place in used if place not in possible)
        yield Draft("place", f"Where does the {step.role} stand to “{step.key}”?", places[step.place].label, wrong,
                    f"{_cited(steps, line)}, at {places[step.place].label}.", f"line {line + 1}")  # fmt: skip


MAKERS: dict[QuestionKind, Maker] = {
    "gauge": about_gauges, "first seen": about_what_is_seen, "before": about_what_comes_first,
    "after": about_what_comes_after, "hurts": about_what_it_hurts,
    "place": about_places,
}  # fmt: skip
