"""Gradients as numbers, and the weight along the track and on it."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import OutsideModelError
from headstock.physics import gradient as g

MASSES_KG = st.floats(1e3, 2e7)
GRADIENTS = st.floats(-g.MAX_GRADIENT, g.MAX_GRADIENT)
# A gradient a surveyor could tell from level, so that solving backwards means something.
SLOPES = st.one_of(st.floats(1e-5, g.MAX_GRADIENT * 0.999), st.floats(-g.MAX_GRADIENT * 0.999, -1e-5))


@given(MASSES_KG, GRADIENTS)
def test_pull_and_pressure_are_the_two_sides_of_the_weight(mass_kg: float, gradient: float) -> None:
    pull_n, pressure_n = g.slope_force_n(mass_kg, gradient), g.normal_force_n(mass_kg, gradient)
    assert math.hypot(pull_n, pressure_n) == pytest.approx(mass_kg * 9.80665, rel=1e-12)
    assert pull_n / pressure_n == pytest.approx(gradient, rel=1e-12, abs=1e-300)


@given(MASSES_KG, GRADIENTS)
def test_the_pull_is_the_sine_of_the_angle(mass_kg: float, gradient: float) -> None:
    angle = math.atan(gradient)
    assert g.slope_force_n(mass_kg, gradient) == pytest.approx(mass_kg * 9.80665 * math.sin(angle), rel=1e-12)
    assert g.normal_force_n(mass_kg, gradient) == pytest.approx(mass_kg * 9.80665 * math.cos(angle), rel=1e-12)


@given(MASSES_KG, SLOPES)
def test_the_pull_solved_for_gradient_and_for_mass_comes_back(mass_kg: float, gradient: float) -> None:
    pull_n = g.slope_force_n(mass_kg, gradient)
    assert g.gradient_of_slope_force(pull_n, mass_kg) == pytest.approx(gradient, rel=1e-12)
    assert g.mass_of_slope_force_kg(pull_n, gradient) == pytest.approx(mass_kg, rel=1e-12)


@given(SLOPES)
def test_per_mille_and_one_in_come_back(gradient: float) -> None:
    assert g.gradient_from_per_mille(g.per_mille_from_gradient(gradient)) == pytest.approx(gradient, rel=1e-12)
    assert g.gradient_from_one_in(g.one_in_from_gradient(gradient)) == pytest.approx(gradient, rel=1e-12)


def test_one_in_25_is_40_per_mille() -> None:
    assert g.per_mille_from_gradient(g.gradient_from_one_in(25.0)) == pytest.approx(40.0)


def test_the_sign_says_which_way_it_falls() -> None:
    assert g.slope_force_n(1000.0, -0.02) == -g.slope_force_n(1000.0, 0.02)
    assert g.gradient_from_one_in(-50.0) == -0.02


def test_the_level_pulls_nothing_and_is_one_in_infinity() -> None:
    assert g.slope_force_n(200_000.0, 0.0) == 0.0
    assert g.normal_force_n(1.0, 0.0) == g.G_M_S2
    assert g.one_in_from_gradient(0.0) == math.inf
    assert g.gradient_from_one_in(math.inf) == 0.0


@given(SLOPES, st.floats(0.0, 0.3))
def test_turning_parts_slow_the_gathering_of_speed(gradient: float, rotating_mass_share: float) -> None:
    free = g.slope_acceleration_m_s2(gradient, 0.0)
    assert g.slope_acceleration_m_s2(gradient, rotating_mass_share) * (1.0 + rotating_mass_share) == pytest.approx(free)
    assert free == pytest.approx(g.slope_force_n(70_000.0, gradient) / 70_000.0)


@pytest.mark.parametrize("gradient", [0.1501, -0.1501, 40.0, math.inf, math.nan])
def test_a_gradient_beyond_the_range_is_refused_by_every_formula(gradient: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: g.slope_force_n(1.0, gradient),
        lambda: g.normal_force_n(1.0, gradient),
        lambda: g.mass_of_slope_force_kg(1.0, gradient),
        lambda: g.slope_acceleration_m_s2(gradient, 0.0),
        lambda: g.per_mille_from_gradient(gradient),
        lambda: g.one_in_from_gradient(gradient),
        lambda: g.gradient_from_per_mille(gradient * 1000.0),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match="gradient"):
            refused()


@pytest.mark.parametrize("run_per_rise", [0.0, -0.0, 1.0, 6.6, -6.6, math.nan])
def test_one_in_less_than_the_range_is_refused(run_per_rise: float) -> None:
    with pytest.raises(OutsideModelError, match="gradient"):
        g.gradient_from_one_in(run_per_rise)


@pytest.mark.parametrize("mass_kg", [0.0, -1.0, math.inf, math.nan])
def test_a_mass_that_is_none_is_refused(mass_kg: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: g.slope_force_n(mass_kg, 0.01),
        lambda: g.normal_force_n(mass_kg, 0.01),
        lambda: g.gradient_of_slope_force(1.0, mass_kg),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match="mass_kg"):
            refused()


@pytest.mark.parametrize("force_n", [9.80665, 20.0, -20.0, math.inf, math.nan])
def test_a_pull_as_large_as_the_weight_has_no_gradient(force_n: float) -> None:
    with pytest.raises(OutsideModelError, match="force_n"):
        g.gradient_of_slope_force(force_n, 1.0)


def test_a_pull_steeper_than_the_range_has_no_gradient_here() -> None:
    with pytest.raises(OutsideModelError, match="gradient"):
        g.gradient_of_slope_force(2.0, 1.0)


@pytest.mark.parametrize(("force_n", "gradient"), [(10.0, -0.01), (-10.0, 0.01), (0.0, 0.01), (10.0, 0.0), (math.nan, 0.01)])
def test_no_mass_pulls_uphill_or_on_the_level(force_n: float, gradient: float) -> None:
    with pytest.raises(OutsideModelError):
        g.mass_of_slope_force_kg(force_n, gradient)


@pytest.mark.parametrize("rotating_mass_share", [-0.01, math.inf, math.nan])
def test_a_share_of_turning_parts_below_nothing_is_refused(rotating_mass_share: float) -> None:
    with pytest.raises(OutsideModelError, match="rotating_mass_share"):
        g.slope_acceleration_m_s2(0.01, rotating_mass_share)
