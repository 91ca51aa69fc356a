"""Seconds of the air engine: compiling, a second start, the three worked examples in cells of half a metre, isothermal.

Run it from the top of the tree, with the environment of ./test: ``.venv-test/bin/python bench/air_cases.py``. It prints
figures and judges nothing; let nothing else run meanwhile. Compiled code goes to a folder of its own, so the first start
compiles.
"""

from __future__ import annotations

import json
import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path
from time import perf_counter

ROOT = Path(__file__).resolve().parents[1]
EXAMPLES = ROOT / "tests" / "accuracy" / "air_examples"
TINY = {"vehicles": 1, "end_s": 0.01, "ask": [{"kind": "value", "where": "rear", "t_s": 0.01}]}
STARTS = 5


def timed(words: list[str], environment: dict[str, str]) -> tuple[float, str]:
    """Seconds of one whole process [s], and what it printed."""
    began = perf_counter()
    done = subprocess.run([sys.executable, *words], env=environment, capture_output=True, text=True, check=True)
    return perf_counter() - began, done.stdout


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        case = folder / "tiny.json"
        case.write_text(json.dumps(TINY), encoding="utf-8")
        environment = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
        environment |= {"PYTHONPATH": str(ROOT / "src"), "HEADSTOCK_CACHE": name, "PYTHONPYCACHEPREFIX": str(folder / "pyc")}
        air = ["-m", "headstock", "air"]
        first_s, _ = timed([*air, str(case)], environment)
        later_s = [timed([*air, str(case)], environment)[0] for _ in range(STARTS)]
        library_s = [timed(["-c", "import numba"], environment)[0] for _ in range(STARTS)]
        print(f"first start, compiling       {first_s:6.2f} s")
        print(f"later starts, median of {STARTS}    {statistics.median(later_s):6.2f} s")
        print(f"  of which the bare library  {statistics.median(library_s):6.2f} s")
        for path in sorted(EXAMPLES.glob("*.json")):
            if not path.stem.endswith(".expected"):
                whole_s, said = timed([*air, str(path), "--gas", "isothermal"], environment)
                answer = json.loads(said)
                print(f"{path.stem:34s} {answer['elapsed_s']:6.2f} s, {answer['steps']} steps, process {whole_s:.2f} s")


if __name__ == "__main__":
    main()
