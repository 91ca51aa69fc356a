"""Has imported every command; forks a process for each line on its input, and says with which status that ended."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import signal
import sys
import time
import traceback
from pathlib import Path
from typing import Any

TOO_LONG = 124
LEFT_OUT = ("headstock.web", "headstock.__main__", "headstock.records.migrations.")
"""No command but `serve` needs the pages; migrations run where they are imported."""


def import_all() -> None:
    """Every module that a command may need."""
    import headstock

    for found in pkgutil.walk_packages(headstock.__path__, "headstock."):
        if not found.name.startswith(LEFT_OUT):
            importlib.import_module(found.name)


def run(asked: dict[str, Any]) -> int:
    """The command in a process of its own; its status, as a shell would say it."""
    child = os.fork()
    if child == 0:
        os._exit(_command(asked))
    until_s = time.monotonic() + asked["longest_s"]
    while True:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        if time.monotonic() > until_s:
            os.kill(child, signal.SIGKILL)
            os.waitpid(child, 0)
            return TOO_LONG
        time.sleep(0.005)


def _command(asked: dict[str, Any]) -> int:
    folder = Path(asked["folder"])
    written = os.O_WRONLY | os.O_CREAT
    for number, (name, mode) in enumerate((("in", os.O_RDONLY), ("out", written), ("err", written))):
        os.dup2(os.open(folder / name, mode), number)
    # What stands in the buffer of this process is not for the command.
    sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115
    os.environ.clear()
    os.environ.update(asked["environment"])
    os.chdir(asked["at"])
    sys.argv = ["headstock", *asked["words"]]
    status = _status()
    sys.stdout.flush()
    sys.stderr.flush()
    return status


def _status() -> int:
    from headstock.__main__ import main

    try:
        main()
    except SystemExit as ended:
        return ended.code if isinstance(ended.code, int) else int(ended.code is not None)
    except BaseException:
        traceback.print_exc()
        return 1
    return 0


if __name__ == "__main__":
    import_all()
    for line in sys.stdin:
        print(run(json.loads(line)), flush=True)
