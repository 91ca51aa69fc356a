"""From a planned job to the content of its sheet: blocks from phases, pictures from the state, words from the rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

from headstock.base.sources import Source
from headstock.formation.train import UnitEnd
from headstock.local_rules.limit_figures import limit_said
from headstock.procedures.task import AttachTask
from headstock.sheets.blocks import block_ends, blocks_of, detail_of, where_to_stop
from headstock.sheets.content import HoldLine, JobSheetContent, Person, Reading
from headstock.sheets.forecast_chart import forecast_chart
from headstock.sheets.forecast_content import ForecastChart
from headstock.sheets.forecast_figures import GaugeSeen
from headstock.sheets.job_sheet import room_mm
from headstock.sheets.letters import letter_of
from headstock.sheets.pictures import end_pictures, train_drawing
from headstock.sheets.setting import plain_name
from headstock.usecases.found_cautions import found_cautions
from headstock.usecases.joint_opening import opening_words
from headstock.usecases.method_due import method_due
from headstock.usecases.place_cautions import place_cautions
from headstock.usecases.plan_job import JobPlan
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.stop_lines import HOW, stop_lines
from headstock.usecases.told_afterwards import told_lines

if TYPE_CHECKING:
    from headstock.brake_test.forecast import Forecast

WAYS = {"direct": "Joined directly", "screw": "Joined by a screw coupling", "adapter": "Joined through an adapter"}


def sheet_name(answer: JobPlan) -> str:
    """File name of a job's sheet: its title's letters and figures."""
    return f"{plain_name(answer.papers.job.title) or 'job-sheet'}.pdf"


def sheet_of(answer: JobPlan, forecast: Forecast | None = None) -> JobSheetContent:
    """Everything that stands on the sheet of a planned job, with the forecast of its brake test where there is one.

    Raises ValueError for a job without an order of work.
    """
    task, papers = answer.assembled.task, answer.papers
    found_state = answer.assembled.found
    if task is None or found_state is None or answer.order is None or answer.domain is None or answer.answer != "yes":
        raise ValueError("there is no order of work to print")
    rules, place = papers.rules, papers.place
    invented = papers.job.invented or rules.invented or place.invented
    way = answer.assembled.join.best
    found = tuple(f"As found, mend first: {text}." for text in answer.as_found)
    due, steps = method_due(papers, task), answer.order.steps
    stops = stop_lines(task, answer.domain, steps, block_ends(steps))
    cautions = (STANDING_CAUTION, *rules.cautions.value, *place_cautions(place), *found_cautions(task), *found)
    cautions += (due.only_if(),) if due.only_if() else ()
    return JobSheetContent(
        title=papers.job.title,
        place_line=f"{place.name} · {place.slope_words()}",
        rules_line=f"Local rules: {rules.name}, edition {rules.edition} · unit data: {_unit_data(task)}",
        invented=invented,
        cautions=cautions,
        people=_people(task),
        train=train_drawing(task),
        ends=end_pictures(task, found_state, answer.order.steps),
        blocks=blocks_of(task, steps, room_mm(cautions)),
        readings=readings_of(task),
        readings_note=f"rear: cab {task.rear_cab}; front: cab {task.controls}",
        stop_note=where_to_stop(steps, stops),
        signatures=("Person in charge", "Time", "Touched since? yes / no", "Board off, by whom"),
        detail=detail_of(task, steps, answer.because, stops),
        joined_heading="Joined until now" if task.parts else "Joined, and what that leaves out",
        restrictions=(f"{WAYS[way.name]}: {way.level}.", *(() if task.parts else (*way.losses, *way.restrictions))),
        tell_afterwards=told_lines(task),
        tests_due=due.words(),
        signals=_signals(task),
        holds=_holds(answer, task),
        holds_note=_holds_note(answer, task),
        opening=opening_words(task),
        plan_note=_plan_note(answer),
        sources=_sources(answer),
        footer=f"{rules.name}, edition {rules.edition}",
        cannot_show=tuple(papers.method.cannot_show),
        forecast=_forecast(task, forecast),
    )


def _forecast(task: AttachTask, forecast: Forecast | None) -> ForecastChart | None:
    """The forecast in the unit of the local rules, its marks those of the two cabs' gauges."""
    if forecast is None:
        return None
    return forecast_chart(forecast, task.rules.pressure_unit, gauge_seen(task, task.controls), gauge_seen(task, task.rear_cab))


