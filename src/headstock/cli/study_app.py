"""The commands about fleet studies. Heavy modules are imported inside the command that needs them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer
from typer.core import TyperGroup

from headstock.cli.options import FleetFolder, Json
from headstock.cli.reply import answering


class _StudyGroup(TyperGroup):
    """``headstock study FILE`` is ``headstock study run FILE``."""

    def parse_args(self, ctx: typer.Context, args: list[str]) -> list[str]:  # type: ignore[override]
        """The words of the command line, with ``run`` where no command is named."""
        if args and args[0] not in (*self.commands, "--help"):
            args = ["run", *args]
        return super().parse_args(ctx, args)


study_app = typer.Typer(cls=_StudyGroup, rich_markup_mode=None, no_args_is_help=True,
                        help="Fleet studies: every train by every method in every weather under every fault.")  # fmt: skip


@study_app.command("run", short_help="Work out a study into a folder; goes on where it was.")
def study_run(
    study: Annotated[str, typer.Argument(help="Study: a file, or the name of a built-in one.")],
    out: Annotated[Path, typer.Option("--out", help="Folder for the results; one of this study goes on.")],
    workers: Annotated[int | None, typer.Option("--workers", min=1, max=1024, help="Processes; all cores if not given.")] = None,
    cluster: Annotated[str | None, typer.Option("--cluster", help="Dask scheduler, as in tcp://10.0.0.5:8786.")] = None,
    size: Annotated[bool, typer.Option("--size", help="Only say how large it is.")] = False,
    as_json: Json = False,
    fleet: FleetFolder = None,
) -> None:
    """Work out a study into a folder of Parquet files; stopped or killed, it goes on where it was."""
    from headstock.cli.commands.study import run_study

    answering(as_json, lambda: run_study(study, out, workers, cluster, size, as_json, fleet))


READY = "blind-spots, by-fault, limit-curve, worst-formations or season; of mistakes unit-pairs, unnoticed or how-late."


@study_app.command("ask")
def study_ask(
    results: Annotated[Path, typer.Argument(help="Folder of a study's results.")],
    question: Annotated[str | None, typer.Argument(help=READY)]
    = None,
    sql: Annotated[str | None, typer.Option("--sql", help="One SELECT of your own instead.")] = None,
    limits: Annotated[str | None, typer.Option("--limits", help="By which set of limits; the first if not given.")] = None,
    top: Annotated[int, typer.Option("--top", min=1, max=100_000, help="So many rows at most.")] = 200,
    as_json: Json = False,
) -> None:  # fmt: skip
    """Ask a study's results: a ready question, or one in SQL."""
    from headstock.cli.commands.study_ask import run_study_ask

    answering(as_json, lambda: run_study_ask(results, question, sql, limits, top, as_json))


@study_app.command("report", short_help="A report of a study's results: page, PDF and pictures.")
def study_report(
    results: Annotated[Path, typer.Argument(help="Folder of a study's results.")],
    out: Annotated[Path, typer.Option("--out", help="Folder for the report and its pictures.")],
    limits: Annotated[str | None, typer.Option("--limits", help="By which set of limits; the first if not given.")] = None,
    as_json: Json = False,
) -> None:
    """A report of a study's results: a page, a PDF, and each picture as SVG and PNG."""
    from headstock.cli.commands.study_report import run_study_report

    answering(as_json, lambda: run_study_report(results, out, limits, as_json))
