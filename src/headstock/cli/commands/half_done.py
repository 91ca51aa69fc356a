"""``plan --stop-after`` and ``--relief``: breaking a job off, handing it over, in the terminal, as JSON, as a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import ANSWER_STATUS, print_json
from headstock.procedures.explain import Because
from headstock.reasoning.step import Step
from headstock.usecases.answers_as_data.half_done import half_done_as_json, steps_as_json
from headstock.usecases.plan_job import plan_job
from headstock.usecases.relieve_job import JobRelieved, relieve_job, role_and_name
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.stop_job import JobStopped, stop_job
from headstock.wiring import air_engine, fleet_from, print_half_done_sheet


def run_half_done(job: Path, line: int | None, relief: str | None, as_json: bool, fleet: Path | None, sheets: Path,
                  instruction: Path | None, pddl: Path | None = None) -> int:  # fmt: skip
    """Plan the job, break it off after a line or hand it over there, print the answer and the sheet."""
    if line is None:
        fault = Fault("a relief after which line?", path="--relief", found=relief, expected="--stop-after N as well")
        raise InputError(fault, cure="Name the last line that is done with --stop-after; 0 where nothing is.")
    if instruction is not None:
        fault = Fault("a broken off job is not written as an instruction", path="--instruction", found=str(instruction))
        raise InputError(fault, cure="Leave out --instruction, or --stop-after.")
    if pddl is not None:
        fault = Fault("a broken off job is not written as PDDL", path="--pddl", found=str(pddl))
        raise InputError(fault, cure="Leave out --pddl, or --stop-after.")
    answer = plan_job(job, fleet_from(fleet), air_engine())
    if answer.answer != "yes":
        from headstock.cli.commands.plan import print_plan
        from headstock.usecases.answers_as_data.plan import plan_as_json

        print_json(plan_as_json(answer, ())) if as_json else print_plan(answer, ())
        return ANSWER_STATUS[answer.answer]
    role, name = role_and_name(relief)
    found = relieve_job(answer, line, role, name) if role else stop_job(answer, line)
    written = print_half_done_sheet(found, sheets) if found.answer == "yes" else None
    if as_json:
        print_json(half_done_as_json(found, written))
    else:
        _print(found, written)
    return ANSWER_STATUS[found.answer]


def _print(found: JobStopped | JobRelieved, written: Path | None) -> None:
    from rich.console import Console

    console = Console(highlight=False)
    job, rules = found.plan.papers.job, found.plan.papers.rules
    what = f"{found.role} relieved" if isinstance(found, JobRelieved) else "broken off"
    console.print(f"{job.title}: {what} after line {found.line}", style="bold")
    console.print(f"Local rules: {rules.name}, edition {rules.edition}" + (" (invented)" if rules.invented else ""))
    for caution in (STANDING_CAUTION, *rules.cautions.value, *found.notes):
        console.print(f"Caution: {caution}")
    if found.answer != "yes":
        console.print("No:" if found.answer == "no" else "Not found:", style="bold")
        for reason in found.reasons:
            console.print(f"  - {reason}")
        return
    for row in found.stands:
        console.print(f"{row.about}: {'; '.join(row.words)}.")
    if isinstance(found, JobRelieved):
        _print_handing(console, found)
        _print_steps(console, "before handing over", found.ready, ())
    _print_steps(
        console, "handing over and the rest" if isinstance(found, JobRelieved) else "make safe", found.steps, found.because
    )
    best = "No order of these steps costs less." if found.order.proved_best else "Not proved the shortest."
    console.print(f"Sum of allowances, walking and entries: {found.order.cost_s / 60:.0f} min. {best}")
    if written is not None:
        print(written)


def _print_handing(console: Any, found: JobRelieved) -> None:
    console.print(f"{found.off} hands over to {found.on}.", style="bold")
    console.print(f"Told, and said back: {'; '.join(found.told) or 'nothing'}.")
    for who, words in found.told_anew:
        console.print(f"Told by the {who}: {words}.")
    console.print(f"Looked at by the relief himself before he takes over: {'; '.join(found.looked_at) or 'nothing'}.")


def _print_steps(console: Any, title: str, steps: Sequence[Step], because: Sequence[Because]) -> None:
    from rich.table import Table

    table = Table(box=None, pad_edge=False)
    for column in ("line", "who", title, "because"):
        table.add_column(column, justify="right" if column == "line" else "left", overflow="fold")
    for row in steps_as_json(steps, because):
        caution = f"\nCaution: {row['caution']}" if row["caution"] else ""
        table.add_row(str(row["line"]), row["who"], f"{row['does']}{caution}", row["because"])
    console.print(table)
