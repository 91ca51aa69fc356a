"""Filling, emptying, leaking and joining of vessels, and flow by conductance, against closed forms and printed figures."""

from __future__ import annotations

from math import exp, pi, sqrt

import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.conductance import conductance_flow_kg_s, nozzle_area_m2
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.volumes import (
    adiabatic_emptying_time_s,
    equalised_pa,
    filled_temperature_k,
    flow_of_drop_kg_s,
    isothermal_emptying_time_s,
    isothermal_filling_time_s,
    leak_area_of_drop_m2,
    leaked_down_pa,
    least_charging_time_s,
    rebounded_pa,
    time_constant_s,
)
from tests.accuracy import exact_vessels as exact

closed_form = pytest.mark.outside(
    source="closed form", clause="vessel and nozzle", status="computed", why="given to the last digit shown"
)
iso_6358 = pytest.mark.outside(source="ISO 6358", clause="flow by conductance and critical ratio", status="second-hand",
                               why="given to six decimals; integrated by steps")  # fmt: skip
FULL, AIR, T = 601325.0, 101325.0, 293.15
HOLE = pi / 4 * 0.01**2
TAU = 6.410119
PSI_PA = 6894.757293168


@closed_form
def test_a_vessel_s_time_constant_is_the_printed_one() -> None:
    assert time_constant_s(0.1, HOLE, T) == pytest.approx(TAU, abs=1e-6)
    assert time_constant_s(0.15, pi / 4 * 0.001**2, T) == pytest.approx(961.5, abs=0.05)


@closed_form
@pytest.mark.parametrize(
    ("to_pa", "isothermal", "adiabatic", "rebounded"),
    [(451325.0, 1.83937, 1.34114, 489886.0), (301325.0, 4.42905, 3.32501, 367088.0), (191801.0, 7.32470, 5.68317, 265851.0)],
)
def test_a_choked_vessel_empties_in_the_printed_time_and_rebounds(
    to_pa: float, isothermal: float, adiabatic: float, rebounded: float
) -> None:
    assert isothermal_emptying_time_s(TAU, FULL, to_pa, AIR) == pytest.approx(isothermal, abs=1.1e-5)
    assert adiabatic_emptying_time_s(TAU, FULL, to_pa) == pytest.approx(adiabatic, abs=1.1e-5)
    assert rebounded_pa(FULL, to_pa) == pytest.approx(rebounded, abs=1.0)


@closed_form
def test_the_end_of_an_emptying_is_reached_in_finite_time() -> None:
    edge = 191801.0
    assert isothermal_emptying_time_s(TAU, edge, 106325.0, AIR) == pytest.approx(4.54769, abs=2e-5)
    assert isothermal_emptying_time_s(TAU, FULL, 106325.0, AIR) == pytest.approx(11.87238, abs=2e-5)
    assert isothermal_emptying_time_s(TAU, edge, AIR, AIR) == pytest.approx(5.92738, abs=2e-5)
    assert isothermal_emptying_time_s(TAU, edge, AIR, AIR) == pytest.approx(exact.isothermal_emptying(edge, AIR, TAU), rel=1e-6)


@closed_form
def test_a_vessel_fills_in_the_printed_time_and_warms() -> None:
    supply = 1001325.0
    assert isothermal_filling_time_s(TAU, AIR, supply * exact.CRITICAL, supply) == pytest.approx(2.73770, abs=1.1e-5)
    assert isothermal_filling_time_s(TAU, AIR, FULL, supply) == pytest.approx(3.20261, abs=1.1e-5)
    assert isothermal_filling_time_s(TAU, AIR, supply, supply) == pytest.approx(7.47859, abs=1.1e-5)
    assert isothermal_filling_time_s(TAU, AIR, 9e5, supply) == pytest.approx(
        exact.isothermal_filling(AIR, 9e5, supply, TAU), rel=1e-6
    )
    for to_pa, warm, cooled in ((FULL, 384.495, 458468.0), (supply, 394.444, 744182.0)):
        assert filled_temperature_k(AIR, to_pa, T) == pytest.approx(warm, abs=6e-4)
        assert to_pa * T / filled_temperature_k(AIR, to_pa, T) == pytest.approx(cooled, abs=1.0)


@pytest.mark.outside(source="fluids", clause="isentropic_T_rise_compression", status="computed")
def test_the_air_left_behind_is_as_cold_as_the_library_says() -> None:
    from fluids import isentropic_T_rise_compression

    cold = isentropic_T_rise_compression(T1=T, P1=FULL, P2=451325.0, k=1.4)
    assert 451325.0 * T / cold == pytest.approx(rebounded_pa(FULL, 451325.0), rel=1e-12)


@closed_form
def test_pressures_out_of_order_are_refused() -> None:
    for wrong in (
        lambda: isothermal_emptying_time_s(TAU, 2e5, 3e5, AIR),
        lambda: isothermal_emptying_time_s(TAU, 3e5, 9e4, AIR),
        lambda: isothermal_filling_time_s(TAU, AIR, 7e5, 6e5),
        lambda: adiabatic_emptying_time_s(TAU, 2e5, 3e5),
    ):
        with pytest.raises(OutsideModelError, match="expected the first above 0"):
            wrong()