def gauge_seen(task: AttachTask, end: UnitEnd) -> GaugeSeen:
    """The brake pipe gauge of a cab; without marks where the unit data know of none."""
    for _, spec in task.train.end_devices(end):
        if spec.kind == "gauge" and spec.reads == "brake pipe":
            return GaugeSeen(str(end), spec.range_low_bar, spec.graduation_bar)
    return GaugeSeen(str(end))


def _unit_data(task: AttachTask) -> str:
    types = dict.fromkeys(f"{unit.unit_type.type} issue {unit.unit_type.issue}" for unit in task.train.units)
    return ", ".join(types)


def _people(task: AttachTask) -> tuple[Person, ...]:
    charge = task.role_for("in_charge")
    return tuple(Person(letter_of(role), role, name, role == charge) for role, name in task.crew.items())


def _signals(task: AttachTask) -> tuple[str, ...]:
    """Distances counted down, what lost contact means, signals; to a driver alone nobody counts or signals."""
    rules = task.rules
    if len(task.crew) == 1:
        return ()
    said = [
        rules.words.count_down.value.format(distance=task.length_words(distance_m), joint=task.train.joint_to_make)
        for distance_m in rules.approach.counted_down_m.value
    ]
    counted = (f"{letter_of(task.role_for('in_charge'))} on the way, each at its place: {' '.join(said)}",) if said else ()
    return (*counted, rules.words.lost_contact.value, *rules.signals.value.lines())


def readings_of(task: AttachTask) -> tuple[Reading, ...]:
    """The readings of the brake test with their limits, in order."""
    lines: list[Reading] = []
    for stage in task.method.stages:
        if stage.reading is not None and stage.reading.limit is not None:
            limit = stage.reading.limit
            figure, tail = limit_said(task.rules.limit_read(limit), limit, task.rules.pressure_unit)
            lines.append(Reading(len(lines) + 1, stage.reading.name, figure, tail, stage.reading.at))
    return tuple(lines)


def _holds(answer: JobPlan, task: AttachTask) -> tuple[HoldLine, ...]:
    lines = []
    for result in answer.assembled.holding:
        used = task.holds[result.portion].brakes
        names = {key: key.replace(".", " ").replace("_", " ") for key in used}
        force_n = sum(brake.available_force_n for brake in result.available if brake.key in used)
        gradient = result.held_gradient * 1000
        held = f"{gradient:.0f} per mille" + (" or more" if result.is_held_gradient_capped else "")
        lines.append(
            HoldLine(result.portion, ", ".join(names.values()), f"{result.needed_force_n / 1000:.1f}",
                     f"{force_n / 1000:.1f}", held)
        )  # fmt: skip
    return tuple(lines)


def _holds_note(answer: JobPlan, task: AttachTask) -> str:
    rules = answer.papers.rules.holding
    scotched = task.rescue is not None or (task.rescued is not None and task.rescued.scotches is not None)
    nothing = "Trapped air and scotches count as 0 kN." if scotched else "Trapped air counts as 0 kN."
    return (
        f"Needed: pull of the gradient with a margin of {rules.margin.value:g}; adhesion at most {rules.adhesion.value:g}. "
        f"{nothing}"
    )


def _plan_note(answer: JobPlan) -> str:
    order = answer.order
    if order is None:
        return ""
    best = "no order of these steps costs less" if order.proved_best else "found by search, not proved the shortest"
    return f"Allowances, walking and entries together {order.cost_s / 60:.0f} min; {best}. Checked line by line. {HOW}"


def _sources(answer: JobPlan) -> tuple[str, ...]:
    papers = answer.papers
    task = answer.assembled.task
    lines = [f"Test method: {papers.method.name}, edition {papers.method.edition}."]
    lines.append(f"Trigger set: {papers.triggers.name}, edition {papers.triggers.edition}.")
    for source in papers.rules.sources.values():
        lines.append(_source_line("Local rules", source))
    for unit in {u.unit_type.type: u.unit_type for u in task.train.units}.values() if task is not None else ():
        lines += [_source_line(f"Unit data {unit.type}", source) for source in unit.sources.values()]
    return tuple(dict.fromkeys(lines))


def _source_line(of: str, source: Source) -> str:
    """A source in one line; nothing is said twice."""
    edition = "" if source.edition == "none" else f", edition {source.edition}"
    status = "" if source.text.startswith(source.status) else f" ({source.status})"
    return f"{of}: {source.text}{edition}{status}."
