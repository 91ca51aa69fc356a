"""The rail takes so much and no more; so much of the weight must stand on braked axles."""

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from headstock.base.errors import OutsideModelError
from headstock.physics import adhesion as a
from headstock.physics.gradient import normal_force_n, slope_force_n

ADHESIONS = st.floats(0.01, a.MAX_ADHESION)
GRADIENTS = st.floats(1e-4, 0.15)
SHARES = st.floats(0.01, 1.0)
MARGINS = st.floats(1.0, 3.0)
FORCES_N = st.floats(0.0, 1e6)


@given(FORCES_N, st.floats(0.0, 1e7), ADHESIONS)
def test_the_capped_force_is_the_lesser_of_brake_and_rail(force_n: float, weight_n: float, adhesion: float) -> None:
    capped_n = a.adhesion_capped_force_n(force_n, weight_n, adhesion)
    assert capped_n <= force_n
    assert capped_n <= adhesion * weight_n
    assert capped_n in (force_n, adhesion * weight_n)


@given(st.floats(1.0, 1e7), ADHESIONS)
def test_the_limit_solved_for_the_adhesion_comes_back(weight_n: float, adhesion: float) -> None:
    assert a.adhesion_asked(a.adhesion_limit_n(weight_n, adhesion), weight_n) == pytest.approx(adhesion)


@given(SHARES, ADHESIONS, MARGINS)
def test_the_share_solved_for_gradient_and_for_adhesion_comes_back(share: float, adhesion: float, margin: float) -> None:
    gradient = a.gradient_held_by_adhesion(share, adhesion, margin)
    assert a.smallest_braked_share(gradient, adhesion, margin) == pytest.approx(share)
    assert a.adhesion_asked_on_gradient(share, gradient, margin) == pytest.approx(adhesion)


@given(st.floats(1e4, 1e7), GRADIENTS, ADHESIONS, MARGINS)
def test_at_the_smallest_share_rail_and_hill_are_even(mass_kg: float, gradient: float, adhesion: float, margin: float) -> None:
    share = a.smallest_braked_share(gradient, adhesion, margin)
    limit_n = a.adhesion_limit_n(share * normal_force_n(mass_kg, gradient), adhesion)
    assert limit_n == pytest.approx(margin * slope_force_n(mass_kg, gradient))


@pytest.mark.parametrize(
    ("fall_percent", "adhesion"),
    [(0.5, 0.020), (1.0, 0.040), (1.25, 0.050), (2.0, 0.080), (2.5, 0.100), (3.5, 0.140), (4.0, 0.160)],
)
def test_two_braked_axles_of_eight_ask_four_times_the_gradient(fall_percent: float, adhesion: float) -> None:
    assert a.adhesion_asked_on_gradient(2 / 8, fall_percent / 100.0) == pytest.approx(adhesion)
    assert a.adhesion_asked_on_gradient(2 / 8, -fall_percent / 100.0) == pytest.approx(adhesion)


def test_above_one_no_number_of_brakes_holds() -> None:
    assert a.smallest_braked_share(0.14, 0.12) > 1.0
    assert a.smallest_braked_share(0.11, 0.12, margin=1.2) > 1.0


def test_a_level_asks_no_share() -> None:
    assert a.smallest_braked_share(0.0, 0.12) == 0.0


@pytest.mark.parametrize("adhesion", [0.0, -0.1, 0.51, math.nan])
def test_an_adhesion_no_rail_has_is_refused(adhesion: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: a.adhesion_limit_n(1.0, adhesion),
        lambda: a.adhesion_capped_force_n(1.0, 1.0, adhesion),
        lambda: a.smallest_braked_share(0.01, adhesion),
        lambda: a.gradient_held_by_adhesion(0.5, adhesion),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match="adhesion"):
            refused()


@pytest.mark.parametrize("margin", [0.99, -1.0, math.inf, math.nan])
def test_a_margin_below_one_is_refused(margin: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: a.smallest_braked_share(0.01, 0.1, margin),
        lambda: a.gradient_held_by_adhesion(0.5, 0.1, margin),
        lambda: a.adhesion_asked_on_gradient(0.5, 0.01, margin),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match="margin"):
            refused()


@pytest.mark.parametrize("share", [0.0, -0.1, 1.01, math.nan])
def test_a_share_beyond_the_train_is_refused(share: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: a.gradient_held_by_adhesion(share, 0.1),
        lambda: a.adhesion_asked_on_gradient(share, 0.01),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match="braked_share"):
            refused()


@pytest.mark.parametrize("value", [-1.0, math.inf, math.nan])
def test_forces_and_weights_below_nothing_are_refused(value: float) -> None:
    formulas: list[Callable[[], float]] = [
        lambda: a.adhesion_capped_force_n(value, 1.0, 0.1),
        lambda: a.adhesion_capped_force_n(1.0, value, 0.1),
        lambda: a.adhesion_asked(value, 1.0),
        lambda: a.adhesion_asked(1.0, value),
    ]
    for refused in formulas:
        with pytest.raises(OutsideModelError, match=r"brake_force_n|weight_on_braked_axles_n"):
            refused()


@pytest.mark.parametrize("gradient", [math.inf, math.nan])
def test_a_gradient_that_is_no_number_is_refused(gradient: float) -> None:
    with pytest.raises(OutsideModelError, match="gradient"):
        a.smallest_braked_share(gradient, 0.1)


def test_no_weight_passes_no_force_and_asks_no_adhesion() -> None:
    assert a.adhesion_capped_force_n(10_000.0, 0.0, 0.12) == 0.0
    with pytest.raises(OutsideModelError, match="found 0"):
        a.adhesion_asked(1.0, 0.0)
