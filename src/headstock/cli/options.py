"""Options that several commands have."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
FleetFolder = Annotated[Path | None, typer.Option("--fleet", help="Folder of your own unit types (*.yaml).")]
PlaceName = Annotated[str | None, typer.Option("--place", help="Place whose curve counts: a file, or a built-in name.")]
Radius = Annotated[float | None, typer.Option("--curve-radius", help="Radius of the curve at the joint [m]; straight without.")]
BendWords = Annotated[
    str | None,
    typer.Option("--curve", help="How it bends: one curve, end of a curve, reverse curve (taken where not said)."),
]
RulesName = Annotated[str, typer.Option("--local-rules", help="Local rules: a file, or the name of built-in ones.")]
Database = Annotated[str | None, typer.Option("--records", help="A file (SQLite) or an address (PostgreSQL); else your own.")]
