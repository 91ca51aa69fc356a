"""``serve``: the pages. What serves them is joined on above, since commands and pages do not know each other."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from headstock.cli.reply import answering
from headstock.usecases.serving import Serving

Start = Callable[[Serving], int]


def add_serve(app: typer.Typer, start: Start) -> None:
    """Add the command."""

    @app.command(short_help="The pages for a browser, until you stop it.")
    def serve(
        host: Annotated[str, typer.Option("--host", help="Address to listen on; only this machine if not given.")] = "127.0.0.1",
        port: Annotated[int, typer.Option("--port", min=0, max=65535, help="Port; 0 for any free one.")] = 8000,
        database: Annotated[
            str | None, typer.Option("--records", help="Records: a file, or an address; those of the data folder if not given.")
        ] = None,
        fleet: Annotated[Path | None, typer.Option("--fleet", help="Folder of your own unit types (*.yaml).")] = None,
        certificate: Annotated[Path | None, typer.Option("--tls-certificate", help="Certificate for TLS (PEM).")] = None,
        key: Annotated[Path | None, typer.Option("--tls-key", help="Its private key (PEM).")] = None,
        behind_proxy: Annotated[
            bool, typer.Option("--behind-proxy", help="A proxy on this computer lets others in: they must sign in.")
        ] = False,
    ) -> None:
        """The pages for a browser, until you stop it; prints the address first."""
        answering(False, lambda: start(Serving(host, port, database, fleet, certificate, key, behind_proxy)))
