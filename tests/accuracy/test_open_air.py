"""The pressure outside belongs to a run: closed forms at a height, gauge figures that must not move, lanes at several heights."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from headstock.brake_test.forecast import HEALTHY, predict_readings
from headstock.compute.kept_runs import KeptRuns
from headstock.physics.atmosphere import standard_atmosphere_pa
from headstock.physics.fast import advance_fast, still_air_fast
from headstock.physics.fast_grid import fast_grid_of
from headstock.physics.fine import advance, still_air
from headstock.physics.fine_grid import grid_of
from headstock.physics.pipe_network import SHUT, Brake, Change, Piece, PipeNetwork, Probe, open_to_atmosphere
from headstock.physics.volumes import equalised_pa, isothermal_emptying_time_s
from headstock.usecases.forecast_job import train_under_test
from tests.accuracy.gear_bench import BAR, DIRECT, GRADUATED, Kind, at_rest, feeds, lets_out, train
from tests.cases.jobs import DEMO, planned

SEA_PA, HIGH_PA = 101325.0, 84559.7
LEAK_M2 = 2e-6
closed = pytest.mark.outside(source="closed form", clause="isothermal emptying of a vessel", status="computed")


@pytest.mark.outside(source="fluids", clause="ATMOSPHERE_1976", status="computed")
@pytest.mark.parametrize("height_m", [-430.0, 0.0, 320.0, 1500.0, 2500.0, 5500.0])
def test_the_standard_atmosphere_is_that_of_an_independent_library(height_m: float) -> None:
    from fluids import ATMOSPHERE_1976

    assert standard_atmosphere_pa(height_m) == pytest.approx(float(ATMOSPHERE_1976(height_m).P), rel=1e-9)
    assert standard_atmosphere_pa(1500.0) == pytest.approx(HIGH_PA, abs=0.1)
    assert standard_atmosphere_pa(0.0) == SEA_PA, "where nothing is said, to the last bit"


def leaking(outside_pa: float) -> PipeNetwork:
    """A short pipe with two holes."""
    holes = tuple(Brake(at_m, 0.0, 0.0, 0.0, 0.0, False, 0.001, 0.0, 0.0, 1.0, 1.0, LEAK_M2 / 2) for at_m in (5.0, 15.0))
    return PipeNetwork((Piece(20.0, 0.0254, 5e-5),), valves_at_m=(0.0, 20.0), brakes=holes, atmosphere_pa=outside_pa)


@closed
@pytest.mark.parametrize("outside_pa", [SEA_PA, HIGH_PA, 54048.3])
def test_a_pipe_empties_down_to_the_air_that_is_there_as_the_closed_form_says(outside_pa: float) -> None:
    network, start_pa = leaking(outside_pa), 5.0 * BAR + outside_pa
    rt = 287.05 * 288.15
    tau_s = network.pieces[0].area_m2 * 20.0 / (LEAK_M2 * 0.684731456 * rt**0.5)
    exact_s = isothermal_emptying_time_s(tau_s, start_pa, 0.05 * BAR + outside_pa, outside_pa)
    grid, fine_grid, probes = fast_grid_of([network]), grid_of(network, 0.5), (Probe("branch", 0),)
    still = still_air_fast(grid, start_pa, outside_pa, outside_pa, 0.0, ((),), ((SHUT, SHUT),))
    fast = advance_fast(grid, still, [[]], 1.5 * exact_s, probes)
    fine = advance(fine_grid, still_air(fine_grid, start_pa, 0.0, 0.0, 0.0), (), 1.5 * exact_s, "isothermal", probes, 0.1)
    for t_s, read_pa in ((fast.t_s, fast.readings_pa[:, 0, 0]), (fine.t_s, fine.readings_pa[:, 0])):
        found_s = float(np.interp(-0.05 * BAR - outside_pa, -read_pa, t_s))
        assert found_s == pytest.approx(exact_s, rel=5e-3)
        assert read_pa[-1] == pytest.approx(outside_pa, abs=0.01 * BAR)


@pytest.mark.outside(source="closed form", clause="a charged train at rest, Boyle-Mariotte", status="computed")
@pytest.mark.parametrize("kind", [GRADUATED, DIRECT])
def test_an_application_has_the_same_gauge_figures_at_any_height_once_it_has_settled(kind: Kind) -> None:
    # Distributors compare; reservoir and cylinder share what they hold above the air outside: no gauge figure knows the height.
    shown = []
    for outside_pa in (SEA_PA, HIGH_PA):
        off_pa = outside_pa - SEA_PA
        network = replace(train(replace(kind, leak_mm2=0.0), 3), atmosphere_pa=outside_pa)
        stand = at_rest([network], 5.0 + off_pa / BAR)
        out = replace(lets_out(20e-6, 4.5), exhaust_to_pa=4.5 * BAR + outside_pa)
        back = replace(feeds(95e-6), supply_pa=8.5 * BAR + outside_pa, feed_to_pa=4.7 * BAR + outside_pa)
        moves = [Change(1.0, 0, out), Change(60.0, 0, back)]
        run = stand.run([moves], 150.0, (Probe("brake cylinder", 1), Probe("branch", 1)))
        shown.append(
            [(np.interp(at, run.t_s, run.readings_pa[:, k, 0]) - outside_pa) / BAR for at in (59.0, 149.0) for k in (0, 1)]
        )
    assert shown[1] == pytest.approx(shown[0], abs=0.02), "a trace of what bulbs take"
    assert shown[0][0] > 0.8 and shown[0][1] == pytest.approx(4.45, abs=0.08)


@pytest.mark.outside(
    source="common practice, no source", clause="gauges show what stands above the air outside", status="common practice"
)
def test_a_forecast_at_a_height_reads_the_same_on_its_gauges() -> None:
    tested = train_under_test(planned(DEMO, by_air=True))
    assert tested is not None and tested.outside_pa == SEA_PA
    low, high = (predict_readings(replace(tested, outside_pa=pa), (), KeptRuns()) for pa in (SEA_PA, HIGH_PA))
    for here, there in zip(low.cases[0].readings, high.cases[0].readings, strict=True):
        assert there.within == here.within and there.shows_bar == pytest.approx(here.shows_bar, abs=0.03), here.name
    assert low.cases[0].name == HEALTHY and low.cases[0].rear_bar != high.cases[0].rear_bar, "the flow between is not the same"


@pytest.mark.outside(source="closed form", clause="equalisation of two volumes, Boyle-Mariotte", status="computed")
@pytest.mark.parametrize("outside_pa", [SEA_PA, HIGH_PA, 54048.3])
def test_an_emptied_pipe_shares_out_reservoir_and_cylinder_above_the_air_that_is_there(outside_pa: float) -> None:
    network = replace(train(replace(DIRECT, leak_mm2=0.0, bulb=None), 2), atmosphere_pa=outside_pa)
    stand = at_rest([network], 5.0 + (outside_pa - SEA_PA) / BAR)
    run = stand.run([[Change(1.0, 0, lets_out(400e-6))]], 60.0, (Probe("brake cylinder", 1),))
    shared_pa = equalised_pa(5.0 * BAR + outside_pa, DIRECT.reservoir[0], outside_pa, DIRECT.cylinder_l)
    assert (run.readings_pa[-1, 0, 0] - outside_pa) / BAR == pytest.approx((shared_pa - outside_pa) / BAR, abs=0.01)


def test_lanes_at_several_heights_are_what_each_is_alone() -> None:
    heights = [SEA_PA, HIGH_PA, 54048.3]
    networks, probes = [leaking(pa) for pa in heights], (Probe("branch", 0), Probe("rear"), Probe("cylinder", 0))

    def ran(places: list[int]) -> list[NDArray[np.float64]]:
        grid = fast_grid_of([networks[n] for n in places])
        outside = np.array([heights[n] for n in places])
        still = still_air_fast(
            grid, 3.0 * BAR + outside, outside, outside, 0.0, ((),) * len(places), ((SHUT, SHUT),) * len(places)
        )
        lines = [[Change(0.5, 1, open_to_atmosphere(1e-5, heights[n]))] for n in places]
        result = advance_fast(grid, still, lines, 30.0, probes)
        return [result.readings_pa[: result.lane_steps[w] + 1, :, w] for w in range(len(places))]

    for one, n in zip(ran([0, 1, 2]), range(3), strict=True):
        assert np.array_equal(one, ran([n, n])[0])
        assert one[-1, 1] == pytest.approx(heights[n], abs=200.0) and one[-1, 2] == heights[n]
