"""Steady flow in pipes and what leaks cost, against closed forms, printed figures and general libraries."""

from __future__ import annotations

from math import sqrt

import pytest

from headstock.base.errors import OutsideModelError
from headstock.physics.gas import adiabatic_wave_speed_m_s, density_kg_m3, viscosity_pa_s
from headstock.physics.orifice import mass_flow_kg_s
from headstock.physics.steady_pipe import choking_pressure_pa, leak_gradient_pa, leak_share, pipe_flux_kg_m2_s
from tests.accuracy import exact_pipes as exact

closed_form = pytest.mark.outside(
    source="closed form", clause="steady pipe flow", status="computed", why="given to the last digit shown"
)
FULL, T = 601325.0, 293.15
AREA = exact.area_of(0.032)
RESISTANCE = 0.022 * 100 / 0.032


@pytest.mark.outside(source="CoolProp", clause="PropsSI of Air: A, D, V", status="computed", why="real air is no ideal gas")
@pytest.mark.parametrize("pressure_pa", [101325.0, 601325.0, 1101325.0])
def test_the_ideal_gas_is_within_half_a_per_cent_of_real_air(pressure_pa: float) -> None:
    from CoolProp.CoolProp import PropsSI

    assert adiabatic_wave_speed_m_s(T) == pytest.approx(PropsSI("A", "P", pressure_pa, "T", T, "Air"), rel=4e-3)
    assert density_kg_m3(pressure_pa, T) == pytest.approx(PropsSI("D", "P", pressure_pa, "T", T, "Air"), rel=4e-3)
    assert viscosity_pa_s(T) == pytest.approx(PropsSI("V", "P", pressure_pa, "T", T, "Air"), rel=0.02)


@pytest.mark.outside(
    source="CoolProp",
    clause="largest flux along the isentrope of Air",
    status="computed",
    why="real air is no ideal gas; the search steps",
)
def test_a_choked_nozzle_is_within_a_third_of_a_per_cent_of_real_air() -> None:
    from CoolProp.CoolProp import PropsSI

    s, h = (PropsSI(name, "P", FULL, "T", T, "Air") for name in ("S", "H"))
    flux = 0.0
    for step in range(40):
        p = FULL * (0.50 + 0.0015 * step)
        fall = h - PropsSI("H", "P", p, "S", s, "Air")
        flux = max(flux, PropsSI("D", "P", p, "S", s, "Air") * sqrt(2 * fall))
    assert flux == pytest.approx(1423.21, abs=0.05)
    assert mass_flow_kg_s(1.0, FULL, 101325.0, T) == pytest.approx(flux, rel=3e-3)


@pytest.mark.outside(source="fluids", clause="P_critical_flow, is_critical_flow, T_critical_flow", status="computed")
def test_the_library_chokes_where_the_nozzle_does() -> None:
    from fluids import P_critical_flow, is_critical_flow

    edge = P_critical_flow(FULL, 1.4)
    assert mass_flow_kg_s(1.0, FULL, edge * 0.999, T) == mass_flow_kg_s(1.0, FULL, 101325.0, T)
    assert mass_flow_kg_s(1.0, FULL, edge * 1.02, T) < mass_flow_kg_s(1.0, FULL, 101325.0, T)
    assert is_critical_flow(FULL, 101325, 1.4) and not is_critical_flow(FULL, 400000, 1.4)


@pytest.mark.outside(source="fluids", clause="isothermal_gas, P_isothermal_critical_flow", status="computed")
@pytest.mark.parametrize(("outlet_pa", "length_m"), [(551325.0, 100.0), (301325.0, 20.0), (590000.0, 400.0)])
def test_the_steady_law_of_a_pipe_is_the_library_s(outlet_pa: float, length_m: float) -> None:
    from fluids import P_isothermal_critical_flow, isothermal_gas

    resistance = 0.022 * length_m / 0.032
    # The library wants the density at the inlet there, whatever it calls it.
    flow = isothermal_gas(rho=FULL / exact.R_AIR / T, fd=0.022, P1=FULL, P2=outlet_pa, L=length_m, D=0.032)
    assert pipe_flux_kg_m2_s(FULL, outlet_pa, resistance, T) * AREA == pytest.approx(flow, rel=1e-9)
    lowest = P_isothermal_critical_flow(P=FULL, fd=0.022, D=0.032, L=length_m)
    assert choking_pressure_pa(FULL, resistance) == pytest.approx(lowest, rel=1e-9)


