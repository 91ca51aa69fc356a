"""``study ask``: a question on a study's results."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from headstock.base.errors import Fault, InputError
from headstock.cli.reply import NOT_YET, YES, print_json
from headstock.usecases.standing_caution import STANDING_CAUTION
from headstock.usecases.study_questions import READY, StudyAnswer, name_in_words
from headstock.wiring import ask_study

FILE_WIDTH = 160
"""Signs a line has room for in a file or a pipe, where no terminal says otherwise: no word is broken."""

NAMED = ("weather", "limits")
"""Columns of names that the study gives; of jobs and methods the names stay, as commands take them."""


def run_study_ask(results: Path, question: str | None, sql: str | None, limits: str | None, top: int, as_json: bool) -> int:
    """Ask and print; 0, or 3 where the study is not worked out to its end."""
    if (question is None) == (sql is None):
        names = ", ".join(one.name for one in READY)
        fault = Fault("one question at a time", found="none" if sql is None else "two", expected=f"one of {names}, or --sql")
        raise InputError(fault, cure="Name a ready question, or write your own SELECT.")
    answer = ask_study(results, question, sql, limits, top)
    if as_json:
        print_json(study_answer_as_json(answer))
    else:
        _print(answer, sql is not None)
    return YES if answer.parts == answer.study["parts"] else NOT_YET


def study_answer_as_json(answer: StudyAnswer) -> dict[str, Any]:
    """The answer as plain values."""
    said = answer.study
    return {
        "title": answer.title, "note": answer.note, "limits": answer.limits, "what_it_is": answer.what_it_is,
        "study": {key: said.get(key) for key in ("name", "edition", "invented", "headstock", "scenarios")},
        "parts": answer.parts, "of_parts": said["parts"], "columns": list(answer.columns),
        "rows": [[_plain(one) for one in row] for row in answer.rows], "is_cut": answer.is_cut,
    }  # fmt: skip


def _plain(value: Any) -> Any:
    """As JSON has it; what it has no form for, in words."""
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value if value is None or isinstance(value, bool | int | float | str) else str(value)


def _print(answer: StudyAnswer, is_own: bool) -> None:
    """``is_own``: asked in SQL, whose names of columns stay as they are."""
    from rich.console import Console
    from rich.table import Table

    console, said = Console(highlight=False, markup=False), answer.study
    if not console.is_terminal:
        console = Console(highlight=False, markup=False, width=max(console.width, FILE_WIDTH))
    console.print(answer.title, style="bold")
    console.print(f"{said['name']}, edition {said['edition']}{' (invented)' if said['invented'] else ''}"
                  + (f"; limits: {name_in_words(answer.limits)}" if answer.limits else ""))  # fmt: skip
    for caution in (STANDING_CAUTION, answer.what_it_is):
        console.print(f"Caution: {caution}")
    if answer.parts != said["parts"]:
        console.print(f"Caution: only {answer.parts} of {said['parts']} parts are worked out.")
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for name in answer.columns:
        table.add_column(name if is_own else name.replace("_", " "), overflow="fold")
    for row in answer.rows:
        shown = (_shown(one) for one in row)
        named = zip(answer.columns, shown, strict=True)
        table.add_row(*(name_in_words(one) if name in NAMED and not is_own else one for name, one in named))
    console.print(table)
    if answer.is_cut:
        console.print("There are more rows: ask for them with --top.")
    console.print(answer.note if is_own else _heads_in_words(answer))


def _heads_in_words(answer: StudyAnswer) -> str:
    """The note, with the heads of columns as the table has them."""
    note = answer.note
    for name in sorted(answer.columns, key=len, reverse=True):
        note = note.replace(name, name.replace("_", " "))
    return note


def _shown(value: Any) -> str:
    return "" if value is None else f"{value:.4g}" if isinstance(value, float) else str(value)
