"""A recorder's file with commas (CSV), its columns as the readings file says, as samples in bar on the readers' clock."""

from __future__ import annotations

import csv
import io
from math import isfinite
from pathlib import Path

from headstock.base.errors import ContentError, Fault, FileError
from headstock.base.nearest import nearest_of
from headstock.brake_test.recorder import Channel, RecorderTrace, without_spikes
from headstock.usecases.readings_file import RecorderGiven
from headstock.usecases.record_times import TIME
from headstock.usecases.record_units import in_own_unit

MOST_BYTES = 50_000_000
MOST_FAULTS = 20


def read_recorder(path: Path, given: RecorderGiven, began_s: float | None) -> RecorderTrace:
    """Samples of a recorder. ``began_s``: clock time its seconds count from; None: it keeps clock times. Raises InputError."""
    rows = _rows(path)
    heads = [head.strip() for head in rows[0]]
    wanted = [given.time_column, *(channel.column for channel in given.channels)]
    missing = [column for column in wanted if column not in heads]
    if missing:
        raise ContentError(_missing(path, column, heads) for column in missing)
    t_s, values = _columns(path, rows, heads, given, began_s)
    kept_s, kept, spikes = without_spikes(t_s, values, given.spike_bar)
    return RecorderTrace(tuple(kept_s), {channel: tuple(series) for channel, series in kept.items()}, given.longest_gap_s, spikes)


def _missing(path: Path, column: str, heads: list[str]) -> Fault:
    return Fault("missing column", str(path), 1, "recorder", column, ", ".join(heads), nearest_of(column, heads))


def _rows(path: Path) -> list[list[str]]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise FileError(Fault("file too large", str(path), expected=f"at most {MOST_BYTES} bytes"))
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise FileError(Fault("the recorder's file cannot be read", str(path), found=str(error),
                              expected="a text file (UTF-8)")) from None  # fmt: skip
    rows = [row for row in csv.reader(io.StringIO(text)) if row]
    if len(rows) < 3:
        raise ContentError(Fault("too few lines", str(path), found=f"{len(rows)}", expected="headings and two samples or more"))
    return rows


def _columns(
    path: Path, rows: list[list[str]], heads: list[str], given: RecorderGiven, began_s: float | None
) -> tuple[list[float], dict[Channel, list[float]]]:
    faults: list[Fault] = []
    t_s: list[float] = []
    values: dict[Channel, list[float]] = {(channel.at, channel.reads): [] for channel in given.channels}
    place = {column: heads.index(column) for column in (given.time_column, *(one.column for one in given.channels))}
    for line, row in enumerate(rows[1:], start=2):
        said = row[place[given.time_column]].strip() if len(row) > place[given.time_column] else ""
        when_s = _time_s(said, began_s)
        figures = [_figure(row, place[channel.column]) for channel in given.channels]
        if when_s is None or None in figures:
            faults.append(Fault("sample not understood", str(path), line, found=",".join(row)[:60],
                                expected="a time and a figure in every column that is used"))  # fmt: skip
        elif t_s and when_s + given.clock_offset_s <= t_s[-1]:
            faults.append(Fault("out of order: not later than the sample before", str(path), line, found=said,
                                expected="samples in order of time"))  # fmt: skip
        else:
            t_s.append(when_s + given.clock_offset_s)
            for channel, figure in zip(given.channels, figures, strict=True):
                values[channel.at, channel.reads].append(in_own_unit(figure or 0.0, channel.unit))
    if faults:
        raise ContentError(faults[:MOST_FAULTS])
    return t_s, values


def _figure(row: list[str], place: int) -> float | None:
    try:
        figure = float(row[place])
    except (IndexError, ValueError):
        return None
    return figure if isfinite(figure) else None


def _time_s(said: str, began_s: float | None) -> float | None:
    if began_s is not None:
        seconds = _figure([said], 0)
        return None if seconds is None else began_s + seconds
    form = TIME.fullmatch(said)
    if form is None or form[1]:
        return None
    return int(form[2]) * 3600.0 + int(form[3]) * 60.0 + int(form[4] or 0)
