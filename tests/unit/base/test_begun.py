"""What a writer leaves that was killed is taken away; what one has in hand that is alive never is."""

import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from headstock.base.begun import begun, take_away_left
from headstock.records.signing import KEY_FILE, load_signer
from headstock.records.sitting_files import SittingFiles

HALF_WAY = """
import os, sys
from pathlib import Path
real = os.link
def link(*names):
    print("half way", flush=True)
    sys.stdin.readline()
    real(*names)
os.link = link
"""
SITTING = """
from headstock.records.sitting_files import SittingFiles
SittingFiles(Path(sys.argv[1])).begin("ABCDE", "attach-plain", "2026-01-01 10:00:00", {"kind": "walked", "t_s": 1.0})
"""
KEY = """
from headstock.records.signing import load_signer
load_signer(Path(sys.argv[1]))
"""


@contextmanager
def half_way(folder: Path, what: str) -> Iterator[subprocess.Popen[str]]:
    """A process that has written a file and not yet given it its name."""
    words = [sys.executable, "-c", HALF_WAY + what, str(folder)]
    with subprocess.Popen(words, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None and process.stdout.readline() == "half way\n"
        try:
            yield process
        finally:
            process.kill()


def kill(process: subprocess.Popen[str]) -> None:
    process.kill()
    assert process.wait(30) == -signal.SIGKILL


def begun_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir() if path.name.startswith((".begun-", ".key-")))


def test_a_sitting_that_was_being_begun_when_its_writer_was_killed_goes_when_the_folder_is_opened(tmp_path: Path) -> None:
    with half_way(tmp_path, SITTING) as process:
        kill(process)
    assert len(begun_in(tmp_path)) == 1, "it left something, else nothing is proved"
    files = SittingFiles(tmp_path)
    assert begun_in(tmp_path) == [] and files.codes() == []


def test_a_writer_that_is_alive_keeps_what_it_has_in_hand_however_old_it_is(tmp_path: Path) -> None:
    with half_way(tmp_path, SITTING) as process:
        (name,) = begun_in(tmp_path)
        os.utime(tmp_path / name, (0, 0))
        SittingFiles(tmp_path)
        assert begun_in(tmp_path) == [name]
        process.communicate("on\n", timeout=30)
        assert process.returncode == 0
    kept = SittingFiles(tmp_path).kept("ABCDE")
    assert kept is not None and len(kept.events) == 1 and begun_in(tmp_path) == []


def test_no_copy_of_a_signing_key_stays_behind_a_killed_maker(tmp_path: Path) -> None:
    with half_way(tmp_path, KEY) as process:
        kill(process)
    assert len(begun_in(tmp_path)) == 1
    load_signer(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [KEY_FILE]


def test_a_sitting_that_had_its_name_already_stays_when_the_other_name_goes(tmp_path: Path) -> None:
    files = SittingFiles(tmp_path)
    files.begin("ABCDE", "attach-plain", "2026-01-01 10:00:00")
    os.link(tmp_path / "ABCDE.sitting.jsonl", tmp_path / ".begun-abc")
    again = SittingFiles(tmp_path)
    assert begun_in(tmp_path) == [] and again.kept("ABCDE") is not None


def test_a_file_that_was_looked_at_before_its_writer_held_it_is_begun_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, names = tempfile.mkstemp, list[str]()

    def made_and_looked_at(**how: Any) -> tuple[int, str]:
        handle, name = real(**how)
        names.append(name)
        if len(names) == 1:
            take_away_left(tmp_path, ".begun-")
        return handle, name

    monkeypatch.setattr(tempfile, "mkstemp", made_and_looked_at)
    with begun(tmp_path, ".begun-") as (_, name):
        assert len(names) == 2 and name == names[1] and Path(name).exists()


def test_what_is_no_file_of_ours_stays(tmp_path: Path) -> None:
    for name in ("notes.txt", ".begun", "ABCDE.sitting.jsonl"):
        (tmp_path / name).write_text("")
    (tmp_path / ".begun-link").symlink_to(tmp_path / "notes.txt")
    (tmp_path / ".begun-folder").mkdir()
    SittingFiles(tmp_path)
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        ".begun", ".begun-folder", ".begun-link", "ABCDE.sitting.jsonl", "notes.txt",
    ]  # fmt: skip
