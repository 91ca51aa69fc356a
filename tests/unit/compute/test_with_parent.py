"""Workers do not outlive whoever began them."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

PARENT = """
import multiprocessing, os, sys, time
from concurrent.futures import ProcessPoolExecutor
from headstock.compute.with_parent import end_with_parent

if __name__ == "__main__":
    with ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), end_with_parent) as pool:
        print(pool.submit(os.getpid).result(), flush=True)
        time.sleep(60)
"""


def test_a_worker_ends_when_its_parent_is_killed(tmp_path: Path) -> None:
    script = tmp_path / "parent.py"
    script.write_text(PARENT, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[3] / "src")}
    parent = subprocess.Popen([sys.executable, str(script)], stdout=subprocess.PIPE, text=True, env=environment)
    assert parent.stdout is not None
    worker = int(parent.stdout.readline())
    parent.send_signal(signal.SIGKILL)
    parent.wait(10)
    parent.stdout.close()
    until = time.monotonic() + 20
    while is_alive(worker):
        assert time.monotonic() < until, "the worker goes on alone"
        time.sleep(0.1)


def is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    state = Path(f"/proc/{pid}/stat")
    return not state.exists() or state.read_text(encoding="utf-8").rpartition(")")[2].split()[0] != "Z"
