"""Compiled code gives what the same lines give as plain Python."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from headstock.physics.fast import advance_fast
from headstock.physics.fine import advance
from headstock.physics.pipe_network import GasModel
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import air_run_of, fast_run_of

SRC = Path(__file__).resolve().parents[2] / "src"
CASE = {
    # Every kind of face: valve letting out and feeding, part-open and shut gate, branches, an end that opens.
    "vehicles": 4, "pipe_length_m": 4.0, "leak_mm2": 2.0, "initial_chamber_bar": 3.0, "initial_aux_bar": 3.0,
    "cocks": {"1": 0.2, "2": 0.0}, "cock_events": [{"t": 0.09, "joint": 2, "open": 0.01}],
    "valve": [{"t": 0.0, "mode": "full"}, {"t": 0.06, "mode": "release"}], "rear": [{"t": 0.03, "open": 0.6}], "end_s": 0.12,
    "ask": [{"kind": "value", "where": where, "t_s": 0.1} for where in ("front", "rear", "pipe2", "aux1", "cyl4", "chamber3")],
}  # fmt: skip


def ran(gas: GasModel) -> dict[str, object]:
    """What a short run leaves behind, as plain numbers."""
    case = AirCase.model_validate_json(json.dumps(CASE))
    run = air_run_of(case)
    result = advance(run.grid, run.start, run.timeline, case.end_s, gas, run.probes)
    return {"cells": result.state.cells.tolist(), "vessels": result.state.vessels.tolist(),
            "readings": result.readings_pa.tolist(), "steps": result.steps}  # fmt: skip


def ran_fast() -> dict[str, object]:
    """The same case, longer, by the fast solver."""
    case = AirCase.model_validate_json(json.dumps({**CASE, "end_s": 2.0}))
    run = fast_run_of(case)
    result = advance_fast(run.grid, run.start, (run.timeline,), case.end_s, run.probes)
    return {"now": [level.tolist() for level in result.state.now], "readings": result.readings_pa.tolist(), "steps": result.steps}


def test_the_fast_solver_compiled_gives_what_plain_python_gives() -> None:
    plain, compiled = plainly("ran_fast()"), ran_fast()
    assert plain["steps"] == compiled["steps"] > 30
    assert np.allclose(plain["readings"], compiled["readings"], rtol=1e-9, atol=0.0)
    for one, other in zip(plain["now"], compiled["now"], strict=True):  # type: ignore[call-overload]
        assert np.allclose(one, other, rtol=1e-8, atol=1e-12)


def plainly(call: str) -> dict[str, object]:
    """What a call gives in a process of its own without compiling."""
    code = f"import json; from tests.accuracy.test_compiled_is_plain import *; print(json.dumps({call}))"
    path = os.pathsep.join((str(SRC), str(SRC.parent)))
    done = subprocess.run(
        [sys.executable, "-c", code], env={**os.environ, "NUMBA_DISABLE_JIT": "1", "PYTHONPATH": path}, capture_output=True,
        text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize("gas", ["isothermal", "heat-transfer"])
def test_compiled_code_gives_what_plain_python_gives(gas: GasModel) -> None:
    plain, compiled = plainly(f"ran({gas!r})"), ran(gas)
    assert plain["steps"] == compiled["steps"] > 80
    for part, least in (("cells", 1e-6), ("vessels", 1e-3), ("readings", 1e-3)):
        assert np.allclose(plain[part], compiled[part], rtol=1e-9, atol=least * 1e-9 if part == "cells" else 0.0), part
