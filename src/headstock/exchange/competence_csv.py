"""Sign-offs as CSV (RFC 4180, UTF-8), out and in: what goes out comes in again and adds nothing."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Final

from headstock.base.errors import Fault, InputError
from headstock.base.nearest import nearest_of
from headstock.exchange.csv_text import as_written, csv_bytes
from headstock.usecases.competence_now import CompetenceNow
from headstock.usecases.record_practice import CompetenceGiven, competence_to_file
from headstock.usecases.record_state import MANY
from headstock.usecases.records_port import Draft, Records, Search

ASKED: Final = ("person", "role", "units", "place", "since", "until", "assessor", "watched")
TOLD: Final = ("code", "state", "left_days")
"""Columns that go out and are not looked at when they come in."""
BETWEEN: Final = " + "
NO_SIGN = b"\0"
MOST_LINES: Final = 5000
CURE: Final = "Nothing was recorded. Mend the file and send it again."


@dataclass(frozen=True, slots=True)
class CompetencesRead:
    """Sign-offs of a file that are not on record yet; how many are already."""

    drafts: tuple[Draft, ...]
    known: int


def competences_csv(held: Iterable[CompetenceNow]) -> bytes:
    """A line of names, then a line for each sign-off."""
    return csv_bytes((*ASKED, *TOLD), (_cells(one) for one in held))


def _cells(one: CompetenceNow) -> tuple[object, ...]:
    body = one.filed.draft.body
    return (body["person"], body["role"], BETWEEN.join(body["units"]), body["place"], body["since"], body["until"],
            body["who"], body["watched"], one.filed.code, one.state, one.left_days)  # fmt: skip


def competences_from_csv(content: bytes, name: str, records: Records) -> CompetencesRead:
    """The sign-offs of a file; ``name``: of the file. Raises InputError with every fault and its line, and takes nothing then."""
    faults: list[Fault] = []
    known = {_identity(one.draft.body) for one in records.search(Search(kind="competence", top=MANY))}
    drafts, again = [], 0
    for line, given in _given(_text(content, name), name, faults):
        try:
            draft = competence_to_file(given, records)
        except InputError as error:
            faults += [replace(fault, file=name, line=line, path=_column(fault.path)) for fault in error.faults]
            continue
        is_known = _identity(draft.body) in known
        again += is_known
        known.add(_identity(draft.body))
        drafts += [] if is_known else [draft]
    if faults:
        raise InputError(faults, cure=CURE)
    return CompetencesRead(tuple(drafts), again)


def _text(content: bytes, name: str) -> str:
    if NO_SIGN in content:
        fault = Fault("a sign that no text can hold (NUL)", name, content.partition(NO_SIGN)[0].count(b"\n") + 1, expected="text")
        raise InputError(fault, cure=CURE)
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        raise InputError(Fault("not UTF-8", name, line, expected="a CSV file saved as UTF-8"), cure=CURE) from None


def _given(text: str, name: str, faults: list[Fault]) -> Iterator[tuple[int, CompetenceGiven]]:
    """Each line as a sign-off, with the number of the line it ends on."""
    first = text.partition("\n")[0]
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=";" if ";" in first and "," not in first else ",", strict=True)
    columns: list[str] = []
    try:
        for row in reader:
            if not columns:
                columns = [cell.strip().casefold() for cell in row]
                _check_columns(columns, name)
            elif reader.line_num > MOST_LINES:
                faults.append(Fault("too long", name, reader.line_num, expected=f"{MOST_LINES} lines at the most"))
                return
            elif any(cell.strip() for cell in row):
                if len(row) == len(columns):
                    cells = (as_written(cell.strip()) for cell in row)
                    yield reader.line_num, _competence(dict(zip(columns, cells, strict=True)))
                else:
                    faults.append(Fault("not as many cells as columns", name, reader.line_num, found=str(len(row)),
                                        expected=str(len(columns))))  # fmt: skip
    except csv.Error as error:
        faults.append(Fault("not CSV", name, reader.line_num, found=str(error), expected="cells as RFC 4180 has them"))
    if not columns:
        faults.append(Fault("nothing in it", name, 1, found="nothing", expected=", ".join(ASKED)))


def _check_columns(columns: list[str], name: str) -> None:
    faults = [Fault("a column is missing", name, 1, one, expected=", ".join(ASKED)) for one in ASKED if one not in columns]
    faults += [Fault("no such column", name, 1, found=one, expected=", ".join((*ASKED, *TOLD)),
                     nearest=nearest_of(one, ASKED)) for one in columns if one not in (*ASKED, *TOLD)]  # fmt: skip
    faults += [Fault("a column twice", name, 1, found=one) for one in dict.fromkeys(columns) if columns.count(one) > 1]
    if faults:
        raise InputError(faults, cure=CURE)


def _column(option: str) -> str:
    """The column that an option of the command line is."""
    return option.removeprefix("--").lower().replace("unit", "units")


def _competence(cells: Mapping[str, str]) -> CompetenceGiven:
    units = tuple(unit.strip() for unit in cells["units"].split("+") if unit.strip())
    return CompetenceGiven(cells["person"], cells["role"], units, cells["place"], cells["since"], cells["until"],
                           cells["assessor"], cells["watched"])  # fmt: skip


def _identity(body: Mapping[str, Any]) -> tuple[str, ...]:
    units = BETWEEN.join(sorted(str(unit) for unit in body["units"]))
    said = (body["person"], body["role"], units, body["place"], body["since"], body["until"], body["who"], body["watched"])
    return tuple(str(one).strip().casefold() for one in said)
