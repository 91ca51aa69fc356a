"""Commands as people give them, each in a process of its own; forked from one that has imported everything already.

A command spends a second on imports before it begins, and journeys give hundreds. What needs a cold start asks for it.
"""

from __future__ import annotations

import atexit
import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

SRC = Path(__file__).resolve().parents[2] / "src"
LONGEST_S = 120
MODULE = [sys.executable, "-m", "headstock"]
Done = subprocess.CompletedProcess[str]


def headstock(*words: str | Path, at: Path, typed: str | None = None, cold: bool = False) -> Done:
    """One command, run in a folder; ``typed``: what it reads; ``cold``: from nothing, as a shell would start it."""
    command = [str(word) for word in words]
    environment = {**os.environ, "PYTHONPATH": str(SRC), "COLUMNS": "200"}
    if cold or not hasattr(os, "fork"):
        return subprocess.run([*MODULE, *command], cwd=at, env=environment, input=typed, capture_output=True, text=True,
                              check=False, timeout=LONGEST_S)  # fmt: skip
    with TemporaryDirectory(prefix="headstock-said-") as name:
        folder = Path(name)
        (folder / "in").write_text(typed or "", encoding="utf-8")
        status = _asked({"words": command, "at": str(at), "environment": environment, "folder": name, "longest_s": LONGEST_S})
        said = [(folder / one).read_bytes().decode("utf-8") for one in ("out", "err")]
    return subprocess.CompletedProcess([*MODULE, *command], status, *said)


def answer_of(*words: str | Path, at: Path, status: int = 0) -> Any:
    """What a command answers as JSON."""
    done = headstock(*words, "--json", at=at)
    assert done.returncode == status, done.stdout + done.stderr
    return json.loads(done.stdout)


def _asked(what: dict[str, Any]) -> int:
    ready = _ready()
    assert ready.stdin is not None and ready.stdout is not None
    ready.stdin.write(json.dumps(what) + "\n")
    ready.stdin.flush()
    return int(ready.stdout.readline())


@cache
def _ready() -> subprocess.Popen[str]:
    environment = {**os.environ, "PYTHONPATH": str(SRC), "COLUMNS": "200"}
    command = [sys.executable, str(Path(__file__).with_name("ready_process.py"))]
    started = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=environment)
    atexit.register(_ended, started)
    return started


def _ended(process: subprocess.Popen[str]) -> None:
    process.communicate(timeout=10)
