"""All commands. Heavy modules are imported inside the command that needs them, so that help is instant."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from headstock.cli import records_practice_app  # noqa: F401  adds its commands to those about records
from headstock.cli.accounts_app import accounts_app
from headstock.cli.exercise_app import exercise_app
from headstock.cli.records_app import records_app
from headstock.cli.reply import answering
from headstock.cli.study_app import study_app
from headstock.usecases.standing_caution import STANDING_CAUTION

CAUTION = f"{STANDING_CAUTION} The built-in fleet, places and limits are invented."

app = typer.Typer(add_completion=False, no_args_is_help=False, rich_markup_mode=None, help=CAUTION,
                  pretty_exceptions_enable=False)  # fmt: skip
fleet_app = typer.Typer(help="The unit types: list them, show one, check a file.", rich_markup_mode=None,
                        no_args_is_help=True)  # fmt: skip
app.add_typer(fleet_app, name="fleet")
methods_app = typer.Typer(help="Methods of testing the brake: list them, show one, check a file.", rich_markup_mode=None,
                          no_args_is_help=True)  # fmt: skip
app.add_typer(methods_app, name="methods")
app.add_typer(records_app, name="records")
app.add_typer(accounts_app, name="accounts")
app.add_typer(exercise_app, name="exercise")
app.add_typer(study_app, name="study")

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
FleetFolder = Annotated[Path | None, typer.Option("--fleet", help="Folder of your own unit types (*.yaml).")]
PlaceName = Annotated[str | None, typer.Option("--place", help="Place whose curve counts: a file, or a built-in name.")]
Radius = Annotated[float | None, typer.Option("--curve-radius", help="Radius of the curve at the joint [m]; straight without.")]
BendWords = Annotated[
    str | None,
    typer.Option("--curve", help="How it bends: one curve, end of a curve, reverse curve (taken where not said)."),
]
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

        answering(as_json, lambda: run_half_done(job, stop_after, relief, as_json, fleet, sheets, instruction, pddl))
    answering(as_json, lambda: run_plan(job, as_json, fleet, sheets, instruction, pddl))


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
def mistakes(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    pairs: Annotated[bool, typer.Option("--pairs", help="Also every two mistakes together.")] = False,
    plausible: Annotated[int, typer.Option("--plausible", min=1, max=3, help="Pairs of mistakes at least so plausible.")] = 2,
    top: Annotated[int, typer.Option("--top", min=1, max=50, help="How many of each list to show.")] = 10,
    plausibility: Annotated[Path | None, typer.Option("--plausibility", help="Your own ranks of plausibility.")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What if somebody goes wrong: each mistake in a job, who notices and when, and what nobody would."""
    from headstock.cli.commands.mistakes import run_mistakes

    answering(as_json, lambda: run_mistakes(job, as_json, fleet, plausibility, plausible if pairs else None, top))


