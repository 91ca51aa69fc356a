"""What two versions of a unit type say differently, and what on record rests on the type."""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal

from headstock.base.documents import document_from_text
from headstock.base.errors import InputError
from headstock.base.located import path_text
from headstock.usecases.records_port import Filed, Records, Search

AROUND = 2
MOST = 500
MOST_LINES = 3000
"""Two texts of so many lines are compared; longer ones would take long."""


@dataclass(frozen=True, slots=True)
class DifferentLine:
    """A line of the text: taken out, put in, the same, or a gap of lines that are the same; with its numbers."""

    how: Literal["taken out", "put in", "the same", "left out here"]
    before: int | None
    after: int | None
    text: str


@dataclass(frozen=True, slots=True)
class DifferentValue:
    """A value by its place; None where one of the two has none there."""

    path: str
    before: str | None
    after: str | None


@dataclass(frozen=True, slots=True)
class Touched:
    """What a change of a type touches: jobs on the book, sheets issued, competences."""

    jobs: tuple[Filed, ...]
    sheets: tuple[Filed, ...]
    competences: tuple[Filed, ...]


def different_lines(before: str, after: str) -> tuple[DifferentLine, ...]:
    """The lines that differ, with a few around them."""
    old, new = before.splitlines(), after.splitlines()
    if len(old) * len(new) > MOST_LINES**2:
        said = f"{len(old)} and {len(new)} lines, too many to be compared line by line"
        return (DifferentLine("left out here", None, None, said),) if old != new else ()
    return tuple(_lines(old, new))


def _lines(old: list[str], new: list[str]) -> Iterator[DifferentLine]:
    matcher = difflib.SequenceMatcher(None, old, new, autojunk=False)
    last = 0
    for group in matcher.get_grouped_opcodes(AROUND):
        if group[0][1] > last:
            yield DifferentLine("left out here", None, None, _same(group[0][1] - last))
        for tag, i, i_end, j, j_end in group:
            if tag == "equal":
                yield from (DifferentLine("the same", i + n + 1, j + n + 1, old[i + n]) for n in range(i_end - i))
                continue
            yield from (DifferentLine("taken out", n + 1, None, old[n]) for n in range(i, i_end))
            yield from (DifferentLine("put in", None, n + 1, new[n]) for n in range(j, j_end))
        last = group[-1][2]
    if last and last < len(old):
        yield DifferentLine("left out here", None, None, _same(len(old) - last))


def _same(lines: int) -> str:
    return "1 line that is the same" if lines == 1 else f"{lines} lines that are the same"


def different_values(before: str, after: str) -> tuple[DifferentValue, ...]:
    """The values that differ, in the order of the newer text; nothing where one of the two cannot be read."""
    try:
        old, new = (dict(_values(document_from_text(text, "version").value, ())) for text in (before, after))
    except InputError:
        return ()
    paths = [*new, *(path for path in old if path not in new)]
    return tuple(DifferentValue(path, old.get(path), new.get(path)) for path in paths if old.get(path) != new.get(path))


def _values(value: Any, path: tuple[str | int, ...]) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from _values(inner, (*path, key))
    else:
        yield path_text(path), "yes" if value is True else "no" if value is False else str(value)


def touched_by_change(name: str, records: Records) -> Touched:
    """What rests on a type: jobs whose file names it, sheets about those jobs, competences that name it."""
    jobs = tuple(one for one in records.search(Search(kind="job", top=MOST)) if name in types_of(one))
    keys = {job.draft.key for job in jobs}
    units = {unit for job in jobs for unit in job.draft.body.get("units", ())}
    sheets = tuple(
        one for one in records.search(Search(kind="sheet", top=MOST))
        if one.draft.body.get("about") in keys or units & set(one.draft.body.get("units", ()))
    )  # fmt: skip
    return Touched(jobs, sheets, records.search(Search((name,), kind="competence", top=MOST)))


def types_of(job: Filed) -> frozenset[str]:
    """Unit types that a job on the book names."""
    try:
        value = document_from_text(job.draft.body.get("job_file", ""), "job").value
    except InputError:
        return frozenset()
    units = value.get("units")
    return (
        frozenset(str(unit.get("type")) for unit in units if isinstance(unit, dict)) if isinstance(units, list) else frozenset()
    )
