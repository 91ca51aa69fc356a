"""``fleet``: the unit types."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from headstock.cli.options import FleetFolder, Json
from headstock.cli.reply import answering

fleet_app = typer.Typer(help="The unit types: list them, show one, check a file.", rich_markup_mode=None,
                        no_args_is_help=True)  # fmt: skip


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
def fleet_check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="Unit type files.")], as_json: Json = False
) -> None:
    """Check unit type files: every fault of every file at once."""
    from headstock.cli.commands.fleet import run_check

    answering(as_json, lambda: run_check(files, as_json))
