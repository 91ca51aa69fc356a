"""What is there for good is not looked through again."""

import subprocess
import sys

ASKED = """
import gc
from headstock.base.lasting import make_lasting
gc.disable()
kept = [[number] for number in range(5000)]
ring = []
ring.append(ring)
del ring
before = len(gc.get_objects())
make_lasting()
assert before > 5000 and len(gc.get_objects()) < 500, (before, len(gc.get_objects()))
assert gc.get_freeze_count() > 5000 and len(kept) == 5000
fresh = []
fresh.append(fresh)
del fresh
assert gc.collect() >= 1, "what comes afterwards is still collected"
"""


def test_what_is_there_is_put_aside_and_what_comes_is_collected() -> None:
    done = subprocess.run([sys.executable, "-c", ASKED], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
