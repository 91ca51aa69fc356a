"""All commands. Heavy modules are imported inside the command that needs them, so that help is instant."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from headstock.cli import records_practice_app  # noqa: F401  adds its commands to those about records
from headstock.cli.accounts_app import accounts_app
from headstock.cli.brake_test_app import brake_test_app
from headstock.cli.exercise_app import exercise_app
from headstock.cli.fleet_app import fleet_app
from headstock.cli.methods_app import methods_app
from headstock.cli.options import FleetFolder, JobName, Json, job_named
from headstock.cli.records_app import records_app
from headstock.cli.reply import answering
from headstock.cli.study_app import study_app
from headstock.cli.train_app import train_app
from headstock.usecases.standing_caution import STANDING_CAUTION

CAUTION = f"{STANDING_CAUTION} The built-in fleet, places and limits are invented."

EPILOG = (
    "JOB and READINGS are files, or the names of built-in ones: headstock plan demo-attach. "
    "What a command takes: headstock COMMAND --help. All of it with examples: docs/reference/commands.md."
)

app = typer.Typer(add_completion=False, no_args_is_help=False, rich_markup_mode=None, help=CAUTION, epilog=EPILOG,
                  pretty_exceptions_enable=False)  # fmt: skip
app.add_typer(brake_test_app)
app.add_typer(train_app)
app.add_typer(fleet_app, name="fleet", short_help="The unit types: list, show, check a file.")
app.add_typer(methods_app, name="methods", short_help="Methods of testing the brake: list, show, check a file.")
app.add_typer(records_app, name="records", short_help="What was tested, by whom, and that nothing was altered.")
app.add_typer(accounts_app, name="accounts", short_help="Who may sign in, in which role; who saw and did what.")
app.add_typer(exercise_app, name="exercise", short_help="Exercises: list, show, sit one alone in the terminal.")
app.add_typer(study_app, name="study", short_help="Fleet studies: work one out, ask it, report it.")


@app.callback(invoke_without_command=True)
def start(context: typer.Context, version: Annotated[bool, typer.Option("--version", help="Print it.")] = False) -> None:
    """Without a command: plan the demo attachment and print its sheet."""
    if version:
        from headstock import __version__

        print(__version__)
        raise typer.Exit
    if context.invoked_subcommand is None:
        from headstock.cli.commands.plan import run_demo

        answering(False, run_demo)


@app.command(short_help="The order of work, why each step is there, and its sheets.")
def plan(
    job: JobName,
    as_json: Json = False,
    fleet: FleetFolder = None,
    sheets: Annotated[Path, typer.Option("--sheets", help="Folder for the printed sheet.")] = Path("sheets"),
    instruction: Annotated[Path | None, typer.Option("--instruction", help="Also write the order as an instruction.")]
    = None,
    stop_after: Annotated[int | None, typer.Option("--stop-after", help="Broken off after this line: how all is left safe.")]
    = None,
    relief: Annotated[str | None, typer.Option("--relief", help="With --stop-after: who is relieved, ROLE=NAME.")] = None,
    pddl: Annotated[Path | None, typer.Option("--pddl", help="Folder: also write the task as PDDL, for other planners.")]
    = None,
) -> None:  # fmt: skip
    """Plan a job: the order of work, why each step is there, and a sheet to print."""
    from headstock.cli.commands.plan import run_plan

    if stop_after is not None or relief is not None:
        from headstock.cli.commands.half_done import run_half_done

        answering(as_json, lambda: run_half_done(job_named(job), stop_after, relief, as_json, fleet, sheets, instruction, pddl))
    answering(as_json, lambda: run_plan(job_named(job), as_json, fleet, sheets, instruction, pddl))


@app.command(short_help="The holes of a written instruction, and the smallest repair.")
def check(
    instruction: Annotated[Path, typer.Argument(help="Instruction: a file of ours, or numbered plain text.")],
    job: Annotated[Path, typer.Option("--job", help="Job that it is for: a file, or a built-in name.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    words: Annotated[Path | None, typer.Option("--words", help="Your own trade words, for a plain text.")] = None,
    repaired: Annotated[Path | None, typer.Option("--repaired", help="Also write the mended instruction.")] = None,
) -> None:
    """Check a written instruction, ours or plain text, against a job: every hole, how it hurts, the smallest repair."""
    from headstock.cli.commands.check import run_check

    answering(as_json, lambda: run_check(instruction, job_named(job), as_json, fleet, words, repaired))


@app.command(short_help="What if somebody goes wrong, and who would notice.")
def mistakes(
    job: JobName,
    pairs: Annotated[bool, typer.Option("--pairs", help="Also every two mistakes together.")] = False,
    plausible: Annotated[int, typer.Option("--plausible", min=1, max=3, help="Pairs of mistakes at least so plausible.")] = 2,
    top: Annotated[int, typer.Option("--top", min=1, max=50, help="How many of each list to show.")] = 10,
    plausibility: Annotated[Path | None, typer.Option("--plausibility", help="Your own ranks of plausibility.")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What if somebody goes wrong: each mistake in a job, who notices and when, and what nobody would."""
    from headstock.cli.commands.mistakes import run_mistakes

    answering(as_json, lambda: run_mistakes(job_named(job), as_json, fleet, plausibility, plausible if pairs else None, top))


@app.command(short_help="A question paper on jobs, and its key.")
def paper(
    jobs: Annotated[
        list[str] | None, typer.Argument(metavar="JOB", help="Jobs: files, or built-in ones by name; all if none.")
    ] = None,
    count: Annotated[int, typer.Option("--count", min=1, max=200, help="How many questions.")] = 20,
    seed: Annotated[int, typer.Option("--seed", min=0, help="The same seed, the same paper.")] = 1,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also print it and its key into this folder (PDF).")] = None,
    qti: Annotated[Path | None, typer.Option("--qti", help="Also write it to this file as a QTI 3 package (zip).")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """A question paper on jobs: every answer is computed, wrong options are what people really believe."""
    from headstock.cli.commands.paper import run_paper

    answering(as_json, lambda: run_paper(tuple(jobs or ()), count, seed, sheets, qti, as_json, fleet))


@app.command(short_help="What your own files are, and every fault in them.")
def read(
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="Files of any kind that a person writes.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Read files that you wrote: what each is, and every fault of all of them at once."""
    from headstock.cli.commands.read import run_read

    answering(as_json, lambda: run_read(files, as_json, fleet))


@app.command(short_help="What was held against something outside, and what was not.")
def validation(
    are_all: Annotated[bool, typer.Option("--figures", help="Also every figure: expected, computed, tolerance and why.")] = False,
    as_json: Json = False,
) -> None:
    """What was held against something outside the project, how it came out, and what has not been validated."""
    from headstock.cli.commands.validation import run_validation

    answering(as_json, lambda: run_validation(as_json, are_all))