@closed_form
def test_the_steady_law_of_a_pipe_gives_the_printed_flow_and_limit() -> None:
    assert pipe_flux_kg_m2_s(FULL, 551325.0, RESISTANCE, T) * AREA == pytest.approx(0.0801707, abs=6e-8)
    assert choking_pressure_pa(FULL, RESISTANCE) == pytest.approx(69876.7, abs=0.1)
    assert pipe_flux_kg_m2_s(FULL, 1.0, RESISTANCE, T) * AREA == pytest.approx(0.193731, abs=6e-7)
    assert pipe_flux_kg_m2_s(FULL, FULL, RESISTANCE, T) == 0.0
    for wrong in ((5e5, 6e5, 10.0), (5e5, 0.0, 10.0), (6e5, 5e5, 0.0)):
        with pytest.raises(OutsideModelError, match="pipe flow"):
            pipe_flux_kg_m2_s(*wrong, T)


@closed_form
@pytest.mark.parametrize(
    ("mach", "length", "t", "p", "rho", "p0"),
    [(0.05, 280.02031, 1.19940, 21.90343, 18.26198, 11.59144), (0.3, 5.29925, 1.17878, 3.61906, 3.07017, 2.03507),
     (0.5, 1.06906, 1.14286, 2.13809, 1.87083, 1.33984), (0.8, 0.07229, 1.06383, 1.28928, 1.21192, 1.03823),
     (2.0, 0.30500, 0.66667, 0.40825, 0.61237, 1.68750)],
)  # fmt: skip
def test_the_exact_flow_without_heat_gives_the_printed_table(
    mach: float, length: float, t: float, p: float, rho: float, p0: float
) -> None:
    assert (exact.fanno_length(mach), *exact.fanno_ratios(mach)) == pytest.approx((length, t, p, rho, p0), abs=6e-6)


@closed_form
@pytest.mark.parametrize(
    ("length_m", "inlet", "outlet", "adiabatic", "isothermal"),
    [(1, 0.56957, 1, 0.93042, 1.04030), (5, 0.36214, 1, 0.66098, 0.68636), (20, 0.21319, 1, 0.40928, 0.41305),
     (50, 0.14238, 0.7874, 0.27746, 0.27852), (100, 0.10287, 0.5867, 0.20163, 0.20218),
     (200, 0.07359, 0.4276, 0.14469, 0.14493), (400, 0.05236, 0.3073, 0.10311, 0.10320)],
)  # fmt: skip
def test_an_open_cock_at_the_end_of_a_fed_pipe_gives_the_printed_flows(
    length_m: float, inlet: float, outlet: float, adiabatic: float, isothermal: float
) -> None:
    resistance = 0.02 * length_m / 0.032
    mach_in, mach_out, flux = exact.open_pipe(FULL, T, resistance, 101325.0)
    assert (mach_in, mach_out, flux * AREA) == pytest.approx((inlet, outlet, adiabatic), abs=6e-5)
    assert pipe_flux_kg_m2_s(FULL, 101325.0, resistance, T) * AREA == pytest.approx(isothermal, abs=6e-6)


@closed_form
def test_leaks_cost_the_printed_gradient() -> None:
    resistance, flux = 0.03 * 160 / 0.032, 0.02 / AREA
    for share, millibar in ((1.0, 65.26), (1 / 3, 21.67), (0.5, 32.54)):
        assert leak_gradient_pa(FULL, flux, resistance, T, share) == pytest.approx(100 * millibar, abs=0.6)
    for leaks, share in ((1, 1.0), (2, 0.625), (8, 0.3984), (100, 0.33835)):
        assert leak_share(leaks) == pytest.approx(share, abs=6e-5)
        assert leak_share(leaks) == pytest.approx(exact.leak_share(leaks))
        # A sum over the sections, each with what is left of the flow.
        assert leak_share(leaks) == pytest.approx(sum((k / leaks) ** 2 for k in range(1, leaks + 1)) / leaks)
    with pytest.raises(OutsideModelError, match="more than the pipe can bring"):
        leak_gradient_pa(FULL, 50 * flux, resistance, T, 1.0)


@pytest.mark.outside(source="fluids", clause="differential_pressure_meter_solver, ISO 5167 orifice", status="computed",
                     why="a coefficient of discharge that the trade rounds")  # fmt: skip
def test_an_orifice_plate_by_the_standard_passes_three_fifths_of_the_nozzle() -> None:
    from fluids.flow_meter import differential_pressure_meter_solver

    common = {"rho": FULL / exact.R_AIR / T, "mu": 1.82e-5, "k": 1.4, "P1": FULL, "P2": 581325.0}
    flow = differential_pressure_meter_solver(D=0.0525, D2=0.02, meter_type="ISO 5167 orifice", taps="corner", **common)
    assert flow == pytest.approx(0.1018373, abs=6e-8)
    ideal = mass_flow_kg_s(exact.area_of(0.02), FULL, 581325.0, T)
    assert flow / ideal == pytest.approx(0.61, abs=0.01)
