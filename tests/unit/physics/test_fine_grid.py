"""What stands behind something else along the pipe stays behind it, however coarse the cells of the fine solver are."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import OutsideModelError
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import FineGrid, grid_of
from headstock.physics.pipe_network import (
    ATMOSPHERE_PA,
    SHUT,
    Brake,
    Change,
    Gate,
    GateSetting,
    Piece,
    PipeNetwork,
    Probe,
    ValveSetting,
    open_to_atmosphere,
)

LENGTH_M = 40.0
PLACES_M = st.lists(st.floats(0.01, LENGTH_M - 0.01), max_size=4)
BORE_M2 = 5e-4


def brake(at_m: float) -> Brake:
    return Brake(at_m, 2e-3, 1e-6, 75e-3, 7e-6, True, 10e-3, 2.5, 3.8e5, 1.3, 7.5)


def laid(gates: list[float], valves: list[float], brakes: list[float], cell_m: float) -> FineGrid:
    return grid_of(
        PipeNetwork(
            (Piece(LENGTH_M, 0.0254, 5e-5),), tuple(Gate(at_m, BORE_M2) for at_m in gates), tuple(valves),
            tuple(brake(at_m) for at_m in brakes),
        ), cell_m
    )  # fmt: skip


@given(PLACES_M, PLACES_M, PLACES_M, st.sampled_from((0.5, 2.0, 3.0)))
def test_things_keep_their_order_and_each_has_a_face_of_its_own(
    gates: list[float], valves: list[float], brakes: list[float], cell_m: float
) -> None:
    grid = laid(gates, valves, brakes, cell_m)
    placed = sorted(zip([*gates, *valves, *brakes], [*grid.gate_face, *grid.valve_face, *grid.brake_face], strict=True))
    assert all(0 < face < grid.cells for _, face in placed)
    assert len({face for _, face in placed}) == len(placed)
    assert all(face < beyond for (at_m, face), (beyond_m, beyond) in pairwise(placed) if at_m < beyond_m)
    # With room for all, nothing is moved further than by those that want the same place.
    assert all(abs(face * grid.cell_m - at_m) <= (len(placed) + 0.5) * grid.cell_m for at_m, face in placed)


@given(st.lists(st.integers(1, 19), unique=True, max_size=12))
def test_what_stands_alone_stands_where_it_is(faces: list[int]) -> None:
    grid = laid([2.0 * face for face in faces], [], [], 2.0)
    assert list(grid.gate_face) == faces


def test_valves_at_the_ends_stay_there() -> None:
    grid = laid([39.9, 0.1], [0.0, 39.95, LENGTH_M], [], 2.0)
    assert grid.valve_face == (0, 19, 20) and grid.gate_face == (18, 1)


def test_more_things_than_places_are_refused() -> None:
    with pytest.raises(OutsideModelError, match="more gates, valves and brakes than the 8 cells"):
        laid([5.0 * n for n in range(1, 8)], [], [20.0], 5.0)


@pytest.mark.parametrize("cell_m", [0.5, 2.0])
def test_a_tail_cock_shuts_off_the_opening_behind_it(cell_m: float) -> None:
    """The tail cock is opened and shut again; the feed then fills the pipe, as it cannot if the tail is still open."""
    grid = laid([39.2], [1.0, 38.6, 39.6], [], cell_m)
    feed = ValveSetting(7e5, 3e-5, 5e5 + ATMOSPHERE_PA, 0.0)
    start = still_air(grid, 5e5 + ATMOSPHERE_PA, 0.0, 0.0, 0.0, [GateSetting(0.0)],
                      [feed, SHUT, open_to_atmosphere(BORE_M2, ATMOSPHERE_PA)])  # fmt: skip
    timeline = [Change(1.0, 0, GateSetting(1.0)), Change(4.0, 0, GateSetting(0.0))]
    result = advance(grid, start, timeline, 60.0, "isothermal", [Probe("front"), Probe("valve", 1)], 0.25)
    assert result.at(3.9, 1) < 1e5 + ATMOSPHERE_PA
    assert [result.at(60.0, probe) for probe in (0, 1)] == pytest.approx([5e5 + ATMOSPHERE_PA] * 2, abs=0.1e5)
