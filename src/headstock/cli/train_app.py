"""The commands about a made-up train and its couples: what joins what, what a couple is, what the train can do."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from headstock.cli.options import BendWords, FleetFolder, JobName, Json, PlaceName, Radius, RulesName, job_named
from headstock.cli.reply import answering

train_app = typer.Typer(rich_markup_mode=None)
"""Joined on without a name: its commands stand among the others."""


@train_app.command(short_help="Can these two ends be joined: yes, no, or only if.")
def join(
    first: Annotated[str, typer.Argument(help="An end: TYPE/1 or TYPE/2; with --job UNIT/1 or UNIT/2.")],
    second: Annotated[str, typer.Argument(help="The end that it is to be joined to.")],
    as_json: Json = False,
    fleet: FleetFolder = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job whose units are meant: a file, or a built-in name.")] = None,
    local_rules: RulesName = "wending-vale",
    place: PlaceName = None,
    curve_radius: Radius = None,
    curve: BendWords = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also print the pair's sheet into this folder.")] = None,
) -> None:
    """Can these two ends be joined: yes, no, or only if, with every reason; and the pair's sheet."""
    from headstock.cli.commands.join import run_join
    from headstock.usecases.track_given import track_from

    answering(as_json, lambda: run_join(first, second, as_json, fleet, job and job_named(job), local_rules,
                                        track_from(place, curve_radius, curve), sheets))  # fmt: skip


@train_app.command(short_help="Which ends of a fleet join which, every pair.")
def table(
    fleet: FleetFolder = None,
    local_rules: RulesName = "wending-vale",
    types: Annotated[
        list[str] | None, typer.Option("--type", metavar="TYPE", help="Only this type, among those named; may be repeated.")
    ] = None,
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


@train_app.command(short_help="A couple half made: what it is, what to do, what never.")
def couple(
    family: Annotated[str | None, typer.Argument(help="Kind of couple; automatic coupler if not given.")] = None,
    sign: Annotated[
        list[str] | None, typer.Option("--sign", metavar="NAME=VALUE", help="What was seen; may be repeated.")
    ] = None,
    job: Annotated[Path | None, typer.Option("--job", help="Job that says what was found: a file, or a built-in name.")] = None,
    listed: Annotated[bool, typer.Option("--list", help="List all kinds, signs and values.")] = False,
    as_json: Json = False,
) -> None:
    """A couple that is half made: which states explain what is seen, what tells them apart, what to do and what never."""
    from headstock.cli.commands.couple import run_couple, run_couple_list

    if listed:
        answering(as_json, lambda: run_couple_list(as_json))
    answering(as_json, lambda: run_couple(family, sign or [], job and job_named(job), as_json))


@train_app.command(short_help="What the train can do: stop, stand, haul, meet, fit.")
def can(
    job: JobName,
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
        return run_can(job_named(job), asked, as_json, fleet, sheets)

    answering(as_json, work)


@train_app.command(short_help="A plain air case: pressures in one pipe, as JSON.")
def air(
    case: Annotated[Path, typer.Argument(help="Air case: a JSON file with one case, or a list of them.")],
    out: Annotated[Path | None, typer.Option("--out", help="Also write the answer to this file.")] = None,
    solver: Annotated[Literal["fine", "fast"], typer.Option("--solver", help="fine: in cells; fast: lumped.")] = "fine",
    gas: Annotated[Literal["isothermal", "heat-transfer"] | None, typer.Option("--gas", help="Gas model; fine: heat-transfer.")]
    = None,
    series: Annotated[Path | None, typer.Option("--series", help="Also write all samples of one case (Parquet).")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Errors as JSON too; the answer always is.")] = False,
) -> None:  # fmt: skip
    """Run a plain air case: pressures over time in one pipe, answered as JSON.

    What a case may say, with an example:
    docs/reference/air-case.md
    """
    from headstock.cli.commands.air import run_air

    answering(as_json, lambda: run_air(case, out, solver, gas, series))
