"""A lock between processes: one goes on, the others wait; where nothing can be locked nobody waits."""

import subprocess
import sys
import time
from pathlib import Path

from headstock.compute.one_compiles import one_at_a_time

HOLD = """
import sys, time
from pathlib import Path
from headstock.compute.one_compiles import one_at_a_time
with one_at_a_time(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(1)
"""


def test_the_second_waits_for_the_first(tmp_path: Path) -> None:
    lock = tmp_path / "kernels" / "compiling.lock"
    first = subprocess.Popen([sys.executable, "-c", HOLD, str(lock)], stdout=subprocess.PIPE, text=True)
    assert first.stdout is not None and first.stdout.readline() == "held\n"
    began = time.monotonic()
    with one_at_a_time(lock):
        assert time.monotonic() - began > 0.5
    assert first.wait(10) == 0
    first.stdout.close()


def test_where_no_lock_can_lie_it_goes_on(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    with one_at_a_time(tmp_path / "file" / "compiling.lock"):
        pass
