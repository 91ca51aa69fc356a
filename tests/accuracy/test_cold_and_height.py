"""Air that has cooled, and air on a mountain: what a gauge then shows without any leak."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from headstock.physics.distributor import NO_GEAR
from headstock.physics.fast import mass_kg_fast
from headstock.physics.pipe_network import Change, Probe
from headstock.physics.volumes import equalised_pa, isothermal_emptying_time_s, leaked_down_pa, least_charging_time_s
from tests.accuracy.gear_bench import GRADUATED, TWO_PIPE, at_rest, feeds, gauge, lets_out, pa, train

boyle = pytest.mark.outside(source="closed form", clause="ideal gas law, shut volume", status="computed")
WARM_K, SEA_PA = 293.15, 101325.0


@boyle
@pytest.mark.parametrize(("colder_k", "fall_bar"), [(10.0, -0.205), (20.0, -0.410)])
def test_trapped_air_that_cools_falls_as_its_temperature_and_no_brake_goes_on(colder_k: float, fall_bar: float) -> None:
    # The solver keeps one temperature a run: two networks that hold the same kilograms, in pipe, chambers and reservoirs.
    warm = replace(train(replace(GRADUATED, leak_mm2=0.0), 3), ambient_k=WARM_K)
    cold = replace(warm, ambient_k=WARM_K - colder_k)
    held_kg = at_rest([warm], 5.0).state.first_mass_kg[0]
    found_bar = 5.0 + fall_bar
    stand = at_rest([cold], found_bar)
    bulbs_kg = sum(v.volume_m3 for v in cold.gear.vessels if v.opens == "applied") * SEA_PA / 287.05
    spare_kg = bulbs_kg * (1.0 / cold.ambient_k - 1.0 / WARM_K)  # bulbs stand open to the air: they do not count
    assert mass_kg_fast(stand.grid, stand.state)[0] - spare_kg == pytest.approx(held_kg, rel=2e-4)
    run = stand.run([[]], 300.0, [Probe("branch", 2), *(Probe("brake cylinder", k) for k in range(3))])
    assert gauge(run, 0)[-1] == pytest.approx(found_bar, abs=1e-6)
    assert max(gauge(run, k).max() for k in (1, 2, 3)) == 0.0


@boyle
def test_cold_air_is_denser_so_the_same_hole_lets_a_cold_pipe_fall_more_slowly() -> None:
    # Time constant V/(a 0.685 sqrt(R T)).
    falls = []
    for kelvin in (293.15, 253.15):
        network = replace(train(replace(GRADUATED, leak_mm2=0.0, bulb=None), 2), ambient_k=kelvin, gear=NO_GEAR)
        run = at_rest([network]).run([[Change(0.0, 0, lets_out(2e-6))]], 400.0, (Probe("branch", 1),))
        falls.append(float(np.interp(-3.0, -gauge(run), run.t_s)))
    assert falls[1] / falls[0] == pytest.approx((293.15 / 253.15) ** 0.5, rel=2e-3)


@pytest.mark.outside(source="fluids", clause="ATMOSPHERE_1976, 1500 m", status="computed")
def test_gauge_figures_of_equalising_are_the_same_on_a_mountain_and_those_of_flow_are_not() -> None:
    from fluids import ATMOSPHERE_1976

    high_pa = float(ATMOSPHERE_1976(1500).P)
    assert high_pa == pytest.approx(84559.7, abs=0.1)

    def full_service(outside_pa: float) -> float:
        return equalised_pa(5e5 + outside_pa, 2500.0, outside_pa, 1000.0) - outside_pa

    assert full_service(high_pa) == pytest.approx(full_service(SEA_PA), rel=1e-12) == pytest.approx(5e5 / 1.4, rel=1e-12)
    falls = [5e5 + outside_pa - leaked_down_pa(5e5 + outside_pa, 961.5, 60.0) for outside_pa in (SEA_PA, high_pa)]
    assert falls[1] / falls[0] == pytest.approx((5e5 + high_pa) / (5e5 + SEA_PA))
    empties = [isothermal_emptying_time_s(10.0, 5e5 + outside, 1e4 + outside, outside) for outside in (SEA_PA, high_pa)]
    assert empties[1] > empties[0]
    charges = [least_charging_time_s(0.5, 5e5, 1 / 60, outside) for outside in (SEA_PA, high_pa)]
    assert charges[1] / charges[0] == pytest.approx(SEA_PA / high_pa), "a compressor takes in thinner air"


@boyle
def test_a_reduction_is_the_same_in_gauge_terms_whatever_stands_under_it() -> None:
    # Distributors look at differences: everything 0.168 bar lower gives the same cylinder, while no reservoir is near it.
    got = []
    for lower_bar in (0.0, 0.16765):
        stand = at_rest([train(replace(TWO_PIPE, leak_mm2=0.0, bulb=None), 2)], 5.0 - lower_bar, 8.5 - lower_bar)
        moves = [Change(1.0, 0, lets_out(20e-6, 4.2 - lower_bar)), Change(40.0, 0, feeds(95e-6, 4.6 - lower_bar))]
        run = stand.run([moves], 120.0, (Probe("brake cylinder", 1), Probe("branch", 1)))
        got.append([float(np.interp(at, run.t_s, gauge(run))) for at in (39.0, 119.0)])
    assert got[0] == pytest.approx(got[1], abs=0.03) and got[0][0] > 1.5 and 0.5 < got[0][1] < 1.5
    assert pa(0.0) == SEA_PA
