"""``plan``: the order of work in the terminal, and the sheet."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.usecases.answers_as_data.plan import plan_as_json
from headstock.usecases.forecast_bands import BandAsked
from headstock.usecases.forecast_job import forecast_of
from headstock.usecases.found_cautions import found_cautions
from headstock.usecases.joint_opening import opening_words
from headstock.usecases.method_due import MethodDue, method_due
from headstock.usecases.place_cautions import place_cautions
from headstock.usecases.plan_job import JobPlan, plan_job
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.written_instruction import instruction_text
from headstock.wiring import DEMO_JOB, air_engine, drawn_bands, fleet_from, print_cards, print_sheet, write_pddl, write_whole

if TYPE_CHECKING:
    from rich.console import Console

NO_ORDER = {"no": "No order of work:", "not found": "Not found:", "outside the model": "Not planned here:"}


def run_demo() -> int:
    """Plan the built-in demo job; the sheet's path is the last line."""
    return run_plan(DEMO_JOB, False, None, Path("sheets"), None)


def run_plan(
    job: Path, as_json: bool, fleet: Path | None, sheets: Path, instruction: Path | None, pddl: Path | None = None
) -> int:
    """Plan a job, print the answer, write the sheet when there is an order of work, and the task where one was planned."""
    engine = air_engine()
    answer = plan_job(job, fleet_from(fleet), engine)
    written: tuple[Path, ...] = ()
    if answer.answer == "yes":
        forecast = forecast_of(answer, engine, band=BandAsked(drawn_bands()))
        written = (print_cards(answer, sheets), print_sheet(answer, sheets, forecast))
        if instruction is not None:
            _write_instruction(answer, instruction)
    task = write_pddl(answer.domain, pddl) if pddl is not None and answer.domain is not None else ()
    if as_json:
        print_json(plan_as_json(answer, written) | ({"pddl": [str(path) for path in task]} if pddl is not None else {}))
    else:
        print_plan(answer, (*task, *written))
    return ANSWER_STATUS[answer.answer]


def _write_instruction(answer: JobPlan, path: Path) -> None:
    order = answer.order
    text = instruction_text(answer.papers.job.title, order.steps if order is not None else ())
    write_whole({path: text.encode()}, "Name another file with --instruction.")


def _print_due(console: Console, due: MethodDue) -> None:
    """The tests due after the job; what the job's method does not answer first."""
    if due.only_if():
        console.print(due.only_if(), style="bold", markup=False)
    for line in due.words():
        console.print(line, markup=False)


def print_plan(answer: JobPlan, written: tuple[Path, ...]) -> None:
    """The answer in the terminal."""
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False)
    job, rules = answer.papers.job, answer.papers.rules
    console.print(f"{job.title} · {answer.papers.place.name}, {answer.papers.place.slope_words()}", style="bold")
    console.print(f"Local rules: {rules.name}, edition {rules.edition}" + (" (invented)" if rules.invented else ""))
    for caution in (STANDING_CAUTION, *rules.cautions.value, *place_cautions(answer.papers.place)):
        console.print(f"Caution: {caution}")
    if answer.answer != "yes":
        console.print(NO_ORDER[answer.answer], style="bold")
        for reason in answer.reasons:
            console.print(f"  - {reason}")
        return
    for found in answer.as_found:
        console.print(f"As found, mend first: {found}", style="bold")
    if answer.assembled.task is not None:
        for caution in (*found_cautions(answer.assembled.task), opening_words(answer.assembled.task)):
            console.print(f"Caution: {caution}")
    _print_due(console, method_due(answer.papers, answer.assembled.task))
    table = Table(box=None, pad_edge=False)
    for column in ("line", "who", "order of work", "because"):
        table.add_column(column, justify="right" if column == "line" else "left", overflow="fold")
    steps = answer.order.steps if answer.order is not None else ()
    for number, (step, because) in enumerate(zip(steps, answer.because, strict=True), start=1):
        caution = f"\nCaution: {step.caution}" if step.caution else ""
        table.add_row(str(number), step.role, f"{step.key}{caution}", because.words())
    console.print(table)
    if answer.order is not None:
        minutes = answer.order.cost_s / 60
        best = "No order of these steps costs less." if answer.order.proved_best else "Not proved the shortest."
        console.print(f"Sum of allowances, walking and entries: {minutes:.0f} min. {best}")
    for path in written:
        print(path)