@app.command()
def forecast(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    fault: Annotated[
        list[str] | None, typer.Option("--fault", help="KEY=VALUE,... that stand otherwise; may be repeated.")
    ] = None,
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    members: Annotated[int, typer.Option("--members", min=40, max=2000, help="Healthy trains drawn for the band.")] = 200,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own ranges of healthy trains.")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the gauges will show in the brake test: healthy with its band, and with each cock shut or the faults given."""
    from headstock.cli.commands.forecast import run_forecast

    answering(as_json, lambda: run_forecast(job, tuple(fault or ()), as_json, fleet, method, members=members, drawn=drawn))


@app.command("judge")
def judge_command(
    readings: Annotated[Path, typer.Argument(help="Readings file.")],
    at: Annotated[
        Literal["departure", "handover"] | None, typer.Option("--at", help="Also ask: touched since? departure or handover.")
    ] = None,
    with_forecast: Annotated[bool, typer.Option("--forecast", help="Also remark on what a forecast did not expect.")] = False,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Are the readings of a brake test within limits: within, not within, not yet, or refused."""
    from headstock.cli.commands.judge import run_judge

    answering(as_json, lambda: run_judge(readings, at, with_forecast, as_json, fleet))


@app.command("blind-spots")
def blind_spots_command(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own ranges and plausibilities.")] = None,
    looks: Annotated[Path | None, typer.Option("--looks", help="Your own list of extra looks.")] = None,
    members: Annotated[int, typer.Option("--members", min=4, max=500, help="Drawn tests of each fault.")] = 12,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the brake test of a job cannot see, which looks would, and what moving a limit does."""
    from headstock.cli.commands.blind_spots import run_blind_spots

    answering(as_json, lambda: run_blind_spots(job, method, drawn, looks, members, as_json, fleet))


@app.command("signatures")
def signatures_command(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    table: Annotated[Path, typer.Option("--table", help="File that all scenarios are written to (Parquet).")],
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own ranges and plausibilities.")] = None,
    members: Annotated[int, typer.Option("--members", min=4, max=500, help="Drawn tests of each fault.")] = 12,
    pairs: Annotated[int, typer.Option("--pairs", min=0, max=100, help="Drawn tests of every two faults at once; 0: none.")] = 1,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What a brake test reads under every fault alone and every two at once, as a table for whoever reckons further."""
    from headstock.cli.commands.signatures import run_signatures

    answering(as_json, lambda: run_signatures(job, table, method, drawn, members, pairs, as_json, fleet))


@app.command("find")
def find_command(
    readings: Annotated[Path, typer.Argument(help="Readings file.")],
    start: Annotated[Literal["front", "rear"], typer.Option("--from", help="Where the walk begins.")] = "rear",
    there: Annotated[list[str] | None, typer.Option("--there", help="What was found, in the answer's words.")] = None,
    not_there: Annotated[list[str] | None, typer.Option("--not-there", help="What was looked for and is not there.")] = None,
    ask: Annotated[bool, typer.Option("--ask", help="Ask at each place what is there, and rank again.")] = False,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own ranges and plausibilities.")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What explains the readings of a failed brake test, what cannot be told apart, and where to look next."""
    from headstock.cli.commands.find import run_find

    answering(as_json, lambda: run_find(readings, start, there or (), not_there or (), ask, drawn, as_json, fleet))


@app.command("reconstruct")
def reconstruct_command(
    readings: Annotated[Path, typer.Argument(help="Readings file with a recorder and the job of the train.")],
    moved: Annotated[
        list[str] | None, typer.Option("--moved", help='"HH:MM:SS KEY=VALUE,..." moved then, not as the test; may be repeated.')
    ] = None,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own ranges and plausibilities.")] = None,
    page: Annotated[Path | None, typer.Option("--page", help="Also write a page for a browser to this file.")] = None,
    plots: Annotated[Path | None, typer.Option("--plots", help="Also write the plots into this folder (SVG).")] = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also write a report to print into this folder (PDF).")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """For investigators: which states of the train explain a recorder's trace, and which do not. Never what happened."""
    from headstock.cli.commands.reconstruct import run_reconstruct
    from headstock.usecases.reconstruct_record import RecordAsked

    asked = RecordAsked(readings, tuple(moved or ()), drawn)
    answering(as_json, lambda: run_reconstruct(asked, as_json, fleet, page, plots, sheets))


@app.command()
def can(
    job: Annotated[Path, typer.Argument(help="Job file.")],
    speed: Annotated[float | None, typer.Option("--speed", help="Speed at which a lost brake is reckoned [km/h].")] = None,
    keep: Annotated[float | None, typer.Option("--keep", help="Distance to stop within [m]: at which speed at most.")] = None,
    profile: Annotated[
        str | None, typer.Option("--profile", help="Gradients ahead, METRES:PER MILLE,... as in 0:-4,350:-12.5.")
    ] = None,
    platform: Annotated[float | None, typer.Option("--platform", help="Length of the platform to fit [m].")] = None,
    signal: Annotated[float | None, typer.Option("--signal", help="Length to the signal to fit [m].")] = None,
    curve_radius: Radius = None,
    load: Annotated[
        str,
        typer.Option("--load", help="Load of every unit: working order, laden or exceptional; or UNIT:LOAD,... as in 217:laden."),
    ] = "working order",
    leak_off: Annotated[
        float | None, typer.Option("--leak-off", help="For investigators: leak of each cylinder [mm2], never on a sheet.")
    ] = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also print the tables into this folder (PDF).")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the train can do: stop, stand, haul, take the meeting, fit; what each lost brake costs."""
    from headstock.cli.commands.can import run_can
    from headstock.usecases.can_question import can_question

    def work() -> int:
        asked = can_question(speed, keep, profile, platform, signal, curve_radius, leak_off, load)
        return run_can(job, asked, as_json, fleet, sheets)

    answering(as_json, work)


@app.command()
def join(
    first: Annotated[str, typer.Argument(help="TYPE/1, or UNIT/1 with --job.")],
    second: Annotated[str, typer.Argument(help="TYPE/2, or UNIT/2 with --job.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job file whose units are meant.")] = None,
    local_rules: RulesName = "wending-vale",
    place: PlaceName = None,
    curve_radius: Radius = None,
    curve: BendWords = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also print the pair's sheet into this folder.")] = None,
) -> None:
    """Can these two ends be joined: yes, no, or only if, with every reason; and the pair's sheet."""
    from headstock.cli.commands.join import run_join
    from headstock.usecases.track_given import track_from

    answering(as_json, lambda: run_join(first, second, as_json, fleet, job, local_rules,
                                        track_from(place, curve_radius, curve), sheets))  # fmt: skip


@app.command()
def table(
    fleet: FleetFolder = None,
    local_rules: RulesName = "wending-vale",
    types: Annotated[list[str] | None, typer.Option("--type", help="Only this type, among those named; may be repeated.")] = None,
    place: PlaceName = None,
    curve_radius: Radius = None,
    curve: BendWords = None,
    csv: Annotated[Path | None, typer.Option("--csv", help="Also write every pair of ends to this file (CSV).")] = None,
    html: Annotated[Path | None, typer.Option("--html", help="Also write the table as one page to this file.")] = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also print the table into this folder (PDF).")] = None,
    as_json: Json = False,
) -> None:
    """Which ends of a fleet join which: every pair, with every reason."""
    from headstock.cli.commands.table import run_table
    from headstock.usecases.track_given import track_from

    answering(as_json, lambda: run_table(as_json, fleet, local_rules, tuple(types or ()),
                                         track_from(place, curve_radius, curve), csv, html, sheets))  # fmt: skip


@app.command()
def due(
    events: Annotated[list[str] | None, typer.Argument(help="What happened, by name; in quotes where it has spaces.")] = None,
    fact: Annotated[list[str] | None, typer.Option("--fact", help="NAME=VALUE that is known; may be repeated.")] = None,
    triggers: Annotated[
        str | None, typer.Option("--triggers", help="Trigger set: a file, or the name of a built-in one.")
    ] = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job file whose events and facts are known.")] = None,
    listed: Annotated[bool, typer.Option("--list", help="List all events, facts and tests.")] = False,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Which brake test is due after what happened, and why; or what must be known to decide."""
    from headstock.cli.commands.due import run_due, run_list

    if listed:
        answering(as_json, lambda: run_list(as_json))
    answering(as_json, lambda: run_due(events or [], fact or [], triggers, job, as_json, fleet))


@app.command()
def couple(
    family: Annotated[str | None, typer.Argument(help="Kind of couple; automatic coupler if not given.")] = None,
    sign: Annotated[list[str] | None, typer.Option("--sign", help="NAME=VALUE that was seen; may be repeated.")] = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job file that says what was found.")] = None,
    listed: Annotated[bool, typer.Option("--list", help="List all kinds, signs and values.")] = False,
    as_json: Json = False,
) -> None:
    """A couple that is half made: which states explain what is seen, what tells them apart, what to do and what never."""
    from headstock.cli.commands.couple import run_couple, run_couple_list

    if listed:
        answering(as_json, lambda: run_couple_list(as_json))
    answering(as_json, lambda: run_couple(family, sign or [], job, as_json))


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
def paper(
    jobs: Annotated[list[str] | None, typer.Argument(help="Jobs: files, or built-in ones by name; all if none.")] = None,
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


@app.command()
def read(
    files: Annotated[list[Path], typer.Argument(help="Files of any kind that a person writes.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Read files that you wrote: what each is, and every fault of all of them at once."""
    from headstock.cli.commands.read import run_read

    answering(as_json, lambda: run_read(files, as_json, fleet))


@app.command()
def validation(
    are_all: Annotated[bool, typer.Option("--figures", help="Also every figure: expected, computed, tolerance and why.")] = False,
    as_json: Json = False,
) -> None:
    """What was held against something outside the project, how it came out, and what has not been validated."""
    from headstock.cli.commands.validation import run_validation

    answering(as_json, lambda: run_validation(as_json, are_all))


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


@methods_app.command("list")
def methods_list(as_json: Json = False) -> None:
    """All built-in methods of testing the brake."""
    from headstock.cli.commands.methods import run_list

    answering(as_json, lambda: run_list(as_json))


@methods_app.command("show")
def methods_show(
    name: Annotated[str, typer.Argument(help="Method: a file, or the name of a built-in one.")], as_json: Json = False
) -> None:
    """One method, stage by stage."""
    from headstock.cli.commands.methods import run_show

    answering(as_json, lambda: run_show(name, as_json))


@methods_app.command("check")
def methods_check(files: Annotated[list[Path], typer.Argument(help="Test method files.")], as_json: Json = False) -> None:
    """Check test method files: every fault of every file at once."""
    from headstock.cli.commands.methods import run_check

    answering(as_json, lambda: run_check(files, as_json))
