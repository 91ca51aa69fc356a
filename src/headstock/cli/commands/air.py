"""``air``: the plain air case. Its answer is JSON whatever was asked for, since programs read it."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from headstock.base.errors import FileError
from headstock.cli.reply import YES, print_json
from headstock.physics.pipe_network import GasModel
from headstock.usecases.air_case import AirFileResult, Solver, answer_air_file
from headstock.wiring import air_series_file, check_writable, write_whole

NOT_THERE = "An air case is a file of your own: what it may say, with an example, stands in docs/reference/air-case.md."


def run_air(case: Path, out: Path | None, solver: Solver, gas: GasModel | None, series: Path | None) -> int:
    """Run the cases of a file, write what was asked for, print the answers."""
    check_writable({name: path for name, path in (("--out", out), ("--series", series)) if path is not None}, case)
    try:
        answer = _answered(case, solver, gas, series is not None)
    except FileError as error:
        error.cure = error.cure or NOT_THERE
        raise
    written = _written(answer, out, series)
    print_json(answer.as_json())
    for path in written:
        print(f"written: {path}", file=sys.stderr)
    return YES


def _answered(case: Path, solver: Solver, gas: GasModel | None, keep_series: bool) -> AirFileResult:
    """With progress where somebody may look at it; its line is gone before anything else is said."""
    if not sys.stderr.isatty():
        return answer_air_file(case, solver, gas, keep_series)
    try:
        return answer_air_file(case, solver, gas, keep_series, _tell)
    finally:
        print("\r\x1b[K", end="", file=sys.stderr, flush=True)


def _tell(number: int, t_s: float, end_s: float) -> None:
    """One line on the terminal that is written over."""
    print(f"\r\x1b[Kcase {number + 1}: {t_s:.1f} of {end_s:g} s", end="", file=sys.stderr, flush=True)


def _written(answer: AirFileResult, out: Path | None, series: Path | None) -> list[Path]:
    contents: dict[Path, bytes] = {}
    if series is not None:
        contents[series] = air_series_file(answer.results[0])
    if out is not None:
        contents[out] = (json.dumps(answer.as_json(), indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()
    write_whole(contents)
    return list(contents)
