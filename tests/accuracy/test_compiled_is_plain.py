"""Compiled code gives what the same lines give as plain Python."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from headstock.physics.fast import advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fine import advance
from headstock.physics.pipe_network import Change, GasModel, Probe
from headstock.usecases.air_case_file import AirCase
from headstock.usecases.air_case_network import air_run_of, fast_run_of
from tests.accuracy.gear_bench import DIRECT, TWO_PIPE, Vessel, at_rest, feeds, lets_out, pa, train

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


def ran_block() -> dict[str, object]:
    """Three lanes side by side, each with its own times and air outside; what is vented goes lane by lane, so no gate is shut."""
    case = AirCase.model_validate_json(json.dumps({**CASE, "cocks": {"1": 0.2}, "cock_events": [], "end_s": 2.0}))
    run = fast_run_of(case)
    heights = [replace(run.grid.networks[0], atmosphere_pa=outside) for outside in (101325.0, 84559.7, 54048.3)]
    grid, still = fast_grid_of(heights), run.start
    pipe, _, chamber, reservoir, _ = still.now
    start = still_air_fast(grid, pipe, chamber, reservoir, still.cylinder, still.gates * 3, still.valves * 3)
    lines = [[replace(change, t_s=change.t_s * (1.0 + 0.3 * lane)) for change in run.timeline] for lane in range(3)]
    result = advance_fast(grid, start, lines, case.end_s, run.probes)
    return {"now": [level.tolist() for level in result.state.now], "t_s": result.t_s.tolist(),
            "readings": result.readings_pa.tolist(), "steps": result.lane_steps.tolist()}  # fmt: skip


def ran_gear() -> dict[str, object]:
    """Trains with gear: charging from the main reservoir and an application; direct release and its release."""
    both = train(TWO_PIPE, 2, main_reservoir=Vessel(0.0, 0.3, 2e-4, compressor_kg_s=0.02, starts_pa=pa(8.5), stops_pa=pa(9.0)))
    moves = [Change(0.0, 0, feeds(95e-6)), Change(0.8, 0, lets_out(200e-6, 3.5)), Change(2.0, 0, feeds(95e-6))]
    found: dict[str, object] = {}
    for name, network in (("both", both), ("direct", replace(train(DIRECT, 2), atmosphere_pa=84559.7))):
        probes = [Probe("branch", 1), Probe("brake cylinder", 1), Probe("vessel", 0)]
        result = at_rest([network], 4.8).run([moves], 3.0, probes)
        found[name] = {"readings": result.readings_pa.tolist(), "steps": result.steps, "modes": result.state.gear.mode.tolist()}
    return found


def test_brake_gear_compiled_gives_what_plain_python_gives() -> None:
    plain, compiled = plainly("ran_gear()"), ran_gear()
    for name, one in plain.items():
        other = compiled[name]
        assert isinstance(one, dict) and isinstance(other, dict)
        assert one["steps"] == other["steps"] > 30 and one["modes"] == other["modes"]
        assert np.allclose(one["readings"], other["readings"], rtol=1e-8, atol=0.0)


def test_the_fast_solver_compiled_gives_what_plain_python_gives() -> None:
    plain, compiled = plainly("ran_fast()"), ran_fast()
    assert plain["steps"] == compiled["steps"] > 30
    assert np.allclose(plain["readings"], compiled["readings"], rtol=1e-9, atol=0.0)
    for one, other in zip(plain["now"], compiled["now"], strict=True):  # type: ignore[call-overload]
        assert np.allclose(one, other, rtol=1e-8, atol=1e-12)


def test_lanes_side_by_side_compiled_give_what_plain_python_gives() -> None:
    plain, compiled = plainly("ran_block()"), ran_block()
    assert plain["steps"] == compiled["steps"] and min(compiled["steps"]) > 30  # type: ignore[call-overload]
    for part in ("t_s", "readings"):
        assert np.allclose(plain[part], compiled[part], rtol=1e-9, atol=0.0), part
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