@closed_form
@pytest.mark.parametrize(
    ("gauge_psi", "with_one", "with_two"),
    [(70, 50.0, 60.0), (80, 57.1, 68.6), (90, 64.3, 77.1), (100, 71.4, 85.7), (110, 78.6, 94.3)],
)
def test_a_reservoir_equalises_into_a_cylinder_as_boyle_says(gauge_psi: float, with_one: float, with_two: float) -> None:
    for volume, expected in ((2500.0, with_one), (6000.0, with_two)):
        both = equalised_pa(gauge_psi + 14.696, volume, 14.696, 1000.0)
        assert both - 14.696 == pytest.approx(expected, abs=0.051)


@closed_form
@pytest.mark.parametrize(("litres", "flow_g_s", "bore_mm"), [(100, 0.079, 0.267), (150, 0.119, 0.326), (250, 0.198, 0.422)])
def test_a_fall_of_a_fifth_of_a_bar_in_five_minutes_is_a_hole_of_so_much(litres: float, flow_g_s: float, bore_mm: float) -> None:
    volume = litres / 1000
    assert flow_of_drop_kg_s(volume, 2e4, 300.0, T) * 1000 == pytest.approx(flow_g_s, abs=6e-4)
    assert sqrt(leak_area_of_drop_m2(volume, FULL, 2e4, 300.0, T) * 4 / pi) * 1000 == pytest.approx(bore_mm, abs=6e-4)


@closed_form
def test_leaks_are_the_printed_ones() -> None:
    assert leaked_down_pa(FULL, 961.5, 60.0) == pytest.approx(FULL * exp(-60 / 961.5))
    assert FULL - leaked_down_pa(FULL, 961.5, 60.0) == pytest.approx(36400.0, abs=50)
    for litres, flow in ((100, 0.683), (150, 1.024), (250, 1.707)):
        assert flow_of_drop_kg_s(litres / 1000, 5 * PSI_PA, 60.0, T) * 1000 == pytest.approx(flow, abs=6e-4)


@closed_form
@pytest.mark.parametrize(("m3_min", "minutes"), [(1.0, 2.47), (0.5, 4.93)])
def test_a_compressor_takes_at_least_so_long(m3_min: float, minutes: float) -> None:
    assert least_charging_time_s(0.5, 5e5, m3_min / 60, AIR) / 60 == pytest.approx(minutes, abs=0.006)


@iso_6358
@pytest.mark.parametrize(
    ("down_pa", "flow"), [(101325, 0.0712570), (300000, 0.0683200), (401325, 0.0606532), (501325, 0.0461084), (581325, 0.0217037)]
)
def test_a_conductance_passes_the_printed_flow(down_pa: float, flow: float) -> None:
    assert conductance_flow_kg_s(1e-7, 0.3, FULL, down_pa, T) == pytest.approx(flow, abs=6e-8)


@iso_6358
def test_a_conductance_passes_nothing_uphill_and_stands_for_a_nozzle() -> None:
    assert conductance_flow_kg_s(1e-7, 0.3, FULL, FULL, T) == 0.0
    assert nozzle_area_m2(1e-8) * 1e6 == pytest.approx(5.02, abs=6e-3)
    for t in (253.15, 313.15):
        assert mass_flow_kg_s(nozzle_area_m2(1e-7), FULL, AIR, t) == pytest.approx(
            conductance_flow_kg_s(1e-7, 0.3, FULL, AIR, t), rel=1e-12
        )


def _time_by_steps(volume: float, flow, from_pa: float, to_pa: float) -> float:  # type: ignore[no-untyped-def]
    """Time of dp/dt = R T flow(p)/V from one pressure to another, by integration of the product's flow."""
    low, high = sorted((from_pa, to_pa))
    return volume / (exact.R_AIR * T) * exact.integral(lambda p: 1 / flow(p), low, high)


@iso_6358
@pytest.mark.parametrize(
    ("to_pa", "time"), [(301325, 0.841070), (401325, 1.299391), (501325, 1.851350), (551325, 2.222294), (601325, 3.086395)]
)
def test_a_vessel_fills_through_a_conductance_in_the_printed_time(to_pa: float, time: float) -> None:
    tau = 2.507115
    assert exact.conductance_fill(AIR / FULL, to_pa / FULL, 0.3, tau) == pytest.approx(time, abs=2e-6)
    stepped = _time_by_steps(0.025, lambda p: conductance_flow_kg_s(1e-7, 0.3, FULL, p, T), AIR, to_pa)
    assert stepped == pytest.approx(time, rel=1e-4)


@iso_6358
@pytest.mark.parametrize(
    ("to_pa", "time"), [(451325, 2.877645), (337750, 5.784712), (201325, 11.039604), (121325, 17.110563), (106325, 19.704260)]
)
def test_a_vessel_empties_through_a_conductance_in_the_printed_time(to_pa: float, time: float) -> None:
    tau = 0.1 / (exact.R_AIR * T * 1e-7 * exact.RHO_0)
    assert exact.conductance_discharge(FULL / AIR, to_pa / AIR, 0.3, tau) == pytest.approx(time, abs=3e-6)
    stepped = _time_by_steps(0.1, lambda p: conductance_flow_kg_s(1e-7, 0.3, p, AIR, T), FULL, to_pa)
    assert stepped == pytest.approx(time, rel=1e-4)
