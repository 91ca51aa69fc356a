"""Readers tried with texts that are guided by which lines of the code they reach, where atheris is installed.

It has packages for few systems, so no lock file names it: ``pip install atheris`` into the environment of the tests.
``HEADSTOCK_HOSTILE`` says how many texts of each kind.
"""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.hostile.test_any_file import KINDS
from tests.promises.tree import ROOT

MANY = 20_000
PLANNED = ("exercise", "mistake study")
"""A good file of these is planned as it is read: too slow to be guided."""
WHY_NOT = "atheris is not here: readers are tried with texts spoilt at random alone"


@pytest.mark.slow
@pytest.mark.skipif(importlib.util.find_spec("atheris") is None, reason=WHY_NOT)
@pytest.mark.parametrize("kind", sorted({*KINDS, "air case"} - set(PLANNED)))
def test_texts_guided_by_what_they_reach_are_answered(kind: str, tmp_path: Path) -> None:
    words = [sys.executable, "-m", "tests.hostile.guided", kind, str(tmp_path)]
    words += [f"-runs={os.environ.get('HEADSTOCK_HOSTILE', MANY)}", f"-artifact_prefix={tmp_path}/", "-seed=1"]
    environment = {**os.environ, "PYTHONPATH": os.pathsep.join((str(ROOT / "src"), str(ROOT), os.environ.get("PYTHONPATH", "")))}
    done = subprocess.run(words, env=environment, capture_output=True, text=True, check=False)
    found = [
        (path.name, path.read_bytes()[:2000])
        for path in tmp_path.glob("*-*")
        if path.name.startswith(("crash", "timeout", "oom"))
    ]
    assert done.returncode == 0 and not found, f"keep it under tests/hostile/found: {found}\n{done.stderr[-3000:]}"
    assert "cov:" in done.stderr, "nothing was measured"
