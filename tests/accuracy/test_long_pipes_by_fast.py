"""Long pipes by the fast solver with a constant friction factor: similarity, leaks, and runs made by other schemes.

The factor is made constant without touching the kernels: all friction is a loss spread over the pipe, and the wall has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil

import numpy as np
import pytest

from headstock.physics.fast import CLOSE_STEPS, FastResult, advance_fast, still_air_fast
from headstock.physics.fast_grid import FastGrid, fast_grid_of
from headstock.physics.pipe_network import SHUT, Brake, Piece, PipeNetwork, Probe, ValveSetting, open_to_atmosphere
from headstock.physics.volumes import time_constant_s
from tests.accuracy.air_bench import BORE_M, FULL_PA, LOW_PA, R_AIR, WARM_K
from tests.accuracy.exact_pipes import area_of, leak_share, pressures_past_leaks
from tests.accuracy.exact_vessels import CHOKED

other_code = pytest.mark.outside(
    source="independent integration", clause="isothermal pipe with friction, other schemes", status="computed"
)
closed_form = pytest.mark.outside(
    source="closed form", clause="leaks along a pipe, isothermal with the logarithm", status="computed"
)
HOLE, FACTOR, ENDS = area_of(0.01), 0.02, (Probe("front"), Probe("rear"))
STEP_PA = 551325.0


def pipe(length_m: float, factor: float, bore_m: float, places: Sequence[float] = (), leak_m2: float = 0.0) -> FastGrid:
    """A pipe between two valves; three cells to each of so many places, which leak."""
    brakes = tuple(Brake(at, 0, 0, 0, 0, False, 0, 0, 0, 1, 1, leak_m2) for at in places)
    grid = fast_grid_of(
        [PipeNetwork((Piece(length_m, bore_m, 0.0, factor / bore_m * length_m),), (), (0.0, length_m), brakes, WARM_K)]
    )
    half = factor / bore_m * np.diff(grid.edges_m)[[0, -1], None] / 2 * grid.rt / area_of(bore_m) ** 2
    return replace(grid, wall=np.zeros_like(grid.wall), half=half)


def even(length_m: float, count: int) -> list[float]:
    """The middles of so many equal lengths."""
    return [(k + 0.5) * length_m / count for k in range(count)]


def run(grid: FastGrid, start_pa: float, head: ValveSetting, until_s: float, probes: Sequence[Probe] = ENDS) -> FastResult:
    state = still_air_fast(grid, start_pa, 0.0, 0.0, 0.0, ((),), ((head, SHUT),))
    return advance_fast(grid, state, ((),), until_s, probes, CLOSE_STEPS._replace(first_s=0.002, tolerance_pa=20.0))


def when(result: FastResult, probe: int, level_pa: float) -> float:
    """First time [s] at which a probe passes a level, either way."""
    y = result.readings_pa[:, probe, 0] - level_pa
    first = int(np.nonzero(np.sign(y[1:]) != np.sign(y[0]))[0][0])
    return float(result.t_s[first] + y[first] / (y[first] - y[first + 1]) * (result.t_s[first + 1] - result.t_s[first]))


def shares(start_pa: float, to_pa: float, wanted: Sequence[float], length_m: float = 8000.0, factor: float = FACTOR,
           bore_m: float = BORE_M, until: float = 0.2) -> list[float]:  # fmt: skip
    """Times at which the far end has made so much of its way, over L^1.5 sqrt(f/(D R T)), the head held from the start on."""
    scale_s = length_m**1.5 * (factor / (bore_m * R_AIR * WARM_K)) ** 0.5
    held = ValveSetting(to_pa, 5e-3, np.inf, 5e-3, to_pa, 2e3)
    grid = pipe(length_m, factor, bore_m, even(length_m, ceil(length_m / 20.0)))
    result = run(grid, start_pa, held, until * scale_s)
    return [when(result, 1, start_pa + share * (to_pa - start_pa)) / scale_s for share in wanted]


@other_code
@pytest.mark.parametrize(
    ("start_pa", "to_pa", "wanted"),
    [
        (FULL_PA, STEP_PA, {0.5: 0.0811, 0.6: 0.0968, 0.9: 0.1629}),
        (LOW_PA, FULL_PA, {0.1: 0.1396, 0.5: 0.3209, 0.9: 0.5708, 0.95: 0.6299, 0.99: 0.7084}),
        (FULL_PA, LOW_PA, {0.1: 0.0901, 0.5: 0.3455, 0.9: 0.8458, 0.95: 0.9821, 0.99: 1.1700}),
    ],
    ids=["service step", "charge", "empty"],
)
def test_the_far_end_of_eight_kilometres_moves_as_the_similar_solution(
    start_pa: float, to_pa: float, wanted: dict[float, float]
) -> None:
    found = shares(start_pa, to_pa, list(wanted), until=1.1 * max(wanted.values()))
    assert found == pytest.approx(list(wanted.values()), rel=0.015)


@other_code
def test_two_kilometres_answer_a_service_step_as_another_scheme_with_inertia_says() -> None:
    found = shares(FULL_PA, STEP_PA, (0.1, 0.5, 0.6, 0.9), 2000.0)
    assert found[1:] == pytest.approx((0.0838, 0.0992, 0.1628), rel=0.01)
    assert found[0] == pytest.approx(0.0320, rel=0.02), "the front itself: cells of 7 m"


@other_code
@pytest.mark.parametrize(("length_m", "factor", "bore_m"), [(8000.0, 0.08, 0.032), (8000.0, 0.02, 0.016), (16000.0, 0.02, 0.032)])
def test_every_time_goes_with_the_length_to_1_5_the_root_of_friction_and_the_root_of_the_bore_under_it(
    length_m: float, factor: float, bore_m: float
) -> None:
    changed = shares(FULL_PA, STEP_PA, (0.5, 0.6, 0.9), length_m, factor, bore_m)
    assert changed == pytest.approx(shares(FULL_PA, STEP_PA, (0.5, 0.6, 0.9)), rel=0.01)


def short(start_pa: float, head: ValveSetting, until_s: float) -> FastResult:
    """160 m in cells of under 2 m."""
    return run(pipe(160.0, FACTOR, BORE_M, even(160.0, 32)), start_pa, head, until_s)


@other_code
def test_a_head_that_exhausts_through_a_nozzle_empties_both_ends_in_the_known_times() -> None:
    result = short(FULL_PA, open_to_atmosphere(HOLE), 7.0)
    assert [when(result, 1, FULL_PA - fall) for fall in (1.5e5, 3e5)] == pytest.approx([2.6667, 6.1875], rel=0.01)
    assert [when(result, 0, FULL_PA - fall) for fall in (1.5e5, 3e5)] == pytest.approx([2.032, 5.554], rel=0.01)


@other_code
def test_a_dead_section_opened_fully_is_silent_after_the_known_times() -> None:
    result = short(FULL_PA, open_to_atmosphere(area_of(BORE_M)), 5.5)
    found = [when(result, 1, FULL_PA - fall) for fall in (1.5e5, 3e5, 4.5e5)]
    assert found == pytest.approx([1.3031, 2.5830, 4.9208], rel=0.03)
    # Friction makes it four times as long as the volume behind a cock of 25 mm alone would have it.
    for length_m, tau_s in ((40.0, 0.33), (80.0, 0.66), (160.0, 1.32)):
        assert time_constant_s(length_m * area_of(BORE_M), area_of(0.025), WARM_K) == pytest.approx(tau_s, abs=0.006)


@other_code
def test_an_empty_pipe_charged_through_a_nozzle_fills_in_the_known_times() -> None:
    result = short(LOW_PA, ValveSetting(FULL_PA, HOLE), 8.5)
    assert [when(result, 1, LOW_PA + rise) for rise in (2.5e5, 4.5e5, 4.75e5)] == pytest.approx([3.691, 7.064, 7.789], rel=0.01)


@closed_form
@pytest.mark.parametrize("leaks", [1, 2, 8, 100])
def test_leaks_at_the_ends_of_equal_sections_cost_what_the_exact_law_says(leaks: int) -> None:
    # 0.02 kg/s out of 160 m of 32 mm, f = 0.03: all at the far end 65.26 mbar, spread evenly a third of p1^2 - p2^2.
    length_m, flow_kg_s, factor = 160.0, 0.02, 0.03
    places = [(k + 1) * length_m / leaks for k in range(leaks)]
    each_m2 = flow_kg_s / leaks / (FULL_PA * CHOKED / (R_AIR * WARM_K) ** 0.5)
    grid = pipe(length_m + 1.0, factor, BORE_M, places, each_m2)
    feed = ValveSetting(FULL_PA + 2e5, 1e-4, FULL_PA + 1e3)
    result = run(grid, FULL_PA, feed, 120.0, (Probe("front"), Probe("branch", leaks - 1)))
    head_pa, rear_pa = result.readings_pa[-1, :, 0]
    inlet = float(result.state.now[1][0, 0])
    takes = [each_m2 * CHOKED / (R_AIR * WARM_K) ** 0.5] * leaks
    exact_pa, exact_kg_s = pressures_past_leaks(float(head_pa), places, takes, factor / BORE_M, BORE_M, WARM_K)
    assert inlet == pytest.approx(exact_kg_s, rel=1e-3)
    assert head_pa - rear_pa == pytest.approx(head_pa - exact_pa[-1], rel=0.02)
    whole = factor * length_m / BORE_M * R_AIR * WARM_K * (inlet / area_of(BORE_M)) ** 2
    assert (head_pa**2 - rear_pa**2) / whole == pytest.approx(leak_share(leaks), rel=0.03)
    if leaks == 1:
        assert (head_pa - rear_pa) * (flow_kg_s / inlet) ** 2 == pytest.approx(6526.0, rel=0.02)
