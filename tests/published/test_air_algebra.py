"""Formulas of air against values found elsewhere: wave speeds, choked nozzles, friction factors, equalising volumes."""

from __future__ import annotations

from math import log10, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.physics.friction import darcy_factor
from headstock.physics.gas import (
    adiabatic_wave_speed_m_s,
    conductivity_w_m_k,
    density_kg_m3,
    isothermal_wave_speed_m_s,
    viscosity_pa_s,
)
from headstock.physics.orifice import CHOKED_COEFFICIENT, CRITICAL_RATIO, flow_function, mass_flow_kg_s

closed_form = pytest.mark.outside(source="closed form", clause="ideal gas, isentropic nozzle", status="computed",
                                  why="given to the last digit shown")  # fmt: skip
ROUGHNESS = 0.046 / 32.0


@closed_form
@pytest.mark.parametrize(
    ("temperature_k", "adiabatic", "isothermal"),
    [(253.15, 318.96, 269.57), (273.15, 331.32, 280.01), (293.15, 343.23, 290.08), (313.15, 354.75, 299.82)],
)
def test_waves_run_at_the_speed_of_sound_or_of_gas_that_keeps_its_temperature(
    temperature_k: float, adiabatic: float, isothermal: float
) -> None:
    assert adiabatic_wave_speed_m_s(temperature_k) == pytest.approx(adiabatic, abs=0.006)
    assert isothermal_wave_speed_m_s(temperature_k) == pytest.approx(isothermal, abs=0.006)


@pytest.mark.outside(source="independent integration", clause="real air, properties library, 293.15 K", status="computed",
                     why="real air is no ideal gas")  # fmt: skip
def test_an_ideal_gas_is_near_enough_to_air() -> None:
    assert adiabatic_wave_speed_m_s(293.15) == pytest.approx(343.869, rel=4e-3)
    assert density_kg_m3(601325.0, 293.15) == pytest.approx(7.1614, rel=4e-3)


@closed_form
@pytest.mark.parametrize(
    ("bore_mm", "flow_kg_s"),
    [(0.5, 0.000279), (1, 0.001115), (3, 0.010033), (5, 0.027870), (8, 0.071347), (10, 0.111480), (12, 0.160531), (25, 0.696748)],
)
def test_a_choked_nozzle_passes_what_the_closed_form_says(bore_mm: float, flow_kg_s: float) -> None:
    area_m2 = pi / 4 * (bore_mm / 1000) ** 2
    assert mass_flow_kg_s(area_m2, 601325.0, 101325.0, 293.15) == pytest.approx(flow_kg_s, abs=6e-7)


@pytest.mark.outside(
    source="fluids", clause="P_critical_flow, is_critical_flow", status="computed", why="given to the last digit shown"
)
def test_the_flow_is_choked_below_the_critical_ratio() -> None:
    assert pytest.approx(317669.05, abs=0.1) == CRITICAL_RATIO * 601325.0
    assert pytest.approx(0.68473146, abs=1e-8) == CHOKED_COEFFICIENT
    assert flow_function(101325 / 601325) == CHOKED_COEFFICIENT
    assert flow_function(400000 / 601325) < CHOKED_COEFFICIENT


@closed_form
@given(st.floats(min_value=0.0, max_value=1.0), st.floats(min_value=0.0, max_value=1.0))
def test_a_lower_back_pressure_never_lessens_the_flow(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert flow_function(low) >= flow_function(high) - 1e-12
    assert flow_function(high) >= 0.0


@pytest.mark.outside(source="fluids", clause="friction.Haaland", status="computed")
@pytest.mark.parametrize(
    ("reynolds", "factor"), [(4e3, 0.041600), (1e4, 0.032776), (3e4, 0.026625), (1e5, 0.023383), (3e5, 0.022199), (1e6, 0.021741)]
)
def test_the_friction_factor_is_the_library_s(reynolds: float, factor: float) -> None:
    assert darcy_factor(reynolds, ROUGHNESS) == pytest.approx(factor, abs=6e-7)


@closed_form
@given(st.floats(min_value=4e3, max_value=1e7), st.floats(min_value=1e-6, max_value=0.01))
def test_the_friction_factor_is_within_two_per_cent_of_colebrook(reynolds: float, roughness: float) -> None:
    factor = 0.02
    for _ in range(60):
        factor = (-2 * log10(roughness / 3.7 + 2.51 / (reynolds * factor**0.5))) ** -2
    assert darcy_factor(reynolds, roughness) == pytest.approx(factor, rel=0.02)


@closed_form
def test_laminar_flow_and_the_passage_to_turbulent_have_no_step() -> None:
    assert darcy_factor(1000.0, ROUGHNESS) == pytest.approx(0.064)
    for edge in (2300.0, 4000.0):
        assert darcy_factor(edge * (1 - 1e-9), ROUGHNESS) == pytest.approx(darcy_factor(edge * (1 + 1e-9), ROUGHNESS), rel=1e-6)


@pytest.mark.outside(source="common practice, no source", clause="air tables, 20 C", status="common practice", why="a fitted law")
def test_viscosity_and_conductivity_are_those_of_tables() -> None:
    assert viscosity_pa_s(293.15) == pytest.approx(1.813e-5, rel=0.01)
    assert conductivity_w_m_k(293.15) == pytest.approx(0.0257, rel=0.02)
