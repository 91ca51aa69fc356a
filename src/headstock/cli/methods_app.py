"""``methods``: the methods of testing the brake."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from headstock.cli.options import Json
from headstock.cli.reply import answering

methods_app = typer.Typer(help="Methods of testing the brake: list them, show one, check a file.", rich_markup_mode=None,
                          no_args_is_help=True)  # fmt: skip


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
def methods_check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE", help="Test method files.")], as_json: Json = False
) -> None:
    """Check test method files: every fault of every file at once."""
    from headstock.cli.commands.methods import run_check

    answering(as_json, lambda: run_check(files, as_json))
