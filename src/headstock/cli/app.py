"""All commands. Heavy modules are imported inside the command that needs them, so that help is instant."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from headstock.cli.reply import answering
from headstock.usecases.standing_caution import STANDING_CAUTION

CAUTION = f"{STANDING_CAUTION} The built-in fleet, places and limits are invented."

app = typer.Typer(add_completion=False, no_args_is_help=False, rich_markup_mode=None, help=CAUTION,
                  pretty_exceptions_enable=False)  # fmt: skip
fleet_app = typer.Typer(help="The unit types: list them, show one, check a file.", rich_markup_mode=None,
                        no_args_is_help=True)  # fmt: skip
app.add_typer(fleet_app, name="fleet")

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
FleetFolder = Annotated[Path | None, typer.Option("--fleet", help="Folder of your own unit types (*.yaml).")]
RulesName = Annotated[str, typer.Option("--local-rules", help="Local rules: a file, or the name of built-in ones.")]


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


@app.command()
def plan(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    sheets: Annotated[Path, typer.Option("--sheets", help="Folder for the printed sheet.")] = Path("sheets"),
    instruction: Annotated[Path | None, typer.Option("--instruction", help="Also write the order as an instruction.")]
    = None,
) -> None:  # fmt: skip
    """Plan a job: the order of work, why each step is there, and a sheet to print."""
    from headstock.cli.commands.plan import run_plan

    answering(as_json, lambda: run_plan(job, as_json, fleet, sheets, instruction))


@app.command()
def check(
    instruction: Annotated[Path, typer.Argument(help="Instruction: a file of ours, or numbered plain text.")],
    job: Annotated[Path, typer.Option("--job", help="Job file that it is for.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    words: Annotated[Path | None, typer.Option("--words", help="Your own trade words, for a plain text.")] = None,
    repaired: Annotated[Path | None, typer.Option("--repaired", help="Also write the mended instruction.")] = None,
) -> None:
    """Check a written instruction, ours or plain text, against a job: every hole, how it hurts, the smallest repair."""
    from headstock.cli.commands.check import run_check

    answering(as_json, lambda: run_check(instruction, job, as_json, fleet, words, repaired))


@app.command()
def forecast(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    fault: Annotated[
        list[str] | None, typer.Option("--fault", help="KEY=VALUE,... that stand otherwise; may be repeated.")
    ] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the gauges will show in the brake test: healthy, and with each cock shut or with the faults given."""
    from headstock.cli.commands.forecast import run_forecast

    answering(as_json, lambda: run_forecast(job, tuple(fault or ()), as_json, fleet))


@app.command()
def join(
    first: Annotated[str, typer.Argument(help="TYPE/1, or UNIT/1 with --job.")],
    second: Annotated[str, typer.Argument(help="TYPE/2, or UNIT/2 with --job.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job file whose units are meant.")] = None,
    local_rules: RulesName = "wending-vale",
) -> None:
    """Can these two ends be joined: yes, no, or only if, with every reason."""
    from headstock.cli.commands.join import run_join

    answering(as_json, lambda: run_join(first, second, as_json, fleet, job, local_rules))


@app.command()
def air(
    case: Annotated[Path, typer.Argument(help="Air case: a JSON file with one case, or a list of them.")],
    out: Annotated[Path | None, typer.Option("--out", help="Also write the answer to this file.")] = None,
    solver: Annotated[Literal["fine", "fast"], typer.Option("--solver", help="fine: cells of 0.5 m or less.")] = "fine",
    gas: Annotated[Literal["isothermal", "heat-transfer"] | None, typer.Option("--gas", help="Gas model; fine: heat-transfer.")]
    = None,
    series: Annotated[Path | None, typer.Option("--series", help="Also write all samples of one case (Parquet).")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Errors as JSON too; the answer always is.")] = False,
) -> None:  # fmt: skip
    """Run a plain air case: pressures over time in one pipe, answered as JSON."""
    from headstock.cli.commands.air import run_air

    answering(as_json, lambda: run_air(case, out, solver, gas, series))


@app.command()
def read(
    files: Annotated[list[Path], typer.Argument(help="Files of any kind that a person writes.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Read files that you wrote: what each is, and every fault of all of them at once."""
    from headstock.cli.commands.read import run_read

    answering(as_json, lambda: run_read(files, as_json, fleet))


@fleet_app.command("list")
def fleet_list(as_json: Json = False, fleet: FleetFolder = None) -> None:
    """All unit types."""
    from headstock.cli.commands.fleet import run_list

    answering(as_json, lambda: run_list(as_json, fleet))


@fleet_app.command("show")
def fleet_show(name: Annotated[str, typer.Argument(help="Unit type.")], as_json: Json = False, fleet: FleetFolder = None) -> None:
    """One unit type, end by end."""
    from headstock.cli.commands.fleet import run_show

    answering(as_json, lambda: run_show(name, as_json, fleet))


@fleet_app.command("check")
def fleet_check(files: Annotated[list[Path], typer.Argument(help="Unit type files.")], as_json: Json = False) -> None:
    """Check unit type files: every fault of every file at once."""
    from headstock.cli.commands.fleet import run_check

    answering(as_json, lambda: run_check(files, as_json))
