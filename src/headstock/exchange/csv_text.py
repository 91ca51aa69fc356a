"""Tables as CSV (RFC 4180, UTF-8) that a spreadsheet shows and does not reckon with."""

from __future__ import annotations

import csv
import io
from collections.abc import Collection, Iterable, Sequence
from typing import Final

RECKONED: Final = ("=", "+", "-", "@", "\t", "\r")
"""First signs that make a spreadsheet take a cell for a formula."""
SHOWN: Final = "'"
"""Put before such a cell, so that it is shown as it stands."""


def csv_bytes(columns: Sequence[str], rows: Iterable[Iterable[object]], exact: Collection[str] = ()) -> bytes:
    """A line of names, then a line for each row; cells of the columns ``exact`` go out as they are, whatever they begin with."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    as_it_is = [column in exact for column in columns]
    writer.writerows([cell if kept else shown(cell) for cell, kept in zip(row, as_it_is, strict=True)] for row in rows)
    return text.getvalue().encode("utf-8")


def shown(cell: object) -> object:
    """A cell as it goes out; numbers, also those written as text, stay as they are."""
    if not isinstance(cell, str) or not cell.startswith(RECKONED) or _is_number(cell):
        return cell
    return SHOWN + cell


def as_written(cell: str) -> str:
    """A cell that came in, without the sign that :func:`shown` put before it."""
    bare = cell.removeprefix(SHOWN)
    return bare if bare.startswith(RECKONED) else cell


def _is_number(cell: str) -> bool:
    try:
        float(cell)
    except ValueError:
        return False
    return "_" not in cell
