"""The commands about brake tests: what the gauges will show, what they showed, what explains it, which test is due."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

from headstock.cli.options import FleetFolder, JobName, Json, ReadingsName, job_named, readings_named
from headstock.cli.reply import answering

brake_test_app = typer.Typer(rich_markup_mode=None)
"""Joined on without a name: its commands stand among the others."""


@brake_test_app.command(short_help="What the gauges will show in the brake test.")
def forecast(
    job: JobName,
    fault: Annotated[
        list[str] | None, typer.Option("--fault", metavar="KEY=VALUE,...", help="What stands otherwise; may be repeated.")
    ] = None,
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    members: Annotated[int, typer.Option("--members", min=40, max=2000, help="Healthy trains drawn for the band.")] = 200,
    drawn: Annotated[Path | None, typer.Option("--drawn", help="Your own drawn tests: how healthy trains differ.")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the gauges will show in the brake test: healthy with its band, and with each cock shut or the faults given."""
    from headstock.cli.commands.forecast import run_forecast

    answering(
        as_json, lambda: run_forecast(job_named(job), tuple(fault or ()), as_json, fleet, method, members=members, drawn=drawn)
    )


@brake_test_app.command("judge", short_help="Are the readings of a brake test within limits?")
def judge_command(
    readings: ReadingsName,
    at: Annotated[
        Literal["departure", "handover"] | None, typer.Option("--at", help="Also ask: touched since? departure or handover.")
    ] = None,
    with_forecast: Annotated[bool, typer.Option("--forecast", help="Also remark on what a forecast did not expect.")] = False,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Are the readings of a brake test within limits: within, not within, not yet, or refused."""
    from headstock.cli.commands.judge import run_judge

    answering(as_json, lambda: run_judge(readings_named(readings), at, with_forecast, as_json, fleet))


@brake_test_app.command("blind-spots", short_help="What a brake test cannot see, and which looks would.")
def blind_spots_command(
    job: JobName,
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    drawn: Annotated[
        Path | None, typer.Option("--drawn", help="Your own drawn tests: how trains differ, how bad and how frequent faults are.")
    ] = None,
    looks: Annotated[Path | None, typer.Option("--looks", help="Your own list of extra looks.")] = None,
    members: Annotated[int, typer.Option("--members", min=4, max=500, help="Drawn tests of each fault.")] = 12,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What the brake test of a job cannot see, which looks would, and what moving a limit does."""
    from headstock.cli.commands.blind_spots import run_blind_spots

    answering(as_json, lambda: run_blind_spots(job_named(job), method, drawn, looks, members, as_json, fleet))


@brake_test_app.command("signatures", short_help="What a brake test reads under every fault, as a table.")
def signatures_command(
    job: JobName,
    table: Annotated[Path, typer.Option("--table", help="File that all scenarios are written to (Parquet).")],
    method: Annotated[str | None, typer.Option("--method", help="Test method instead of the job's: a file, or a name.")] = None,
    drawn: Annotated[
        Path | None, typer.Option("--drawn", help="Your own drawn tests: how trains differ, how bad and how frequent faults are.")
    ] = None,
    members: Annotated[int, typer.Option("--members", min=4, max=500, help="Drawn tests of each fault.")] = 12,
    pairs: Annotated[int, typer.Option("--pairs", min=0, max=100, help="Drawn tests of every two faults at once; 0: none.")] = 1,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What a brake test reads under every fault alone and every two at once, as a table for whoever reckons further."""
    from headstock.cli.commands.signatures import run_signatures

    answering(as_json, lambda: run_signatures(job_named(job), table, method, drawn, members, pairs, as_json, fleet))


@brake_test_app.command("find", short_help="What explains a failed brake test, and where to look next.")
def find_command(
    readings: ReadingsName,
    start: Annotated[Literal["front", "rear"], typer.Option("--from", help="Where the walk begins.")] = "rear",
    there: Annotated[
        list[str] | None, typer.Option("--there", metavar="WORDS", help="What was found, in the answer's words.")
    ] = None,
    not_there: Annotated[
        list[str] | None, typer.Option("--not-there", metavar="WORDS", help="What was looked for and is not there.")
    ] = None,
    ask: Annotated[bool, typer.Option("--ask", help="Ask at each place what is there, and rank again.")] = False,
    drawn: Annotated[
        Path | None, typer.Option("--drawn", help="Your own drawn tests: how trains differ, how bad and how frequent faults are.")
    ] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """What explains the readings of a failed brake test, what cannot be told apart, and where to look next."""
    from headstock.cli.commands.find import run_find

    answering(
        as_json, lambda: run_find(readings_named(readings), start, there or (), not_there or (), ask, drawn, as_json, fleet)
    )


@brake_test_app.command("reconstruct", short_help="For investigators: what explains a recorder's trace.")
def reconstruct_command(
    readings: Annotated[
        Path, typer.Argument(help="Readings with a recorder and the job of the train: a file, or a built-in name.")
    ],
    moved: Annotated[
        list[str] | None,
        typer.Option("--moved", metavar='"HH:MM:SS KEY=VALUE,..."', help="Moved then, not as the test; may be repeated."),
    ] = None,
    drawn: Annotated[
        Path | None, typer.Option("--drawn", help="Your own drawn tests: how trains differ, how bad and how frequent faults are.")
    ] = None,
    page: Annotated[Path | None, typer.Option("--page", help="Also write a page for a browser to this file.")] = None,
    plots: Annotated[Path | None, typer.Option("--plots", help="Also write the plots into this folder (SVG).")] = None,
    sheets: Annotated[Path | None, typer.Option("--sheets", help="Also write a report to print into this folder (PDF).")] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """For investigators: which states of the train explain a recorder's trace, and which do not. Never what happened."""
    from headstock.cli.commands.reconstruct import run_reconstruct
    from headstock.usecases.reconstruct_record import RecordAsked

    moves = tuple(moved or ())
    answering(
        as_json, lambda: run_reconstruct(RecordAsked(readings_named(readings), moves, drawn), as_json, fleet, page, plots, sheets)
    )


@brake_test_app.command(short_help="Which brake test is due after what happened, and why.")
def due(
    events: Annotated[
        list[str] | None, typer.Argument(metavar="EVENT", help="What happened, by name; in quotes where it has spaces.")
    ] = None,
    fact: Annotated[
        list[str] | None, typer.Option("--fact", metavar="NAME=VALUE", help="What is known; may be repeated.")
    ] = None,
    triggers: Annotated[
        str | None, typer.Option("--triggers", help="Trigger set: a file, or the name of a built-in one.")
    ] = None,
    job: Annotated[
        Path | None, typer.Option("--job", help="Job whose events and facts are known: a file, or a built-in name.")
    ] = None,
    listed: Annotated[bool, typer.Option("--list", help="List all events, facts and tests.")] = False,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Which brake test is due after what happened, and why; or what must be known to decide."""
    from headstock.cli.commands.due import run_due, run_list

    if listed:
        answering(as_json, lambda: run_list(as_json))
    answering(as_json, lambda: run_due(events or [], fact or [], triggers, job and job_named(job), as_json, fleet))
