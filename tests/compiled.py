"""Compiles the air engines once, before several processes of tests would each compile them: ``python -m tests.compiled``.

Two halves of about the same work side by side. Where all is compiled already it takes two seconds.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from headstock.physics.air_run import AirRun

CACHE = Path(__file__).parent.parent / ".cache" / "headstock"
"""Compiled code and reckoned runs of tests stay in the tree, out of the home of whoever runs them."""
LENGTH_M, PIPE_PA, FEWEST_ABREAST = 40.0, 6e5, 8


def _alone() -> None:
    """What single runs need, and the fine solver with either gas."""
    from headstock.physics.fast_run import answer_fast
    from headstock.physics.fine import advance, still_air
    from headstock.physics.fine_grid import grid_of

    run = _run(vent_m2=0.0)
    answer_fast(run)
    grid = grid_of(run.network, 2.0)
    for gas in ("isothermal", "heat-transfer"):
        advance(grid, still_air(grid, PIPE_PA, PIPE_PA, PIPE_PA, 0.0), (), 0.05, gas)


def _abreast() -> None:
    """What many runs need: with all that a train can have, and the plain ones that comparisons are made of."""
    from headstock.physics.fast_many import answer_many

    for vent_m2 in (0.0, 1e-6):
        answer_many([_run(vent_m2)] * FEWEST_ABREAST)


def _run(vent_m2: float) -> AirRun:
    from headstock.physics.air_run import AirRun
    from headstock.physics.pipe_network import Brake, Gate, GateSetting, Piece, PipeNetwork, Probe, ValveSetting

    brakes = tuple(Brake(at_m, 2e-3, 1e-6, 75e-3, 7e-6, True, 10e-3, 2.5, 3.8e5, 1.3, 7.5) for at_m in (5.0, 25.0))
    pieces = (Piece(LENGTH_M, 0.0254, 5e-5),)
    network = PipeNetwork(pieces, (Gate(LENGTH_M - 1.0, 3e-4),), (0.0, LENGTH_M), brakes)
    return AirRun(
        network, (GateSetting(0.0, 0.0, vent_m2),), (ValveSetting(7e5, 3e-5, PIPE_PA, 0.0), ValveSetting()), (), (),
        ((LENGTH_M, PIPE_PA),), (), (), (), 1.0, (Probe("front"),),
    )  # fmt: skip


def main() -> int:
    """Both halves, side by side; 0 if both could be compiled."""
    if len(sys.argv) > 1:
        {"alone": _alone, "abreast": _abreast}[sys.argv[1]]()
        return 0
    environment = {**os.environ, "HEADSTOCK_CACHE": str(CACHE)}
    halves = [subprocess.Popen([sys.executable, "-m", "tests.compiled", half], env=environment) for half in ("alone", "abreast")]
    return max(half.wait() for half in halves)


if __name__ == "__main__":
    sys.exit(main())
