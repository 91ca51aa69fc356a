"""The notebook of the tutorial: its code cells run in order as a notebook would run them, what they show kept beneath them.

``python -m tests.promises.notebook_page`` runs it and writes it anew; a test runs it and compares.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import os
import tempfile
from pathlib import Path
from typing import Any

from tests.promises.tree import ROOT

PAGE = ROOT / "docs" / "tutorial" / "notebook.ipynb"
SHOWN_AS = {"text/html": "_repr_html_", "image/svg+xml": "_repr_svg_"}


def read() -> dict[str, Any]:
    """The notebook as it is kept."""
    found: dict[str, Any] = json.loads(PAGE.read_text(encoding="utf-8"))
    return found


def run(notebook: dict[str, Any], folder: Path) -> dict[str, Any]:
    """The notebook with what its cells show when they are run in a folder. An error in a cell goes up."""
    names: dict[str, Any] = {"__name__": "__main__"}
    cells, count = [], 0
    before = Path.cwd()
    os.chdir(folder)
    try:
        for cell in notebook["cells"]:
            if cell["cell_type"] == "code":
                count += 1
                outputs = _run_cell("".join(cell["source"]), names, count)
                cells.append({**cell, "execution_count": count, "outputs": outputs})
            else:
                cells.append(cell)
    finally:
        os.chdir(before)
    return {**notebook, "cells": cells}


def _run_cell(source: str, names: dict[str, Any], count: int) -> list[dict[str, Any]]:
    """What one cell prints, and what its last line shows if it is an expression."""
    tree = ast.parse(source)
    last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
    said = io.StringIO()
    value = None
    with contextlib.redirect_stdout(said):
        exec(compile(tree, f"cell {count}", "exec"), names)
        if isinstance(last, ast.Expr):
            value = eval(compile(ast.Expression(last.value), f"cell {count}", "eval"), names)
    outputs: list[dict[str, Any]] = []
    if said.getvalue():
        outputs.append({"name": "stdout", "output_type": "stream", "text": said.getvalue().splitlines(keepends=True)})
    if value is not None:
        outputs.append({"data": _shown(value), "execution_count": count, "metadata": {}, "output_type": "execute_result"})
    return outputs


def _shown(value: Any) -> dict[str, list[str]]:
    """A value as a notebook keeps it: plain text, and as HTML or drawing where it can be shown so."""
    data = {mime: getattr(value, name)() for mime, name in SHOWN_AS.items() if hasattr(value, name)}
    return {mime: text.splitlines(keepends=True) for mime, text in ({"text/plain": repr(value)} | data).items()}


def text_of(notebook: dict[str, Any]) -> str:
    """As a file."""
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    from tests.cases.stored_readings import keep_for_commands

    keep_for_commands(8, "rear-application")
    with tempfile.TemporaryDirectory() as at:
        PAGE.write_text(text_of(run(read(), Path(at))), encoding="utf-8")
