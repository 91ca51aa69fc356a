"""The commands about practice and competence on record, and the auditor's. Heavy modules are imported inside the command."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from headstock.cli.options import Database, FleetFolder, Json
from headstock.cli.records_app import Key, When, records_app
from headstock.cli.reply import answering

File = Annotated[Path | None, typer.Option("--file", help="File whose digest is kept.")]
Units = Annotated[list[str] | None, typer.Option("--unit", metavar="UNIT", help="Unit, or unit type; may be repeated.")]


@records_app.command("sitting", short_help="Record a sitting of an exercise.")
def records_sitting(
    exercise: Annotated[str, typer.Argument(help="Which exercise, in words or by its name.")],
    led_by: Annotated[str, typer.Option("--led-by", help="Who led it.")],
    person: Annotated[
        list[str], typer.Option("--person", metavar="NAME=ROLE", help="Who sat it, as “J. Tolk=shunter”; may be repeated.")
    ],
    outcome: Annotated[str, typer.Option("--outcome", help="What came of it, in words.")],
    unit: Units = None,
    when: When = None,
    file: File = None,
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Record a sitting of an exercise: who took which role, what came of it."""
    from headstock.cli.commands.records_practice import roles_of, run_practice
    from headstock.usecases.record_practice import SittingGiven

    given = SittingGiven(exercise, led_by, roles_of(person), outcome, tuple(unit or ()), when, file, key)
    answering(as_json, lambda: run_practice(given, database, as_json))


@records_app.command("paper", short_help="Record a question paper and its marking.")
def records_paper(
    title: Annotated[str, typer.Argument(help="Which paper.")],
    person: Annotated[str, typer.Option("--person", help="Who wrote it.")],
    marked_by: Annotated[str, typer.Option("--marked-by", help="Who marked it; somebody else.")],
    points: Annotated[str, typer.Option("--points", help="Points of all, such as 17/20.")],
    when: When = None,
    file: File = None,
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
) -> None:
    """Record a question paper and its marking."""
    from headstock.cli.commands.records_practice import points_of, run_practice
    from headstock.usecases.record_practice import PaperGiven

    answering(as_json, lambda: run_practice(
        PaperGiven(title, person, marked_by, *points_of(points), when, file, key), database, as_json))  # fmt: skip


@records_app.command("sign-off", short_help="Record that an assessor signed somebody off.")
def records_sign_off(
    person: Annotated[str, typer.Argument(help="Who is signed off.")],
    role: Annotated[str, typer.Option("--role", help="Role on the ground: driver, shunter or guard.")],
    unit: Annotated[list[str], typer.Option("--unit", metavar="TYPE", help="Unit type; given twice for a pair.")],
    place: Annotated[str, typer.Option("--place", help="Where it counts: a place, or one road of it.")],
    since: Annotated[str, typer.Option("--since", help="First day, YYYY-MM-DD.")],
    until: Annotated[str, typer.Option("--until", help="Last day, YYYY-MM-DD.")],
    assessor: Annotated[str, typer.Option("--assessor", help="Who saw it; somebody else.")],
    watched: Annotated[str, typer.Option("--watched", help="On which real units, where and when.")],
    about: Annotated[
        list[str] | None, typer.Option("--about", metavar="ENTRY", help="Entry that it rests on; may be repeated.")
    ] = None,
    when: When = None,
    key: Key = None,
    database: Database = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Record that an assessor signed somebody off, who was watched on real units: a drill is not a sign-off."""
    from headstock.cli.commands.records_practice import run_practice
    from headstock.usecases.record_practice import CompetenceGiven

    given = CompetenceGiven(person, role, tuple(unit), place, since, until, assessor, watched, tuple(about or ()), when, key)
    answering(as_json, lambda: run_practice(given, database, as_json, fleet))


@records_app.command("person", short_help="What somebody is signed off for, and what lapses when.")
def records_person(
    name: Annotated[str, typer.Argument(help="Name, as records write it.")],
    day: Annotated[str, typer.Option("--day", help="How it stands on this day, YYYY-MM-DD; today if not given.")] = "",
    database: Database = None,
    as_json: Json = False,
) -> None:
    """What somebody is signed off for, what lapses when, how often they did it lately."""
    from headstock.cli.commands.records_practice import run_person

    answering(as_json, lambda: run_person(name, day, database, as_json))


@records_app.command("audit", short_help="For an auditor: what deserves a closer look, and why.")
def records_audit(
    from_day: Annotated[str, typer.Option("--from", help="From this day on, YYYY-MM-DD.")] = "",
    to_day: Annotated[str, typer.Option("--to", help="To this day, YYYY-MM-DD.")] = "",
    database: Database = None,
    as_json: Json = False,
) -> None:
    """For an auditor: was anything altered, what is there, and which entries deserve a closer look."""
    from headstock.cli.commands.records_practice import run_audit

    answering(as_json, lambda: run_audit(from_day, to_day, database, as_json))
