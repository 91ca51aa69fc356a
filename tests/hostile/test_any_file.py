"""Whatever stands in a file, its reader answers with what is wrong: no traceback, no hang, no growing memory.

Found cases are kept under ``found``, named by the kind they are read as, and read again each time.
"""

from __future__ import annotations

import os
import resource
import signal
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

import pytest

from headstock.base.errors import InputError
from headstock.equipment.library import Fleet, load_fleet
from headstock.exchange.recorder_csv import read_recorder
from headstock.usecases.read_files import KINDS, FileRead, read_files
from headstock.usecases.readings_file import RecorderChannel, RecorderGiven
from tests.hostile.mutations import spoilt
from tests.promises.formats_page import INSTRUCTION
from tests.unit.usecases.test_read_files import AIR_CASE, BUILT_IN

FEW, MANY = 120, 100_000
LONGEST_S = 10
"""Longer than any of these files can take; a shared machine may stall."""
MOST_GROWTH_MB = 400
FOUND = sorted((Path(__file__).parent / "found").glob("*"))


@cache
def fleet() -> Fleet:
    return load_fleet()


@cache
def texts() -> dict[str, tuple[str, ...]]:
    """Good files by kind."""
    found: dict[str, list[str]] = defaultdict(list)
    for path in BUILT_IN:
        text = path.read_text(encoding="utf-8")
        found[text.split("\n", 1)[0].removeprefix("headstock: ").rsplit(" ", 1)[0]].append(text)
    found["instruction"].append(INSTRUCTION)
    found["air case"].append(AIR_CASE.read_text(encoding="utf-8"))
    return {kind: tuple(some) for kind, some in found.items()}


@contextmanager
def not_for_ever(what: object, longest_s: int = LONGEST_S) -> Iterator[None]:
    """Fails what goes on for too long."""

    def ring(*_: object) -> None:
        raise TimeoutError(f"no answer within {longest_s} s: {what}")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(longest_s)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def said_of(path: Path) -> FileRead:
    """What reading it says; it must say something that can be printed."""
    with not_for_ever(path.name):
        (answer,) = read_files([path], fleet())
    for fault in answer.faults:
        assert fault.text()
    return answer


def every(kind: str, count: int, folder: Path) -> None:
    """So many spoilt files of a kind, each read."""
    others = [text for some in texts().values() for text in some]
    path = folder / ("file.json" if kind == "air case" else "file.yaml")
    begins_mb = 0.0
    for seed in range(count):
        path.write_bytes(spoilt(seed, texts()[kind], others))
        try:
            said_of(path)
        except Exception as error:
            error.add_note(f"{kind}, seed {seed}: keep it under tests/hostile/found\n{path.read_bytes()[:2000]!r}")
            raise
        if seed == count // 2:
            begins_mb = _memory_mb()
    assert _memory_mb() - begins_mb < MOST_GROWTH_MB


def _memory_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def test_there_is_a_good_file_of_every_kind() -> None:
    assert set(texts()) == {*KINDS, "air case"}


@pytest.mark.parametrize("kind", sorted({*KINDS, "air case"}))
def test_a_spoilt_file_of_any_kind_is_answered(kind: str, tmp_path: Path) -> None:
    every(kind, FEW // 6 if kind in ("exercise", "mistake study") else FEW, tmp_path)


@pytest.mark.slow
@pytest.mark.parametrize("kind", sorted({*KINDS, "air case"}))
def test_a_hundred_thousand_spoilt_files_of_any_kind_are_answered(kind: str, tmp_path: Path) -> None:
    every(kind, int(os.environ.get("HEADSTOCK_HOSTILE", MANY)), tmp_path)


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_what_was_found_once_stays_answered(path: Path) -> None:
    said_of(path)


RECORD = """s,front,rear,cylinder
0,5.0,5.0,0
1.5,4.8,4.9,0.2
3,"4,6",4.7,0.9
00:00:04,4.5,,1.1
5,4.5,4.5,99
"""


def recorders(count: int, folder: Path) -> None:
    """So many spoilt files of a recorder, each read."""
    channels = (RecorderChannel(column="front", at="front", reads="brake pipe", unit="bar"),
                RecorderChannel(column="rear", at="rear", reads="brake pipe", unit="bar"))  # fmt: skip
    given = RecorderGiven(file="trace.csv", time_column="s", channels=channels, longest_gap_s=2.0, spike_bar=0.5)
    others = texts()["readings"]
    for seed in range(count):
        (folder / "trace.csv").write_bytes(spoilt(seed, (RECORD,), others))
        with not_for_ever(seed):
            try:
                read_recorder(folder / "trace.csv", given, 36_000.0)
            except InputError as error:
                assert error.faults


def test_a_spoilt_file_of_a_recorder_is_answered(tmp_path: Path) -> None:
    recorders(400, tmp_path)


@pytest.mark.slow
def test_a_hundred_thousand_spoilt_files_of_a_recorder_are_answered(tmp_path: Path) -> None:
    recorders(MANY, tmp_path)
