"""The commands about exercises. Heavy modules are imported inside the command that needs them."""

from __future__ import annotations

from typing import Annotated

import typer

from headstock.cli.options import FleetFolder, Json
from headstock.cli.reply import answering

exercise_app = typer.Typer(help="Exercises: list the ready ones, look at one, sit one alone in the terminal.",
                           rich_markup_mode=None, no_args_is_help=True)  # fmt: skip
Name = Annotated[str, typer.Argument(help="Exercise: a file, or the name of a ready one.")]


@exercise_app.command("list")
def exercise_list(as_json: Json = False) -> None:
    """All ready exercises."""
    from headstock.cli.commands.exercise import run_list

    answering(as_json, lambda: run_list(as_json))


@exercise_app.command("show")
def exercise_show(name: Name, as_json: Json = False, fleet: FleetFolder = None) -> None:
    """One exercise, for the trainer: what is hidden stands in it."""
    from headstock.cli.commands.exercise import run_show

    answering(as_json, lambda: run_show(name, as_json, fleet))


@exercise_app.command("sit", short_help="Sit an exercise alone in the terminal.")
def exercise_sit(
    name: Name,
    role: Annotated[
        str | None, typer.Option("--role", help="Your role; the computer plays the others. All, if not given.")
    ] = None,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Sit an exercise alone: what you see, what you do, the two marks at the end."""
    from headstock.cli.commands.exercise_sit import run_sit

    answering(as_json, lambda: run_sit(name, role, as_json, fleet))
